package formula_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/formula"
)

func TestSolve(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, formula string
		want          []string // name and exact percent
		written       string   // the sum of percents that do not make 100, "" where they do
		remark        string
	}{
		{name: "percents that make 100", formula: "All:\n  Beeswax: 25 %\n  Jojoba oil: 75 %", want: []string{"Beeswax 25", "Jojoba oil 75"}},
		{name: "percents and q.s.", formula: "All:\n  Water: q.s.\n  Glycerin: 3 %\n  Aloe: 0.5 %", want: []string{"Water 96.5", "Glycerin 3", "Aloe 0.5"}},
		{name: "q.s. of nothing", formula: "All:\n  Water: q.s.\n  Glycerin: 100 %", want: []string{"Water 0", "Glycerin 100"}, remark: "The other ingredients make 100 % already, so nothing is left for Water."},
		{name: "q.s. alone", formula: "All:\n  Water: q.s.", want: []string{"Water 100"}},
		{name: "percents short of 100", formula: "All:\n  Beeswax: 20 %\n  Jojoba oil: 60 %", want: []string{"Beeswax 25", "Jojoba oil 75"}, written: "80"},
		{name: "percents past 100", formula: "All:\n  Beeswax: 30 %\n  Jojoba oil: 90 %", want: []string{"Beeswax 25", "Jojoba oil 75"}, written: "120"},
		{name: "weights only", formula: "All:\n  Salt: 300 g\n  Soda: 100 g", want: []string{"Salt 75", "Soda 25"}},
		{name: "weights in both systems", formula: "All:\n  Salt: 1 lb\n  Soda: 8 oz\n  Clay: 226.796185 g", want: []string{"Salt 50", "Soda 25", "Clay 25"}},
		{name: "weights that agree with makes", formula: "All:\n  Salt: 300 g\n  Soda: 100 g\nmakes: 400 g", want: []string{"Salt 75", "Soda 25"}},
		{name: "percents and weights", formula: "All:\n  Salt: 300 g\n  Soda: 90 g\n  Oil: 2 %\n  Clay: 0.5 %", want: []string{"Salt 75", "Soda 22.5", "Oil 2", "Clay 0.5"}},
		{name: "percents and weights, no finite decimal", formula: "All:\n  Salt: 100 g\n  Soda: 200 g\n  Oil: 1 %", want: []string{"Salt 33", "Soda 66", "Oil 1"}},
		{name: "percents and weights with makes", formula: "All:\n  Salt: 490 g\n  Oil: 2 %\nmakes: 500 g", want: []string{"Salt 98", "Oil 2"}},
		{name: "parts", formula: "All:\n  Beeswax: 1 part\n  Shea: 2 parts\n  Oil: 3 parts", want: []string{"Beeswax 50/3", "Shea 100/3", "Oil 50"}},
		{name: "parts with percents", formula: "All:\n  Beeswax: 1 part\n  Oil: 3 parts\n  Fragrance: 2 %", want: []string{"Beeswax 24.5", "Oil 73.5", "Fragrance 2"}},
		{name: "parts with weights and makes", formula: "All:\n  Beeswax: 1 part\n  Oil: 3 parts\n  Fragrance: 10 g\nmakes: 500 g", want: []string{"Beeswax 24.5", "Oil 73.5", "Fragrance 2"}},
		{name: "parts, percents, weights and makes", formula: "All:\n  Beeswax: 1 part\n  Oil: 3 parts\n  Fragrance: 5 g\n  Vitamin E: 1 %\nmakes: 500 g", want: []string{"Beeswax 24.5", "Oil 73.5", "Fragrance 1", "Vitamin E 1"}},
		{name: "fractions of a part", formula: "All:\n  Beeswax: 1/2 part\n  Oil: 1 1/2 parts", want: []string{"Beeswax 25", "Oil 75"}},
		{name: "q.s. and weights with makes", formula: "All:\n  Water: q.s.\n  Glycerin: 25 g\nmakes: 500 g", want: []string{"Water 95", "Glycerin 5"}},
		{name: "q.s., weights, percents and makes", formula: "All:\n  Water: q.s.\n  Glycerin: 25 g\n  Aloe: 2 %\nmakes: 500 g", want: []string{"Water 93", "Glycerin 5", "Aloe 2"}},
		{name: "q.s. of nothing with makes", formula: "All:\n  Water: q.s.\n  Salt: 500 g\nmakes: 500 g", want: []string{"Water 0", "Salt 100"}, remark: "The other ingredients make 100 % already, so nothing is left for Water."},
		{name: "makes without any weight changes nothing", formula: "All:\n  Beeswax: 25 %\n  Oil: 75 %\nmakes: 3 lb", want: []string{"Beeswax 25", "Oil 75"}},
		{name: "volume with density", formula: "All:\n  Oil: 100 ml | 0.9 g/ml\n  Beeswax: 30 g", want: []string{"Oil 75", "Beeswax 25"}},
		{name: "volume beside percents", formula: "All:\n  Oil: 100 ml | 0.9 g/ml\n  Beeswax: 10 %", want: []string{"Oil 90", "Beeswax 10"}},
		{name: "share of another phase", formula: "Oil:\n  Shea: 20 %\n  Jojoba: 30 %\nWater:\n  Water: q.s.\n  Wax: 10 % of Oil", want: []string{"Shea 20", "Jojoba 30", "Water 45", "Wax 5"}},
		{name: "share of a phase that comes later", formula: "Water:\n  Water: q.s.\n  Wax: 10 % of oil phase\nOil:\n  Shea: 50 %", want: []string{"Water 45", "Wax 5", "Shea 50"}},
		{name: "share of the phase with q.s.", formula: "Water:\n  Water: q.s.\nThickener:\n  Gum: 1 % of Water\n  Oil: 49.5 %", want: []string{"Water 50", "Gum 0.5", "Oil 49.5"}},
		{name: "per, in its own phase, is measured on the others", formula: "Oil:\n  Shea: 8 %\n  Wax: 1 per 4 of Oil\n  Jojoba: 12 %\nWater:\n  Water: q.s.", want: []string{"Shea 8", "Wax 5", "Jojoba 12", "Water 75"}},
		{name: "per, on another phase", formula: "Oil:\n  Shea: 20 %\nWater:\n  Water: q.s.\n  Wax: 1 per 4 of Oil", want: []string{"Shea 20", "Water 75", "Wax 5"}},
		{name: "per, by weight", formula: "Oil:\n  Shea: 20 %\n  Wax: 1 oz per 1/4 lb of Oil\nWater:\n  Water: q.s.", want: []string{"Shea 20", "Wax 5", "Water 75"}},
		{name: "per, by volume", formula: "Oil:\n  Shea: 20 %\n  Wax: 5 ml per 18 g of Oil | 0.9 g/ml\nWater:\n  Water: q.s.", want: []string{"Shea 20", "Wax 5", "Water 75"}},
		{name: "a chain of phases", formula: "One:\n  Shea: 100 g\nTwo:\n  Wax: 50 % of One\nThree:\n  Clay: 50 % of Two\n  Starch: 1 per 1 of Three", want: []string{"Shea 50", "Wax 25", "Clay 12.5", "Starch 12.5"}},
		{name: "per beside weights and percents", formula: "Oil:\n  Shea: 80 g\n  Wax: 1 per 4 of Oil\nCool:\n  Fragrance: 2 %\n  Oil: 3 %", want: []string{"Shea 76", "Wax 19", "Fragrance 2", "Oil 3"}},
		{name: "per beside parts", formula: "Oil:\n  Shea: 3 parts\n  Jojoba: 1 part\n  Wax: 1 per 4 of Oil", want: []string{"Shea 60", "Jojoba 20", "Wax 20"}},
		{name: "percents make 100 with what is measured", formula: "Oil:\n  Shea: 20 %\n  Wax: 1 per 4 of Oil\nWater:\n  Water: 75 %", want: []string{"Shea 20", "Wax 5", "Water 75"}},
		{name: "percents make 100 without what is measured", formula: "Oil:\n  Shea: 20 %\n  Wax: 1 per 4 of Oil\nWater:\n  Water: 80 %", want: []string{"Shea 400/21", "Wax 100/21", "Water 1600/21"}},
		{name: "percents make 100 neither way", formula: "Oil:\n  Shea: 20 %\n  Wax: 1 per 4 of Oil\nWater:\n  Water: 55 %", want: []string{"Shea 25", "Wax 6.25", "Water 68.75"}, written: "80"},
		{name: "on top", formula: "All:\n  Salt: 100 %\n  Oil: 1 per 10", want: []string{"Salt 1000/11", "Oil 100/11"}},
		{name: "on top by weight", formula: "All:\n  Salt: 100 %\n  Oil: 1 oz per 10 oz", want: []string{"Salt 1000/11", "Oil 100/11"}},
		{name: "on top by weight, units mixed", formula: "All:\n  Salt: 100 %\n  Oil: 4 oz per 1 lb", want: []string{"Salt 80", "Oil 20"}},
		{name: "on top by volume", formula: "All:\n  Salt: 900 g\n  Oil: 10 ml per 90 g | 1 g/ml", want: []string{"Salt 90", "Oil 10"}},
		{name: "on top by teaspoons", formula: "All:\n  Salt: 100 %\n  Oil: 1 tsp per 100 g | 1 g/ml", want: []string{"Salt 320000000000/3357725491", "Oil 15772549100/3357725491"}},
		{name: "on top not against each other", formula: "All:\n  Salt: 100 %\n  Oil: 1 per 10\n  Clay: 1 per 10", want: []string{"Salt 250/3", "Oil 25/3", "Clay 25/3"}},
		{name: "on top is outside the 100 % of q.s.", formula: "All:\n  Water: q.s.\n  Glycerin: 20 %\n  Honey: 1 per 4", want: []string{"Water 64", "Glycerin 16", "Honey 20"}},
		{name: "on top is outside the 100 % of percents", formula: "All:\n  Salt: 80 %\n  Soda: 20 %\n  Honey: 1 per 4", want: []string{"Salt 64", "Soda 16", "Honey 20"}},
		{name: "on top is left out of a phase's weight", formula: "Oil:\n  Shea: 20 %\n  Honey: 1 per 4\n  Wax: 1 per 4 of Oil\nWater:\n  Water: q.s.", want: []string{"Shea 16", "Honey 20", "Wax 4", "Water 60"}},
		{name: "on top of weights with makes", formula: "All:\n  Salt: 300 g\n  Soda: q.s.\n  Honey: 1 per 4\nmakes: 400 g", want: []string{"Salt 60", "Soda 20", "Honey 20"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			v := solve(t, test.formula)
			assert.Equal(t, test.want, shares(v), "%s", test.formula)
			written := ""
			if v.Written != nil {
				written = v.Written.Percent.String()
			}
			assert.Equal(t, test.written, written, "the sum of the percents written")
			var remarks []string
			if test.remark != "" {
				remarks = []string{test.remark}
			}
			assert.Equal(t, remarks, v.Remarks)
		})
	}
}

