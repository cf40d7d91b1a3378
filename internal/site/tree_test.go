package site

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// writeTree builds a folder of the given files, path → content, as one finished build.
func writeTree(t testing.TB, dir string, files map[string]string) Tally {
	t.Helper()
	tree, err := OpenTree(dir, OpenEdition)
	require.NoError(t, err)
	defer tree.Close()
	require.NoError(t, tree.Claim(slices.Sorted(maps.Keys(files))))
	for name, text := range files {
		require.NoError(t, tree.Write(name, []byte(text)))
	}
	tally, err := tree.Finish()
	require.NoError(t, err)
	return tally
}

// killTree begins a build of files and stops when the first n pieces are in place, in the order of their names, as a killed program does:
// what the system takes back is taken back, nothing is put right. -1 stops it while pages are still being written.
func killTree(t testing.TB, dir string, files map[string]string, n int) {
	t.Helper()
	tree, err := OpenTree(dir, OpenEdition)
	require.NoError(t, err)
	defer func() { require.NoError(t, errors.Join(tree.lock.held.Close(), tree.root.Close())) }()
	require.NoError(t, tree.Claim(slices.Sorted(maps.Keys(files))))
	for name, text := range files {
		require.NoError(t, tree.Write(name, []byte(text)))
	}
	if n < 0 {
		return
	}
	require.NoError(t, tree.prepare(true))
	pieces := tree.pieces()
	for _, top := range slices.Sorted(maps.Keys(pieces))[:min(n, len(pieces))] {
		require.NoError(t, tree.placePiece(top, pieces[top]))
	}
}

// put writes a file that is not the tool's.
func put(t testing.TB, dir, name, text string) {
	t.Helper()
	file := filepath.Join(dir, filepath.FromSlash(name))
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
}

// pagesOf is what a folder holds but for the list of what was written, and what a killed build left.
func pagesOf(t testing.TB, dir string) map[string]string {
	files := filesOf(t, dir)
	maps.DeleteFunc(files, func(name, _ string) bool {
		return name == manifestFile || name == lockFile || strings.HasPrefix(name, scratchFolder+"/")
	})
	return files
}

func TestOnlyChangedFilesAreRewritten(t *testing.T) {
	dir := t.TempDir()
	assert.Equal(t, Tally{Files: 3, Changed: 3}, writeTree(t, dir, map[string]string{"a.html": "one", "b/c.html": "two", "d.html": "three"}))
	stat := func(name string) os.FileInfo {
		info, err := os.Stat(filepath.Join(dir, name))
		require.NoError(t, err)
		return info
	}
	a, c, list := stat("a.html"), stat("b/c.html"), stat(manifestFile)

	assert.Equal(t, Tally{Files: 3}, writeTree(t, dir, map[string]string{"a.html": "one", "b/c.html": "two", "d.html": "three"}))
	assert.True(t, os.SameFile(list, stat(manifestFile)), "the list is the same file when nothing changed")

	assert.Equal(t, Tally{Files: 2, Changed: 1, Removed: 1}, writeTree(t, dir, map[string]string{"a.html": "one", "b/c.html": "2"}))
	assert.True(t, os.SameFile(a, stat("a.html")), "an unchanged file stays the same file")
	assert.Equal(t, a.ModTime(), stat("a.html").ModTime())
	assert.False(t, os.SameFile(c, stat("b/c.html")), "a changed file is put in its place by a rename")
	assert.Equal(t, map[string]string{"a.html": "one", "b/c.html": "2"}, pagesOf(t, dir))
}

func TestRemovedFilesTakeEmptyFoldersWithThem(t *testing.T) {
	dir := t.TempDir()
	writeTree(t, dir, map[string]string{"x/y/a.html": "a", "x/z/b.html": "b", "x/w/c.html": "c"})
	put(t, dir, "x/z/mine.txt", "mine")
	tally := writeTree(t, dir, map[string]string{"x/w/c.html": "c"})
	assert.Equal(t, Tally{Files: 1, Removed: 2}, tally)
	assert.NoDirExists(t, filepath.Join(dir, "x", "y"))
	assert.Equal(t, map[string]string{"x/w/c.html": "c", "x/z/mine.txt": "mine"}, pagesOf(t, dir))
}

// What someone changed by hand after it was built: overwritten while the page is there, left alone when it no longer is.
func TestEditedByHand(t *testing.T) {
	dir := t.TempDir()
	writeTree(t, dir, map[string]string{"a.html": "a", "b.html": "b"})
	put(t, dir, "a.html", "edited")
	put(t, dir, "b.html", "edited")
	assert.Equal(t, Tally{Files: 1, Changed: 1, Left: []string{"b.html"}}, writeTree(t, dir, map[string]string{"a.html": "a"}))
	assert.Equal(t, map[string]string{"a.html": "a", "b.html": "edited"}, pagesOf(t, dir))
	assert.Equal(t, Tally{Files: 1}, writeTree(t, dir, map[string]string{"a.html": "a"}), "it is said once")
	assertForeign(t, dir, []string{"a.html", "b.html"}, "b.html")
}

