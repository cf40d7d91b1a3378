package material

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

func TestMerge(t *testing.T) {
	t.Parallel()
	c := Common()
	density, err := quantity.ParseDensity("0.9 g/ml")
	require.NoError(t, err)
	three := quantity.Int(3)
	base := c.ByID("lavender-oil")
	before := len(base.Cautions)
	page := &Material{
		ID: "our-lavender", Name: "Lavender essential oil", Summary: "Soft.", Roles: []string{"fragrance"},
		Composition: []Constituent{{INCI: "Lavandula angustifolia oil", Percent: quantity.Int(100)}},
		Density:     Sourced[quantity.Density]{Value: density, Source: "our scales", Known: true},
		Uses:        []Use{{For: "leave-on", To: &three}},
		Cautions:    []string{"Ours.", base.Cautions[0]},
		Fragrance:   Fragrance{Known: true, Limits: []Limit{{Category: "5A", Percent: three}}},
	}
	m := Merge(page, base)

	assert.Equal(t, "our-lavender", m.ID)
	assert.Equal(t, "lavender-oil", m.Base)
	assert.Equal(t, []string{"fragrance"}, m.Roles, "a list replaces")
	assert.Equal(t, page.Uses, m.Uses)
	assert.Equal(t, page.Density, m.Density, "the page's figure wins with its source")
	assert.Equal(t, base.AddBelow, m.AddBelow, "what the page does not say is the catalogue's")
	assert.Equal(t, base.DeclareAs, m.DeclareAs)
	assert.Equal(t, "Lavandula Angustifolia (Lavender) Oil", m.Composition[0].US)
	assert.Equal(t, page.Fragrance.Limits, m.Fragrance.Limits)
	assert.Equal(t, base.Fragrance.Allergens, m.Fragrance.Allergens)
	assert.Equal(t, Memory, m.Fragrance.Status)
	assert.Equal(t, append([]string{"Ours."}, base.Cautions...), m.Cautions, "cautions are united")
	assert.Equal(t, base.CautionCodes, m.CautionCodes)

	assert.Empty(t, page.Composition[0].US, "the page stays as it was")
	assert.Empty(t, page.Base)
	assert.Len(t, base.Cautions, before)
}

func TestMergeComposition(t *testing.T) {
	t.Parallel()
	base := Common().ByID("sodium-lactate-60")
	own := []Constituent{{INCI: "Sodium Lactate", Percent: quantity.Int(50)}, {INCI: "Aqua", Percent: quantity.Int(50)}}
	m := Merge(&Material{Name: "Ours", Composition: own}, base)
	water, known := m.WaterPercent()
	assert.True(t, known)
	assert.Equal(t, "50", water.String(), "the page's composition tells its water")
	assert.False(t, m.Water.Known)

	m = Merge(&Material{Name: "Ours"}, base)
	water, _ = m.WaterPercent()
	assert.Equal(t, "40", water.String())
	assert.Equal(t, base.Composition, m.Composition)

	m = Merge(&Material{Name: "Ours", NotPhototoxic: Sourced[bool]{Value: true, Known: true}}, Common().ByID("bergamot-oil"))
	assert.False(t, m.Phototoxic.Known, "a page that says it is harmless is believed")
}

func TestMergeFoodSources(t *testing.T) {
	t.Parallel()
	none := Sourced[bool]{Value: true, Known: true}
	olive, almond, argan := Common().ByID("olive-oil"), Common().ByID("almond-oil-sweet"), Common().ByID("argan-oil")
	other := []Constituent{{INCI: "Prunus Amygdalus Dulcis Oil", Percent: quantity.Int(100)}}
	tests := []struct {
		name  string
		page  Material
		entry *Material
		names []string
		none  bool
	}{
		{"the catalogue knows of none", Material{}, olive, nil, true},
		{"the page is of something else", Material{Composition: other}, olive, nil, false},
		{"the page names one", Material{FoodSources: []string{"sesame"}}, olive, []string{"sesame"}, false},
		{"the catalogue names one", Material{}, almond, []string{"tree nuts"}, false},
		{"the page says none, the catalogue names one", Material{NoFoodSource: none}, almond, []string{"tree nuts"}, false},
		{"nobody says", Material{}, argan, nil, false},
		{"the page alone says none", Material{NoFoodSource: none}, argan, nil, true},
	}
	for _, test := range tests {
		m := Merge(&test.page, test.entry)
		assert.Equal(t, test.names, m.FoodSources, test.name)
		assert.Equal(t, test.none, m.NoFoodSource.Known, test.name)
	}
}

