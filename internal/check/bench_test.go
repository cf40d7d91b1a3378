package check_test

import (
	"strings"
	"testing"

	"larkrow.example/stillroom/internal/check"
)

// One version of a cream with a page of text, four batches and eighteen ingredients.
func BenchmarkRun(b *testing.B) {
	s := made(b, "hand cream", []string{
		"== Water heat 75 °C", "Distilled water: q.s.", "Vegetable glycerin: 4 %", "Xanthan gum: 0.3 %", "Allantoin: 0.3 %", "Sodium gluconate: 0.2 %",
		"== Oil heat 75 °C", "Sunflower oil, high oleic: 10 %", "Shea butter, refined: 5 %", "Cetyl alcohol: 2 %", "Stearic acid: 1 %", "Olive emulsifying wax: 5 %",
		"== Cool-down below 40 °C", "Phenoxyethanol & ethylhexylglycerin blend: 1 %", "Hydrolyzed oat protein: 2 %", "Lavender essential oil: 0.3 %",
	})
	s.PH, s.Keeps = phRange(b, "5–5.5"), lasts("6 months")
	s.Words = strings.Repeat("Stir the cream now and then until it has cooled, and look for grains: it sets overnight.\n\n1. Weigh 3 g of it.\n", 25)
	for _, written := range []string{"250 g", "1 kg", "32 oz", "3 lb"} {
		s.Batches = append(s.Batches, weighed(b, s, written))
	}
	b.ReportAllocs()
	for b.Loop() {
		check.Run(s)
	}
}
