package soap_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// stuff is a small store of materials, by the names that the formulas here use.
func stuff(t testing.TB) map[string]*material.Material {
	t.Helper()
	is := func(inci, percent string, roles ...string) *material.Material {
		return &material.Material{Roles: roles, Composition: []material.Constituent{{INCI: inci, Percent: num(t, percent)}}}
	}
	all := map[string]*material.Material{
		"Olive oil":     is("Olea Europaea Fruit Oil", "", "oil"),
		"Coconut oil":   is("Cocos Nucifera (Coconut) Oil", "", "oil"),
		"Shea butter":   is("Butyrospermum Parkii Butter", "", "butter"),
		"Stearic acid":  is("Stearic Acid", "", "thickener"),
		"Marula oil":    is("Sclerocarya Birrea Seed Oil", "", "oil"),
		"Caustic soda":  is("Sodium Hydroxide", "", "alkali"),
		"Potash flake":  is("Potassium Hydroxide", "90", "alkali"),
		"Rain water":    is("Aqua", "", "water"),
		"Rose scent":    is("Parfum", "", "fragrance"),
		"Citric acid":   is("Citric Acid", "", "acid"),
		"Lactic acid":   {Roles: []string{"acid"}, Composition: []material.Constituent{{INCI: "Lactic Acid", Percent: num(t, "80")}, {INCI: "Aqua", Percent: num(t, "20")}}},
		"Sour tincture": {Roles: []string{"botanical"}, Composition: []material.Constituent{{INCI: "Alcohol"}, {INCI: "Acetic Acid"}}},
		"Stock lye":     {Roles: []string{"alkali"}, Composition: []material.Constituent{{INCI: "Aqua", Percent: num(t, "50")}, {INCI: "Sodium Hydroxide", Percent: num(t, "50")}}},
		"Blind lye":     {Roles: []string{"alkali"}, Composition: []material.Constituent{{INCI: "Aqua"}, {INCI: "Sodium Hydroxide"}}},
	}
	shea := all["Shea butter"]
	shea.Saponified = material.Sourced[quantity.Interval]{Value: *interval(t, "178–182"), Source: "the lot's certificate", Known: true}
	shea.Iodine = material.Sourced[quantity.Interval]{Value: *interval(t, "55"), Source: "the lot's certificate", Known: true}
	return all
}

// A recipe is written "name", "amount", …
func phase(t testing.TB, name string, lines ...string) formula.Phase {
	t.Helper()
	p := formula.Phase{Name: name}
	for i := 0; i < len(lines); i += 2 {
		amount, err := quantity.ParseAmount(lines[i+1])
		require.NoError(t, err, lines[i+1])
		p.Lines = append(p.Lines, formula.Line{Ingredient: formula.Ingredient{Name: lines[i]}, Amount: amount})
	}
	return p
}

func materials(t testing.TB, v *formula.Version) []*material.Material {
	t.Helper()
	all := make([]*material.Material, len(v.Items))
	for i, item := range v.Items {
		all[i] = stuff(t)[item.Name]
	}
	return all
}

func version(t testing.TB) func(*formula.Version, interface{ Len() int }) *formula.Version {
	return func(v *formula.Version, problems interface{ Len() int }) *formula.Version {
		t.Helper()
		require.Zero(t, problems.Len(), "%v", problems)
		return v
	}
}

// shavingBar asks for both alkalis.
func shavingBar() soap.Block {
	return soap.Block{
		Alkalis: []soap.Use{
			{Alkali: soap.Sodium, Share: quantity.Int(60), Purity: quantity.Int(98)},
			{Alkali: soap.Potassium, Share: quantity.Int(40), Purity: quantity.Int(90)},
		},
		Superfat: quantity.Int(4), Water: quantity.Int(2),
	}
}

