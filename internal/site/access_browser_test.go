package site

import (
	"bytes"
	"io/fs"
	"os"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// demoAt gives the demonstration's files with another address in handbook.yaml, so that its pages lead to where a test serves them.
func demoAt(t testing.TB, address string) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	root := os.DirFS(demoFolder)
	require.NoError(t, fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(root, name)
		files[name] = &fstest.MapFile{Data: raw}
		return err
	}))
	const own = "address: https://larkrow.example/handbook/"
	settings := files["handbook.yaml"].Data
	require.Contains(t, string(settings), own)
	files["handbook.yaml"] = &fstest.MapFile{Data: bytes.Replace(settings, []byte(own), []byte("address: "+address), 1)}
	return files
}

// hostDemo serves an edition of the demonstration at the address that it says is its own.
func hostDemo(t testing.TB, edition Edition) *doorHost {
	t.Helper()
	h := serve(t, t.TempDir())
	buildInto(t, demoAt(t, h.at("")), edition, h.dir)
	return h
}

// assertOpenToAll looks at a page as it is shown on a phone and at a desk, by day and by night, and fails where something on it is out of
// some readers' reach. Of what can differ by night only the colours do.
func assertOpenToAll(t *testing.T, p *browsertest.Page, page string) {
	t.Helper()
	for _, width := range []int64{360, 1280} {
		p.Resize(t, width)
		p.Prefer(t, "prefers-color-scheme", "light")
		assert.Empty(t, browsertest.Barriers(t, p, "tag", browsertest.ForAll...), "%s, %d wide", page, width)
	}
	p.Prefer(t, "prefers-color-scheme", "dark")
	assert.Empty(t, browsertest.Barriers(t, p, "rule", "color-contrast", "link-in-text-block"), "%s by night", page)
}

// Every kind of page, where it is richest, can be used by everyone as far as a program can tell: axe-core finds nothing by the rules of
// WCAG 2.0 to 2.2 at levels A and AA, nor by good practice.
func TestPagesAreOpenToAll(t *testing.T) {
	b := browsertest.Start(t)
	for edition, pages := range map[Edition][]string{
		OpenEdition: {
			"index.html", "404.html", findPath, "shelves/creams-lotions/index.html", "recipes/hedgerow-hand-cream/index.html", "recipes/larkrow-bar/index.html",
			ingredientsPath, "ingredients/glycerin/index.html", notesPath, "notes/working-safely-with-lye/index.html", "recipes/first-frost-body-butter/index.html",
		},
		MakerEdition: {"recipes/hedgerow-hand-cream/index.html", "ingredients/glycerin/index.html", "batches/index.html", "batches/hhc-260609-1/index.html", "stock/index.html"},
	} {
		h := hostDemo(t, edition)
		p := b.Open(t, "about:blank", browsertest.View{Width: 360, Script: true})
		for _, page := range pages {
			require.FileExists(t, h.dir+"/"+page)
			p.Go(t, h.at(page))
			p.Wait(t, `document.readyState === 'complete'`)
			assertOpenToAll(t, p, string(edition)+": "+page)
		}
	}
}

// The door, what it says of a slip, and the page behind it.
func TestDoorIsOpenToAll(t *testing.T) {
	b := browsertest.Start(t)
	d := newDoorway(t)
	h := serve(t, d.publish(t, d.door, d.members...))
	p := b.Open(t, h.at(nightPage), browsertest.View{Width: 360, Script: true})
	typeCode(t, p, "ABCDE")
	assert.Equal(t, "unlike", said(t, p))
	assertOpenToAll(t, p, "a slip at the door")
	typeCode(t, p, d.codes[0].String())
	p.Wait(t, isOpen)
	assertOpenToAll(t, p, "an opened page")
	search(t, p, "perch")
	assertOpenToAll(t, p, "an opened page, and what a search found")
}
