package main

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
)

// TestEveryFinding reads a handbook of recipes that nobody should make: every code that a finding can have is found in it, and
// every finding says what to do and, but for what stands to reason, where it is from.
func TestEveryFinding(t *testing.T) {
	t.Parallel()
	var out, said bytes.Buffer
	code := run([]string{"check", filepath.Join("..", "..", "testdata", "handbooks", "findings"), "--json"}, strings.NewReader(""), &out, &said)
	assert.Equal(t, held, code, "there are stops")
	var report struct {
		Problems []checkedProblem
		Findings []checkedFinding
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &report))
	assert.Empty(t, report.Problems)
	levels := map[string]map[string]bool{}
	for _, f := range report.Findings {
		if levels[f.Code] == nil {
			levels[f.Code] = map[string]bool{}
		}
		levels[f.Code][f.Level] = true
		assert.NotEmpty(t, f.Message, "%s in %s", f.Code, f.Recipe)
		assert.NotEmpty(t, f.Mend, "%s in %s", f.Code, f.Recipe)
	}
	for _, want := range check.Codes() {
		if want == "volume-without-density" {
			continue // a volume that cannot be weighed is a problem of the page; see internal/formula
		}
		assert.Contains(t, levels, want, "no recipe shows this finding")
	}
	for _, stop := range []string{"total-not-100", "above-legal-maximum", "banned-substance", "no-preservative", "preservative-ph", "fragrance-above-maximum", "phototoxic", "lye-excess"} {
		assert.True(t, levels[stop]["stop"], "%s is a stop", stop)
	}
}
