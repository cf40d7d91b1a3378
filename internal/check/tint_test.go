package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/material"
)

// brown gives a fragrance with so much vanillin by its certificate, "" where it does not say.
func brown(t testing.TB, vanillin string) *material.Material {
	t.Helper()
	m := scent(t, "5A", "5")
	m.Fragrance.Vanillin = nil
	if vanillin != "" {
		v := figure(t, vanillin)
		m.Fragrance.Vanillin = &v
	}
	return m
}

// tint-01: a fragrance with 2.5 % of vanillin at 1 % brings 0.025 %, and the product browns within 24 to 48 hours (common practice, no source).
func TestTint(t *testing.T) {
	t.Parallel()
	listed := scent(t, "5A", "5")
	listed.Fragrance.Vanillin = nil
	listed.Fragrance.Allergens = []material.Constituent{{INCI: "Vanillin", Percent: figure(t, "10")}}
	keeper := &material.Material{ID: "vanilla-stabiliser", Roles: []string{"stabiliser", "solvent"}}
	wax := &material.Material{ID: "cetyl-alcohol", Roles: []string{"fatty-alcohol", "stabiliser"}}
	tests := []struct {
		name  string
		want  []string
		lines []stuff
	}{
		{"tint-01", []string{"will-discolour caution Fudge: 0.025 %"}, []stuff{{"Fudge: 1 %", brown(t, "2.5")}}},
		{"a trace", []string{"will-discolour caution Fudge: 0.00001 %"}, []stuff{{"Fudge: 0.1 %", brown(t, "0.01")}}},
		{"none", nil, []stuff{{"Fudge: 1 %", brown(t, "0")}}},
		{"among the allergens", []string{"will-discolour caution Fudge: 0.1 %"}, []stuff{{"Fudge: 1 %", listed}}},
		{"the substance itself", []string{"will-discolour caution Fudge: 1 %"}, []stuff{{"Fudge: 1 %", isOf("Vanillin")}}},
		{"of two together", []string{"will-discolour caution Fudge and Cake: 0.035 %"}, []stuff{{"Fudge: 1 %", brown(t, "2.5")}, {"Cake: 1 %", brown(t, "1")}}},
		{"stabilised", nil, []stuff{{"Fudge: 1 %", brown(t, "2.5")}, {"Keeper: 1 %", keeper}}},
		{"a stabiliser of emulsions", []string{"will-discolour caution Fudge: 0.025 %"}, []stuff{{"Fudge: 1 %", brown(t, "2.5")}, {"Wax: 1 %", wax}}},
		{"a certificate that does not say", []string{"will-discolour caution Fudge:"}, []stuff{{"Fudge: 1 %", brown(t, "")}}},
		{"an essential oil that does not say", nil, []stuff{{"Fir: 1 %", isOf("Abies Alba Leaf Oil", "essential-oil")}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := compose(t, "body lotion", "0.1 g", []string{"1 kg"}, append(test.lines, stuff{"Water: q.s.", rain()})...)
			got := told(s, "will-discolour")
			assert.Equal(t, test.want, briefs(got))
			for _, f := range got {
				require.NotEmpty(t, f.Items)
				assert.NotEmpty(t, f.Mend)
				if f.Value != "" {
					assert.Contains(t, f.Message, "24 to 48 hours")
				}
			}
		})
	}
}
