package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

var lyeCodes = []string{"lye-excess", "superfat-unusual", "lye-strength-unusual"}

// 1000 of fat at 190 mg KOH per g takes up 190 × 39.997 ÷ 56.106 = 135.4477… of sodium hydroxide (soap-01 of the worked examples of package
// soap: arithmetic of saponification values). What is usual is common practice, no source.
func TestLye(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, value, alkali, water string
		batches                    []string
		want                       []string
	}{
		{"a usual bar", "188–192", "128.675 g", "257.35 g", []string{"1 kg"}, nil},
		{"none left over, just", "190", "135.4477 g", "270 g", nil, []string{"superfat-unusual caution : 0 3 %"}},
		{"a trace left over", "190", "135.4478 g", "270 g", nil, []string{"lye-excess stop : -0.0001 0 %"}},
		{"left over at the low end", "184–196", "131.2 g", "262 g", nil, []string{"lye-excess stop : -0.02 0 %"}},
		{"none left over at the low end", "184–196", "131.17 g", "262 g", nil, nil},
		{"left over outright", "190", "150 g", "300 g", nil, []string{"lye-excess stop : -10.7 0 %"}},
		{"superfat at its least", "190", "131.38429 g", "262 g", nil, nil},
		{"superfat just under its least", "190", "131.4 g", "262 g", nil, []string{"superfat-unusual caution : 2.99 3 %"}},
		{"superfat just over its least", "190", "131.38 g", "262 g", nil, nil},
		{"superfat just under its most", "190", "124.62 g", "249 g", nil, nil},
		{"superfat just over its most", "190", "124.6 g", "249 g", nil, []string{"superfat-unusual caution : 8.01 8 %"}},
		{"a tenth of the alkali that was meant", "190", "13 g", "26 g", nil, []string{"superfat-unusual caution : 90.4 8 %"}},
		{"a lye at its strongest", "190", "128 g", "192 g", nil, nil},
		{"a lye just over its strongest", "190", "128 g", "191.9 g", nil, []string{"lye-strength-unusual caution : 40.01 40 %"}},
		{"a lye at its weakest", "190", "128 g", "384 g", nil, nil},
		{"a lye just under its weakest", "190", "128 g", "384.1 g", nil, []string{"lye-strength-unusual caution : 24.995 25 %"}},
		{"no water", "190", "128 g", "", nil, []string{"lye-strength-unusual caution : 100 40 %"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			lines := []stuff{{"Oil: 1 kg", oilAt(t, test.value)}, {"Lye: " + test.alkali, soda()}}
			if test.water != "" {
				lines = append(lines, stuff{"Water: " + test.water, rain()})
			}
			s := compose(t, "bar soap", "1 g", test.batches, lines...)
			got := told(s, lyeCodes...)
			if len(test.want) == 0 {
				assert.Empty(t, got)
				return
			}
			require.NotEmpty(t, got)
			assert.Equal(t, test.want[0], brief(got[0]))
			assert.Equal(t, 1, got[0].Items[0], "the alkali is marked, and stands first")
			assert.NotEmpty(t, got[0].Mend)
			source := soap.UsualSource
			if got[0].Code == "lye-excess" {
				source = "a certificate"
				assert.Equal(t, []int{1, 0}, got[0].Items, "and the fats whose values are cited")
			}
			assert.Equal(t, source, got[0].Source)
		})
	}
}

// 46 g on a scale of whole grams: 34.5 g of fat are weighed as 35 g and 4.53 g of alkali as 5 g, which is more than the 4.74 g that 35 g take up.
func TestLyeNamesTheBatches(t *testing.T) {
	t.Parallel()
	s := compose(t, "bar soap", "1 g", []string{"1 kg", "46 g"}, stuff{"Oil: 75 %", oilAt(t, "190")}, stuff{"Lye: 9.85 %", soda()}, stuff{"Water: q.s.", rain()})
	got := told(s, "lye-excess")
	require.Len(t, got, 1)
	assert.Equal(t, "lye-excess stop : -5.5 0 %", brief(got[0]))
	assert.Contains(t, got[0].Message, "the batch of 46 g,")
	assert.NotContains(t, got[0].Message, "1 kg")
}

// What the rounding of a scale does to a figure of the trade is told from a tenth up.
func TestLyeUnusualByRounding(t *testing.T) {
	t.Parallel()
	for lye, want := range map[string][]string{"9.85 %": {"superfat-unusual caution : 2.5 3 %"}, "9.84 %": nil} {
		s := compose(t, "bar soap", "1 g", []string{"1 kg"}, stuff{"Oil: 75 %", oilAt(t, "190")}, stuff{"Lye: " + lye, soda()}, stuff{"Water: q.s.", rain()})
		assert.Equal(t, want, briefs(told(s, lyeCodes...)), lye)
	}
}

