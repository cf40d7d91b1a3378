package formula_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// A change as a test writes it: the target and what it changes to, which is "out", "becomes NAME | FACTS" or an amount.
type change struct{ target, to string }

// variant makes a variant of changes and of additions, written "NAME: AMOUNT" or "PHASE / NAME: AMOUNT".
// Each change stands on a line of its own, from the first, and each addition on the lines that follow.
func variant(t testing.TB, changes []change, adds []string) formula.Variant {
	t.Helper()
	source := &problem.Source{Name: "v.md"}
	row := func(text string) problem.Span {
		start := len(source.Text)
		source.Text += text + "\n"
		return problem.Span{Source: source, Start: start, End: start + len(text)}
	}
	v := formula.Variant{Name: "Night version", Note: "for winter"}
	for _, c := range changes {
		at := row(c.target + ": " + c.to)
		made := formula.Change{Target: c.target, At: at.Sub(0, len(c.target)), ValueAt: at.Sub(len(c.target)+2, len(c.to))}
		if name, ok := strings.CutPrefix(c.to, "becomes "); ok {
			made.Becomes = new(ingredient(t, name))
		} else if c.to == "out" {
			made.Out = true
		} else {
			made.Amount = new(amount(t, c.to))
		}
		v.Changes = append(v.Changes, made)
	}
	for _, text := range adds {
		v.Adds = append(v.Adds, addition(t, text, row(text)))
	}
	v.At = problem.Span{Source: source, End: len(source.Text)}
	return v
}

func vary(t testing.TB, text string, changes []change, adds ...string) *formula.Version {
	t.Helper()
	v, problems := formula.Vary(read(t, text), variant(t, changes, adds))
	require.NoError(t, problems.Err())
	require.NotNil(t, v)
	return v
}

const lotion = `Water:
  Water: q.s.
  Glycerin: 3 %
Oil:
  Shea: 10 %
  Jojoba: 10 %
  Wax: 1 per 4 of Oil
Cool-down:
  Shea: 2 %
  Rose: 1 % | fixed
`

func TestVary(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		changes []change
		adds    []string
		want    []string
	}{
		{"nothing", nil, nil, []string{"Water 69", "Glycerin 3", "Shea 10", "Jojoba 10", "Wax 5", "Shea 2", "Rose 1"}},
		{"an amount", []change{{"Glycerin", "6 %"}}, nil, []string{"Water 66", "Glycerin 6", "Shea 10", "Jojoba 10", "Wax 5", "Shea 2", "Rose 1"}},
		{"an amount that another is measured on", []change{{"jojoba", "18 %"}}, nil, []string{"Water 59", "Glycerin 3", "Shea 10", "Jojoba 18", "Wax 7", "Shea 2", "Rose 1"}},
		{"an amount of another kind", []change{{"Water", "68 %"}, {"Glycerin", "q.s."}}, nil, []string{"Water 68", "Glycerin 4", "Shea 10", "Jojoba 10", "Wax 5", "Shea 2", "Rose 1"}},
		{"becomes keeps the amount", []change{{"Jojoba", "becomes Almond oil"}}, nil, []string{"Water 69", "Glycerin 3", "Shea 10", "Almond oil 10", "Wax 5", "Shea 2", "Rose 1"}},
		{"two that change places", []change{{"Jojoba", "becomes Wax"}, {"Wax", "becomes Jojoba"}}, nil, []string{"Water 69", "Glycerin 3", "Shea 10", "Wax 10", "Jojoba 5", "Shea 2", "Rose 1"}},
		{"becomes what is taken out", []change{{"Jojoba", "becomes Wax"}, {"Wax", "out"}}, nil, []string{"Water 74", "Glycerin 3", "Shea 10", "Wax 10", "Shea 2", "Rose 1"}},
		{"out", []change{{"GLYCERIN", "out"}}, nil, []string{"Water 72", "Shea 10", "Jojoba 10", "Wax 5", "Shea 2", "Rose 1"}},
		{"one of two by its phase", []change{{"Shea in Cool-down", "out"}}, nil, []string{"Water 71", "Glycerin 3", "Shea 10", "Jojoba 10", "Wax 5", "Rose 1"}},
		{"one of two by its phase, with the word", []change{{"shea in oil phase", "14 %"}}, nil, []string{"Water 64", "Glycerin 3", "Shea 14", "Jojoba 10", "Wax 6", "Shea 2", "Rose 1"}},
		{"added to a phase", nil, []string{"Oil / Cocoa: 4 %"}, []string{"Water 64", "Glycerin 3", "Shea 10", "Jojoba 10", "Wax 6", "Cocoa 4", "Shea 2", "Rose 1"}},
		{"added to the last phase", nil, []string{"Aloe: 4 %"}, []string{"Water 65", "Glycerin 3", "Shea 10", "Jojoba 10", "Wax 5", "Shea 2", "Rose 1", "Aloe 4"}},
		{"added on top", nil, []string{"Aloe: 1 per 4"}, []string{"Water 55.2", "Glycerin 2.4", "Shea 8", "Jojoba 8", "Wax 4", "Shea 1.6", "Rose 0.8", "Aloe 20"}},
		{"out and added again", []change{{"Rose", "out"}}, []string{"Oil / Rose: 2 %"}, []string{"Water 67.5", "Glycerin 3", "Shea 10", "Jojoba 10", "Wax 5.5", "Rose 2", "Shea 2"}},
		{"a phase that is emptied", []change{{"Shea in Cool-down", "out"}, {"Rose", "out"}}, nil, []string{"Water 72", "Glycerin 3", "Shea 10", "Jojoba 10", "Wax 5"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			v := vary(t, lotion, test.changes, test.adds...)
			assert.Equal(t, test.want, shares(v))
			assert.Equal(t, formula.VariantKind, v.Kind)
			assert.Equal(t, "Night version", v.Name)
			assert.Equal(t, "for winter", v.Note)
		})
	}
}

