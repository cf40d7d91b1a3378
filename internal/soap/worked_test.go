package soap_test

import (
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// A worked example is a sum whose answer is known from elsewhere; testdata/worked-examples.yaml says how it is written.
type worked struct {
	ID, Title, Sum, Source, Address, Status, Note string
	Fats, Acids                                   map[string]string
	Alkalis                                       map[string]struct{ Share, Purity, Weight string }
	Superfat, Water, Solution                     string
	Strengths                                     []string
	Stock                                         struct{ Alkali, Stock, Wanted string }
	Titration                                     struct{ Fat, Blank, Back, Normality string }
	Triglycerides                                 map[string]string
	Expect                                        map[string]string
	Within                                        string
	WithinPart                                    string `yaml:"within_part"`
}

func TestWorkedExamples(t *testing.T) {
	t.Parallel()
	var examples []worked
	text, err := os.ReadFile("testdata/worked-examples.yaml")
	require.NoError(t, err)
	require.NoError(t, yaml.Load(text, &examples, yaml.WithKnownFields()))
	run := make(map[string]bool)
	for _, e := range examples {
		run[e.ID] = true
		t.Run(e.ID+" "+e.Title, func(t *testing.T) {
			require.NotEmpty(t, e.Expect, "the example asks for nothing")
			answers := (&working{T: t, worked: e}).answers()
			for what, want := range e.Expect {
				got, ok := answers[what]
				require.True(t, ok, "%s is not among the answers", what)
				near(t, num(t, want), got, e.Within, e.WithinPart, what)
			}
			assert.NotEmpty(t, e.Source)
			assert.Contains(t, []string{"read", "memory", "common practice"}, e.Status)
			assert.Equal(t, e.Status == "read", e.Address != "", "what was read has an address")
		})
	}
	assert.Len(t, run, 14)
}

// near asserts an answer within a margin.
func near(t *testing.T, want, got quantity.Number, within, part, what string) {
	t.Helper()
	margin := quantity.Number{}
	if within != "" {
		margin = num(t, within)
	}
	if part != "" {
		margin = num(t, part).Mul(want)
	}
	off := want.Sub(got)
	if off.Sign() < 0 {
		off = off.Neg()
	}
	assert.LessOrEqual(t, off.Cmp(margin), 0, "%s: want %s, got %s", what, want.Text(9), got.Text(9))
}

func num(t testing.TB, text string) quantity.Number {
	t.Helper()
	if text == "" {
		return quantity.Number{}
	}
	n, err := quantity.ParseNumber(text)
	require.NoError(t, err, text)
	return n
}

// A working is one example while it is run.
type working struct {
	*testing.T
	worked
}

func (w *working) answers() map[string]quantity.Number {
	switch w.Sum {
	case "solve":
		return list(w.solve(w.block(), w.fats()))
	case "solve by weight":
		return w.solveByWeight()
	case "backwards":
		r, err := soap.Backwards(w.fats(), w.weighed(), quantity.Number{})
		require.NoError(w, err)
		return list(r)
	case "extra":
		return w.extra()
	case "strength":
		return w.strength()
	case "stock":
		lye, water, err := soap.FromStock(num(w, w.Stock.Alkali), num(w, w.Stock.Stock), num(w, w.Stock.Wanted))
		require.NoError(w, err)
		return map[string]quantity.Number{"lye": lye, "water": water}
	case "titration":
		return w.titrate()
	case "value":
		return w.values()
	}
	require.Fail(w, "there is no sum "+w.Sum)
	return nil
}

// list gives the figures of a result by the names that the examples use.
func list(r soap.Result) map[string]quantity.Number {
	all := map[string]quantity.Number{
		"demand": r.Demand, "lye": r.Lye, "water": r.Water, "strength": r.Strength,
		"superfat": r.Superfat, "free": r.Free, "fat": r.Fat,
	}
	for _, d := range r.Alkalis {
		all["pure "+string(d.Alkali)], all["weighed "+string(d.Alkali)], all["share "+string(d.Alkali)] = d.Pure, d.Weighed, d.Share
	}
	return all
}

func (w *working) solve(b soap.Block, fats []soap.Fat) soap.Result {
	w.Helper()
	r, err := soap.Solve(b, fats)
	require.NoError(w, err)
	return r
}

func (w *working) fats() []soap.Fat {
	var fats []soap.Fat
	for _, name := range slices.Sorted(maps.Keys(w.Fats)) {
		weight, value, ok := strings.Cut(w.Fats[name], " at ")
		require.True(w, ok, w.Fats[name])
		var v quantity.Number
		if equivalent, ok := strings.CutPrefix(value, "equivalent "); ok {
			of, err := soap.ValueOf(num(w, equivalent))
			require.NoError(w, err)
			v = of
		} else {
			v = num(w, value)
		}
		fats = append(fats, soap.Fat{Name: name, Weight: num(w, weight), Saponified: &quantity.Interval{Low: v, High: v}})
	}
	return fats
}

func (w *working) block() soap.Block {
	b := soap.Block{Superfat: num(w, w.Superfat), Water: num(w, w.Water)}
	if w.Solution != "" {
		water, err := soap.WaterFor(num(w, w.Solution))
		require.NoError(w, err)
		b.Water = water
	}
	for _, name := range slices.Sorted(maps.Keys(w.Alkalis)) {
		a := w.Alkalis[name]
		b.Alkalis = append(b.Alkalis, soap.Use{Alkali: soap.Alkali(name), Share: num(w, a.Share), Purity: num(w, a.Purity)})
	}
	return b
}

func (w *working) weighed() []soap.Weighed {
	var all []soap.Weighed
	for _, name := range slices.Sorted(maps.Keys(w.Alkalis)) {
		a := w.Alkalis[name]
		all = append(all, soap.Weighed{Alkali: soap.Alkali(name), Weight: num(w, a.Weight), Purity: num(w, a.Purity)})
	}
	return all
}

// solveByWeight turns shares by the alkalis' own weight into shares of the fat, and solves with these.
func (w *working) solveByWeight() map[string]quantity.Number {
	shares, err := soap.Backwards(w.fats(), w.weighed(), quantity.Number{})
	require.NoError(w, err)
	b := w.block()
	for i := range b.Alkalis {
		b.Alkalis[i].Share = shares.Alkalis[i].Share
	}
	return list(w.solve(b, w.fats()))
}

// extra gives how much more alkali the soap takes with the acids than without.
func (w *working) extra() map[string]quantity.Number {
	fats := w.fats()
	without := w.solve(w.block(), fats)
	for name, weight := range w.Acids {
		i := slices.IndexFunc(soap.AcidTable(), func(a soap.AcidFacts) bool { return strings.TrimSpace(a.INCI+" "+a.Form) == name })
		require.GreaterOrEqual(w, i, 0, name)
		d := soap.AcidTable()[i].Demand()
		fats = append(fats, soap.Fat{Name: name, Weight: num(w, weight), Acid: true, Saponified: &quantity.Interval{Low: d, High: d}})
	}
	with := w.solve(w.block(), fats)
	assert.Equal(w, without.Superfat.String(), with.Superfat.String(), "the acid leaves the superfat as it is")
	return map[string]quantity.Number{"extra sodium hydroxide": with.Alkalis[0].Pure.Sub(without.Alkalis[0].Pure)}
}

func (w *working) strength() map[string]quantity.Number {
	all := make(map[string]quantity.Number)
	for _, s := range w.Strengths {
		water, err := soap.WaterFor(num(w, s))
		require.NoError(w, err)
		all["water for "+s] = water
	}
	for what := range w.Expect {
		if water, ok := strings.CutPrefix(what, "strength of "); ok {
			all[what] = soap.StrengthOf(num(w, water))
		}
	}
	return all
}

func (w *working) titrate() map[string]quantity.Number {
	m := w.Titration
	equivalent, err := soap.Titration{Fat: num(w, m.Fat), Blank: num(w, m.Blank), Back: num(w, m.Back), Normality: num(w, m.Normality)}.Equivalent()
	require.NoError(w, err)
	value, err := soap.ValueOf(equivalent)
	require.NoError(w, err)
	return map[string]quantity.Number{"equivalent": equivalent, "value": value}
}

// values gives the saponification values of pure triglycerides: three fatty acids to a molecule.
func (w *working) values() map[string]quantity.Number {
	all := make(map[string]quantity.Number)
	for name, mass := range w.Triglycerides {
		value, err := soap.ValueOf(num(w, mass).Quo(quantity.Int(3)))
		require.NoError(w, err, name)
		all[name] = value
	}
	return all
}
