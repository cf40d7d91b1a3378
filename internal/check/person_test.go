package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/material"
)

// Cautions are those of the catalogue, or made up.
func TestPerson(t *testing.T) {
	t.Parallel()
	own := []*material.Material{
		{Name: "Scent", Roles: []string{"fragrance"}, Cautions: []string{"Irritating undiluted; gloves and an open window.", "Keep away from eyes."}},
		{Name: "Bench", Roles: []string{"preservative"}, Cautions: []string{"Strong undiluted: gloves, and keep it out of the eyes."}},
		{Name: "Page oil", Roles: []string{"oil"}, Cautions: []string{"Not for infants; usual advice keeps essential oils away from babies."}},
		{Name: "Locked", Roles: []string{"acid"}, Cautions: []string{"Keep dry, sealed and locked away from children."}},
		{Name: "Balsam", Roles: []string{"botanical"}, Cautions: []string{"Not for lips."}},
	}
	const salicylic, nappy = "Benzyl alcohol, salicylic acid, glycerin & sorbic acid blend", "Phenoxyethanol & parabens blend"
	tests := []struct {
		name, product, line string
		want                []string
	}{
		{"an essential oil on a baby", "baby lotion", "Lavender essential oil", []string{"infant caution Lavender essential oil: 1 %"}},
		{"and on a hand", "hand cream", "Lavender essential oil", nil},
		{"a page's words", "baby wash", "Page oil", []string{"infant caution Page oil: 1 %"}},
		{"what is to be locked away", "baby lotion", "Locked", nil},
		{"by law", "baby lotion", salicylic, []string{"infant stop " + salicylic + ": 1 %"}},
		{"left on, and rinsed off", "baby wash", nappy, nil},
		{"left on, for the nappy area", "baby lotion", nappy, []string{"infant caution " + nappy + ": 1 %"}},
		{"keep away from eyes", "face cream", "Scent", []string{"eye-area caution Scent: 1 %"}},
		{"and on the body", "body lotion", "Scent", nil},
		{"a caution for the bench", "face cream", "Bench", nil},
		{"not for the face", "face mask", "Pumice, fine powder", []string{"eye-area caution Pumice, fine powder: 1 %"}},
		{"poison on lips", "lip balm", "Neem oil", []string{"lips caution Neem oil: 1 %"}},
		{"not for lips", "lip balm", "Balsam", []string{"lips caution Balsam: 1 %"}},
		{"and on hands", "hand cream", "Balsam", nil},
		{"for lips by law", "lip balm", "Diazolidinyl urea & iodopropynyl butylcarbamate blend", []string{"lips stop Diazolidinyl urea & iodopropynyl butylcarbamate blend: 1 %"}},
		{"a mint that is made for lips", "lip balm", "Spearmint essential oil", nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := made(t, test.product, []string{"Caprylic/capric triglyceride: q.s.", test.line + ": 1 %"}, own...)
			found := coded(check.Run(s), "infant", "eye-area", "lips")
			assert.Equal(t, test.want, briefs(found))
			for _, f := range found {
				assert.Equal(t, []int{1}, f.Items)
			}
		})
	}
	found := coded(check.Run(made(t, "baby lotion", []string{"Distilled water: q.s.", salicylic + ": 1 %"})), "infant")
	require.Len(t, found, 1)
	assert.Equal(t, "EU", found[0].Market)
	assert.Equal(t, "EU Reg. 1223/2009, from memory", found[0].Source)
}