// assertForeign claims files and wants them refused because of the foreign ones, with nothing changed.
func assertForeign(t *testing.T, dir string, files []string, foreign ...string) {
	t.Helper()
	before := pagesOf(t, dir)
	tree, err := OpenTree(dir, OpenEdition)
	require.NoError(t, err)
	var refused *ForeignError
	require.ErrorAs(t, tree.Claim(files), &refused)
	require.NoError(t, tree.Close())
	assert.Equal(t, foreign, refused.Files)
	for _, name := range foreign {
		assert.ErrorContains(t, refused, name)
	}
	assert.Equal(t, before, pagesOf(t, dir))
}

func TestForeignFiles(t *testing.T) {
	tests := map[string]struct {
		there   string // a file that someone put there
		claim   []string
		foreign string
	}{
		"at a page's place":     {"recipes/balm/index.html", []string{"index.html", "recipes/balm/index.html"}, "recipes/balm/index.html"},
		"at a folder's place":   {"recipes", []string{"recipes/balm/index.html", "recipes/soap/index.html"}, "recipes"},
		"at a deeper folder's":  {"recipes/balm", []string{"recipes/balm/index.html"}, "recipes/balm"},
		"a folder for a page":   {"index.html/notes.txt", []string{"index.html"}, "index.html"},
		"with the right name":   {"index.html", []string{"index.html"}, "index.html"},
		"among the ones before": {"new.html", []string{"old.html", "new.html"}, "new.html"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			writeTree(t, dir, map[string]string{"old.html": "old"})
			put(t, dir, test.there, "mine")
			assertForeign(t, dir, test.claim, test.foreign)
		})
	}
}

func TestManyForeignFilesAreTellable(t *testing.T) {
	var files []string
	for i := range 15 {
		files = append(files, fmt.Sprintf("f%02d.html", i))
	}
	text := (&ForeignError{Folder: "public", Files: files}).Error()
	assert.Contains(t, text, "f09.html and 5 more")
	assert.NotContains(t, text, "f10.html")
}

// On a system where index.html and Index.html are one file, someone's Index.html is in the way; elsewhere the two stand side by side.
func TestForeignFileInOtherCase(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "Index.html", "mine")
	if _, err := os.Stat(filepath.Join(dir, "index.html")); err == nil {
		assertForeign(t, dir, []string{"index.html"}, "index.html")
		return
	}
	writeTree(t, dir, map[string]string{"index.html": "ours"})
	assert.Equal(t, map[string]string{"Index.html": "mine", "index.html": "ours"}, pagesOf(t, dir))
}

// A file of ours that someone put a folder in place of is theirs now.
func TestFileReplacedByFolder(t *testing.T) {
	dir := t.TempDir()
	writeTree(t, dir, map[string]string{"a.html": "a", "b.html": "b"})
	require.NoError(t, os.Remove(filepath.Join(dir, "a.html")))
	put(t, dir, "a.html/mine.txt", "mine")
	assertForeign(t, dir, []string{"a.html", "b.html"}, "a.html")

	tally := writeTree(t, dir, map[string]string{"b.html": "b"})
	assert.Equal(t, Tally{Files: 1, Left: []string{"a.html"}}, tally)
	assert.Equal(t, map[string]string{"a.html/mine.txt": "mine", "b.html": "b"}, pagesOf(t, dir))
}

// A file of ours gives way to a folder of ours, unless it was changed.
func TestFileBecomesFolder(t *testing.T) {
	dir := t.TempDir()
	writeTree(t, dir, map[string]string{"a": "a"})
	writeTree(t, dir, map[string]string{"a/b.html": "b"})
	assert.Equal(t, map[string]string{"a/b.html": "b"}, pagesOf(t, dir))

	changed := t.TempDir()
	writeTree(t, changed, map[string]string{"a": "a"})
	put(t, changed, "a", "edited")
	assertForeign(t, changed, []string{"a/b.html"}, "a")
}

func TestTwoPagesAtOnePlace(t *testing.T) {
	tree, err := OpenTree(t.TempDir(), OpenEdition)
	require.NoError(t, err)
	defer tree.Close()
	assert.ErrorContains(t, tree.Claim([]string{"a.html", "b.html", "a.html"}), "a.html")
}

func TestOneEditionAFolder(t *testing.T) {
	dir := t.TempDir()
	writeTree(t, dir, map[string]string{"a.html": "a"})
	for _, edition := range []Edition{MembersEdition, MakerEdition} {
		_, err := OpenTree(dir, edition)
		assert.ErrorContains(t, err, "everyone")
	}
	killed := t.TempDir()
	killTree(t, killed, map[string]string{"a.html": "a"}, 0)
	_, err := OpenTree(killed, MakerEdition)
	assert.ErrorContains(t, err, "everyone", "a build that was killed at once has marked its folder")
}

