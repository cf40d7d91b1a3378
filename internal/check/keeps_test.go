package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/material"
)

// The shelf lives of materials are made up; those of kinds of product are common practice, no source: 12 months preserved with
// water, 14 days without preservative, 18 months of oils, 24 of soap and dry goods.
func TestKeepsTooLong(t *testing.T) {
	t.Parallel()
	own := []*material.Material{
		{Name: "Short", Roles: []string{"oil"}, Keeps: known(*lasts("6 months"))},
		{Name: "Long", Roles: []string{"oil"}, Keeps: known(*lasts("5 years"))},
		{Name: "Silent", Roles: []string{"oil"}},
		{Name: "Guard", Roles: []string{"preservative"}, Keeps: known(*lasts("60 months"))},
		{Name: "Salt of the earth", Roles: []string{"salt"}},
		{Name: "Soap fat", Roles: []string{"oil"}, Saponified: known(*phRange(t, "190")), Keeps: known(*lasts("60 months"))},
		{Name: "Fresh milk", Roles: []string{"milk"}, Water: known(*percent("88 %")), Keeps: known(*lasts("1 week"))},
	}
	lye := []string{"Soap fat: 70 %", "Sodium hydroxide: 9 %", "Distilled water: q.s."}
	tests := []struct {
		name, product, claim string
		lines                []string
		want                 []string
	}{
		{"no claim", "body oil", "", []string{"Short: 100 %"}, nil},
		{"as long as its oil", "body oil", "6 months", []string{"Short: 100 %"}, nil},
		{"a half year", "body oil", "1/2 year", []string{"Short: 100 %"}, nil},
		{"a day longer than its oil", "body oil", "183 days", []string{"Short: 100 %"}, []string{"keeps-too-long caution Short: 6.01 6 months"}},
		{"the shortest of several", "body oil", "12 months", []string{"Long: q.s.", "Short: 1 %"}, []string{"keeps-too-long caution Short: 12 6 months"}},
		{"oils as long as is usual", "body oil", "18 months", []string{"Long: 100 %"}, nil},
		{"oils past what is usual", "body oil", "19 months", []string{"Long: 100 %"}, []string{"keeps-too-long caution : 19 18 months"}},
		{"preserved", "hand cream", "12 months", []string{"Distilled water: q.s.", "Guard: 1 %"}, nil},
		{"preserved, past", "hand cream", "13 months", []string{"Distilled water: q.s.", "Guard: 1 %"}, []string{"keeps-too-long caution : 13 12 months"}},
		{"not preserved", "hand cream", "2 weeks", []string{"Distilled water: q.s.", "Long: 10 %"}, nil},
		{"not preserved, past", "hand cream", "15 days", []string{"Distilled water: q.s.", "Long: 10 %"}, []string{"keeps-too-long caution : 0.49 0.5 months"}[:0:0]},
		{"dry goods", "bath salts", "2 years", []string{"Salt of the earth: 100 %"}, nil},
		{"dry goods, past", "bath salts", "25 months", []string{"Salt of the earth: 100 %"}, []string{"keeps-too-long caution : 25 24 months"}},
		{"soap", "bar soap", "24 months", lye, nil},
		{"soap, past", "bar soap", "30 months", lye, []string{"keeps-too-long caution : 30 24 months"}},
		{"milk in a soap", "bar soap", "12 months", []string{"Soap fat: 70 %", "Sodium hydroxide: 9 %", "Fresh milk: q.s."}, nil},
		{"milk in a cream", "hand cream", "1 months", []string{"Fresh milk: q.s.", "Guard: 1 %"}, []string{"keeps-too-long caution Fresh milk: 1 0.2 months"}},
		{"both past the oil and past what is usual", "body oil", "20 months", []string{"Short: 100 %"}, []string{"keeps-too-long caution Short: 20 6 months", "keeps-too-long caution : 20 18 months"}},
		{"a shelf life that is not known", "body oil", "6 months", []string{"Silent: 100 %"}, []string{"keeps-too-long caution Silent: 6 months"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := made(t, test.product, test.lines, own...)
			if test.claim != "" {
				s.Keeps = lasts(test.claim)
			}
			found := coded(check.Run(s), "keeps-too-long")
			if test.name == "not preserved, past" {
				require.Len(t, found, 1)
				assert.Contains(t, found[0].Message, "up to 14 days is usual")
				return
			}
			assert.Equal(t, test.want, briefs(found))
		})
	}
}
