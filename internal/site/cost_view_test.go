package site

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/themes/linen"
)

// Costs are shown in the maker's edition alone, and each column's amounts add up to the sums shown.
func TestCosts(t *testing.T) {
	b := demoBook(t)
	theme, err := LoadTheme(linen.FS, nil)
	require.NoError(t, err)
	for _, edition := range []Edition{OpenEdition, MembersEdition} {
		for _, r := range b.Recipes {
			assert.Empty(t, NewBuild(b, edition, theme).costs(r), "%s edition, %s", edition, r.Slug)
		}
	}
	shown := 0
	for _, r := range b.Recipes {
		for _, v := range NewBuild(b, MakerEdition, theme).costs(r) {
			shown++
			require.Len(t, v.Sums, 5)
			for j := range v.Batches {
				sum := quantity.Number{}
				for _, row := range v.Rows {
					if row.Money[j] != "–" {
						sum = sum.Add(parsed(t, row.Money[j]))
					}
				}
				assert.Zero(t, sum.Cmp(parsed(t, v.Sums[0].Money[j])), "%s, %s", r.Slug, v.Version)
				whole := sum
				for _, extra := range v.Sums[1:3] {
					if extra.Money[j] != "–" {
						whole = whole.Add(parsed(t, extra.Money[j]))
					}
				}
				assert.Zero(t, whole.Cmp(parsed(t, v.Sums[3].Money[j])), "%s, %s", r.Slug, v.Version)
			}
			if strings.Contains(strings.Join(v.Missing, " "), "Distilled water") {
				assert.Equal(t, "–", v.Rows[0].Money[0], "what is not known is not shown as free")
			}
		}
	}
	assert.Positive(t, shown)
}
