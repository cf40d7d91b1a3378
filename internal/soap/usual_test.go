package soap_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// The limits are common practice, no source: just inside, at, and just past each of them.
func TestUsual(t *testing.T) {
	t.Parallel()
	olive := fat(t, "Olive oil", "100", "190")
	coconut := fat(t, "Coconut oil", "100", "256.5")
	coconut.INCI = "Cocos Nucifera (Coconut) Oil"
	citric := soap.Fat{Name: "Citric acid", Weight: quantity.Int(1), Saponified: interval(t, "876"), Acid: true}
	tests := []struct {
		name              string
		fats              []soap.Fat
		sodium, potassium int64 // share of the fat
		superfat          string
		solution          string
		superfatUnusual   bool
		strengthUnusual   bool
	}{
		{"a usual bar", []soap.Fat{olive}, 100, 0, "5", "33", false, false},
		{"a bar at its least", []soap.Fat{olive}, 100, 0, "3", "25", false, false},
		{"a bar at its most", []soap.Fat{olive}, 100, 0, "8", "40", false, false},
		{"just under a bar", []soap.Fat{olive}, 100, 0, "2.999", "24.999", true, true},
		{"just past a bar", []soap.Fat{olive}, 100, 0, "8.001", "40.001", true, true},
		{"coconut alone at its least", []soap.Fat{coconut}, 100, 0, "15", "33", false, false},
		{"coconut alone at its most, with an acid", []soap.Fat{coconut, citric}, 100, 0, "20", "33", false, false},
		{"coconut alone, just under", []soap.Fat{coconut}, 100, 0, "14.999", "33", true, false},
		{"coconut alone, just past", []soap.Fat{coconut}, 100, 0, "20.001", "33", true, false},
		{"coconut with another fat", []soap.Fat{coconut, olive}, 100, 0, "15", "33", true, false},
		{"liquid soap at its least", []soap.Fat{olive}, 0, 100, "0", "25", false, false},
		{"liquid soap at its most", []soap.Fat{olive}, 0, 100, "5", "35", false, false},
		{"just past liquid soap", []soap.Fat{olive}, 0, 100, "5.001", "35.001", true, true},
		{"both alkalis, as liquid soap", []soap.Fat{olive}, 60, 40, "0", "40", false, false},
		{"both alkalis, as a bar", []soap.Fat{olive}, 60, 40, "8", "25", false, false},
		{"both alkalis, just past", []soap.Fat{olive}, 60, 40, "8.001", "40.001", true, true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			b := soap.Block{Superfat: num(t, test.superfat)}
			water, err := soap.WaterFor(num(t, test.solution))
			require.NoError(t, err)
			b.Water = water
			for a, share := range map[soap.Alkali]int64{soap.Sodium: test.sodium, soap.Potassium: test.potassium} {
				if share > 0 {
					b.Alkalis = append(b.Alkalis, soap.Use{Alkali: a, Share: quantity.Int(share), Purity: quantity.Int(95)})
				}
			}
			r, err := soap.Solve(b, test.fats)
			require.NoError(t, err)
			assert.Equal(t, test.superfatUnusual, r.SuperfatUnusual(), "usual: %s", r.UsualSuperfat())
			assert.Equal(t, test.strengthUnusual, r.StrengthUnusual(), "usual: %s", r.UsualStrength())
		})
	}
}