// A formula's lye, put on top of it, leaves the superfat that was asked for, in every way of writing the fats.
func TestLinesInAFormula(t *testing.T) {
	t.Parallel()
	f := func(phases ...formula.Phase) formula.Formula { return formula.Formula{Phases: phases} }
	tests := map[string]formula.Formula{
		"percents":                     f(phase(t, "Fats", "Olive oil", "60 %", "Coconut oil", "30 %", "Shea butter", "10 %")),
		"weights":                      f(phase(t, "Fats", "Olive oil", "600 g", "Coconut oil", "10 oz", "Shea butter", "100 g")),
		"parts":                        f(phase(t, "Fats", "Olive oil", "6 parts", "Coconut oil", "3 parts")),
		"percents, scent on a phase":   f(phase(t, "Fats", "Olive oil", "70 %", "Coconut oil", "30 %"), phase(t, "Trace", "Rose scent", "3 % of Fats")),
		"percents, scent on top":       f(phase(t, "Fats", "Olive oil", "70 %", "Coconut oil", "30 %"), phase(t, "Trace", "Rose scent", "3 per 100")),
		"fat on top":                   f(phase(t, "Fats", "Olive oil", "70 %", "Coconut oil", "30 %"), phase(t, "Trace", "Shea butter", "1 per 20")),
		"q.s. and an acid":             f(phase(t, "Fats", "Olive oil", "q.s.", "Stearic acid", "30 %"), phase(t, "Trace", "Citric acid", "2 %", "Lactic acid", "1 %")),
		"weights and percents, makes:": {Phases: []formula.Phase{phase(t, "Fats", "Olive oil", "q.s.", "Coconut oil", "300 g", "Rose scent", "2 %")}, Makes: quantity.Grams(quantity.Int(1000))},
	}
	for name, f := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dry := version(t)(formula.Solve(f))
			mix := soap.Read(dry, materials(t, dry), nil)
			r, err := soap.Solve(shavingBar(), mix.Fats)
			require.NoError(t, err)
			lye := formula.Phase{Name: "Lye", Lines: r.Lines(soap.Inside(dry),
				[]formula.Ingredient{{Name: "Caustic soda"}, {Name: "Potash flake"}}, formula.Ingredient{Name: "Rain water"})}
			f.Phases = append([]formula.Phase{lye}, f.Phases...)
			wet := version(t)(formula.Solve(f))

			assert.Equal(t, []string{"Caustic soda", "Potash flake", "Rain water"}, []string{wet.Items[0].Name, wet.Items[1].Name, wet.Items[2].Name})
			assert.Equal(t, []bool{true, true, false}, []bool{wet.Items[0].Fixed, wet.Items[1].Fixed, wet.Items[2].Fixed})
			assert.Nil(t, wet.Written, "the percents still make 100")
			made := soap.Read(wet, materials(t, wet), map[soap.Alkali]quantity.Number{soap.Sodium: quantity.Int(98)})
			back, err := soap.Backwards(made.Fats, made.Alkalis, made.Water)
			require.NoError(t, err)
			assert.Equal(t, "4", back.Superfat.String())
			assert.Equal(t, 0, r.Range.Low.Cmp(back.Range.Low))
			assert.Equal(t, 0, r.Range.High.Cmp(back.Range.High))
			assert.Equal(t, 0, r.Strength.Cmp(back.Strength))
			assert.Equal(t, "60", back.Alkalis[0].Share.String())
			assert.Equal(t, 0, r.Lye.Quo(r.Fat).Cmp(back.Lye.Quo(back.Fat)), "the lye for 1 of fat")
		})
	}
}

// A variant gets its own lye: worked out from its own fats, put into the base, and varied with it.
func TestLinesInAVariant(t *testing.T) {
	t.Parallel()
	f := formula.Formula{Phases: []formula.Phase{phase(t, "Fats", "Olive oil", "70 %", "Coconut oil", "30 %")}}
	variant := formula.Variant{Name: "Softer", Changes: []formula.Change{{Target: "Coconut oil", Becomes: &formula.Ingredient{Name: "Shea butter"}}}}
	dry := version(t)(formula.Vary(f, variant))
	r, err := soap.Solve(shavingBar(), soap.Read(dry, materials(t, dry), nil).Fats)
	require.NoError(t, err)
	lye := formula.Phase{Name: "Lye", Lines: r.Lines(soap.Inside(dry),
		[]formula.Ingredient{{Name: "Caustic soda"}, {Name: "Potash flake"}}, formula.Ingredient{Name: "Rain water"})}
	f.Phases = append([]formula.Phase{lye}, f.Phases...)
	wet := version(t)(formula.Vary(f, variant))
	mix := soap.Read(wet, materials(t, wet), map[soap.Alkali]quantity.Number{soap.Sodium: quantity.Int(98)})
	back, err := soap.Backwards(mix.Fats, mix.Alkalis, mix.Water)
	require.NoError(t, err)
	assert.Equal(t, "4", back.Superfat.String())
}