func TestVaryKeepsTheBase(t *testing.T) {
	t.Parallel()
	f := read(t, lotion)
	before := read(t, lotion)
	_, problems := formula.Vary(f, variant(t, []change{{"Glycerin", "out"}, {"Jojoba", "becomes Cocoa"}, {"Rose", "2 %"}}, []string{"Oil / Aloe: 4 %"}))
	require.NoError(t, problems.Err())
	assert.Equal(t, before, f)
}

// Lines that a variant leaves as they are take no room of their own.
func TestVaryShares(t *testing.T) {
	t.Parallel()
	f := read(t, lotion)
	base, problems := formula.Solve(f)
	require.NoError(t, problems.Err())
	v, problems := formula.Vary(f, variant(t, []change{{"Glycerin", "5 %"}}, nil))
	require.NoError(t, problems.Err())
	require.Len(t, v.Items, len(base.Items))
	for i, item := range v.Items {
		if v.Phases[item.Phase].Name == "Water" {
			assert.NotSame(t, base.Items[i].Line, item.Line, "%s", item.Name)
		} else {
			assert.Same(t, base.Items[i].Line, item.Line, "%s", item.Name)
		}
	}
}

func TestVaryBecomes(t *testing.T) {
	t.Parallel()
	v := vary(t, "Oil:\n  Jojoba: 100 ml | 0.5 g/ml\n  Wax: 50 g", []change{{"Jojoba", "becomes Honey | 1.5 g/ml"}})
	assert.Equal(t, []string{"Honey 75", "Wax 25"}, shares(v), "the volume is kept and the new one's density used")
	honey := v.Items[0]
	assert.Equal(t, "Jojoba", honey.Was)
	assert.Equal(t, "100 ml", honey.Amount.Written)
	assert.Equal(t, "becomes Honey | 1.5 g/ml", honey.At.Text())
	assert.Equal(t, []int{0}, v.Find("honey"))
	assert.Equal(t, []int{0}, v.Find("Jojoba"), "the name that was replaced finds what replaced it")
	assert.Empty(t, v.Items[1].Was)
}

func TestVaryEmptiedPhase(t *testing.T) {
	t.Parallel()
	v := vary(t, lotion, []change{{"Water", "out"}, {"Glycerin", "out"}, {"Jojoba", "q.s."}})
	require.Len(t, v.Phases, 2)
	assert.Equal(t, "Oil", v.Phases[0].Name)
	for i, item := range v.Items {
		assert.Contains(t, v.Phases[item.Phase].Lines, *item.Line, "item %d stands in its phase", i)
	}
	assert.Equal(t, []int{0, 1, 2}, v.FindPhase("oil"))
	assert.Nil(t, v.FindPhase("Water"))
}