// An alkali in a product that is no soap sets its pH: nothing is said of superfats there, nor of products without fats.
func TestLyeIsForSoaps(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, kind string
		lines      []stuff
		is         bool
	}{
		{"a lotion whose pH is set", "body lotion", []stuff{{"Oil: 15 %", oilAt(t, "190")}, {"Lye: 0.2 %", soda()}, {"Water: q.s.", rain()}}, false},
		{"the same with an oil of unknown value", "body lotion", []stuff{{"Oil: 15 %", isOf("Simmondsia", "oil")}, {"Lye: 0.2 %", soda()}, {"Water: q.s.", rain()}}, false},
		{"a cream of stearic acid half turned to soap", "hand cream", []stuff{{"Oil: 15 %", oilAt(t, "197.2")}, {"Lye: 0.9 %", potash()}, {"Water: q.s.", rain()}}, false},
		{"a wash of true soap", "body wash", []stuff{{"Oil: 15 %", oilAt(t, "190")}, {"Lye: 2.6 %", potash()}, {"Water: q.s.", rain()}}, true},
		{"a gel without fats", "toner", []stuff{{"Lye: 0.2 %", soda()}, {"Water: q.s.", rain()}}, false},
		{"a bar without alkali", "bar soap", []stuff{{"Oil: 15 %", oilAt(t, "190")}, {"Water: q.s.", rain()}}, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := compose(t, test.kind, "0.1 g", []string{"1 kg"}, test.lines...)
			_, is := s.Soap()
			assert.Equal(t, test.is, is)
			if !is {
				assert.Empty(t, told(s, lyeCodes...))
			}
		})
	}
}

func TestLyeNotChecked(t *testing.T) {
	t.Parallel()
	s := compose(t, "bar soap", "0.1 g", nil, stuff{"Moon oil: 300 g", isOf("Oleum Lunae", "oil")}, stuff{"Oil: 700 g", oilAt(t, "190")}, stuff{"Lye: 200 g", soda()})
	got := told(s, lyeCodes...)
	require.Len(t, got, 1)
	assert.Equal(t, "superfat-unusual caution Moon oil:", brief(got[0]))
	assert.Equal(t, []int{0}, got[0].Items)
	assert.Contains(t, got[0].Message, "was not checked: the saponification value of Moon oil is not known")

	s = compose(t, "bar soap", "0.1 g", nil, stuff{"Lye: 200 g", soda()}, stuff{"Moss: 700 g", nil})
	got = told(s, lyeCodes...)
	require.Len(t, got, 1, "a soap without fats that are known")
	assert.Equal(t, []int{1}, got[0].Items, "what may be its fat")
}

// What may be a fat is never left out of the sum: 480 g of olive oil alone would leave 68 % of the alkali over, or, reckoned without a fat, none.
func TestLyeOfWhatMayBeFat(t *testing.T) {
	t.Parallel()
	page := &material.Material{Name: "Barn grease", ID: "barn-grease"}
	tests := []struct {
		name, product string
		lines         []string
		want          []string
	}{
		{"unknown", "bar soap", []string{"Olive oil: 400 g", "unknown emu oil: 300 g", "Sodium hydroxide: 90 g", "Water: 180 g"}, []string{"superfat-unusual caution unknown emu oil:"}},
		{"a page that says nothing", "bar soap", []string{"Olive oil: 700 g", "Barn grease: 300 g", "Sodium hydroxide: 128 g", "Water: 256 g"}, []string{"superfat-unusual caution Barn grease:"}},
		{"the only fat of a wash", "body wash", []string{"unknown emu oil: 15 %", "Potassium hydroxide: 3 %", "Water: q.s."}, []string{"superfat-unusual caution unknown emu oil:"}},
		{"a wash of surfactants whose pH is set", "body wash", []string{"Cocamidopropyl betaine 30 %: 15 %", "unknown moss: 0.1 %", "Sodium hydroxide: 0.1 %", "Water: q.s."}, nil},
	}
	for _, test := range tests {
		s := made(t, test.product, test.lines, page)
		got := told(s, lyeCodes...)
		assert.Equal(t, test.want, briefs(got), test.name)
		for _, f := range got {
			assert.Contains(t, f.Message, "The lye was not worked out")
			assert.Contains(t, f.Message, f.Subject+" may be a fat")
			assert.Contains(t, f.Mend, "saponification:")
		}
	}
}

