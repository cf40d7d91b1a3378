package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/check"
)

// Water is that of the catalogue: fresh goat milk 87 %, honey 17 % (both from memory).
func TestSpoils(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, product string
		lines         []string
		want          []string
	}{
		{"milk in a lotion", "body lotion", []string{"Distilled water: q.s.", "Goat milk, liquid: 10 %"}, []string{"spoils caution Goat milk, liquid: 10 %"}},
		{"milk in two lines", "body lotion", []string{"Distilled water: q.s.", "Goat milk, liquid: 4 %", "Goat milk, liquid: 6 %"}, []string{"spoils caution Goat milk, liquid: 10 %"}},
		{"dried milk in a lotion", "body lotion", []string{"Distilled water: q.s.", "Goat milk powder: 1 %"}, []string{"spoils caution Goat milk powder: 1 %"}},
		{"dried milk in the bath", "milk bath", []string{"Goat milk powder: 60 %", "Sodium bicarbonate: 40 %"}, nil},
		{"honey in a lotion", "body lotion", []string{"Distilled water: q.s.", "Honey: 1 %"}, []string{"spoils caution Honey: 1 %"}},
		{"honey in a balm: 4.93 % of water", "balm", []string{"Sunflower oil, high oleic: q.s.", "Honey: 29 %"}, nil},
		{"honey in a balm: 5.1 % of water", "balm", []string{"Sunflower oil, high oleic: q.s.", "Honey: 30 %"}, []string{"spoils caution Honey: 30 %"}},
		{"dry oats in a lotion", "body lotion", []string{"Distilled water: q.s.", "Colloidal oatmeal: 2 %"}, nil},
		{"vinegar keeps", "toner", []string{"Distilled water: q.s.", "Vinegar (5 %): 10 %"}, nil},
		{"milk in a soap", "bar soap", []string{"Olive oil: 70 %", "Sodium hydroxide: 9 %", "Goat milk, liquid: q.s."}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, test.want, briefs(coded(check.Run(made(t, test.product, test.lines)), "spoils")))
		})
	}
}