func TestSolveRefuses(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, formula string
		want          []string
	}{
		{"nothing", "", []string{"1: the formula has no ingredients | list at least one ingredient under weigh:"}},
		{"phases without lines", "Oil:\nWater:", []string{"1: the formula has no ingredients | list at least one ingredient under weigh:"}},
		{"more than 100 beside q.s.", "All:\n  Water: q.s.\n  Salt: 105 %", []string{"1: the other ingredients make 105 % already, 5 % too much: nothing is left for the q.s. ingredient (it would be -5 %) | lower the other amounts"}},
		{"more than makes beside q.s.", "All:\n  Water: q.s.\n  Salt: 525 g\nmakes: 500 g", []string{"1: the other ingredients make 105 % already, 5 % too much: nothing is left for the q.s. ingredient (it would be -5 %) | lower the other amounts"}},
		{"what is measured leaves no room for q.s.", "Oil:\n  Shea: 90 %\n  Wax: 1 per 4 of Oil\nWater:\n  Water: q.s.", []string{"1: the other ingredients make 112.5 % already, 12.5 % too much: nothing is left for the q.s. ingredient (it would be -12.5 %) | lower the other amounts"}},
		{
			"two q.s.", "All:\n  Water: q.s.\n  Salt: 5 %\n  Oil: to 100 %",
			[]string{"4: two ingredients are q.s., and only one can take up the balance | give one of them as a percent | also 2"},
		},
		{
			"three q.s. in two phases", "One:\n  Water: q.s.\nTwo:\n  Salt: qs\n  Oil: q.s.",
			[]string{
				"4: two ingredients are q.s., and only one can take up the balance | give one of them as a percent | also 2",
				"5: two ingredients are q.s., and only one can take up the balance | give one of them as a percent | also 2",
			},
		},
		{
			"two phases of a name", "Oil:\n  Shea: 20 %\noil phase:\n  Wax: 80 %",
			[]string{"3: there are two phases named “oil phase” | give each phase a name of its own | also 1"},
		},
		{"parts and q.s.", "All:\n  Water: q.s.\n  Salt: 2 parts", []string{"1: parts and q.s. stand together, so nothing says how much a part is | give the q.s. ingredient as parts too, or the parts as percents"}},
		{"percents that leave nothing for the parts", "All:\n  Water: 100 %\n  Salt: 2 parts", []string{"1: the percents and weights leave 0 % for the parts | lower the percents, or write everything in parts"}},
		{"percents that leave less than nothing for the parts", "All:\n  Water: 101.5 %\n  Salt: 2 parts", []string{"1: the percents and weights leave -1.5 % for the parts | lower the percents, or write everything in parts"}},
		{"q.s. and weights without makes", "All:\n  Water: q.s.\n  Salt: 20 g", []string{"1: weights stand beside parts or q.s., and nothing says how much the whole makes | add makes: with the whole weight, such as makes: 500 g"}},
		{"parts and weights without makes", "All:\n  Water: 1 part\n  Salt: 20 g", []string{"1: weights stand beside parts or q.s., and nothing says how much the whole makes | add makes: with the whole weight, such as makes: 500 g"}},
		{"makes that contradicts weights", "All:\n  Salt: 300 g\n  Soda: 100 g\nmakes: 500 g", []string{"1: the ingredients make 400 g and makes: says 500 g | correct makes:, or leave it out"}},
		{"makes that contradicts weights and percents", "All:\n  Salt: 300 g\n  Soda: 10 %\nmakes: 500 g", []string{"1: the ingredients make 350 g and makes: says 500 g | correct makes:, or leave it out"}},
		{"percents that leave no room for weights", "All:\n  Salt: 100 %\n  Soda: 10 g", []string{"1: the percents make 100 % already, which leaves no room for the weights | lower the percents, or write everything as weights"}},
		{
			"volume without density", "All:\n  Oil: 2 tbsp\n  Wax: 20 g",
			[]string{"2: “2 tbsp” is a volume, and the density of Oil is not known (volume-without-density) | write a weight, or add density: to the ingredient's page, such as density: 0.92 g/ml"},
		},
		{
			"every volume without density, on top and per too", "All:\n  Oil: 2 tbsp\n  Wax: 20 g\n  Honey: 1 tsp per 100 g\n  Extract: 1 ml per 10 g of All",
			[]string{
				"2: “2 tbsp” is a volume, and the density of Oil is not known (volume-without-density) | write a weight, or add density: to the ingredient's page, such as density: 0.92 g/ml",
				"4: “1 tsp per 100 g” is a volume, and the density of Honey is not known (volume-without-density) | write a weight, or add density: to the ingredient's page, such as density: 0.92 g/ml",
				"5: “1 ml per 10 g of All” is a volume, and the density of Extract is not known (volume-without-density) | write a weight, or add density: to the ingredient's page, such as density: 0.92 g/ml",
			},
		},
		{
			"share of its own phase", "Oil:\n  Shea: 97 %\n  Wax: 3 % of Oil",
			[]string{"3: “3 % of Oil” stands in the phase that it is a share of, and so would be a share of itself | measure it on the phase's other ingredients, as in 1 per 4 of Oil"},
		},
		{
			"unknown phase, nearly right", "Oil:\n  Shea: 97 %\nWater:\n  Wax: 3 % of Oli",
			[]string{"4: there is no phase “Oli” to measure Wax on | did you mean “Oil”?"},
		},
		{
			"unknown phase", "Oil:\n  Shea: 97 %\nWater:\n  Wax: 1 per 3 of Fragrances",
			[]string{"4: there is no phase “Fragrances” to measure Wax on | the phases are Oil, Water"},
		},
		{
			"two measured on their own phase", "Oil:\n  Shea: 80 %\n  Wax: 1 per 4 of Oil\n  Alcohol: 1 per 10 of Oil",
			[]string{"4: Alcohol (1 per 10 of Oil) and Wax (1 per 4 of Oil) are measured on each other, in a circle | give one of them as a percent or a weight | also 3"},
		},
		{
			"two phases in a circle", "One:\n  Shea: 80 %\n  Wax: 5 % of Two\nTwo:\n  Oil: 10 %\n  Clay: 5 % of One",
			[]string{"6: Clay (5 % of One) and Wax (5 % of Two) are measured on each other, in a circle | give one of them as a percent or a weight | also 3"},
		},
		{
			"three phases in a circle", "One:\n  Wax: 5 % of Two\nTwo:\n  Clay: 5 % of Three\nThree:\n  Gum: 1 per 2 of One",
			[]string{"6: Gum (1 per 2 of One) and Wax (5 % of Two) are measured on each other, in a circle | give one of them as a percent or a weight | also 2"},
		},
		{
			"two circles", "One:\n  Wax: 5 % of Two\nTwo:\n  Clay: 5 % of One\nThree:\n  Gum: 1 per 2 of Three\n  Agar: 1 per 2 of Three\n  Salt: 50 g",
			[]string{
				"4: Clay (5 % of One) and Wax (5 % of Two) are measured on each other, in a circle | give one of them as a percent or a weight | also 2",
				"7: Agar (1 per 2 of Three) and Gum (1 per 2 of Three) are measured on each other, in a circle | give one of them as a percent or a weight | also 6",
			},
		},
		{"measured on itself alone", "Oil:\n  Wax: 1 per 4 of Oil\nWater:\n  Water: q.s.", []string{"2: the phase Oil has nothing else to measure Wax on | name a phase that has other ingredients"}},
		{"measured on what goes on top", "Oil:\n  Wax: 1 per 4\nWater:\n  Water: q.s.\n  Gum: 2 % of Oil", []string{"5: the phase Oil has nothing else to measure Gum on | name a phase that has other ingredients"}},
		{"everything on top", "All:\n  Salt: 1 per 10\n  Oil: 1 oz per 10 oz", []string{"1: everything is measured on top of a formula that has nothing in it | give at least one ingredient a percent, a weight or parts"}},
		{
			"several faults at once", "Oil:\n  Shea: 2 tbsp\n  Wax: 3 % of Oil\nWater:\n  Gum: 2 % of Wtaer\n  Water: q.s.",
			[]string{
				"2: “2 tbsp” is a volume, and the density of Shea is not known (volume-without-density) | write a weight, or add density: to the ingredient's page, such as density: 0.92 g/ml",
				"3: “3 % of Oil” stands in the phase that it is a share of, and so would be a share of itself | measure it on the phase's other ingredients, as in 1 per 4 of Oil",
				"5: there is no phase “Wtaer” to measure Gum on | did you mean “Water”?",
			},
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			v, problems := formula.Solve(read(t, test.formula))
			assert.Nil(t, v)
			assert.Equal(t, test.want, told(problems), "%s", test.formula)
		})
	}
}

// What is said of a circle and of a missing density covers the words that are at fault.
func TestSolvePlaces(t *testing.T) {
	t.Parallel()
	_, problems := formula.Solve(read(t, "Oil:\n  Shea: 2 tbsp\n  Wax: 1 per 4 of Oil\nWater:\n  Gum: 2 % of Wtaer"))
	var spans []string
	for _, p := range problems.All() {
		spans = append(spans, p.Span.Text())
	}
	assert.Equal(t, []string{"2 tbsp", "2 % of Wtaer"}, spans)

	_, problems = formula.Solve(read(t, "Oil:\n  Gum: 1 per 3 of Oil\n  Wax: 1 per 4 of Oil"))
	all := problems.All()
	assert.Len(t, all, 1)
	assert.Equal(t, "1 per 4 of Oil", all[0].Span.Text())
	assert.Equal(t, "1 per 3 of Oil", all[0].Notes[0].Span.Text())
}
