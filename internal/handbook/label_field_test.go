package handbook_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// A label names a soap by what goes in unless the recipe asks for what comes out.
func TestLabelField(t *testing.T) {
	for field, made := range map[string]bool{"": false, "label: as weighed\n": false, "label: as made\n": true, "label: As made\n": true} {
		page := "---\ntitle: Bar\nproduct: bar soap\nshelf: Soap\n" + field +
			"formula:\n  - phase: Pot\n    weigh: {Olive oil: 80 %, Sodium hydroxide: 8 %, Distilled water: 12 %}\n---\n"
		h, problems := handbook.Load(fstest.MapFS{
			"handbook.yaml":  {Data: []byte("title: Larkrow\n")},
			"recipes/bar.md": {Data: []byte(page)},
		})
		require.NoError(t, problems.Err(), field)
		require.Len(t, h.Recipes, 1)
		assert.Equal(t, made, h.Recipes[0].AsMade, field)
		worked := h.Work(h.Recipes[0])
		require.NotEmpty(t, worked)
		assert.Equal(t, made, worked[0].Made, field)
	}
}
