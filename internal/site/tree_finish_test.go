package site

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/parallel"
)

// openTree opens a folder and claims files.
func openTree(t testing.TB, dir string, claim ...string) *Tree {
	t.Helper()
	tree, err := OpenTree(dir, OpenEdition)
	require.NoError(t, err)
	t.Cleanup(func() { tree.Close() })
	require.NoError(t, tree.Claim(claim))
	return tree
}

// keeps asks whether a file is kept.
func keeps(t testing.TB, tree *Tree, file string) bool {
	t.Helper()
	is, err := tree.Keep(file)
	require.NoError(t, err)
	return is
}

func TestNothingChangesBeforeTheEnd(t *testing.T) {
	dir := t.TempDir()
	before := map[string]string{"a.html": "a", "b/c.html": "c", "gone.html": "gone", "d": "d"}
	writeTree(t, dir, before)
	was := filesOf(t, dir)
	after := map[string]string{"a.html": "new a", "b/c.html": "c", "d/e.html": "new e", "f/g/h.html": "new h"}
	tree := openTree(t, dir, slices.Sorted(maps.Keys(after))...)
	for name, text := range after {
		require.NoError(t, tree.Write(name, []byte(text)))
	}
	assert.Equal(t, before, pagesOf(t, dir))
	require.NoError(t, tree.Close())
	assert.Equal(t, was, filesOf(t, dir), "a build that is given up leaves nothing behind")
	assert.NoDirExists(t, filepath.Join(dir, scratchFolder))

	assert.Equal(t, Tally{Files: 4, Changed: 3, Removed: 1}, writeTree(t, dir, after))
	assert.Equal(t, after, pagesOf(t, dir))
}

// A folder that was made for a build that is then given up goes with it, but not one with something in it.
func TestGivenUpBuildTakesItsFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "public")
	tree := openTree(t, dir, "a.html")
	require.NoError(t, tree.Write("a.html", []byte("a")))
	require.NoError(t, tree.Close())
	assert.NoDirExists(t, dir)

	tree = openTree(t, dir, "a.html")
	put(t, dir, "mine.txt", "mine")
	require.NoError(t, tree.Close())
	assert.Equal(t, map[string]string{"mine.txt": "mine"}, filesOf(t, dir))
}

func TestKeep(t *testing.T) {
	dir := t.TempDir()
	large := strings.Repeat("a page that is longer than what is read of it at a time\n", 10_000)
	writeTree(t, dir, map[string]string{"same.html": large, "edited.html": large, "gone.html": "g", "killed.html": "old", "secret.html": "s", "was.html": "w"})
	killTree(t, dir, map[string]string{"killed.html": "new", "other.html": "other"}, 2)
	put(t, dir, "edited.html", large[:len(large)-1]+"!")
	require.NoError(t, os.Remove(filepath.Join(dir, "gone.html")))
	all := []string{"same.html", "edited.html", "gone.html", "killed.html", "new/a.html", "other.html"}
	tree := openTree(t, dir, all...)
	for _, file := range all {
		assert.Equal(t, file == "same.html", keeps(t, tree, file), file)
	}
	_, err := tree.Keep("was.html")
	require.ErrorContains(t, err, "was not claimed")

	for _, file := range all[1:] {
		require.NoError(t, tree.Write(file, []byte("anew")))
	}
	tally, err := tree.Finish()
	require.NoError(t, err)
	assert.Equal(t, Tally{Files: 6, Changed: 5, Removed: 2}, tally)
	want := map[string]string{"same.html": large}
	for _, file := range all[1:] {
		want[file] = "anew"
	}
	assert.Equal(t, want, pagesOf(t, dir))
	tree = openTree(t, dir, all...)
	for _, file := range all {
		assert.True(t, keeps(t, tree, file), "%s is in the list that was just written", file)
	}
}

