package handbook_test

import (
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"golang.org/x/tools/txtar"
)

// baseSettings is the handbook.yaml of tests that bring none.
const baseSettings = "title: The Larkrow stillroom\nshelves: [Creams, Soaps]\n"

// baseMaterial is an ingredient that every test has beside its own.
const baseMaterial = `---
name: Sunflower oil
also: [Helianthus oil]
role: oil
density: 0.92 g/ml
---
`

// base is the least handbook without problems; a test lays its files over it.
func base() fstest.MapFS {
	return fstest.MapFS{
		"handbook.yaml":                {Data: []byte(baseSettings)},
		"ingredients/sunflower-oil.md": {Data: []byte(baseMaterial)},
		"pictures/hedgerow.svg":        {Data: []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 80"/>`)},
	}
}

// with lays files over the base handbook: pairs of a file and its text.
func with(pairs ...string) fstest.MapFS {
	files := base()
	for i := 0; i < len(pairs); i += 2 {
		files[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
	}
	return files
}

// goodPage gives a page of the handbook in testdata/good.txtar, which has every field.
func goodPage(t testing.TB, file string) string {
	t.Helper()
	for _, f := range goodFiles(t) {
		if f.Name == file {
			return string(f.Data)
		}
	}
	require.Fail(t, "testdata/good.txtar has no part "+file)
	return ""
}

func goodFiles(t testing.TB) []txtar.File {
	t.Helper()
	a, err := txtar.ParseFile("testdata/good.txtar")
	require.NoError(t, err)
	return a.Files
}

// badFiles gives the files of the archives of bad input.
func badFiles(t testing.TB) []txtar.File {
	t.Helper()
	paths, err := filepath.Glob("testdata/bad/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	var all []txtar.File
	for _, path := range paths {
		a, err := txtar.ParseFile(path)
		require.NoError(t, err)
		all = append(all, a.Files...)
	}
	return all
}