// A name that stands for several materials is told with all of them, and is no fat where none of them is one.
func TestLyeOfSeveralMeanings(t *testing.T) {
	t.Parallel()
	index := material.NewIndex(nil).Over(material.Common())
	s := made(t, "bar soap", []string{"Olive oil: 700 g", "unknown: 300 g", "Sodium hydroxide: 128 g", "Water: 256 g"})
	s.Index = index
	s.Version.Items[1].Name = "Coconut oil"
	got := told(s, lyeCodes...)
	require.Equal(t, []string{"superfat-unusual caution Coconut oil:"}, briefs(got))
	assert.Contains(t, got[0].Mend, "Coconut oil can be ")
	for _, m := range index.Candidates("Coconut oil") {
		assert.Contains(t, got[0].Mend, m.Name)
	}
	s.Version.Items[1].Name = "Kaolin clay of no known kind"
	assert.NotEmpty(t, told(s, "superfat-unusual"))
}

// 280 g of a 50 % solution are 140 g of alkali and 140 g of water: with 100 g of water a lye of 140 ÷ 380 = 36.8 %.
func TestLyeOfABoughtSolution(t *testing.T) {
	t.Parallel()
	s := made(t, "bar soap", []string{"Olive oil: 1100 g", "Sodium hydroxide 50 % solution: 280 g", "Water: 100 g"})
	made, is := s.Soap()
	require.True(t, is)
	require.NoError(t, made.Err)
	assert.Equal(t, "36.84", made.Strength.Text(2))
	assert.Equal(t, "1480", made.Total.Mul(quantity.Int(1480)).Quo(quantity.Int(100)).Text(0))
	assert.Empty(t, told(s, "lye-strength-unusual"))
}

// A shaving soap of both alkalis: the lye check alone says whether they are right.
func TestUsageLeavesAlkalisOfSoapsAlone(t *testing.T) {
	t.Parallel()
	lines := []string{"Stearic acid: 520 g", "Castor oil: 130 g", "Olive oil: 350 g", "Potassium hydroxide: 110 g", "Sodium hydroxide: 60 g", "Water: 424 g"}
	s := made(t, "shaving soap", lines)
	for _, f := range told(s, "below-usual-minimum", "above-usual-maximum") {
		assert.NotContains(t, f.Subject, "hydroxide")
	}
	for _, r := range check.Rates(s) {
		assert.NotContains(t, r.Name, "hydroxide")
	}
	assert.Equal(t, []string{"above-usual-maximum caution Sodium hydroxide: 1 0.5 %"},
		briefs(told(made(t, "body lotion", []string{"Water: 90 %", "Glycerin: q.s.", "Sodium hydroxide: 1 %"}), "above-usual-maximum")), "no soap")
}

// A liquid soap is made lean, tested and neutralised: up to 3 % below zero at the low end is a caution, in a bar a stop. Common practice, no source.
// 1000 g of fat of 188–192 take up 190 g KOH at the middle, 188 g at the low end.
func TestLyeOfLiquidSoap(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, kind, value, alkali string
		of                        *material.Material
		want                      []string
	}{
		{"superfat 2 %, low end above zero", "liquid soap", "188–192", "186.2 g", potash(), nil},
		{"superfat 0.5 %, low end below zero", "liquid soap", "188–192", "189.05 g", potash(), []string{"lye-excess caution : -0.6 0 %"}},
		{"superfat 0", "liquid soap", "188–192", "190 g", potash(), []string{"lye-excess caution : -1.1 0 %"}},
		{"superfat below 0", "liquid soap", "188–192", "190.1 g", potash(), []string{"lye-excess stop : -1.1 0 %"}},
		{"low end just at −3 %", "liquid soap", "180–200", "185.4 g", potash(), []string{"lye-excess caution : -3 0 %"}},
		{"low end just past −3 %", "liquid soap", "180–200", "185.5 g", potash(), []string{"lye-excess stop : -3.1 0 %"}},
		{"superfat 5 %", "liquid soap", "188–192", "180.5 g", potash(), nil},
		{"superfat 5.1 %", "liquid soap", "188–192", "180.31 g", potash(), []string{"superfat-unusual caution : 5.1 5 %"}},
		{"a bar of potash", "bar soap", "188–192", "189.05 g", potash(), []string{"lye-excess stop : -0.6 0 %"}},
		{"a wash of soda", "liquid soap", "188–192", "134.8 g", soda(), []string{"lye-excess stop : -0.6 0 %"}},
	}
	for _, test := range tests {
		s := compose(t, test.kind, "0.1 g", nil, stuff{"Oil: 1 kg", oilAt(t, test.value)}, stuff{"Lye: " + test.alkali, test.of}, stuff{"Water: 400 g", rain()})
		got := told(s, lyeCodes...)
		assert.Equal(t, test.want, briefs(got), test.name)
		if len(got) == 1 && got[0].Code == "lye-excess" && got[0].Level == check.Caution {
			assert.Contains(t, got[0].Mend, "Neutralise")
			assert.Contains(t, got[0].Source, "common practice")
		}
	}
}

