package quantity

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestEverySpellingIsChecked holds testdata/units.csv complete: it must name every spelling that is read.
func TestEverySpellingIsChecked(t *testing.T) {
	t.Parallel()
	f, err := os.Open("testdata/units.csv")
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	listed := make(map[string]bool)
	for _, r := range records[1:] {
		for _, name := range strings.Split(r[1], "|") {
			listed[name] = true
		}
	}
	require.NotEmpty(t, units)
	for name := range units {
		assert.True(t, listed[name], "the spelling %q stands in no row", name)
	}
	for word := range refusedUnits {
		assert.NotContains(t, units, word, "a word that is refused cannot be a unit")
	}
}
