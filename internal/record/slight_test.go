package record_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/record"
)

// A usual maximum that is passed by what a scale's step makes is a note; past the tolerance, past the law, by more than a twentieth, or where the
// recipe itself passes it or asks for less, it stays what it is.
func TestUsualMaximumPassedSlightly(t *testing.T) {
	t.Parallel()
	const blend, water = "blend: {target: 2.00 g, weighed: 2.00 g", "weighed: 150.02 g"
	for _, row := range []struct {
		name      string
		swaps     []string
		tolerance string
		code      string
		level     check.Level
	}{
		{"a step of the scale", []string{blend, "blend: {target: 2.00 g, weighed: 2.02 g"}, "1 %", "above-usual-maximum", check.Note},
		{"past the tolerance", []string{blend, "blend: {target: 2.00 g, weighed: 2.10 g"}, "1 %", "above-usual-maximum", check.Caution},
		{"past the law", []string{blend, "blend: {target: 2.00 g, weighed: 2.80 g"}, "1 %", "above-legal-maximum", check.Stop},
		{"less of the others", []string{water, "weighed: 138.00 g"}, "1 %", "above-usual-maximum", check.Caution},
		{"a target that is not the recipe's", []string{blend, "blend: {target: 2.06 g, weighed: 2.06 g"}, "1 %", "above-usual-maximum", check.Caution},
		{"a wide tolerance", []string{blend, "blend: {target: 2.00 g, weighed: 2.15 g"}, "10 %", "above-usual-maximum", check.Caution},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			files := cream(t, row.swaps...)
			files["handbook.yaml"] = "title: The Larkrow stillroom\nshelves: [Creams]\ncurrency: pounds\nscales: [{reads: 0.01 g, up-to: 200 g}, {reads: 1 g}]\ntolerance: " + row.tolerance + "\n"
			h, _ := handbook.Load(shop(files))
			require.Len(t, h.Records, 1)
			b := record.Of(h, h.Records[0])
			require.True(t, b.Tested)
			found := false
			for i, f := range b.Findings {
				assert.True(t, i == 0 || f.Level != check.Stop || b.Findings[i-1].Level == check.Stop, "worst first")
				if f.Code == row.code && f.Subject != "" {
					found = true
					assert.Equal(t, row.level, f.Level, f.Message)
					assert.Equal(t, row.level == check.Note, strings.HasSuffix(f.Message, " It was weighed within the tolerance."), f.Message)
				}
			}
			assert.True(t, found, "%v", b.Findings)
		})
	}
}
