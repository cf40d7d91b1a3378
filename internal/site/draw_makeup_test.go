package site

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/quantity"
)

// The lengths of the bar make its whole width, and every phase is told in words with its percent.
func TestDrawMakeUp(t *testing.T) {
	b := demoBook(t)
	drawn := 0
	for _, r := range b.Recipes {
		for _, v := range r.Versions {
			piece := string(drawMakeUp(v, english()))
			if len(v.Phases) < 2 {
				assert.Empty(t, piece)
				continue
			}
			drawn++
			checkBalance(t, piece)
			sum := quantity.Number{}
			for _, p := range phasePercents(v) {
				sum = sum.Add(p)
			}
			assert.Zero(t, sum.Cmp(quantity.Int(100)), r.Slug)
			assert.Equal(t, len(v.Phases), strings.Count(piece, "<rect "))
			assert.Equal(t, 1, strings.Count(piece, `role="img" aria-label="By phase: `))
		}
	}
	assert.Positive(t, drawn)
}

func TestDrawRates(t *testing.T) {
	number := func(s string) *quantity.Number {
		n, err := quantity.ParseNumber(s)
		require.NoError(t, err)
		return &n
	}
	got := string(drawRates([]check.Rate{
		{Name: "Wax <b>", Percent: *number("5"), From: number("2"), To: number("8"), Source: "common practice"},
		{Name: "Scent", Percent: *number("2"), To: number("1")},
		{Name: "Clay", Percent: *number("1"), From: number("3")},
	}, english()))
	checkBalance(t, got)
	assert.Contains(t, got, "Wax &lt;b&gt;")
	assert.NotContains(t, got, "<b>")
	// The track is 200 long and ends at 8 × 5/4 = 10 %: usual from 40, 120 long, taken at 100.
	assert.Contains(t, got, `<rect class="usual" x="40" y="3" width="120" height="8"/><path class="taken" d="M100 0V14"/>`)
	assert.Contains(t, got, `aria-label="5 % of Wax &lt;b&gt;; usual is 2–8 %"`)
	assert.Equal(t, 2, strings.Count(got, `<tr class="out">`), "what is past a limit or short of one is marked")
	assert.Contains(t, got, "up to 1 %")
	assert.Contains(t, got, "from 3 %")
	assert.Empty(t, drawRates(nil, english()))
}
