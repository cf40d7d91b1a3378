package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

var emulsionCodes = []string{"no-emulsifier", "too-little-emulsifier", "emulsion-unbalanced"}

// oilFor gives an oil that asks for an HLB, "" where it is not known.
func oilFor(t testing.TB, hlb string) *material.Material {
	t.Helper()
	m := &material.Material{Roles: []string{"oil"}}
	if hlb != "" {
		m.RequiredHLB = rangeOf(t, hlb)
	}
	return m
}

func emulsifierOf(t testing.TB, hlb string, roles ...string) *material.Material {
	t.Helper()
	m := &material.Material{Roles: roles}
	if hlb != "" {
		m.HLB = material.Sourced[quantity.Number]{Value: figure(t, hlb), Known: true}
	}
	return m
}

// A fifth of the oil phase, and an HLB within 1 of what it asks for: common practice, no source.
func TestEmulsify(t *testing.T) {
	t.Parallel()
	oil, wide := oilFor(t, "7"), oilFor(t, "7–8")
	binder, surfactant := emulsifierOf(t, "7", "emulsifier"), emulsifierOf(t, "", "surfactant")
	stearin := isOf("Stearic Acid", "acid", "emulsifier")
	tests := []struct {
		name, kind string
		batches    []string
		want       []string
		lines      []stuff
	}{
		{"at a fifth", "body lotion", nil, nil, []stuff{{"Oil: 20 %", oil}, {"Binder: 4 %", binder}}},
		{"just under a fifth", "body lotion", nil, []string{"too-little-emulsifier caution : 19.995 20 %"}, []stuff{{"Oil: 20 %", oil}, {"Binder: 3.999 %", binder}}},
		{"just over a fifth", "body lotion", nil, nil, []stuff{{"Oil: 20 %", oil}, {"Binder: 4.001 %", binder}}},
		{"two lines of one", "body lotion", nil, nil, []stuff{{"Oil: 20 %", oil}, {"Binder: 2 %", binder}, {"Binder of another tub: 2 %", binder}}},
		{"under a fifth by rounding alone", "body lotion", []string{"1 kg", "46 g"}, []string{"too-little-emulsifier caution : 17 20 %"}, []stuff{{"Oil: 26 %", oil}, {"Binder: 5.3 %", binder}}},
		{"a fifth within rounding", "body lotion", []string{"1 kg"}, nil, []stuff{{"Oil: 12.25 %", oil}, {"Binder: 2.45 %", binder}}},
		{"none", "body lotion", nil, []string{"no-emulsifier caution : 0 4 %"}, []stuff{{"Oil: 20 %", oil}}},
		{"a surfactant binds", "shampoo", nil, nil, []stuff{{"Oil: 2 %", oil}, {"Foam: 30 %", surfactant}}},
		{"too little of a surfactant", "shampoo", nil, []string{"too-little-emulsifier caution : 19.5 20 %"}, []stuff{{"Oil: 2 %", oil}, {"Foam: 0.39 %", surfactant}}},
		{"HLB at the most that is off", "body lotion", nil, nil, []stuff{{"Oil: 20 %", oil}, {"Binder: 5 %", emulsifierOf(t, "8", "emulsifier")}}},
		{"HLB just past it", "body lotion", nil, []string{"emulsion-unbalanced caution : 1.01 1 HLB"}, []stuff{{"Oil: 20 %", oil}, {"Binder: 5 %", emulsifierOf(t, "8.01", "emulsifier")}}},
		{"HLB too low", "body lotion", nil, []string{"emulsion-unbalanced caution : 1.1 1 HLB"}, []stuff{{"Oil: 20 %", wide}, {"Binder: 5 %", emulsifierOf(t, "5.9", "emulsifier")}}},
		{"HLB near the end of a range", "body lotion", nil, nil, []stuff{{"Oil: 20 %", wide}, {"Binder: 5 %", emulsifierOf(t, "9", "emulsifier")}}},
		{"HLB of an oil missing", "body lotion", nil, []string{"emulsion-unbalanced caution :"}, []stuff{{"Oil: 20 %", oilFor(t, "")}, {"Binder: 5 %", binder}}},
		{"HLB of an emulsifier missing", "body lotion", nil, []string{"emulsion-unbalanced caution :"}, []stuff{{"Oil: 20 %", oil}, {"Binder: 5 %", emulsifierOf(t, "", "emulsifier")}}},
		{"a wax that binds by itself", "body lotion", nil, []string{"emulsion-unbalanced note Binder:"}, []stuff{{"Oil: 20 %", oilFor(t, "")}, {"Binder: 5 %", emulsifierOf(t, "", "emulsifying-wax", "emulsifier")}}},
		{"the same with another without HLB", "body lotion", nil, []string{"emulsion-unbalanced caution :"}, []stuff{{"Oil: 20 %", oil}, {"Binder: 5 %", emulsifierOf(t, "", "emulsifying-wax")}, {"Gum: 1 %", emulsifierOf(t, "", "emulsifier")}}},
		{"a fatty acid is no emulsifier", "body lotion", nil, nil, []stuff{{"Oil: 20 %", oil}, {"Binder: 5 %", binder}, {"Stearin: 2 %", emulsifierOf(t, "", "acid", "emulsifier")}}},
		{"a fatty acid alone", "body lotion", nil, []string{"no-emulsifier caution : 0 4 %"}, []stuff{{"Oil: 20 %", oil}, {"Stearin: 10 %", stearin}}},
		{"a fatty acid with an alkali", "body lotion", nil, nil, []stuff{{"Oil: 20 %", oil}, {"Stearin: 10 %", stearin}, {"Base: 0.2 %", isOf("Triethanolamine", "alkali")}}},
		{"nothing known of an ingredient", "body lotion", nil, []string{"emulsion-unbalanced caution :"}, []stuff{{"Oil: 20 %", oil}, {"Binder: 5 %", binder}, {"Moss: 1 %", nil}}},
		{"no oil", "shampoo", nil, nil, []stuff{{"Foam: 30 %", surfactant}}},
		{"true soap", "bar soap", nil, nil, []stuff{{"Oil: 60 %", oilAt(t, "190")}, {"Lye: 7.7 %", soda()}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := compose(t, test.kind, "1 g", test.batches, append([]stuff{{"Water: q.s.", rain()}}, test.lines...)...)
			got := told(s, emulsionCodes...)
			assert.Equal(t, test.want, briefs(got))
			for _, f := range got {
				assert.NotEmpty(t, f.Items)
				assert.NotEmpty(t, f.Mend)
				if f.Value != "" {
					assert.Equal(t, "common practice, no source", f.Source)
				}
			}
		})
	}
}

