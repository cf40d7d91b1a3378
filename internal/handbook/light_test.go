package handbook_test

import (
	"io/fs"
	"os"
	"sync/atomic"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// A recipe that was put away tells in lists what it tells whole, and is read whole again as it was.
func TestLight(t *testing.T) {
	t.Parallel()
	const drawing = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 5 5"/>`
	twoPictures := fstest.MapFS{ // one beside the page, and one whose name within pictures/ is the same as its whole name
		"handbook.yaml":             {Data: []byte("title: Two\n")},
		"recipes/balm.md":           {Data: []byte("---\ntitle: Balm\nproduct: balm\nshelf: Balms\nsummary: Soft.\nupdated: 2026-05-03\npicture: {file: balm.svg, shows: A tin}\nformula:\n  - phase: All\n    weigh: {Olive oil: q.s.}\n---\nMelt.\n")},
		"recipes/balm.svg":          {Data: []byte(drawing)},
		"pictures/recipes/balm.svg": {Data: []byte(drawing)},
	}
	for name, fsys := range map[string]fs.FS{"two pictures": twoPictures, "the demonstration": os.DirFS("../../content")} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var kept atomic.Int64
			h, problems := handbook.Load(fsys)
			require.Zero(t, problems.Len())
			light, problems := handbook.LoadLight(fsys, handbook.Light{Keep: func(*handbook.Handbook, *handbook.Recipe) { kept.Add(1) }})
			require.Zero(t, problems.Len())
			require.Len(t, light.Recipes, len(h.Recipes))
			assert.Equal(t, int64(len(h.Recipes)), kept.Load())
			for i, want := range h.Recipes {
				got := light.Recipes[i]
				require.NotNil(t, got.Header())
				assert.Empty(t, got.Versions)
				assert.Equal(t, listed(want), listed(got))
				whole, err := light.Whole(got)
				require.NoError(t, err)
				assert.Equal(t, want, whole)
			}
		})
	}
}

// listed gives what lists tell of a recipe.
func listed(r *handbook.Recipe) []any {
	all := []any{r.File, r.Slug, r.Title, r.Summary, r.Access, r.Kind, r.Shelf, r.Product, r.Updated}
	if r.Picture != nil {
		all = append(all, r.Picture.File, r.Picture.Width, r.Picture.Height, r.Picture.Shows)
	}
	return all
}

// A recipe whose file was changed or taken away since is not given as if it were the one that was read.
func TestLightChanged(t *testing.T) {
	t.Parallel()
	fsys := fstest.MapFS{
		"handbook.yaml":   {Data: []byte("title: One\n")},
		"recipes/balm.md": {Data: []byte("---\ntitle: Balm\nproduct: balm\nshelf: Balms\nformula:\n  - phase: All\n    weigh: {Olive oil: q.s.}\n---\nMelt.\n")},
	}
	h, problems := handbook.LoadLight(fsys, handbook.Light{Keep: func(*handbook.Handbook, *handbook.Recipe) {}})
	require.Zero(t, problems.Len())
	fsys["recipes/balm.md"] = &fstest.MapFile{Data: append(fsys["recipes/balm.md"].Data, '.')}
	_, err := h.Whole(h.Recipes[0])
	require.ErrorIs(t, err, handbook.ErrChanged)
	delete(fsys, "recipes/balm.md")
	_, err = h.Whole(h.Recipes[0])
	require.ErrorIs(t, err, handbook.ErrChanged)
}
