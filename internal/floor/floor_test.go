package floor

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The floor writes the files that a build wrote, each as long, with the bodies' HTML in the pages.
func TestBuild(t *testing.T) {
	percent := debug.SetGCPercent(100)
	limit := debug.SetMemoryLimit(-1)
	t.Cleanup(func() { debug.SetGCPercent(percent); debug.SetMemoryLimit(limit) })
	handbook, built, out := t.TempDir(), t.TempDir(), filepath.Join(t.TempDir(), "out")
	put := func(dir, name, text string) {
		file := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
	put(handbook, "recipes/jars/cream.md", "---\ntitle: Cream\n---\nStir ~~slowly~~ *well*.\n")
	put(handbook, "notes/maker.md", "---\ntitle: Not published\n---\nKept *here*.\n")
	put(handbook, "handbook.yaml", "title: Jars\n")
	put(built, "recipes/cream/index.html", string(bytes.Repeat([]byte("x"), 300)))
	put(built, "recipes/cream/formula.json", string(bytes.Repeat([]byte("x"), 200_000)))
	put(built, "index.html", "<html>")
	put(built, "empty.txt", "")

	plan := filepath.Join(t.TempDir(), "plan")
	require.NoError(t, Plan(built, plan))
	require.NoError(t, Build(handbook, plan, out))
	page, err := os.ReadFile(filepath.Join(out, "recipes/cream/index.html"))
	require.NoError(t, err)
	assert.Len(t, page, 300)
	assert.Contains(t, string(page), "<p>Stir <del>slowly</del> <em>well</em>.</p>")
	for name, size := range map[string]int64{"recipes/cream/formula.json": 200_000, "index.html": 6, "empty.txt": 0} {
		info, err := os.Stat(filepath.Join(out, name))
		require.NoError(t, err)
		assert.Equal(t, size, info.Size(), name)
	}
	assert.NoFileExists(t, filepath.Join(out, "notes/maker/index.html"))
	assert.Error(t, Build(filepath.Join(handbook, "gone"), plan, out))
	assert.Error(t, Build(handbook, filepath.Join(out, "gone"), out))
}