func TestVaryRefuses(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		changes []change
		adds    []string
		want    []string
	}{
		{"a name in two phases", []change{{"Shea", "out"}}, nil, []string{"1: “Shea” stands in more than one phase | say which, as in “Shea in Oil”"}},
		{"an unknown name, nearly right", []change{{"Glycerine", "6 %"}}, nil, []string{"1: “Glycerine” is not in the formula, so it cannot be changed | did you mean “Glycerin”?"}},
		{"an unknown name", []change{{"Candelilla", "6 %"}}, nil, []string{"1: “Candelilla” is not in the formula, so it cannot be changed | name an ingredient of the formula, or put a new one under add:"}},
		{"a phase where it is not", []change{{"Glycerin in Oil", "out"}}, nil, []string{"1: “Glycerin in Oil” is not in the formula, so it cannot be changed | name an ingredient of the formula, or put a new one under add:"}},
		{"all unknown names at once", []change{{"Glycerine", "6 %"}, {"Rosa", "out"}}, nil, []string{
			"1: “Glycerine” is not in the formula, so it cannot be changed | did you mean “Glycerin”?",
			"2: “Rosa” is not in the formula, so it cannot be changed | did you mean “Rose”?",
		}},
		{"a second one made by becomes", []change{{"Jojoba", "becomes shea"}}, nil, []string{"1: this puts shea into the phase Oil a second time | change the amount of the one that is there already"}},
		{"a second one added", nil, []string{"Water / Glycerin: 2 %"}, []string{"1: this puts Glycerin into the phase Water a second time | change the amount of the one that is there already"}},
		{"added to an unknown phase", nil, []string{"Oli / Cocoa: 2 %"}, []string{"1: there is no phase “Oli” to add Cocoa to | did you mean “Oil”?"}},
		{"added to no such phase", nil, []string{"Fragrances / Cocoa: 2 %"}, []string{"1: there is no phase “Fragrances” to add Cocoa to | the phases are Water, Oil, Cool-down"}},
		{"one ingredient changed twice", []change{{"Glycerin", "6 %"}, {"glycerin in Water", "4 %"}}, nil, []string{"2: “glycerin in Water” is changed already | keep one of the two; for another ingredient in another amount, write out and put the new one under add: | also 1"}},
		{"one ingredient changed and out", []change{{"Glycerin", "out"}, {"GLYCERIN", "4 %"}}, nil, []string{"2: “GLYCERIN” is changed already | keep one of the two; for another ingredient in another amount, write out and put the new one under add: | also 1"}},
		{"no room left", []change{{"Glycerin", "80 %"}}, nil, []string{"1: the other ingredients make 108 % already, 8 % too much: nothing is left for the q.s. ingredient (it would be -8 %) | lower the other amounts"}},
		{"what another is measured on is out", []change{{"Shea in Oil", "out"}, {"Jojoba", "out"}}, nil, []string{"7: the phase Oil has nothing else to measure Wax on | name a phase that has other ingredients"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			v, problems := formula.Vary(read(t, lotion), variant(t, test.changes, test.adds))
			assert.Nil(t, v)
			assert.Equal(t, test.want, told(problems))
		})
	}
}

func TestVaryKeepsMakes(t *testing.T) {
	t.Parallel()
	v := vary(t, "All:\n  Water: q.s.\n  Salt: 50 g\nmakes: 500 g", []change{{"Salt", "100 g"}})
	assert.Equal(t, []string{"Water 80", "Salt 20"}, shares(v))
}

// The order in which changes are written does not matter.
func TestVaryOrder(t *testing.T) {
	t.Parallel()
	changes := []change{{"Glycerin", "6 %"}, {"Jojoba", "becomes Wax"}, {"Wax", "becomes Jojoba"}, {"Shea in Oil", "out"}, {"Rose", "becomes Shea in bloom | fixed"}, {"Shea in Cool-down", "4 %"}}
	want := shares(vary(t, lotion, changes))
	rapid.Check(t, func(r *rapid.T) {
		shuffled := rapid.Permutation(changes).Draw(r, "changes")
		if got := shares(vary(t, lotion, shuffled)); !slices.Equal(want, got) {
			r.Fatalf("%v: got %v, want %v", shuffled, got, want)
		}
	})
}

// addition makes what a variant or split adds, written "NAME: AMOUNT" or "PHASE / NAME: AMOUNT".
func addition(t testing.TB, text string, at problem.Span) formula.Addition {
	t.Helper()
	phase, rest, ok := strings.Cut(text, " / ")
	if !ok {
		phase, rest = "", text
	}
	l := line(t, rest)
	l.At = at
	return formula.Addition{Line: l, Phase: phase}
}

// A variant is solved as a formula of its own, so it equals the same formula written out.
func TestVaryEqualsWrittenOut(t *testing.T) {
	t.Parallel()
	v := vary(t, hedgerow, []change{{"Glycerin", "6 %"}, {"Shea butter, refined", "becomes Cocoa butter"}, {"Sodium lactate", "out"}})
	want := []string{
		"Distilled water 71.15", "Glycerin 6", "Sunflower oil 12", "Cocoa butter 5", "Emulsifying wax 4.25",
		"Phenoxyethanol & ethylhexylglycerin blend 1", "Cedarwood fragrance 0.6",
	}
	assert.Equal(t, want, shares(v))
	assert.Equal(t, quantity.Balance, v.Items[0].Amount.Kind)
}