// A page that is kept and then written after all is what was written.
func TestKeepThenWrite(t *testing.T) {
	dir := t.TempDir()
	writeTree(t, dir, map[string]string{"a.html": "a", "b.html": "b"})
	tree := openTree(t, dir, "a.html", "b.html")
	require.True(t, keeps(t, tree, "a.html"))
	require.True(t, keeps(t, tree, "b.html"))
	require.NoError(t, tree.Write("a.html", []byte("new")))
	tally, err := tree.Finish()
	require.NoError(t, err)
	assert.Equal(t, Tally{Files: 2, Changed: 1}, tally)
	assert.Equal(t, map[string]string{"a.html": "new", "b.html": "b"}, pagesOf(t, dir))
}

// A link that someone put in a page's place is no page, even if it leads to the same bytes, within the folder or out of it. What it leads to
// is never touched.
func TestPageReplacedByLink(t *testing.T) {
	dir, outside := t.TempDir(), t.TempDir()
	put(t, outside, "mine.html", "a")
	for name, to := range map[string]string{"within": "b.html", "outside": filepath.Join(outside, "mine.html"), "nowhere": "nothing"} {
		t.Run(name, func(t *testing.T) {
			writeTree(t, dir, map[string]string{"a.html": "a", "b.html": "a", "c.html": "a"})
			for _, file := range []string{"a.html", "c.html"} {
				require.NoError(t, os.Remove(filepath.Join(dir, file)))
				if err := os.Symlink(to, filepath.Join(dir, file)); err != nil {
					t.Skip("this system makes no symbolic links here:", err)
				}
			}
			tree := openTree(t, dir, "a.html", "b.html")
			assert.False(t, keeps(t, tree, "a.html"))
			require.NoError(t, tree.Write("a.html", []byte("a")))
			require.NoError(t, tree.Write("b.html", []byte("a")))
			tally, err := tree.Finish()
			require.NoError(t, err)
			assert.Equal(t, Tally{Files: 2, Changed: 1, Left: []string{"c.html"}}, tally)
			info, err := os.Lstat(filepath.Join(dir, "a.html"))
			require.NoError(t, err)
			assert.True(t, info.Mode().IsRegular())
			assert.Equal(t, map[string]string{"mine.html": "a"}, filesOf(t, outside))
			require.NoError(t, os.Remove(filepath.Join(dir, "c.html")))
		})
	}
}

// A folder that someone replaced by a link is in the way: nothing is written where it leads.
func TestFolderReplacedByLink(t *testing.T) {
	dir, outside := t.TempDir(), t.TempDir()
	writeTree(t, dir, map[string]string{"a/b.html": "b", "c.html": "c"})
	require.NoError(t, os.Rename(filepath.Join(dir, "a"), filepath.Join(outside, "a")))
	if err := os.Symlink(filepath.Join(outside, "a"), filepath.Join(dir, "a")); err != nil {
		t.Skip("this system makes no symbolic links here:", err)
	}
	tree, err := OpenTree(dir, OpenEdition)
	require.NoError(t, err)
	defer tree.Close()
	var foreign *ForeignError
	require.ErrorAs(t, tree.Claim([]string{"a/b.html"}), &foreign)
	assert.Equal(t, []string{"a"}, foreign.Files)
}

