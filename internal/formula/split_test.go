package formula_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// A portion as a test writes it: a share of the batch and what is added.
type portion struct {
	share string
	adds  []string
}

// split makes splits; each split and then each of its additions stands on a line of its own.
func split(t testing.TB, portions ...portion) []formula.Split {
	t.Helper()
	source := &problem.Source{Name: "s.md"}
	row := func(text string) problem.Span {
		start := len(source.Text)
		source.Text += text + "\n"
		return problem.Span{Source: source, Start: start, End: start + len(text)}
	}
	var all []formula.Split
	for i, p := range portions {
		s := formula.Split{Name: formula.Letter(i), Note: "note", Share: number(t, p.share), At: row(p.share)}
		for _, text := range p.adds {
			s.Adds = append(s.Adds, addition(t, text, row(text)))
		}
		all = append(all, s)
	}
	return all
}

const balm = "Wax:\n  Beeswax: 20 %\nOil:\n  Jojoba: 60 %\n  Shea: 20 %\n"

func TestDivide(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		adds []string
		want []string
	}{
		{"nothing added", nil, []string{"Beeswax 20", "Jojoba 60", "Shea 20"}},
		{"a percent of the finished split", []string{"Rose: 10 %"}, []string{"Beeswax 18", "Jojoba 54", "Shea 18", "Rose 10"}},
		{"two percents", []string{"Rose: 10 %", "Mint: 10 %"}, []string{"Beeswax 16", "Jojoba 48", "Shea 16", "Rose 10", "Mint 10"}},
		{"on top", []string{"Rose: 1 per 4"}, []string{"Beeswax 16", "Jojoba 48", "Shea 16", "Rose 20"}},
		{"on top by weight", []string{"Rose: 1 oz per 4 oz"}, []string{"Beeswax 16", "Jojoba 48", "Shea 16", "Rose 20"}},
		{"on top by volume", []string{"Honey: 20 ml per 112 g | 1.4 g/ml"}, []string{"Beeswax 16", "Jojoba 48", "Shea 16", "Honey 20"}},
		{"two on top, not against each other", []string{"Rose: 1 per 8", "Mint: 1 per 8"}, []string{"Beeswax 16", "Jojoba 48", "Shea 16", "Rose 10", "Mint 10"}},
		{"a share of a phase of the base", []string{"Cocoa: 50 % of Wax"}, []string{"Beeswax 200/11", "Jojoba 600/11", "Shea 200/11", "Cocoa 100/11"}},
		{"per a phase of the base", []string{"Cocoa: 1 per 4 of Oil phase"}, []string{"Beeswax 50/3", "Jojoba 50", "Shea 50/3", "Cocoa 50/3"}},
		{"per a phase of the base, by volume", []string{"Honey: 25 ml per 80 g of oil | 1 g/ml"}, []string{"Beeswax 16", "Jojoba 48", "Shea 16", "Honey 20"}},
		{"a percent, a phase's share and on top", []string{"Rose: 20 %", "Cocoa: 1 per 4 of Oil", "Mint: 1 per 4"}, []string{"Beeswax 32/3", "Jojoba 32", "Shea 32/3", "Rose 16", "Cocoa 32/3", "Mint 20"}},
		{"more of what the base has", []string{"Shea: 1 per 4"}, []string{"Beeswax 16", "Jojoba 48", "Shea 16", "Shea 20"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			splits, problems := formula.Divide(solve(t, balm), split(t, portion{"1/3", nil}, portion{"2/3", test.adds}))
			require.NoError(t, problems.Err())
			require.Len(t, splits, 2)
			v := splits[1]
			assert.Equal(t, test.want, shares(v))
			assert.Equal(t, formula.SplitKind, v.Kind)
			assert.Equal(t, "B", v.Name)
			assert.Equal(t, "note", v.Note)
			require.NotNil(t, v.Portion)
			assert.Equal(t, "2/3", v.Portion.Share.String())
			assert.Equal(t, 3, v.Portion.Items)
			for i := 3; i < len(v.Items); i++ {
				assert.Equal(t, "To finish", v.Phases[v.Items[i].Phase].Name)
			}
			assert.Len(t, splits[0].Phases, 2, "nothing added, so no phase for it")
		})
	}
}

