package record_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/record"
)

// What is accepted of the recipe is accepted of a batch that is no worse, and of no other: a slip on the scale was not what the maker looked at.
func TestAcceptedOnlyAsFarAsTheRecipe(t *testing.T) {
	t.Parallel()
	const blend = "blend: {target: 2.00 g, weighed: 2.00 g"
	// The recipe takes 1.2 % of the blend, which brings 1.08 % of phenoxyethanol; the law allows 1 %.
	for _, row := range []struct {
		weighed, code        string
		accepted, fresh, has bool
	}{
		{"2.40 g", "above-legal-maximum", true, false, true},
		{"2.42 g", "above-legal-maximum", true, false, true},
		{"2.60 g", "above-legal-maximum", false, true, true},
		{"24.0 g", "above-legal-maximum", false, true, true},
		{"2.00 g", "above-legal-maximum", false, false, false},
		{"0.40 g", "below-usual-minimum", false, true, true},
	} {
		t.Run(row.weighed, func(t *testing.T) {
			t.Parallel()
			files := shop(cream(t, blend, "blend: {target: 2.40 g, weighed: "+row.weighed))
			recipe := files["recipes/cream.md"]
			recipe.Data = bytes.Replace(recipe.Data, []byte("blend: 1 %}"), []byte("blend: 1.2 %}"), 1)
			recipe.Data = bytes.Replace(recipe.Data, []byte("fill:"), []byte("accept:\n  - {finding: above-legal-maximum, because: the supplier says 80 %}\n"+
				"  - {finding: below-usual-minimum, because: not for this}\nfill:"), 1)
			h, _ := handbook.Load(files)
			require.Len(t, h.Records, 1)
			b := record.Of(h, h.Records[0])
			require.True(t, b.Tested)
			has := false
			for i, f := range b.Findings {
				if f.Code == row.code {
					has = true
					assert.Equal(t, check.Stop, f.Level)
					assert.Equal(t, row.accepted, f.Accepted != "", f.Message)
					assert.Equal(t, row.fresh, b.New[i], f.Message)
				}
			}
			assert.Equal(t, row.has, has, "%v", b.Findings)
			assert.Equal(t, row.has && !row.accepted, len(b.Stops()) > 0)
		})
	}
}
