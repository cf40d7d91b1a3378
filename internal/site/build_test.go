package site

import (
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/tools/txtar"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
)

// The handbooks that the tests build: the demonstration, and a small one whose figures the format's description prints.
const (
	demoFolder     = "../../content"
	hedgerowFolder = "../../testdata/handbooks/hedgerow"
)

// bookIn reads a handbook and works it out; any problem fails the test.
func bookIn(t testing.TB, fsys fs.FS) *Book {
	t.Helper()
	h, problems := handbook.Load(fsys)
	b := Prepare(h, problems)
	require.Empty(t, problemTexts(problems))
	return b
}

// demoBook is the demonstration, read and prepared once; its recipes are worked out when somebody asks.
func demoBook(t testing.TB) *Book {
	t.Helper()
	b, problems := demonstration()
	require.Empty(t, problems)
	return b
}

var demonstration = sync.OnceValues(func() (*Book, []string) {
	h, problems := handbook.Load(os.DirFS(demoFolder))
	b := Prepare(h, problems)
	return b, problemTexts(problems)
})

func problemTexts(problems *problem.List) []string {
	var texts []string
	for _, p := range problems.All() {
		texts = append(texts, p.Text())
	}
	return texts
}

// filesIn gives the files of an archive under testdata/ as a folder.
func filesIn(t testing.TB, name string) fstest.MapFS {
	t.Helper()
	a, err := txtar.ParseFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	require.NotEmpty(t, a.Files)
	fsys := fstest.MapFS{}
	for _, f := range a.Files {
		fsys[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	return fsys
}

// buildInto builds an edition of a handbook into a folder.
func buildInto(t testing.TB, fsys fs.FS, edition Edition, dir string) Tally {
	t.Helper()
	tree, err := OpenTree(dir, edition)
	require.NoError(t, err)
	defer tree.Close()
	build := NewBuild(bookIn(t, fsys), edition, defaultTheme(t))
	done := 0
	tally, err := build.Write(t.Context(), tree, nil, func(file string) ([]byte, error) { return fs.ReadFile(fsys, file) }, counter(&done))
	require.NoError(t, err)
	assert.Equal(t, len(build.Paths()), done, "each file is counted off once")
	assert.Equal(t, len(build.Paths()), tally.Files)
	return tally
}

// filesOf reads a folder: path → content.
func filesOf(t testing.TB, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	root := os.DirFS(dir)
	require.NoError(t, fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(root, name)
		files[name] = string(raw)
		return err
	}))
	return files
}

// sameFiles compares two folders file by file, so that a difference is told by its name and not by all bytes.
func sameFiles(t *testing.T, want, got map[string]string) {
	t.Helper()
	assert.Equal(t, slices.Sorted(maps.Keys(want)), slices.Sorted(maps.Keys(got)))
	for name := range want {
		if want[name] != got[name] {
			assert.Fail(t, "the bytes differ", name)
		}
	}
}

// Two builds of one handbook, in different folders and on another number of cores, give the same bytes; a build over
// the other gives no work.
func TestBuildIsReproducible(t *testing.T) {
	for name, folder := range map[string]string{"demonstration": demoFolder, "hedgerow": hedgerowFolder} {
		t.Run(name, func(t *testing.T) {
			fsys := os.DirFS(folder)
			one, two := t.TempDir(), filepath.Join(t.TempDir(), "deep", "er")
			before := runtime.GOMAXPROCS(1)
			first := buildInto(t, fsys, MakerEdition, one)
			runtime.GOMAXPROCS(8)
			buildInto(t, fsys, MakerEdition, two)
			runtime.GOMAXPROCS(before)
			assert.Equal(t, first.Files, first.Changed)
			sameFiles(t, filesOf(t, one), filesOf(t, two))

			again := buildInto(t, fsys, MakerEdition, two)
			assert.Equal(t, Tally{Files: first.Files}, again)
		})
	}
}

// What a build writes are the files that the format names, and no other.
func TestBuildWritesWhatIsNamed(t *testing.T) {
	dir := t.TempDir()
	buildInto(t, os.DirFS(hedgerowFolder), OpenEdition, dir)
	var names []string
	for name := range filesOf(t, dir) {
		if filepath.Dir(filepath.ToSlash(name)) != "assets" && filepath.Dir(filepath.ToSlash(name)) != "assets/fonts" {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	assert.Equal(t, []string{
		".stillroom.json", "404.html", "find/index.html", "index.html",
		"ingredients/cedarwood-fragrance/index.html", "ingredients/cocoa-butter/index.html", "ingredients/distilled-water/index.html",
		"ingredients/emulsifying-wax/index.html", "ingredients/glycerin/index.html", "ingredients/index.html",
		"ingredients/phenoxyethanol-blend/index.html", "ingredients/shea-butter-refined/index.html",
		"ingredients/sodium-lactate/index.html", "ingredients/sunflower-oil/index.html",
		"manifest.webmanifest", "notes/how-we-weigh/index.html", "notes/index.html", "pictures/hedgerow.svg",
		"recipes/gate-balm/formula.json", "recipes/gate-balm/index.html", "recipes/gate-balm/weights.csv",
		"recipes/hedgerow-hand-cream/formula.json", "recipes/hedgerow-hand-cream/index.html", "recipes/hedgerow-hand-cream/weights.csv",
		"robots.txt", "search.json", "shelves/balms/index.html", "shelves/creams/index.html", "sw.js",
	}, names)
}

// Pictures that two places of the handbook would put at one address are told before anything is written.
func TestPicturesAtOneAddress(t *testing.T) {
	fsys := filesIn(t, "two-pictures.txtar")
	dir := t.TempDir()
	tree, err := OpenTree(dir, OpenEdition)
	require.NoError(t, err)
	defer tree.Close()
	_, err = NewBuild(bookIn(t, fsys), OpenEdition, defaultTheme(t)).Write(t.Context(), tree, nil, fsys.ReadFile, func() {})
	require.ErrorContains(t, err, "pictures/notes/stove.svg")
	require.NoError(t, tree.Close())
	assert.Empty(t, slices.Collect(maps.Keys(filesOf(t, dir))))
}

// counter gives a step that counts, safe for several goroutines.
func counter(n *int) func() {
	var mutex sync.Mutex
	return func() {
		mutex.Lock()
		defer mutex.Unlock()
		*n++
	}
}
