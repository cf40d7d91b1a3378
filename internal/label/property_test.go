package label_test

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// pot draws a formula of the catalogue's materials, some of them of no known kind, by parts.
func pot(t *rapid.T) (lines []formula.Line, materials []*material.Material) {
	all := material.Common().Materials()
	for i := range rapid.IntRange(1, 12).Draw(t, "lines") {
		m := rapid.SampledFrom(all).Draw(t, "material")
		name := m.Name
		if rapid.IntRange(0, 15).Draw(t, "unknown") == 0 {
			m, name = nil, fmt.Sprint("mystery ", i)
		}
		lines = append(lines, partsOf(name, rapid.Int64Range(1, 100000).Draw(t, "parts")))
		materials = append(materials, m)
	}
	return lines, materials
}

func partsOf(name string, n int64) formula.Line {
	return formula.Line{
		Ingredient: formula.Ingredient{Name: name}, Amount: quantity.Amount{Kind: quantity.Parts, Number: quantity.Int(n), Written: fmt.Sprint(n, " parts")},
	}
}

func subjectOf(t *rapid.T, lines []formula.Line, materials []*material.Material) *label.Subject {
	v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{{Name: "Pot", Lines: lines}}})
	if problems.Len() > 0 {
		t.Fatalf("%v", problems)
	}
	p, _ := law.FindProduct(rapid.SampledFrom(law.ProductNames()).Draw(t, "product"))
	return &label.Subject{Version: v, Materials: materials, Product: p, AsMade: rapid.Bool().Draw(t, "as made")}
}

func TestPercentsMakeAHundred(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lines, materials := pot(t)
		s := subjectOf(t, lines, materials)
		for _, market := range label.Markets() {
			sum := quantity.Number{}
			seen := make(map[string]bool)
			for _, e := range label.Ingredients(s, market).Entries {
				sum = sum.Add(e.Percent)
				if key := strings.ToLower(e.Name); seen[key] {
					t.Fatalf("%s stands twice", e.Name)
				} else {
					seen[key] = true
				}
				if e.Percent.Sign() < 0 || e.Within.Sign() < 0 || e.Percent.Add(e.Within).Sign() == 0 {
					t.Fatalf("%s has %s %% and %s %%", e.Name, e.Percent, e.Within)
				}
			}
			if sum.Cmp(quantity.Int(100)) != 0 {
				t.Fatalf("%s: the entries make %s %%", market, sum)
			}
		}
	})
}

func TestOrder(t *testing.T) {
	t.Parallel()
	ranks := map[string]int{
		"eu-ingredient-order": 0, "us-ingredient-order": 0, "eu-one-percent-rule": 1, "us-one-percent-rule": 1, "eu-colourants-order": 2, "us-color-additives-order": 2,
	}
	rapid.Check(t, func(t *rapid.T) {
		lines, materials := pot(t)
		s := subjectOf(t, lines, materials)
		for _, market := range label.Markets() {
			entries := label.Ingredients(s, market).Entries
			for i, e := range entries {
				rank, known := ranks[e.Place.ID]
				weight := e.Percent.Add(e.Within)
				switch {
				case !known:
					t.Fatalf("no place %s", e.Place.ID)
				case rank == 1 && weight.Cmp(quantity.Int(1)) > 0:
					t.Fatalf("%s of %s %% is free", e.Name, weight)
				case rank == 0 && weight.Cmp(quantity.Int(1)) < 0:
					t.Fatalf("%s of %s %% is not free", e.Name, weight)
				case i == 0:
					continue
				}
				before := entries[i-1]
				if ranks[before.Place.ID] > rank {
					t.Fatalf("%s stands before %s", before.Name, e.Name)
				}
				if rank == 0 && ranks[before.Place.ID] == 0 && before.Percent.Add(before.Within).Cmp(weight) < 0 {
					t.Fatalf("%s stands before the heavier %s", before.Name, e.Name)
				}
			}
		}
	})
}

func TestSplittingALineChangesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lines, materials := pot(t)
		i := rapid.IntRange(0, len(lines)-1).Draw(t, "split")
		first := rapid.Int64Range(1, 100000).Draw(t, "first")
		second := rapid.Int64Range(1, 100000).Draw(t, "second")
		lines[i] = partsOf(lines[i].Name, first+second)
		whole := subjectOf(t, lines, materials)
		split := slices.Insert(slices.Clone(lines), i, partsOf(lines[i].Name, first))
		split[i+1] = partsOf(lines[i].Name, second)
		halves := *whole
		v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{{Name: "Pot", Lines: split}}})
		if problems.Len() > 0 {
			t.Fatalf("%v", problems)
		}
		halves.Version, halves.Materials = v, slices.Insert(slices.Clone(materials), i, materials[i])
		for _, market := range label.Markets() {
			if one, two := written(copyFor(whole, market)), written(copyFor(&halves, market)); one != two {
				t.Fatalf("%s\nbecomes\n%s", one, two)
			}
		}
	})
}