// What someone does in the folder while pages are drawn: their files stay, and ours are put right by the next build.
func TestFolderChangesDuringBuild(t *testing.T) {
	before := map[string]string{"a.html": "a", "b/c.html": "c"}
	after := map[string]string{"a.html": "new a", "b/c.html": "new c", "b/d.html": "d", "e/f.html": "f", "e/g.html": "g"}
	tests := map[string]struct {
		do  func(t *testing.T, dir string)
		err string // that the build ends with; "" where it ends well
		own map[string]string
	}{
		"a file at a new page's place": {func(t *testing.T, dir string) { put(t, dir, "b/d.html", "mine") }, "b/d.html", map[string]string{"b/d.html": "mine"}},
		"a new folder is made":         {func(t *testing.T, dir string) { put(t, dir, "e/mine.txt", "mine") }, "", map[string]string{"e/mine.txt": "mine"}},
		"and a page in it":             {func(t *testing.T, dir string) { put(t, dir, "e/f.html", "mine") }, "e/f.html", map[string]string{"e/f.html": "mine"}},
		"a page becomes a folder": {func(t *testing.T, dir string) {
			require.NoError(t, os.Remove(filepath.Join(dir, "a.html")))
			put(t, dir, "a.html/mine.txt", "mine")
		}, "a.html", map[string]string{"a.html/mine.txt": "mine"}},
		"a folder is taken away": {func(t *testing.T, dir string) { require.NoError(t, os.RemoveAll(filepath.Join(dir, "b"))) }, "b/c.html", nil},
		"a page is edited":       {func(t *testing.T, dir string) { put(t, dir, "a.html", "edited") }, "", nil},
		"all is taken away":      {func(t *testing.T, dir string) { require.NoError(t, os.RemoveAll(dir)) }, "cannot be written: ", nil},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "public")
			writeTree(t, dir, before)
			tree := openTree(t, dir, slices.Sorted(maps.Keys(after))...)
			for _, file := range slices.Sorted(maps.Keys(after))[:4] {
				require.NoError(t, tree.Write(file, []byte(after[file])))
			}
			test.do(t, dir)
			err := tree.Write("e/g.html", []byte("g"))
			if err == nil {
				_, err = tree.Finish()
			}
			if test.err == "" {
				require.NoError(t, err)
			} else {
				require.ErrorContains(t, err, test.err)
				require.ErrorContains(t, err, "publish again")
			}
			require.NoError(t, tree.Close())
			for file, text := range test.own {
				assert.Equal(t, text, filesOf(t, dir)[file])
				require.NoError(t, os.RemoveAll(filepath.Join(dir, filepath.FromSlash(strings.TrimSuffix(file, "/mine.txt")))))
			}
			writeTree(t, dir, after)
			assert.Equal(t, after, pagesOf(t, dir))
			assert.Len(t, filesOf(t, dir), len(after)+1)
		})
	}
}

// Pages are put in place only where all of them are there.
func TestClaimsAreKept(t *testing.T) {
	dir := t.TempDir()
	writeTree(t, dir, map[string]string{"a.html": "a", "b.html": "b"})
	tree := openTree(t, dir, "a.html", "b.html")
	require.NoError(t, tree.Write("a.html", []byte("new")))
	require.ErrorContains(t, tree.Write("c.html", nil), "c.html is written and was not claimed")
	_, err := tree.Finish()
	require.ErrorContains(t, err, "b.html was claimed and not written")
	assert.Equal(t, map[string]string{"a.html": "a", "b.html": "b"}, pagesOf(t, dir))
}

func TestNamesThatAreNoFiles(t *testing.T) {
	tree := openTree(t, t.TempDir())
	for _, name := range []string{"../a.html", "/a.html", "", "a/../../b.html"} {
		assert.ErrorContains(t, tree.Claim([]string{name}), "cannot be the name of a file", name)
	}
}

// Many pages at once, from all cores.
func TestManyPages(t *testing.T) {
	dir := t.TempDir()
	var names []string
	want := map[string]string{}
	for i := range 600 {
		names = append(names, fmt.Sprintf("r/%d/%d.html", i/3, i%3))
	}
	for round := range 3 { // all new; a third different; all kept
		tree := openTree(t, dir, names...)
		errs := make([]error, len(names))
		parallel.Do(len(names), func(i int) {
			if round == 2 {
				if is, err := tree.Keep(names[i]); !is || err != nil {
					errs[i] = fmt.Errorf("%s is not kept: %w", names[i], err)
				}
				return
			}
			errs[i] = tree.Write(names[i], fmt.Append(nil, i, round*(i%3/2)))
		})
		require.NoError(t, errors.Join(errs...))
		tally, err := tree.Finish()
		require.NoError(t, err)
		assert.Equal(t, Tally{Files: 600, Changed: []int{600, 200, 0}[round]}, tally)
	}
	for i, name := range names {
		want[name] = fmt.Sprint(i, i%3/2)
	}
	assert.Equal(t, want, pagesOf(t, dir))
}

