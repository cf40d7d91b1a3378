package check_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
)

var dangers = []string{"caustic", "dust", "hot", "flammable", "slippery", "ingestible-lookalike"}

// The dangers are common practice, but for the flash point of a flammable liquid, 60 °C (EU Reg. 1272/2008, from memory).
func TestHandling(t *testing.T) {
	t.Parallel()
	own := []*material.Material{
		{Name: "Fat", Roles: []string{"oil"}},
		{Name: "Thin oil", Roles: []string{"solvent"}, Flash: known(*heat("60 °C"))},
		{Name: "Heavy oil", Roles: []string{"solvent"}, Flash: known(*heat("60.1 °C"))},
		{Name: "Page powder", Roles: []string{"active"}, Cautions: []string{"Fine dust: mask when weighing."}},
		{Name: "Sodium hydroxide (lye)", Roles: []string{"alkali"}, Composition: []material.Constituent{{INCI: "Sodium Hydroxide", Percent: *percent("100 %")}}},
		{Name: "Plain", Roles: []string{"ester"}},
		{Name: "Scented", Roles: []string{"fragrance"}},
	}
	tests := []struct {
		name, product string
		lines         []string
		want          []string
	}{
		{"nothing", "hand cream", []string{"Distilled water: q.s.", "Plain: 10 %"}, nil},
		{"lye", "bar soap", soapLines, []string{"caustic Sodium hydroxide"}},
		{"lye that only a page knows", "bar soap", []string{"Fat: q.s.", "Sodium hydroxide (lye): 9 %"}, []string{"caustic Sodium hydroxide (lye)"}},
		{"a trace of lye", "hand cream", []string{"Distilled water: q.s.", "Sodium hydroxide: 0.01 %"}, []string{"caustic Sodium hydroxide"}},
		{"an acid that eats skin", "toner", []string{"Distilled water: q.s.", "Lactic acid 80 to 90 %: 1 %"}, []string{"caustic Lactic acid 80 to 90 %"}},
		{"soda is not caustic", "foot soak", []string{"Epsom salt: q.s.", "Sodium bicarbonate: 10 %"}, []string{"ingestible-lookalike"}},
		{"clay and starch in one note", "body powder", []string{"Arrowroot powder: q.s.", "Kaolin, white: 20 %"}, []string{"dust Arrowroot powder and Kaolin, white"}},
		{"no dust of a fresh yolk", "hair mask", []string{"Distilled water: q.s.", "Egg yolk: 10 %"}, []string{"slippery Egg yolk"}},
		{"dust that a page tells of", "hand cream", []string{"Distilled water: q.s.", "Page powder: 1 %"}, []string{"dust Page powder"}},
		{"hot fat", "hand cream", []string{"== Oil heat 75 °C", "Fat: 10 %", "== Water heat 75 °C", "Distilled water: q.s."}, []string{"hot Oil (75 °C) and Water (75 °C)"}},
		{"at 60 °C", "hand cream", []string{"== Oil heat 60 °C", "Fat: 100 %"}, []string{"hot Oil (60 °C)"}},
		{"below 60 °C", "hand cream", []string{"== Oil heat 59 °C", "Fat: 100 %"}, nil},
		{"alcohol", "body mist", []string{"Distilled water: q.s.", "Denatured ethanol: 30 %"}, []string{"flammable Denatured ethanol"}},
		{"by flash point", "hand cream", []string{"Plain: q.s.", "Thin oil: 1 %", "Heavy oil: 1 %"}, []string{"flammable Thin oil"}},
		{"oily rags", "body oil", []string{"Fat: q.s.", "Flaxseed oil: 5 %"}, []string{"flammable Flaxseed oil"}},
		{"oil in the bath", "bath oil", []string{"Fat: 100 %"}, []string{"slippery Fat"}},
		{"scent in the bath", "foot soak", []string{"Epsom salt: q.s.", "Scented: 1 %"}, []string{"slippery Scented", "ingestible-lookalike"}},
		{"salt in the bath", "foot soak", []string{"Epsom salt: 100 %"}, []string{"ingestible-lookalike"}},
		{"a scrub without oil", "body scrub", []string{"Sea salt: 100 %"}, []string{"slippery"}},
		{"feet", "foot cream", []string{"Distilled water: q.s.", "Fat: 10 %"}, []string{"slippery Fat"}},
		{"hands", "hand cream", []string{"Distilled water: q.s.", "Fat: 10 %"}, nil},
		{"looks like sweets", "bath fizz", []string{"Sodium bicarbonate: 100 %"}, []string{"ingestible-lookalike"}},
		{"sugar", "foot scrub", []string{"Fat: q.s.", "White sugar: 60 %"}, []string{"slippery Fat", "ingestible-lookalike White sugar"}},
		{"cocoa butter at 10 %", "lotion bar", []string{"Fat: q.s.", "Cocoa butter, natural: 10 %"}, []string{"ingestible-lookalike Cocoa butter, natural"}},
		{"cocoa butter below", "lotion bar", []string{"Fat: q.s.", "Cocoa butter, natural: 9.9 %"}, nil},
		{"on no skin", "wax melt", []string{"Fat: q.s.", "Cocoa butter, natural: 50 %"}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			var got []string
			for _, f := range coded(check.Run(made(t, test.product, test.lines, own...)), dangers...) {
				assert.Equal(t, check.Note, f.Level)
				assert.NotEmpty(t, f.Message)
				assert.NotEmpty(t, f.Mend)
				assert.NotEmpty(t, f.Source)
				got = append(got, f.Code)
				if f.Subject != "" {
					got[len(got)-1] += " " + f.Subject
				}
			}
			assert.Equal(t, test.want, got)
		})
	}
}

func TestHandlingMarksEachLineOnce(t *testing.T) {
	t.Parallel()
	found := coded(check.Run(made(t, "hand cream", []string{"== Oil heat 75 °C", "Beeswax, yellow: 10 %", "Soy container wax blend (candle): 10 %", "== Rest", "Distilled water: q.s."})), "hot")
	require.Len(t, found, 1)
	assert.Equal(t, []int{0, 1}, found[0].Items)
	assert.Contains(t, found[0].Message, "cling")
}

// Every product type that a check names is one of the table, and every caution's code is one of the catalogue.
func TestKnownNames(t *testing.T) {
	t.Parallel()
	for _, name := range check.ProductTypes() {
		assert.True(t, slices.Contains(law.ProductNames(), name), name)
	}
	for _, code := range check.CautionCodes() {
		_, ok := material.Common().Caution(code)
		assert.True(t, ok, code)
	}
}