// A bar of surfactants is no soap, whatever sets its pH: its rates are those of products that are washed off.
func TestSyndetIsNoSoap(t *testing.T) {
	t.Parallel()
	bar := []string{"Sodium cocoyl isethionate: 60 %", "Stearic acid: 12 %", "Mango butter: 10 %", "Water: q.s."}
	for _, lines := range [][]string{bar, append([]string{"Sodium hydroxide: 0.1 %"}, bar...)} {
		for _, product := range []string{"shampoo bar", "bar soap"} {
			s := made(t, product, lines)
			_, is := s.Soap()
			assert.False(t, is)
			for _, f := range told(s, "above-usual-maximum", "below-usual-minimum") {
				assert.NotContains(t, f.Message, "of the oils")
			}
		}
	}
	s := made(t, "shampoo bar", []string{"Olive oil: 700 g", "Coconut oil, virgin: 300 g", "Stearic acid: 90 g", "Sodium hydroxide: 145 g", "Water: 290 g"})
	assert.NotEmpty(t, told(s, "above-usual-maximum"), "of true soap, stearic acid 8.3 % of the oils")
}

// Milk in place of water dissolves the alkali: 280 g with 87 % of water.
func TestLyeOfMilk(t *testing.T) {
	t.Parallel()
	milk := isOf("Goat Milk", "milk")
	milk.Water = material.Sourced[quantity.Number]{Value: quantity.Int(87), Known: true}
	s := compose(t, "bar soap", "0.1 g", nil, stuff{"Oil: 1 kg", oilAt(t, "190")}, stuff{"Lye: 128 g", soda()}, stuff{"Milk: 280 g", milk})
	made, is := s.Soap()
	require.True(t, is)
	assert.Equal(t, "34.45", made.Strength.Text(2), "128 ÷ (128 + 243.6)")
	assert.Empty(t, told(s, lyeCodes...))
}

// Flakes of 90 % that are reckoned as pure: 1000 g × 0.19 × 0.98 = 186.2 g, of which 167.58 g is alkali, and 11.8 % of the demand is left out.
func TestLyeReckonedAsPure(t *testing.T) {
	t.Parallel()
	flakes := potash()
	flakes.Active = material.Sourced[quantity.Number]{Value: quantity.Int(90), Source: "a sheet, from memory", Known: true}
	s := compose(t, "liquid soap", "0.1 g", nil, stuff{"Oil: 1 kg", oilAt(t, "188–192")}, stuff{"Flakes: 187 g", flakes}, stuff{"Water: 560 g", rain()})
	s.Lye = &soap.Block{Alkalis: []soap.Use{{Alkali: soap.Potassium, Share: quantity.Int(100), Purity: quantity.Int(100)}}}
	got := told(s, lyeCodes...)
	require.Len(t, got, 1)
	assert.Equal(t, "superfat-unusual caution Flakes: 11.4 %", brief(got[0]))
	assert.Equal(t, "a sheet, from memory", got[0].Source)
	s.Lye.Alkalis[0].Purity = quantity.Int(90)
	assert.Equal(t, []string{"superfat-unusual caution : 11.4 5 %"}, briefs(told(s, lyeCodes...)), "the block says so, and the superfat is what it is")
}

// More alkali never makes a stop go away, and two lines of one alkali are as one.
func TestLyeProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		value := rapid.SampledFrom([]string{"190", "184–196", "248–265"}).Draw(rt, "value")
		tenths := rapid.Int64Range(500, 3000).Draw(rt, "alkali in tenths of a gram")
		grams := func(n int64) string { return quantity.Fraction(n, 10).String() + " g" }
		lines := func(alkali ...int64) []stuff {
			all := []stuff{{"Oil: 1 kg", oilAt(t, value)}, {"Water: 300 g", rain()}}
			for i, n := range alkali {
				all = append(all, stuff{[]string{"Lye", "Lye of another tub"}[i] + ": " + grams(n), soda()})
			}
			return all
		}
		one := compose(t, "bar soap", "0.01 g", nil, lines(tenths)...)
		more := compose(t, "bar soap", "0.01 g", nil, lines(tenths+rapid.Int64Range(1, 500).Draw(rt, "more"))...)
		part := rapid.Int64Range(1, tenths-1).Draw(rt, "part")
		two := compose(t, "bar soap", "0.01 g", nil, lines(part, tenths-part)...)
		if len(told(one, "lye-excess")) > len(told(more, "lye-excess")) {
			rt.Fatalf("%s of alkali is too much, and more of it is not", grams(tenths))
		}
		if got, want := briefs(told(two, lyeCodes...)), briefs(told(one, lyeCodes...)); !assert.ObjectsAreEqual(want, got) {
			rt.Fatalf("one line: %v; two lines: %v", want, got)
		}
	})
}
