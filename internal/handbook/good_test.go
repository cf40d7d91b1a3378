package handbook_test

import (
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// loadGood loads testdata/good.txtar, which has every field and no problem.
func loadGood(t testing.TB) *handbook.Handbook {
	t.Helper()
	files := fstest.MapFS{}
	for _, f := range goodFiles(t) {
		files[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	h, problems := handbook.Load(files)
	require.NoError(t, problems.Err())
	return h
}

func TestSettings(t *testing.T) {
	t.Parallel()
	h := loadGood(t)
	assert.Equal(t, "The Larkrow stillroom", h.Title)
	assert.Equal(t, "Larkrow stillroom", h.Maker)
	assert.Equal(t, "Creams and soaps from the stillroom.", h.About)
	assert.Equal(t, "https://larkrow.example/book/", h.Address)
	assert.Equal(t, handbook.Members, h.Access)
	assert.Equal(t, handbook.Door{Kind: handbook.FolderDoor, Address: "https://members.larkrow.example/"}, h.Door)
	assert.Equal(t, []handbook.Shelf{{Name: "Creams & lotions", About: "For hands and face."}, {Name: "Soaps"}}, h.Shelves)
	assert.Equal(t, []string{"250 g", "1 kg"}, written(h.Batches))
	assert.Equal(t, mass(t, "0.01 g"), h.Scale.Step(mass(t, "200 g")))
	assert.Equal(t, mass(t, "1 g"), h.Scale.Step(mass(t, "201 g")))
	require.Len(t, h.Recipes, 1)
	require.Len(t, h.Ingredients, 4)
	require.Len(t, h.Notes, 1)
	require.Len(t, h.Pictures, 1)
	assert.Equal(t, &handbook.Picture{File: "pictures/hedgerow.svg", Width: 120, Height: 80}, h.Pictures["pictures/hedgerow.svg"])
}

func TestRecipeFacts(t *testing.T) {
	t.Parallel()
	h := loadGood(t)
	r := h.Recipes[0]
	assert.Same(t, &r.Page, h.PageOf("recipes/hands/hedgerow-hand-cream.md"))
	assert.Equal(t, "hedgerow-hand-cream", r.Slug)
	assert.Equal(t, handbook.RecipePage, r.Kind)
	assert.Equal(t, "Hedgerow: hand cream", r.Title)
	assert.Equal(t, "A plain cream for hands.", r.Summary)
	assert.Equal(t, handbook.Members, r.Access)
	assert.Equal(t, "hand cream", r.Product.Name)
	assert.Equal(t, "Creams & lotions", r.Shelf, "as handbook.yaml writes it")
	require.NotNil(t, r.Picture)
	assert.Equal(t, "A hedge, in bloom", r.Picture.Shows)
	assert.Equal(t, "pictures/hedgerow.svg", r.Picture.File)
	assert.Equal(t, "6 months", r.Keeps.String())
	assert.Equal(t, "5–5.5", r.PH.String())
	assert.Equal(t, "1 hour 10 minutes", r.Time.String())
	assert.Equal(t, "2 days", r.Rest.String())
	assert.Equal(t, []string{"Stick blender", "Thermometer"}, r.Tools)
	assert.Equal(t, time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC), *r.Updated)
	assert.Equal(t, "Heat both phases.\n", r.Body)
	assert.Equal(t, "Heat both phases.\n", r.Source.Text[r.BodyStart:])
	assert.Equal(t, "both", r.Span(5, 9).Text())
	assert.Equal(t, []string{"250 g", "12 × 60 ml jar", "from 340 g sunflower oil"}, written(r.Batches))
	require.Len(t, r.Accepts, 1)
	assert.Equal(t, check.Acceptance{
		Code: "below-scale", Because: "a fine balance is used", About: "cedar scent", Version: "night Version", At: r.Accepts[0].At,
	}, r.Accepts[0])
}

func TestFills(t *testing.T) {
	t.Parallel()
	fills := loadGood(t).Recipes[0].Fills
	require.Len(t, fills, 4)
	assert.Equal(t, formula.Fill{Container: "60 ml jar", Takes: mass(t, "52 g"), Loss: quantity.Int(3)}, fills[0])
	assert.Equal(t, "49", fills[1].Takes.Grams().Text(3), "50 ml × 0.98 g/ml")
	assert.Contains(t, fills[2].Unknown, "what a pot takes is a volume")
	assert.Contains(t, fills[3].Unknown, "nothing says what a tin takes")
}

func TestRecipeVersions(t *testing.T) {
	t.Parallel()
	h := loadGood(t)
	r := h.Recipes[0]
	var names []string
	for _, v := range r.Versions {
		names = append(names, v.Name)
		sum := quantity.Number{}
		for i := range v.Items {
			sum = sum.Add(v.Percent(i))
		}
		assert.Zero(t, sum.Cmp(quantity.Int(100)), "%s makes %s %%", v.Name, sum)
	}
	assert.Equal(t, []string{"base", "Night version", "Plain", "Rich"}, names)
	assert.Len(t, r.Splits(), 2)

	base := r.Versions[0]
	var lines []string
	for i, item := range base.Items {
		lines = append(lines, item.Name+" "+base.Percent(i).Text(4)+" ["+item.Material+"]")
	}
	// 5 g and 2 US tablespoons (14.78676478125 ml each, at 1 g/ml) in 500 g; the wax is a quarter of the 12 % of oil.
	assert.Equal(t, []string{
		"Distilled water 73.5853 [water]", "Glycerin 3 [glycerin]", "Salt 1 []", "sunflower OIL 12 [sunflower]", "Wax 3 []",
		"water 5.9147 [water]", "preservative blend 1 [preservative]", "cedar scent 0.5 [cedarwood-fragrance]",
	}, lines)
	assert.Equal(t, "may be left out", base.Items[1].Note)
	assert.Equal(t, "Keep it covered.", base.Phases[0].Note)
	assert.Equal(t, "75 °C", base.Phases[0].Heat.String())
	assert.Equal(t, "75 °C", base.Phases[1].Heat.String(), "from 167 °F")
	assert.Equal(t, "40 °C", base.Phases[2].Below.String())
	assert.True(t, base.Items[6].Fixed, "a preservative is never moved by rounding")
	assert.False(t, base.Items[3].Fixed)
	assert.Equal(t, "12 %", base.Items[3].At.Text())

	night := r.Versions[1]
	assert.Equal(t, "Richer.", night.Note)
	assert.Empty(t, night.Find("Salt"))
	assert.Equal(t, "Beeswax", night.Items[night.Find("Wax")[0]].Name)
	honey := night.Items[night.Find("Honey")[0]]
	assert.Equal(t, "warm it", honey.Note)
	assert.Equal(t, "Water", night.Phases[honey.Phase].Name)
	assert.Equal(t, "Cool-down", night.Phases[night.Items[night.Find("Rice")[0]].Phase].Name)
	assert.Equal(t, "For gifts", r.Versions[3].Note)
}

func TestIngredientFacts(t *testing.T) {
	t.Parallel()
	h := loadGood(t)
	m := h.Materials.Find("CEDAR  scent")
	require.NotNil(t, m)
	assert.Same(t, m, h.Materials.Find("Cedar: no. 2"))
	assert.Equal(t, "cedarwood-fragrance", m.ID)
	assert.Equal(t, "Dry and woody.", m.Summary)
	assert.Equal(t, []string{"fragrance", "colourant"}, m.Roles)
	require.Len(t, m.Composition, 2)
	assert.Equal(t, "Tocopherol", m.Composition[1].INCI)
	assert.Equal(t, "1.5", m.Composition[1].Percent.Text(3))
	assert.Equal(t, material.Sourced[string]{Value: "oil", Known: true}, m.Dissolves)
	assert.Equal(t, "supplier's sheet", m.Density.Source)
	assert.True(t, m.Density.Known)
	assert.Equal(t, "95", quantity.Volume.Weigh(volume(t, "100 ml"), m.Density.Value).Grams().Text(3))
	assert.Equal(t, "62 °C", m.Melts.Value.Low.String())
	assert.Equal(t, "65 °C", m.Melts.Value.High.String())
	assert.Equal(t, "60 °C", m.HeatLimit.Value.String())
	assert.Equal(t, "from memory", m.HeatLimit.Source)
	assert.Equal(t, "3–8", m.PH.Value.String())
	assert.Equal(t, "24 months", m.Keeps.Value.String())
	assert.Equal(t, "15", m.HLB.Value.String())
	assert.Equal(t, "7–8", m.RequiredHLB.Value.String())
	assert.Equal(t, "184–196", m.Saponified.Value.String())
	assert.Equal(t, "85", m.Iodine.Value.String())
	assert.Equal(t, "0.4", m.Phototoxic.Value.String())
	require.Len(t, m.Uses, 2)
	assert.Equal(t, "leave-on", m.Uses[0].For)
	assert.Equal(t, "0.5", m.Uses[0].From.String())
	assert.Equal(t, "2", m.Uses[0].To.String())
	assert.Equal(t, "supplier's sheet of 2026-03", m.Uses[0].Source)
	assert.Equal(t, "bar soap", m.Uses[1].For)
	assert.Nil(t, m.Uses[1].From)
	assert.True(t, m.Fragrance.Known)
	assert.Equal(t, []material.Limit{{Category: "5A", Percent: m.Fragrance.Limits[0].Percent}, {Category: "9", Percent: quantity.Int(6)}}, m.Fragrance.Limits)
	assert.Equal(t, "2.5", m.Fragrance.Vanillin.String())
	require.Len(t, m.Fragrance.Allergens, 2)
	assert.Equal(t, "Linalool", m.Fragrance.Allergens[1].INCI)
	assert.Equal(t, []material.Protection{{Against: "bacteria", How: "good"}, {Against: "yeast", How: "weak"}, {Against: "mould", How: "moderate"}}, m.Protects)
	assert.Equal(t, []string{"tree nuts"}, m.FoodSources)
	assert.Equal(t, "plant", m.Origin)
	assert.Equal(t, []string{"Keep away from eyes."}, m.Cautions)
	assert.Equal(t, "A shop in the lane", m.Supplier)
	assert.Equal(t, "18.5", m.Price.Money.String())
	assert.Equal(t, "18.50 per 100 ml", m.Price.Written)
	assert.Equal(t, []material.Lot{{Code: "C-104", Opened: "2026-03-02", Expires: "2028-03-01"}}, m.Lots)

	oil := h.Materials.Find("Sunflower oil")
	require.NotNil(t, oil)
	assert.Equal(t, []material.Constituent{{INCI: "Helianthus Annuus Seed Oil", Percent: quantity.Int(100)}}, oil.Composition)
	assert.Same(t, oil, h.Materials.Find("helianthus annuus seed oil"))
	assert.False(t, oil.PH.Known)
}

func TestNotes(t *testing.T) {
	t.Parallel()
	h := loadGood(t)
	n := h.Notes[0]
	assert.Equal(t, "The water bath", n.Title)
	assert.Equal(t, handbook.Maker, n.Access)
	assert.Equal(t, handbook.NotePage, n.Kind)
	assert.Equal(t, "pictures/hedgerow.svg", n.Picture.File)
	assert.Equal(t, "Words.\n", n.Body)
	for _, i := range h.Ingredients {
		want := handbook.Members // the handbook's, where a page says nothing
		if i.Slug == "cedarwood-fragrance" {
			want = handbook.Open
		}
		assert.Equal(t, want, i.Access, i.File)
	}
}

func TestWork(t *testing.T) {
	t.Parallel()
	h := loadGood(t)
	worked := h.Work(h.Recipes[0])
	require.Len(t, worked, 4)
	for _, w := range worked {
		require.Len(t, w.Batches, 3)
		for _, b := range w.Batches {
			if b.Missing == nil {
				assert.Len(t, b.Column.Weights, len(w.Version.Items), b.Written)
			}
		}
	}
	assert.Equal(t, "250", worked[0].Batches[0].Column.Total.Grams().String())
	assert.Equal(t, int64(12), worked[0].Batches[1].Sized.Filled.Count)
	assert.Equal(t, "water", worked[0].Materials[0].ID)
	assert.Equal(t, "glycerin", worked[0].Materials[1].ID, "of which the catalogue knows")
	assert.Nil(t, worked[0].Materials[2], "nothing is known of Salt alone, which can be several")
}

func written(batches []handbook.BatchLine) []string {
	all := make([]string, len(batches))
	for i, b := range batches {
		all[i] = b.Written
	}
	return all
}

func mass(t testing.TB, s string) quantity.Mass {
	t.Helper()
	m, err := quantity.ParseMass(s)
	require.NoError(t, err)
	return m
}

func volume(t testing.TB, s string) quantity.Volume {
	t.Helper()
	a, err := quantity.ParseAmount(s)
	require.NoError(t, err)
	require.Equal(t, quantity.Measure, a.Kind)
	return a.Volume
}