// What has at most 5 % of water is no emulsion (common practice, no source): a balm, a scrub of sugar and oil.
func TestEmulsifyIsForWetProducts(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		water string
		want  []string
	}{{"5 %", nil}, {"5.01 %", []string{"no-emulsifier caution : 0 6 %"}}} {
		s := compose(t, "body scrub", "0.1 g", nil, stuff{"Sugar: q.s.", isOf("Sucrose", "exfoliant")}, stuff{"Oil: 30 %", oilFor(t, "7")}, stuff{"Water: " + test.water, rain()})
		assert.Equal(t, test.want, briefs(told(s, emulsionCodes...)), test.water)
	}
	s := compose(t, "balm", "0.1 g", nil, stuff{"Oil: 100 %", oilFor(t, "7")})
	_, is := s.Emulsion()
	assert.False(t, is)
}

func TestEmulsifyTellsWhatIsMissing(t *testing.T) {
	t.Parallel()
	s := compose(t, "body lotion", "0.1 g", nil, stuff{"Water: q.s.", rain()}, stuff{"Oil: 20 %", oilFor(t, "")}, stuff{"Butter: 5 %", oilFor(t, "")}, stuff{"Wax: 6 %", emulsifierOf(t, "", "emulsifying-wax")}, stuff{"Moss: 1 %", nil})
	got := told(s, emulsionCodes...)
	require.Len(t, got, 1)
	assert.Contains(t, got[0].Message, "no HLB is known of Oil, Butter, Wax and Moss.")
	s = compose(t, "body lotion", "0.1 g", nil, stuff{"Water: q.s.", rain()}, stuff{"Oil: 20 %", oilFor(t, "7")}, stuff{"Moss: 6 %", nil})
	got = told(s, emulsionCodes...)
	require.Len(t, got, 1)
	assert.Contains(t, got[0].Message, "Nothing is known of Moss, which may do it.")
}

// More oil never makes a product bound that was not, and two lines of an emulsifier are as one.
func TestEmulsifyProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		percent := func(n int64) string { return quantity.Fraction(n, 100).String() + " %" }
		oil, binder := rapid.Int64Range(1, 3000).Draw(rt, "oil"), rapid.Int64Range(2, 1500).Draw(rt, "binder")
		codes := func(oil int64, binders ...int64) []string {
			lines := []stuff{{"Water: q.s.", rain()}, {"Oil: " + percent(oil), oilFor(t, "7")}}
			for i, b := range binders {
				lines = append(lines, stuff{[]string{"Binder", "Binder of another tub"}[i] + ": " + percent(b), emulsifierOf(t, "7", "emulsifier")})
			}
			return briefs(told(compose(t, "body lotion", "0.1 g", nil, lines...), emulsionCodes...))
		}
		part := rapid.Int64Range(1, binder-1).Draw(rt, "part")
		if one, two := codes(oil, binder), codes(oil, part, binder-part); !assert.ObjectsAreEqual(one, two) {
			rt.Fatalf("one line: %v; two lines: %v", one, two)
		}
		if few, many := codes(oil, binder), codes(oil+rapid.Int64Range(1, 2000).Draw(rt, "more"), binder); len(few) > len(many) {
			rt.Fatalf("%v with less oil, %v with more", few, many)
		}
	})
}

// The proportion of two emulsifiers that meets the oils is told: polysorbate 80 (15) with sorbitan oleate (4.3) to HLB 7 is 25.2 to 74.8
// by Griffin's rule of mixtures, here of 5 % together.
func TestEmulsionProportion(t *testing.T) {
	t.Parallel()
	s := made(t, "face cream", []string{"Distilled water: q.s.", "Almond oil, sweet: 20 %", "Polysorbate 80: 4 %", "Sorbitan oleate: 1 %", "Phenoxyethanol: 0.9 %"})
	for _, f := range told(s, "emulsion-unbalanced") {
		if f.Code == "emulsion-unbalanced" {
			assert.Contains(t, f.Mend, "Of these two, 1.26 % of Polysorbate 80 with 3.74 % of Sorbitan oleate meets it.")
			return
		}
	}
	t.Fatal("no finding")
}
