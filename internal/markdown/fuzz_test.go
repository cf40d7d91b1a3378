package markdown_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/tools/txtar"

	"larkrow.example/stillroom/internal/markdown"
	"larkrow.example/stillroom/internal/spell"
)

// FuzzBody shows of any body that its page holds only what is allowed, that everything told of it has a place in it,
// and that parsing it again gives the same.
func FuzzBody(f *testing.F) {
	f.Add(recipe)
	f.Add("Take \u202e5.1\u202c g &#8238; :time[\u20665 min]\n")
	for _, body := range hostile(400) {
		f.Add(body)
	}
	paths, err := filepath.Glob(filepath.Join("testdata", "*.txtar"))
	require.NoError(f, err)
	require.NotEmpty(f, paths)
	for _, path := range paths {
		archive, err := txtar.ParseFile(path)
		require.NoError(f, err)
		f.Add(string(archive.Files[0].Data))
	}
	converter := markdown.New()
	f.Fuzz(func(t *testing.T, body string) {
		if len(body) > 1<<14 {
			t.Skip("long bodies are TestHostile's")
		}
		d := converter.Parse(body)
		page, err := d.HTML(echo{})
		require.NoError(t, err)
		assert.NotContains(t, strings.ToLower(string(page)), "<script")
		assert.False(t, strings.ContainsFunc(string(page)+d.Text(), spell.Turns), "what turns the reading direction reaches the page")
		assert.LessOrEqual(t, len(d.Amounts), 500)
		assertSafe(t, string(page))
		assertPlaces(t, body, d)
		again := markdown.New().Parse(body)
		second, err := again.HTML(echo{})
		require.NoError(t, err)
		assert.Equal(t, page, second)
		assert.Equal(t, d.Issues, again.Issues)
		assert.Equal(t, d.Text(), again.Text())
	})
}