// A build that was killed while pages were put in place has said for whom they are, though there is no list yet.
func TestKilledBuildSaysItsEdition(t *testing.T) {
	dir := t.TempDir()
	killTree(t, dir, map[string]string{"a.html": "a", "b.html": "b"}, 1)
	assert.NoFileExists(t, filepath.Join(dir, manifestFile))
	_, err := OpenTree(dir, MembersEdition)
	require.ErrorContains(t, err, "holds the edition for everyone, not for members")
	assert.Equal(t, Tally{Files: 1, Changed: 1, Removed: 1}, writeTree(t, dir, map[string]string{"b.html": "new"}))
}

// What a killed build had written for a folder that was not there yet does not come with the folder when it is there.
func TestKilledBuildLeavesNoPagesForOthers(t *testing.T) {
	dir := t.TempDir()
	killTree(t, dir, map[string]string{"a/b.html": "b", "a/c.html": "c"}, -1)
	after := map[string]string{"a/c.html": "new c"}
	writeTree(t, dir, after)
	assert.Equal(t, after, pagesOf(t, dir))
}

// Killed again and again, builds leave no more behind than what is of use.
func TestKilledOften(t *testing.T) {
	dir := t.TempDir()
	states := []map[string]string{{"a.html": "one", "b.html": "one", "c/d.html": "one"}, {"a.html": "two", "b.html": "two", "e/f.html": "two"}}
	writeTree(t, dir, states[0])
	for i := range 20 {
		killTree(t, dir, states[(i+1)%2], 1+i%3)
	}
	journal, err := os.ReadFile(filepath.Join(dir, journalFile))
	require.NoError(t, err)
	assert.LessOrEqual(t, strings.Count(string(journal), "\n"), 1+2*4)
	for _, state := range states {
		assert.Empty(t, writeTree(t, dir, state).Left)
		assert.Equal(t, state, pagesOf(t, dir))
		assert.Len(t, filesOf(t, dir), len(state)+1)
	}
}

func TestOneBuildAtATime(t *testing.T) {
	dir := t.TempDir()
	first := openTree(t, dir, "a.html")
	var busy *BusyError
	_, err := OpenTree(dir, OpenEdition)
	require.ErrorAs(t, err, &busy)
	assert.Equal(t, dir, busy.Folder)
	_, err = OpenTree(dir, MembersEdition)
	require.ErrorAs(t, err, &busy)

	require.NoError(t, first.Write("a.html", []byte("a")))
	_, err = first.Finish()
	require.NoError(t, err)
	assert.NoFileExists(t, filepath.Join(dir, lockFile))
	second := openTree(t, dir, "a.html")
	require.NoError(t, first.Close())
	_, err = OpenTree(dir, OpenEdition)
	require.ErrorAs(t, err, &busy, "what ended long ago does not let go of another's lock")
	require.NoError(t, second.Close())
	assert.NoFileExists(t, filepath.Join(dir, lockFile))
}

// A lock file that nobody holds, as a killed build leaves it, keeps nobody out.
func TestLockOfNobody(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, lockFile, "")
	writeTree(t, dir, map[string]string{"a.html": "a"})
	assert.NoFileExists(t, filepath.Join(dir, lockFile))
}

// A lock whose file was taken away and made anew by another is not the lock any more.
func TestLockTakenAway(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "elsewhere"), 0o755))
	put(t, dir, "elsewhere/file", "")
	if err := os.Symlink(filepath.Join("elsewhere", "file"), filepath.Join(dir, lockFile)); err != nil {
		t.Skip("this system makes no symbolic links here:", err)
	}
	_, err := OpenTree(dir, OpenEdition)
	var busy *BusyError
	require.ErrorAs(t, err, &busy)
}

// A build whose folder was taken away does not let go of the lock of another, which has made the folder again.
func TestLockOfAnother(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("SKIPPED: this system does not let a folder be taken away that a process has open")
	}
	dir := filepath.Join(t.TempDir(), "public")
	first := openTree(t, dir, "a.html")
	require.NoError(t, os.RemoveAll(dir))
	second := openTree(t, dir, "a.html")
	require.NoError(t, first.Close())
	_, err := OpenTree(dir, OpenEdition)
	var busy *BusyError
	require.ErrorAs(t, err, &busy)
	require.NoError(t, second.Close())
	assert.NoFileExists(t, filepath.Join(dir, lockFile))
}