func TestLinesLeaveTheirIngredientsAlone(t *testing.T) {
	t.Parallel()
	r, err := soap.Solve(bar(t, "98", "5", "2"), []soap.Fat{fat(t, "Olive oil", "100", "190")})
	require.NoError(t, err)
	alkalis := []formula.Ingredient{{Name: "Caustic soda"}}
	lines := r.Lines(quantity.Int(100), alkalis, formula.Ingredient{Name: "Rain water"})
	assert.True(t, lines[0].Fixed)
	assert.False(t, alkalis[0].Fixed)
	assert.Equal(t, "26.26", lines[1].Amount.Number.Mul(quantity.Int(100)).Text(2), "2 × 13.130 for 100 of fat: soap-02 of the worked examples")
}

func TestRead(t *testing.T) {
	t.Parallel()
	v := version(t)(formula.Solve(formula.Formula{Phases: []formula.Phase{phase(t, "All",
		"Olive oil", "40 %", "Shea butter", "10 %", "Stearic acid", "5 %", "Marula oil", "1 %", "Rose scent", "1 %",
		"Citric acid", "1 %", "Lactic acid", "1 %", "Sour tincture", "1 %", "Mystery", "1 %",
		"Caustic soda", "5 %", "Potash flake", "2 %", "Stock lye", "2 %", "Blind lye", "1 %", "Rain water", "q.s.")}}))
	mix := soap.Read(v, materials(t, v), nil)

	values := make(map[string]string)
	for _, f := range mix.Fats {
		values[f.Name] = "?"
		if f.Saponified != nil {
			values[f.Name] = f.Saponified.Low.Text(1) + "–" + f.Saponified.High.Text(1)
		}
		assert.Equal(t, f.Name == "Citric acid" || f.Name == "Lactic acid" || f.Name == "Sour tincture", f.Acid, f.Name)
	}
	assert.Equal(t, map[string]string{
		"Olive oil": "184–196", "Shea butter": "178–182", "Stearic acid": "197.2–197.2", "Marula oil": "?",
		"Citric acid": "801–876.1", "Lactic acid": "498.3–498.3", "Sour tincture": "0–934.3",
	}, values)
	assert.Equal(t, "55", mix.Fats[1].Iodine.String(), "the page goes before the table")
	assert.NotEmpty(t, mix.Fats[1].Acids, "what the page does not say, the table does")
	assert.Equal(t, []string{"Mystery"}, mix.Unknown)
	assert.Equal(t, "29", mix.Water.String())

	purities := func(mix soap.Mix) []string {
		var all []string
		for _, w := range mix.Alkalis {
			all = append(all, string(w.Alkali)+" "+w.Weight.String()+" of "+w.Purity.String())
		}
		return all
	}
	assert.Equal(t, []string{"sodium hydroxide 5 of 100", "potassium hydroxide 2 of 90", "sodium hydroxide 2 of 50", "sodium hydroxide 1 of 0"}, purities(mix))
	given := soap.Read(v, materials(t, v)[:11], map[soap.Alkali]quantity.Number{soap.Potassium: quantity.Int(88)})
	assert.Equal(t, []string{"sodium hydroxide 5 of 100", "potassium hydroxide 2 of 88"}, purities(given))
	assert.Equal(t, []string{"Mystery", "Stock lye", "Blind lye", "Rain water"}, given.Unknown, "too few materials are as good as none")
	_, err := soap.Backwards(mix.Fats, mix.Alkalis, mix.Water)
	assert.Equal(t, []string{"Marula oil", "sodium hydroxide"}, subjects(t, err), "a value and a purity that nothing tells")
}