// written writes what a copy says, with every figure.
func written(c label.Copy) string {
	var b strings.Builder
	for _, e := range c.Ingredients.Entries {
		slices.Sort(e.Flags)
		fmt.Fprintln(&b, e.Name, e.Percent, e.Within, e.Place.ID, e.Flags)
	}
	for _, a := range c.Allergens {
		fmt.Fprintln(&b, a.Name, a.Percent, a.Declare)
	}
	for _, l := range slices.Concat(c.Warnings, c.Lines) {
		fmt.Fprintln(&b, l.Text, l.When)
	}
	fmt.Fprintln(&b, c.Doubts)
	return b.String()
}

func TestContentsNeverPromiseMore(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := quantity.Fraction(rapid.Int64Range(1, 10_000_000).Draw(t, "hundredths"), 100)
		for _, market := range label.Markets() {
			promised(t, label.NetWeight(market, quantity.Grams(n)), n)
			promised(t, label.NetVolume(market, quantity.Millilitres(n)), n)
		}
	})
}

// promised reads a declaration back and sees that it promises no more than is in.
func promised(t *rapid.T, n label.Net, is quantity.Number) {
	inch, _, _ := strings.Cut(n.Inch, " (")
	for _, text := range []string{n.Metric, inch} {
		for unit, us := range map[string]string{"gal": "gallon", "qt": "quart", "pt": "pint"} { // as amounts are read
			text = strings.ReplaceAll(text, " "+unit, " "+us)
		}
		if text == "" || strings.HasPrefix(text, "0 ") {
			continue
		}
		a, err := quantity.ParseAmount(text)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		said := a.Mass.Grams().Add(a.Volume.Millilitres())
		if said.Cmp(is) > 0 {
			t.Fatalf("%s is more than %s", text, is)
		}
		if said.Mul(quantity.Int(10)).Cmp(is.Mul(quantity.Int(8))) < 0 && is.Cmp(quantity.Int(5)) > 0 {
			t.Fatalf("%s is far less than %s", text, is)
		}
	}
}

// Three moles of alkali on a fat set one mole of glycerin free. Worked out by hand with the atomic weights that package soap
// states: 100 g of olive oil at 190 (the middle of its range) take 19 g of KOH, as NaOH 19 × 39.997 ÷ 56.106 = 13.544772 g.
func TestSoapAsMadeByHand(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.add("100 parts", "Olive oil")
	b.add("13.544772 parts", "Sodium hydroxide")
	b.add("30 parts", "Distilled water")
	s := b.subject("bar soap")
	s.AsMade = true
	got := make(map[string]quantity.Number)
	for _, e := range label.Ingredients(s, label.EU).Entries {
		got[e.Name] = e.Percent.Mul(num(t, "143.544772")).Quo(quantity.Int(100))
	}
	// moles of alkali 19.0 ÷ 56.106 = 0.338645; glycerin a third of that × 92.0938 = 10.39571 g; soap = 100 + 13.54477 − 10.39571.
	near(t, "10.39571", got["Glycerin"], "0.0001")
	near(t, "103.14906", got["Sodium Olivate"], "0.0001")
	near(t, "30", got["Aqua"], "0.0001")
	near(t, "0", got["Olea Europaea Fruit Oil"], "0.0001")
}

func TestSoapOfFattyAcidSetsWaterFree(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.materials["acid"] = pure("Stearic Acid")
	b.materials["wax"] = pure("Simmondsia Chinensis Seed Oil")
	b.add("50 parts", "acid")
	b.add("20 parts", "Citric acid")
	b.add("20 parts", "wax")
	b.add("20 parts", "Sodium hydroxide")
	b.add("10 parts", "Potassium hydroxide")
	s := b.subject("bar soap")
	s.AsMade = true
	s.Purity = map[soap.Alkali]quantity.Number{soap.Sodium: quantity.Int(90)}
	list := label.Ingredients(s, label.EU).String()
	for _, name := range []string{"Sodium Stearate", "Potassium Stearate", "Sodium Citrate", "Potassium Citrate", "Aqua", "Sodium Hydroxide"} {
		assert.Contains(t, list, name, "more alkali than the acids take up stays as it is")
	}
	assert.NotContains(t, list, "Glycerin")
	assert.NotContains(t, list, "Citric Acid")
}

func TestSoapAsMadeLosesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var lines []formula.Line
		var materials []*material.Material
		add := func(m *material.Material, most int64) {
			lines = append(lines, partsOf(m.Name, rapid.Int64Range(1, most).Draw(t, m.Name)))
			materials = append(materials, m)
		}
		add(pure("Olea Europaea Fruit Oil"), 100000)
		for range rapid.IntRange(0, 4).Draw(t, "fats") {
			add(pure(rapid.SampledFrom(soap.FatTable()).Draw(t, "fat").INCI), 100000)
		}
		for _, name := range []string{"Sodium hydroxide (lye)", "Potassium hydroxide", "Distilled water", "Citric acid", "Sodium hydroxide 50 % solution"} {
			if m := material.Common().Find(name); rapid.Bool().Draw(t, "with "+name) || name == "Potassium hydroxide" {
				add(m, 30000)
			}
		}
		s := subjectOf(t, lines, materials)
		s.AsMade = true
		c := copyFor(s, label.EU)
		sum := quantity.Number{}
		for _, e := range c.Ingredients.Entries {
			sum = sum.Add(e.Percent)
		}
		if sum.Cmp(quantity.Int(100)) != 0 {
			t.Fatalf("%s makes %s %%", c.Ingredients, sum)
		}
		if !strings.Contains(c.Ingredients.String(), "Potassium") || strings.Contains(strings.Join(c.Doubts, ""), "not as made") {
			t.Fatalf("%s is no soap: %s", c.Ingredients, c.Doubts)
		}
	})
}

// Every rule of a copy is one of the tables, with words, source and status; and nothing from memory says that it was read.
func TestEveryRuleHasItsSource(t *testing.T) {
	t.Parallel()
	for _, c := range readCases(t) {
		s := c.subject(t)
		for _, market := range label.Markets() {
			for _, b := range copyFor(s, market).SmallPrint {
				assert.NotEmpty(t, b.Citation, b.ID)
				assert.NotEmpty(t, b.Words, b.ID)
				assert.Contains(t, []string{"read", "memory", "common practice"}, b.Status, b.ID)
				if l, ok := law.LabelRule(b.ID); ok {
					assert.Equal(t, l.Status, b.Status, b.ID)
					assert.Equal(t, market, l.Market, b.ID)
				}
			}
		}
	}
}

func TestTypeSizes(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ area, inch, status string }{ // 21 CFR 701.13 and 16 CFR 500.21(b)
		{"0.5", "0.0625", "read"},
		{"5", "0.0625", "read"},
		{"5.01", "0.125", "memory"},
		{"25", "0.125", "memory"},
		{"25.01", "0.1875", "memory"},
		{"100", "0.1875", "memory"},
		{"100.01", "0.25", "memory"},
		{"400", "0.25", "memory"},
		{"400.01", "0.5", "memory"},
	} {
		size := label.ContentsTypeSizeUS(num(t, c.area))
		assert.Zero(t, size.Height.Cmp(num(t, c.inch)), c.area)
		assert.Equal(t, "inch", size.Unit)
		assert.Equal(t, c.status, size.Basis.Status)
	}
	for _, c := range []struct{ content, mm string }{ // Directive 76/211/EEC Annex I 3.1, from memory
		{"50", "2"}, {"50.1", "3"}, {"200", "3"}, {"200.1", "4"}, {"1000", "4"}, {"1000.1", "6"},
	} {
		size := label.ContentsTypeSizeEU(num(t, c.content))
		assert.Zero(t, size.Height.Cmp(num(t, c.mm)), c.content)
		assert.Equal(t, "memory", size.Basis.Status)
	}
	assert.Equal(t, "us-ingredient-type-size-small-package", label.IngredientsTypeSizeUS(num(t, "11.9")).Basis.ID) // 21 CFR 701.3(p)
	assert.Equal(t, "us-ingredient-type-size", label.IngredientsTypeSizeUS(num(t, "12")).Basis.ID)                 // 21 CFR 701.3(b)
	assert.Zero(t, label.WarningTypeSizeUS().Height.Cmp(num(t, "0.0625")))                                         // 21 CFR 740.2
	assert.Zero(t, label.PanelUS(num(t, "3"), num(t, "10"), true).Cmp(num(t, "12")))                               // 16 CFR 500.21(a)(2)
	assert.Zero(t, label.PanelUS(num(t, "3"), num(t, "2"), false).Cmp(num(t, "6")))                                // 16 CFR 500.21(a)(1)
}

func TestAllergensLargestFirst(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.add("2 %", "Lavender essential oil")
	b.fillUp("Olive oil")
	all := label.Allergens(b.subject("massage oil"))
	require.NotEmpty(t, all)
	assert.True(t, slices.IsSortedFunc(all, func(a, b label.Allergen) int {
		return cmp.Or(b.Percent.Cmp(a.Percent), cmp.Compare(a.Name, b.Name))
	}))
	assert.Equal(t, "Lavandula Oil/Extract", all[0].Name)
}
