package browsertest

import (
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The checker is the release that testdata/axe/VERSION.md names, it is really asked, and it says where and why.
func TestBarriers(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "page.html")
	const page = `<!DOCTYPE html><html lang="en"><title>Jars</title><main><h1>Jars</h1><p style="color: #aaa">pale</p><img src="jar.png"></main>`
	require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
	p := Start(t).Open(t, (&url.URL{Scheme: "file", Path: filepath.ToSlash(file)}).String(), View{Width: 360, Script: true})
	found := Barriers(t, p, "tag", ForAll...)
	require.Len(t, found, 2)
	assert.Equal(t, "color-contrast", found[0].Rule)
	assert.Equal(t, "p", found[0].At)
	assert.Contains(t, found[0].Why, "contrast of 2.32")
	assert.Equal(t, "image-alt", found[1].Rule)
	assert.Len(t, Barriers(t, p, "rule", "image-alt"), 1)
	assert.Equal(t, "4.14.1", Ask[string](t, p, `axe.version`))
}
