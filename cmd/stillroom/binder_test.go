package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// Where no browser is installed, the HTML file is written, and what to install is told.
func TestBinderWithoutBrowser(t *testing.T) {
	book, err := filepath.Abs(handbooks + "/hedgerow")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	t.Setenv("PATH", t.TempDir())
	for _, args := range [][]string{{"binder", book}, {"binder", "--sheet", "gate-balm", "250g", "--in", book}} {
		var said bytes.Buffer
		assert.Equal(t, done, run(args, strings.NewReader(""), &said, &said))
		assert.Contains(t, said.String(), "no PDF was made: no Chromium-family browser is on PATH\n  what to do: install the package chromium")
	}
	assert.FileExists(t, "binder.html")
	assert.FileExists(t, "sheet.html")
	assert.NoFileExists(t, "binder.pdf")
	assert.NoFileExists(t, "binder.json")
}

// Sheets to replace are told by what was printed last.
func TestBinderChanged(t *testing.T) {
	browsertest.Need(t)
	book, err := filepath.Abs(handbooks + "/hedgerow")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.CopyFS("content", os.DirFS(book)))
	again := func(want int, args ...string) string {
		var out, said bytes.Buffer
		assert.Equal(t, want, run(append([]string{"binder", "--recipe", "gate-balm"}, args...), strings.NewReader(""), &out, &said), said.String())
		return out.String() + said.String()
	}
	assert.Contains(t, again(unreadable, "--changed"), "what to do: print the whole binder once, without --changed")
	assert.Contains(t, again(done), "binder.pdf written")
	assert.Contains(t, again(done, "--changed"), "no sheet changed")
	assert.NoFileExists(t, "binder-changed.pdf")
	page, err := os.ReadFile("content/recipes/gate-balm.md")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("content/recipes/gate-balm.md", append(page, "\nLet it stand.\n"...), 0o644))
	assert.Contains(t, again(done, "--changed"), "Gate balm (changed): take out 5–6, put in 5–6\n")
	raw, err := os.ReadFile("binder-changed.pdf")
	require.NoError(t, err)
	assert.Equal(t, "%PDF", string(raw[:4]))
}