func TestListThatCannotBeRead(t *testing.T) {
	for name, text := range map[string]string{"no JSON": "{", "another schema": `{"schema": 2, "edition": "open", "files": {}}`, "empty": ""} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			put(t, dir, manifestFile, text)
			_, err := OpenTree(dir, OpenEdition)
			assert.ErrorContains(t, err, manifestFile)
		})
	}
}

// A list that someone tampered with cannot lead out of the folder.
func TestNothingOutsideIsRemoved(t *testing.T) {
	parent := t.TempDir()
	put(t, parent, "mine.txt", "mine")
	dir := filepath.Join(parent, "public")
	put(t, dir, manifestFile, `{"schema": 1, "edition": "open", "files": {"../mine.txt": "`+digestOf([]byte("mine")).String()+`", "/etc/hosts": "", "a.html": ""}}`)
	put(t, dir, journalFile, digestOf([]byte("mine")).String()+" ../mine.txt\n")
	assert.Equal(t, Tally{Files: 1, Changed: 1}, writeTree(t, dir, map[string]string{"b.html": "b"}))
	assert.FileExists(t, filepath.Join(parent, "mine.txt"))
}

// After a build was killed at any point, every file is whole, old or new; the next build knows all of them as its own, puts
// everything right, and touches nothing of anyone else's.
func TestKilledBuildHeals(t *testing.T) {
	before := map[string]string{"a.html": "old a", "b.html": "old b", "gone/x.html": "x"}
	during := map[string]string{"a.html": "new a", "b.html": "new b", "new/c.html": "c", "new/d.html": "d"}
	for n := -1; n <= 3; n++ { // a.html, b.html and new/
		for name, after := range map[string]map[string]string{"the same": during, "as before": before, "almost nothing": {"z.html": "z"}} {
			t.Run(fmt.Sprint(n, " in place, then ", name), func(t *testing.T) {
				dir := t.TempDir()
				writeTree(t, dir, before)
				killTree(t, dir, during, n)
				for file, text := range pagesOf(t, dir) {
					assert.Contains(t, []string{before[file], during[file]}, text, file)
				}
				put(t, dir, "mine.txt", "mine")
				tally := writeTree(t, dir, after)
				assert.Empty(t, tally.Left)
				want := maps.Clone(after)
				want["mine.txt"] = "mine"
				assert.Equal(t, want, pagesOf(t, dir))
				assert.Len(t, filesOf(t, dir), len(want)+1, "nothing is left beside the list")
				assert.Equal(t, Tally{Files: len(after)}, writeTree(t, dir, after))
			})
		}
	}
}

// A file that a killed build meant to write and did not, and that someone has put there since, is theirs.
func TestKilledBuildClaimsNothing(t *testing.T) {
	dir := t.TempDir()
	killTree(t, dir, map[string]string{"a.html": "a", "b.html": "b"}, 1)
	put(t, dir, "b.html", "mine")
	assertForeign(t, dir, []string{"a.html", "b.html"}, "b.html")
	assert.Equal(t, Tally{Files: 1}, writeTree(t, dir, map[string]string{"a.html": "a"}))
	assert.Equal(t, map[string]string{"a.html": "a", "b.html": "mine"}, pagesOf(t, dir))
}

// A journal whose last line was cut off is read as far as it goes.
func TestJournalCutOff(t *testing.T) {
	dir := t.TempDir()
	killTree(t, dir, map[string]string{"a.html": "a"}, 1)
	f, err := os.OpenFile(filepath.Join(dir, journalFile), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString(digestOf([]byte("b")).String()[:20])
	require.NoError(t, err)
	require.NoError(t, f.Close())
	assert.Equal(t, Tally{Files: 1, Changed: 1, Removed: 1}, writeTree(t, dir, map[string]string{"z.html": "z"}))
}

// Someone who reads a page while it is rewritten again and again sees it whole, old or new.
func TestReaderSeesWholeFiles(t *testing.T) {
	dir := t.TempDir()
	texts := []string{strings.Repeat("old page\n", 20_000), strings.Repeat("a new page\n", 30_000)}
	writeTree(t, dir, map[string]string{"page.html": texts[0]})
	stop, reads := make(chan struct{}), 0
	var reader sync.WaitGroup
	reader.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
			}
			raw, err := os.ReadFile(filepath.Join(dir, "page.html"))
			if !assert.NoError(t, err) || !assert.Contains(t, []int{len(texts[0]), len(texts[1])}, len(raw)) ||
				!assert.True(t, slices.Contains(texts, string(raw)), "half a page") {
				return
			}
			reads++
		}
	})
	for i := range 150 {
		writeTree(t, dir, map[string]string{"page.html": texts[(i+1)%2]})
	}
	close(stop)
	reader.Wait()
	assert.Positive(t, reads)
}
