package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// cream is a cream of the catalogue's materials in three batches.
func cream(t testing.TB) *check.Subject {
	var lines []dosed
	for name, percent := range map[string]string{
		"Glycerin": "3", "Sodium lactate 60 %": "2", "Sunflower oil, high oleic": "12", "Shea butter, refined": "5", "Emulsifying wax NF": "6", "Cetyl alcohol": "2",
		"Phenoxyethanol & ethylhexylglycerin blend": "1", "Lavender essential oil": "0.3", "Sweet orange essential oil": "0.2", "Xanthan gum": "0.3", "Sodium gluconate": "0.2",
	} {
		m := material.Common().Find(name)
		require.NotNil(t, m, name)
		lines = append(lines, dosed{m, decimal(t, percent)})
	}
	s := sold(t, productOf(t, "hand cream"), lines...)
	s.Index = material.NewIndex(nil).Over(material.Common())
	for _, text := range []string{"250 g", "32 oz", "1 kg"} {
		b, err := quantity.ParseBatch(text)
		require.NoError(t, err)
		sized, err := s.Version.Size(b, nil)
		require.NoError(t, err)
		s.Batches = append(s.Batches, check.Batch{Written: text, Sized: sized, Column: s.Version.Weigh(sized, s.Scale)})
	}
	return s
}

func BenchmarkLawful(b *testing.B) {
	s := cream(b)
	check.Lawful(s) // reads the tables, once
	b.ReportAllocs()
	for b.Loop() {
		check.Lawful(s)
	}
}

func BenchmarkAllergens(b *testing.B) {
	s := cream(b)
	check.Allergens(s)
	b.ReportAllocs()
	for b.Loop() {
		check.Allergens(s)
	}
}

// What stands in every cupboard is no cause for a finding of the law in any product.
func TestLegalOrdinary(t *testing.T) {
	t.Parallel()
	ordinary := []string{
		"Distilled water", "Glycerin", "Sunflower oil, high oleic", "Olive oil", "Coconut oil, refined", "Shea butter, refined", "Cocoa butter, natural", "Beeswax, yellow", "Jojoba oil",
		"Castor oil", "Citric acid", "Lactic acid 80 to 90 %", "Sodium lactate 60 %", "Vitamin E oil (mixed tocopherols)", "Xanthan gum", "Cetyl alcohol", "Emulsifying wax NF", "Polysorbate 80",
		"Phenoxyethanol & ethylhexylglycerin blend", "Potassium sorbate", "Sodium benzoate", "Sodium bicarbonate", "Epsom salt", "Kaolin, white", "Pink clay", "Iron oxide, red",
		"Zinc oxide (non-nano)", "Lavender essential oil", "Sweet orange essential oil", "Peppermint essential oil", "Tea tree essential oil", "Cedarwood essential oil, Atlas",
		"Decyl glucoside", "Cocamidopropyl betaine", "Sodium gluconate", "D-panthenol 75 % liquid", "Allantoin", "Squalane", "Arrowroot powder", "Colloidal oatmeal", "Rosemary antioxidant",
	}
	found := 0
	for _, name := range ordinary {
		m := material.Common().Find(name)
		if !assert.NotNil(t, m, name) {
			continue
		}
		for _, kind := range law.ProductNames() {
			if m.Has("colourant") && (kind == "body powder" || kind == "body mist" || kind == "perfume") {
				continue // not where it may be breathed in
			}
			assert.Empty(t, lawful(sold(t, productOf(t, kind), dosed{m, decimal(t, "0.5")})), "%s in %s", name, kind)
			found++
		}
	}
	assert.Greater(t, found, 1000)
}
