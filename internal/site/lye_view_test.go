package site

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// soapOf loads a handbook with one recipe and works it.
func soapOf(t *testing.T, product, recipe string) []handbook.Worked {
	t.Helper()
	h, problems := handbook.Load(fstest.MapFS{
		"handbook.yaml":            {Data: []byte("title: Soaps\n")},
		"ingredients/olive.md":     {Data: []byte("---\nname: Olive oil\nrole: oil\ninci: Olea Europaea Fruit Oil\nsaponification: {value: 184–196, source: a certificate}\niodine: 80\n---\n")},
		"ingredients/moon.md":      {Data: []byte("---\nname: Moon oil\nrole: oil\nsaponification: 200\n---\n")},
		"ingredients/binder.md":    {Data: []byte("---\nname: Binder\nrole: emulsifier\nhlb: 9.1\n---\n")},
		"ingredients/plain-oil.md": {Data: []byte("---\nname: Plain oil\nrole: oil\nrequired-hlb: 7–8\n---\n")},
		"recipes/bar.md":           {Data: []byte("---\ntitle: Bar\nproduct: " + product + "\nshelf: Soaps\n" + recipe + "---\n")},
	})
	require.NoError(t, problems.Err())
	return h.Work(h.Recipes[0])
}

// 75 × 0.19 = 14.25 and 25 × 0.2 = 5 of potassium hydroxide; 60 % of the 19.25 as sodium hydroxide is 11.55 × 39.997 ÷ 56.106 = 8.234, of
// which 95 % at 98 % are 7.982 weighed; 40 % is 7.7, of which 95 % at 90 % are 8.128: arithmetic of saponification values.
func TestLyeView(t *testing.T) {
	t.Parallel()
	worked := soapOf(t, "shaving soap", "formula: [{phase: Fats, weigh: {Olive oil: 75 %, Moon oil: 25 %}}]\n"+
		"soap:\n  alkali: {sodium hydroxide: 60 %, potassium hydroxide: 40 %}\n  purity: {sodium hydroxide: 98 %, potassium hydroxide: 90 %}\n  superfat: 5 %\n  water: 2 per 1\n")
	v := newLyeView(worked[0], func(id string) string { return map[string]string{"olive": "../olive/index.html"}[id] }, english())
	require.NotNil(t, v)
	assert.Equal(t, []string{"Sodium hydroxide", "Potassium hydroxide"}, v.Alkalis)
	assert.Equal(t, []LyeRow{
		{"Olive oil", "../olive/index.html", "75.00", "184–196", "a certificate", "14.250", []string{"6.095", "5.700"}},
		{"Moon oil", "", "25.00", "200", "the maker's own figure", "5.000", []string{"2.139", "2.000"}},
	}, v.Fats)
	assert.Equal(t, LyeRow{Name: "All together", Grams: "100.00", KOH: "19.250", Alkali: []string{"8.234", "7.700"}}, v.Total)
	assert.Equal(t, []Fact{
		{"Superfat", "5 % (2.73 to 7.17 % over the ranges of the fats)", "the part of the fats’ demand that is left out"},
		{"Sodium hydroxide, weighed", "7.982 g of 98 %", ""},
		{"Potassium hydroxide, weighed", "8.128 g of 90 %", ""},
		{"Water", "32.219 g", ""},
		{"Strength of the lye", "33.33 % alkali", ""},
	}, v.Steps)
	require.NotEmpty(t, v.MakeUp)
	assert.Equal(t, Fact{"Iodine value", "80", "known of 75 % of the fats"}, v.MakeUp[0])
}

func TestLyeViewOfOtherProducts(t *testing.T) {
	t.Parallel()
	none := func(string) string { return "" }
	worked := soapOf(t, "body oil", "formula: [{phase: Oil, weigh: {Olive oil: 100 %}}]\n")
	assert.Nil(t, newLyeView(worked[0], none, english()))
	assert.Empty(t, drawLye(nil))
	worked = soapOf(t, "bar soap", "formula: [{phase: Oil, weigh: {Plain oil: 80 %, Sodium hydroxide: 10 %, Distilled water: 10 %}}]\n")
	assert.Nil(t, newLyeView(worked[0], none, english()), "the sum cannot be done")
}

// What formula.json says of soaps and emulsions, and of what is neither.
func TestFormulaFileChemistry(t *testing.T) {
	t.Parallel()
	file := func(product, recipe string) readVersion { return readVersionOf(t, soapOf(t, product, recipe)[0]) }
	bar := file("bar soap", "formula: [{phase: Fats, weigh: {Moon oil: 100 %}}]\nsoap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}\n")
	assert.Nil(t, bar.Emulsion)
	// 0.95 × 20 × 39.997 ÷ 56.106 = 13.54477 for 100 of fat, in 140.63432 with its water.
	assert.Equal(t, &readSoap{Alkali: []readAlkali{{"sodium-hydroxide", "9.6312"}}, Superfat: "5", Range: []string{"5", "5"}}, bar.Soap)

	cream := file("hand cream", "formula: [{phase: All, weigh: {Distilled water: q.s., Plain oil: 20 %, Binder: 5 %}}]\n")
	assert.Nil(t, cream.Soap)
	assert.Equal(t, &readEmulsion{RequiredHLB: "7.5", HLB: "9.1", OilPhase: "20"}, cream.Emulsion)

	unknown := file("hand cream", "formula: [{phase: All, weigh: {Distilled water: q.s., Moon oil: 20 %}}]\n")
	assert.Equal(t, &readEmulsion{OilPhase: "20"}, unknown.Emulsion)

	oil := file("body oil", "formula: [{phase: Oil, weigh: {Olive oil: 100 %}}]\n")
	assert.Nil(t, oil.Emulsion)
	assert.Nil(t, oil.Soap)
}