func TestFor(t *testing.T) {
	t.Parallel()
	c := Common()
	assert.Same(t, c.ByID("rosehip-oil"), c.For(&Material{Name: "rosehip seed oil"}))
	assert.Same(t, c.ByID("emulsifying-wax-nf"), c.For(&Material{Name: "Emulsifying wax NF"}))
	assert.Nil(t, c.For(&Material{Name: "Shea butter"}), "two have that name")
	assert.Nil(t, c.For(&Material{Name: "Butyrospermum Parkii Butter"}), "an INCI name is no name of a material")
	assert.Nil(t, c.For(&Material{ID: "lavender-oil", Name: "Lavender infused oil"}))
}

func TestBrings(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		id                            string
		water, food, fresh, preserves bool
	}{
		{"distilled-water", true, false, false, true},
		{"hydrosol-rose", true, false, false, true},
		{"aloe-juice", true, false, false, true},
		{"aloe-powder-200x", false, false, false, false},
		{"honey", true, true, true, true},
		{"goat-milk", true, true, true, true},
		{"goat-milk-powder", false, true, false, true},
		{"vinegar", true, true, false, true},
		{"olive-oil", false, false, false, false},
		{"white-sugar", false, true, false, true},
		{"sodium-lactate-60", true, false, false, true},
		{"glycerin", false, false, false, false},
	} {
		m := Common().ByID(row.id)
		require.NotNil(t, m, row.id)
		assert.Equal(t, row.water, m.BringsWater(), row.id)
		assert.Equal(t, row.food, m.IsFood(), row.id)
		assert.Equal(t, row.fresh, m.IsFresh(), row.id)
		assert.Equal(t, row.preserves, m.NeedsPreservative(), row.id)
	}
	assert.True(t, (&Material{Composition: []Constituent{{INCI: "Aqua"}}}).BringsWater(), "a water without a percentage")
	assert.True(t, (&Material{Composition: []Constituent{{INCI: "Citrus Limon Juice"}}}).BringsWater())
	assert.False(t, new(Material).BringsWater())
	_, known := new(Material).WaterPercent()
	assert.False(t, known)
}

func TestLowestHeat(t *testing.T) {
	t.Parallel()
	for id, want := range map[string]string{"hydrosol-rose": "45 °C", "beeswax-yellow": "85 °C", "phenoxyethanol": "45 °C"} {
		heat := Common().ByID(id).LowestHeat()
		assert.True(t, heat.Known)
		assert.Equal(t, want, heat.Value.String(), id)
	}
	assert.False(t, new(Material).LowestHeat().Known)
}

func TestSaponificationValue(t *testing.T) {
	t.Parallel()
	for id, want := range map[string]string{"castor-oil": "181.5", "stearic-acid": "208", "jojoba-oil": "92.2"} {
		v, known := Common().ByID(id).SaponificationValue()
		assert.True(t, known)
		assert.Equal(t, want, v.String(), id)
	}
	_, known := Common().ByID("c12-15-alkyl-benzoate").SaponificationValue()
	assert.False(t, known)
}

func TestUsesFor(t *testing.T) {
	t.Parallel()
	write := func(uses []Use) (all []string) {
		for _, u := range uses {
			s := u.Basis + ":"
			if u.From != nil {
				s += " from " + u.From.String()
			}
			if u.To != nil {
				s += " to " + u.To.String()
			}
			all = append(all, s)
		}
		return all
	}
	c := Common()
	assert.Equal(t, []string{"law: to 0.59", "common practice: from 0.2 to 0.5"}, write(c.ByID("sodium-benzoate").UsesFor("body lotion", "leave-on")))
	assert.Equal(t, []string{"common practice: from 3 to 10"}, write(c.ByID("castor-oil").UsesFor("bar soap", "soap", "rinse-off")))
	assert.True(t, c.ByID("castor-oil").UsesFor("soap")[0].OfOils)
	assert.Equal(t, []string{"common practice: from 1 to 40"}, write(c.ByID("castor-oil").UsesFor("lip balm", "lips", "leave-on")))
	assert.Empty(t, c.ByID("castor-oil").UsesFor("bath salts", "bath", "rinse-off"))
}