func TestDivideRefuses(t *testing.T) {
	t.Parallel()
	const hint = " | write 1 per 10 or 1 oz per 10 oz, or a percent of the finished split"
	tests := []struct {
		name     string
		portions []portion
		want     []string
	}{
		{"a weight", []portion{{"1", []string{"Rose: 5 g"}}}, []string{"2: “5 g” cannot be added to a split: it would be the same for every batch size" + hint}},
		{"a volume", []portion{{"1", []string{"Rose: 5 ml | 0.9 g/ml"}}}, []string{"2: “5 ml” cannot be added to a split: it would be the same for every batch size" + hint}},
		{"parts", []portion{{"1", []string{"Rose: 2 parts"}}}, []string{"2: “2 parts” cannot be added to a split: the base takes up the balance already" + hint}},
		{"q.s.", []portion{{"1", []string{"Rose: q.s."}}}, []string{"2: “q.s.” cannot be added to a split: the base takes up the balance already" + hint}},
		{"all of them at once", []portion{{"1/2", []string{"Rose: 5 g"}}, {"1/2", []string{"Rose: 1 %", "Mint: q.s."}}}, []string{
			"2: “5 g” cannot be added to a split: it would be the same for every batch size" + hint,
			"5: “q.s.” cannot be added to a split: the base takes up the balance already" + hint,
		}},
		{"percents that leave no room", []portion{{"1", []string{"Rose: 60 %", "Mint: 40 %"}}}, []string{"1: what is added makes 100 % of the split, which leaves no room for the base | lower the percents that are added"}},
		{"shares short of the whole", []portion{{"1/2", nil}, {"2/5", nil}}, []string{"1: the splits' shares make 0.9 of the batch, not the whole of it | let the shares make 1 (or 100 %)"}},
		{"shares past the whole", []portion{{"1/2", nil}, {"2/3", nil}}, []string{"1: the splits' shares make 7/6 of the batch, not the whole of it | let the shares make 1 (or 100 %)"}},
		{"an unknown phase", []portion{{"1", []string{"Rose: 2 % of Oli"}}}, []string{"2: there is no phase “Oli” to measure Rose on | did you mean “Oil”?"}},
		{"a volume on top without density", []portion{{"1", []string{"Rose: 1 tsp per 100 g"}}}, []string{"2: “1 tsp per 100 g” is a volume, and the density of Rose is not known (volume-without-density) | write a weight, or add density: to the ingredient's page, such as density: 0.92 g/ml"}},
		{"a volume per phase without density", []portion{{"1", []string{"Rose: 1 tsp per 100 g of Oil"}}}, []string{"2: “1 tsp per 100 g of Oil” is a volume, and the density of Rose is not known (volume-without-density) | write a weight, or add density: to the ingredient's page, such as density: 0.92 g/ml"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			_, problems := formula.Divide(solve(t, balm), split(t, test.portions...))
			assert.Equal(t, test.want, told(problems))
		})
	}
}

func TestDivideNothing(t *testing.T) {
	t.Parallel()
	splits, problems := formula.Divide(solve(t, balm), nil)
	assert.Empty(t, splits)
	assert.NoError(t, problems.Err())
}

// The design's hand cream in two halves: the Rich one takes 1 oz of glycerin for every 10 oz.
func TestDivideHedgerow(t *testing.T) {
	t.Parallel()
	splits, problems := formula.Divide(solve(t, hedgerow), split(t, portion{"1/2", nil}, portion{"1/2", []string{"Glycerin: 1 oz per 10 oz"}}))
	require.NoError(t, problems.Err())
	rich := splits[1]
	assert.Equal(t, "100/11", rich.Percent(8).String())
	assert.Equal(t, []int{1, 8}, rich.Find("Glycerin"))
	assert.Equal(t, []int{8}, rich.Find("glycerin in to finish"))
	assert.Equal(t, []int{1}, rich.FindInMethod("Glycerin"), "in the method the base's")
	assert.Equal(t, quantity.Balance, rich.Items[0].Amount.Kind)
}

func TestDividePortions(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, batch, scale string
		portions           []portion
		want               []string // of each portion: what it takes of the base, what is added, and the total
	}{
		{"two halves", "250 g", "0.1 g", []portion{{"1/2", nil}, {"1/2", []string{"Rose: 1 per 10"}}}, []string{"125.0 = 125 g", "125.0 + 12.5 = 137.5 g"}},
		{"the largest takes up the rounding", "100 g", "0.1 g", []portion{{"1/6", nil}, {"2/3", nil}, {"1/6", nil}}, []string{"16.7 = 16.7 g", "66.6 = 66.6 g", "16.7 = 16.7 g"}},
		{"the first of equals takes up the rounding", "100 g", "0.1 g", []portion{{"1/3", nil}, {"1/3", nil}, {"1/3", nil}}, []string{"33.4 = 33.4 g", "33.3 = 33.3 g", "33.3 = 33.3 g"}},
		{"the rest is read in its own step", "600 g", "0.01 g to 100 g, 1 g", []portion{{"1/7", nil}, {"6/7", nil}}, []string{"85.71 = 85.71 g", "514 = 514 g"}},
		{"what is added is of the portion as weighed", "1 g", "0.1 g", []portion{{"1/3", []string{"Rose: 1 per 2"}}, {"2/3", nil}}, []string{"0.3 + 0.2 = 0.5 g", "0.7 = 0.7 g"}},
		{"a batch too small for the scale", "3 g", "1 g", []portion{{"1/5", nil}, {"1/5", nil}, {"1/5", nil}, {"1/5", nil}, {"1/5", nil}}, []string{"1 = 1 g", "0 = 0 g", "1 = 1 g", "0 = 0 g", "1 = 1 g"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			base, s := solve(t, balm), scale(t, test.scale)
			splits, problems := formula.Divide(base, split(t, test.portions...))
			require.NoError(t, problems.Err())
			var got []string
			for _, p := range formula.DividePortions(base.Weigh(size(t, base, test.batch), s), splits, s).Portions {
				var text strings.Builder
				text.WriteString(p.Base.Text())
				for _, add := range p.Adds {
					text.WriteString(" + " + add.Text())
				}
				got = append(got, text.String()+" = "+p.Total.Mass.String())
			}
			assert.Equal(t, test.want, got)
		})
	}
	assert.Empty(t, formula.DividePortions(formula.Column{}, nil, quantity.Scale{}).Portions, "no splits")
}
