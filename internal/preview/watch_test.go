package preview

import (
	"context"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A follower knows a folder only through a Watcher: it reads again what each change names, and nothing else.
type follower struct {
	dir string

	mu      sync.Mutex
	known   map[string]string // what each file held when last read
	changes []Change
}

func (f *follower) take(c Change) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.changes = append(f.changes, c)
	if c.All {
		f.known = folderText(f.dir)
	}
	for _, name := range c.Files {
		maps.DeleteFunc(f.known, func(known, _ string) bool { return below(name, known) })
	}
	for _, name := range c.Files {
		if text, err := os.ReadFile(filepath.Join(f.dir, name)); err == nil {
			f.known[name] = string(text)
		}
	}
}

func (f *follower) sees(known map[string]string) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return maps.Equal(f.known, known)
}

// since gives all names reported after the first n changes, and whether one of these changes was All.
func (f *follower) since(n int) (names []string, all bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, c := range f.changes[n:] {
		names = append(names, c.Files...)
		all = all || c.All
	}
	slices.Sort(names)
	return slices.Compact(names), all
}

// alls counts the changes that were All.
func (f *follower) alls() (n int) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, c := range f.changes {
		if c.All {
			n++
		}
	}
	return n
}

func (f *follower) count() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	return len(f.changes)
}

// folderText reads every file of a folder that is not passed over.
func folderText(dir string) map[string]string {
	found := map[string]string{}
	_ = fs.WalkDir(os.DirFS(dir), ".", func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return nil // gone meanwhile
		case name != "." && unwatched(entry.Name()) && entry.IsDir():
			return fs.SkipDir
		case !entry.IsDir() && !unwatched(entry.Name()):
			if text, err := os.ReadFile(filepath.Join(dir, name)); err == nil {
				found[name] = string(text)
			}
		}
		return nil
	})
	return found
}

func writeFile(t *testing.T, text string, names ...string) {
	t.Helper()
	file := filepath.Join(names...)
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
}

func renameFile(t *testing.T, from, to string) {
	t.Helper()
	require.NoError(t, os.Rename(from, to))
}

// handbookFolder makes a folder to be watched.
func handbookFolder(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "larkrow")
	writeFile(t, "title: Larkrow", dir, "handbook.yaml")
	writeFile(t, "rose cream", dir, "recipes", "rose.md")
	writeFile(t, "oat soap", dir, "recipes", "soap", "oat.md")
	writeFile(t, "beeswax", dir, "ingredients", "beeswax.md")
	return dir
}

// followFolder watches a folder until the test ends.
func followFolder(t *testing.T, pace pace, dir string, extra ...string) *follower {
	t.Helper()
	w, err := newWatcher(openFeed, pace, dir, extra...)
	require.NoError(t, err)
	f := &follower{dir: dir, known: folderText(dir)}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error)
	go func() { ended <- w.Run(ctx, f.take) }()
	t.Cleanup(func() {
		stop()
		assert.NoError(t, <-ended)
	})
	return f
}

// briskPace is the pace of tests that do not count changes.
var briskPace = pace{quiet: 5 * time.Millisecond, limit: 50 * time.Millisecond, patience: 10 * time.Millisecond, round: 20 * time.Millisecond}

// calmPace joins whatever one test does, however busy the computer is.
var calmPace = pace{quiet: 400 * time.Millisecond, limit: time.Minute, patience: time.Minute, round: 20 * time.Millisecond}

const watchLong = 20 * time.Second // until a test gives up

func TestWatcherNamesWhatChanged(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		do   func(t *testing.T, dir, outside string)
		want []string // must be named; nil for no change at all
	}{
		{"written in place", func(t *testing.T, dir, _ string) {
			writeFile(t, "rose cream, richer", dir, "recipes/rose.md")
		}, []string{"recipes/rose.md"}},
		{"written with as many bytes", func(t *testing.T, dir, _ string) {
			writeFile(t, "ROSE CREAM", dir, "recipes/rose.md")
		}, []string{"recipes/rose.md"}},
		{"written with as many bytes and an old date", func(t *testing.T, dir, _ string) {
			file := filepath.Join(dir, "recipes/rose.md")
			info, err := os.Stat(file)
			require.NoError(t, err)
			writeFile(t, "ROSE CREAM", file)
			require.NoError(t, os.Chtimes(file, info.ModTime(), info.ModTime()))
		}, []string{"recipes/rose.md"}},
		{"truncated, then written", func(t *testing.T, dir, _ string) {
			file := filepath.Join(dir, "recipes/rose.md")
			require.NoError(t, os.Truncate(file, 0))
			time.Sleep(3 * time.Millisecond)
			writeFile(t, "rose cream again", file)
		}, []string{"recipes/rose.md"}},
		{"another file renamed over it", func(t *testing.T, dir, _ string) {
			writeFile(t, "rose cream by way of another file", dir, "recipes/rose.md.tmp")
			renameFile(t, filepath.Join(dir, "recipes/rose.md.tmp"), filepath.Join(dir, "recipes/rose.md"))
		}, []string{"recipes/rose.md"}},
		{"a hidden file renamed over it", func(t *testing.T, dir, _ string) {
			writeFile(t, "rose cream by way of a hidden file", dir, "recipes/.rose.md.new")
			renameFile(t, filepath.Join(dir, "recipes/.rose.md.new"), filepath.Join(dir, "recipes/rose.md"))
		}, []string{"recipes/rose.md"}},
		{"deleted, then created", func(t *testing.T, dir, _ string) {
			require.NoError(t, os.Remove(filepath.Join(dir, "recipes/rose.md")))
			writeFile(t, "rose cream reborn", dir, "recipes/rose.md")
		}, []string{"recipes/rose.md"}},
		{"saved with a backup that stays", func(t *testing.T, dir, _ string) {
			file := filepath.Join(dir, "recipes/rose.md")
			renameFile(t, file, file+"~")
			writeFile(t, "rose cream saved", file)
		}, []string{"recipes/rose.md", "recipes/rose.md~"}},
		{"saved with a backup that goes", func(t *testing.T, dir, _ string) {
			file := filepath.Join(dir, "recipes/rose.md")
			renameFile(t, file, file+"~")
			writeFile(t, "rose cream saved", file)
			require.NoError(t, os.Remove(file+"~"))
		}, []string{"recipes/rose.md"}},
		{"deleted", func(t *testing.T, dir, _ string) {
			require.NoError(t, os.Remove(filepath.Join(dir, "recipes/rose.md")))
		}, []string{"recipes/rose.md"}},
		{"renamed", func(t *testing.T, dir, _ string) {
			renameFile(t, filepath.Join(dir, "recipes/rose.md"), filepath.Join(dir, "recipes/damask.md"))
		}, []string{"recipes/damask.md", "recipes/rose.md"}},
		{"moved to another folder", func(t *testing.T, dir, _ string) {
			renameFile(t, filepath.Join(dir, "recipes/rose.md"), filepath.Join(dir, "ingredients/rose.md"))
		}, []string{"ingredients/rose.md", "recipes/rose.md"}},
		{"several at once", func(t *testing.T, dir, _ string) {
			writeFile(t, "new", dir, "recipes/rose.md")
			writeFile(t, "new", dir, "recipes/soap/oat.md")
			writeFile(t, "new", dir, "handbook.yaml")
		}, []string{"handbook.yaml", "recipes/rose.md", "recipes/soap/oat.md"}},
		{"a new picture in a new folder", func(t *testing.T, dir, _ string) {
			writeFile(t, "<svg/>", dir, "pictures/rose.svg")
		}, []string{"pictures", "pictures/rose.svg"}},
		{"folders in folders with a file", func(t *testing.T, dir, _ string) {
			writeFile(t, "deep", dir, "notes/a/b/c/deep.md")
		}, []string{"notes", "notes/a", "notes/a/b", "notes/a/b/c", "notes/a/b/c/deep.md"}},
		{"a folder moved in", func(t *testing.T, dir, outside string) {
			writeFile(t, "one", outside, "balms/one.md")
			writeFile(t, "two", outside, "balms/lip/two.md")
			renameFile(t, filepath.Join(outside, "balms"), filepath.Join(dir, "recipes/balms"))
		}, []string{"recipes/balms", "recipes/balms/lip", "recipes/balms/lip/two.md", "recipes/balms/one.md"}},
		{"a folder moved out", func(t *testing.T, dir, outside string) {
			renameFile(t, filepath.Join(dir, "recipes"), filepath.Join(outside, "recipes"))
		}, []string{"recipes", "recipes/rose.md", "recipes/soap", "recipes/soap/oat.md"}},
		{"a folder deleted", func(t *testing.T, dir, _ string) {
			require.NoError(t, os.RemoveAll(filepath.Join(dir, "recipes")))
		}, []string{"recipes", "recipes/rose.md", "recipes/soap", "recipes/soap/oat.md"}},
		{"a folder renamed", func(t *testing.T, dir, _ string) {
			renameFile(t, filepath.Join(dir, "recipes/soap"), filepath.Join(dir, "recipes/bars"))
		}, []string{"recipes/bars", "recipes/bars/oat.md", "recipes/soap", "recipes/soap/oat.md"}},
		{"a folder in place of a file", func(t *testing.T, dir, _ string) {
			require.NoError(t, os.Remove(filepath.Join(dir, "recipes/rose.md")))
			writeFile(t, "inside", dir, "recipes/rose.md/inside.md")
		}, []string{"recipes/rose.md", "recipes/rose.md/inside.md"}},
		{"a hidden file", func(t *testing.T, dir, _ string) {
			writeFile(t, "x", dir, "recipes/.rose.md.swp")
			writeFile(t, "x", dir, "_drafts/idea.md")
			writeFile(t, "x", dir, ".store/objects/1")
		}, nil},
		{"read by another program", func(t *testing.T, dir, _ string) {
			file := filepath.Join(dir, "recipes/rose.md")
			_, err := os.ReadFile(file)
			require.NoError(t, err)
			info, err := os.Stat(file)
			require.NoError(t, err)
			require.NoError(t, os.Chtimes(file, time.Now(), info.ModTime()))
		}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			dir, outside := handbookFolder(t), t.TempDir()
			f := followFolder(t, briskPace, dir)
			tt.do(t, dir, outside)
			if tt.want == nil { // the next change is the first
				writeFile(t, "stillroom", dir, "zz.md")
				tt.want = []string{"zz.md"}
			}
			require.Eventually(t, func() bool {
				names, _ := f.since(0)
				return f.sees(folderText(dir)) && containsAll(names, tt.want)
			}, watchLong, time.Millisecond)
			names, all := f.since(0)
			assert.False(t, all)
			for _, name := range names {
				known := slices.Contains(tt.want, name) || strings.HasSuffix(name, ".tmp") || strings.HasSuffix(name, "~")
				assert.True(t, known, "%s did not change", name)
			}
		})
	}
}

func containsAll(names, want []string) bool {
	return !slices.ContainsFunc(want, func(name string) bool { return !slices.Contains(names, name) })
}

// A folder that came, moved or was exchanged must be watched under its new name, and so must those below it.
func TestWatcherFollowsFolders(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		do   func(t *testing.T, dir, outside string)
		then []string // files then written, each of which must be named
	}{
		{"made", func(t *testing.T, dir, _ string) {
			require.NoError(t, os.MkdirAll(filepath.Join(dir, "notes/a/b"), 0o755))
		}, []string{"notes/n.md", "notes/a/n.md", "notes/a/b/n.md"}},
		{"renamed", func(t *testing.T, dir, _ string) {
			renameFile(t, filepath.Join(dir, "recipes"), filepath.Join(dir, "notes"))
		}, []string{"notes/rose.md", "notes/soap/oat.md"}},
		{"renamed, and another made in its place", func(t *testing.T, dir, _ string) {
			renameFile(t, filepath.Join(dir, "recipes"), filepath.Join(dir, "notes"))
			writeFile(t, "other", dir, "recipes/soap/oat.md")
		}, []string{"notes/soap/oat.md", "recipes/soap/oat.md"}},
		{"two exchanged", func(t *testing.T, dir, _ string) {
			a, b, c := filepath.Join(dir, "recipes"), filepath.Join(dir, "notes"), filepath.Join(dir, "between")
			writeFile(t, "oat diary", b, "soap/oat.md")
			renameFile(t, a, c)
			renameFile(t, b, a)
			renameFile(t, c, b)
		}, []string{"notes/soap/oat.md", "recipes/soap/oat.md"}},
		{"out and in again", func(t *testing.T, dir, outside string) {
			renameFile(t, filepath.Join(dir, "recipes"), filepath.Join(outside, "recipes"))
			renameFile(t, filepath.Join(outside, "recipes"), filepath.Join(dir, "recipes"))
		}, []string{"recipes/rose.md", "recipes/soap/oat.md"}},
		{"deleted and made", func(t *testing.T, dir, _ string) {
			require.NoError(t, os.RemoveAll(filepath.Join(dir, "recipes")))
			writeFile(t, "oat soap 2", dir, "recipes/soap/oat.md")
		}, []string{"recipes/new.md", "recipes/soap/oat.md"}},
		{"uncovered", func(t *testing.T, dir, _ string) {
			writeFile(t, "draft", dir, "_drafts/idea.md")
			renameFile(t, filepath.Join(dir, "_drafts"), filepath.Join(dir, "notes"))
		}, []string{"notes/idea.md"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			dir, outside := handbookFolder(t), t.TempDir()
			f := followFolder(t, briskPace, dir)
			tt.do(t, dir, outside)
			require.Eventually(t, func() bool { return f.sees(folderText(dir)) }, watchLong, time.Millisecond)
			for i, name := range tt.then {
				n := f.count()
				writeFile(t, fmt.Sprint("then ", i), dir, name)
				require.Eventually(t, func() bool {
					names, all := f.since(n)
					return all || slices.Contains(names, name)
				}, watchLong, time.Millisecond, name)
			}
			require.Eventually(t, func() bool { return f.sees(folderText(dir)) }, watchLong, time.Millisecond)
		})
	}
}

// Files that changed places look the same one by one: same size, same time.
func TestWatcherNamesFilesOfExchangedFolders(t *testing.T) {
	t.Parallel()
	dir := handbookFolder(t)
	a, b, c := filepath.Join(dir, "recipes"), filepath.Join(dir, "notes"), filepath.Join(dir, "between")
	writeFile(t, "1234", a, "x.md")
	writeFile(t, "5678", b, "x.md")
	for _, folder := range []string{a, b} {
		require.NoError(t, os.Chtimes(filepath.Join(folder, "x.md"), time.Unix(1e9, 0), time.Unix(1e9, 0)))
	}
	still := calmPace
	still.patience = 0
	f := followFolder(t, still, dir)
	renameFile(t, a, c)
	renameFile(t, b, a)
	renameFile(t, c, b)
	require.Eventually(t, func() bool { return f.sees(folderText(dir)) }, watchLong, time.Millisecond)
	names, all := f.since(0)
	assert.False(t, all)
	assert.Subset(t, names, []string{"recipes/x.md", "notes/x.md"})
}

func TestWatcherJoinsABurst(t *testing.T) {
	t.Parallel()
	tests := map[string]func(t *testing.T, dir string) []string{
		"many files": func(t *testing.T, dir string) (want []string) {
			for i := range 30 {
				name := fmt.Sprintf("recipes/r%02d.md", i)
				writeFile(t, "text", dir, name)
				want = append(want, name)
			}
			return want
		},
		"emptied, then filled": func(t *testing.T, dir string) []string {
			file := filepath.Join(dir, "recipes/rose.md")
			require.NoError(t, os.Truncate(file, 0))
			time.Sleep(calmPace.quiet + 100*time.Millisecond)
			writeFile(t, "full", file)
			return []string{"recipes/rose.md"}
		},
		"made empty, then filled": func(t *testing.T, dir string) []string {
			writeFile(t, "", dir, "recipes/new.md")
			time.Sleep(calmPace.quiet + 100*time.Millisecond)
			writeFile(t, "full", dir, "recipes/new.md")
			return []string{"recipes/new.md"}
		},
		"gone, then back": func(t *testing.T, dir string) []string {
			file := filepath.Join(dir, "recipes/rose.md")
			require.NoError(t, os.Remove(file))
			time.Sleep(calmPace.quiet + 100*time.Millisecond)
			writeFile(t, "full", file)
			return []string{"recipes/rose.md"}
		},
	}
	for name, do := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := handbookFolder(t)
			f := followFolder(t, calmPace, dir)
			want := do(t, dir)
			require.Eventually(t, func() bool { return f.count() > 0 }, watchLong, time.Millisecond)
			f.mu.Lock()
			defer f.mu.Unlock()
			assert.Equal(t, []Change{{Files: want}}, f.changes)
			assert.Equal(t, folderText(dir), f.known)
		})
	}
}

func TestWatcherKeepsWhatHappensDuringTake(t *testing.T) {
	t.Parallel()
	dir := handbookFolder(t)
	w, err := newWatcher(openFeed, briskPace, dir)
	require.NoError(t, err)
	writeFile(t, "before Run", dir, "recipes/rose.md")
	changes := make(chan Change)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error)
	go func() { ended <- w.Run(ctx, func(c Change) { changes <- c }) }()
	assert.Contains(t, nextChange(t, changes).Files, "recipes/rose.md")
	writeFile(t, "1", dir, "recipes/one.md")
	time.Sleep(5 * briskPace.limit) // the next call waits for the test by now
	writeFile(t, "2", dir, "recipes/two.md")
	seen := map[string]bool{}
	for !seen["recipes/one.md"] || !seen["recipes/two.md"] {
		for _, name := range nextChange(t, changes).Files {
			seen[name] = true
		}
	}
	stop()
	require.NoError(t, <-ended)
}

func TestWatcherFolderGoneAndBack(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name     string
		away     func(t *testing.T, dir string)
		back     func(t *testing.T, dir string)
		wantBack map[string]string
	}{
		{"renamed", func(t *testing.T, dir string) {
			renameFile(t, dir, dir+"-away")
		}, func(t *testing.T, dir string) {
			writeFile(t, "changed while away", dir+"-away", "recipes/rose.md")
			renameFile(t, dir+"-away", dir)
		}, map[string]string{"recipes/rose.md": "changed while away", "recipes/soap/oat.md": "oat soap", "ingredients/beeswax.md": "beeswax", "handbook.yaml": "title: Larkrow"}},
		{"its parent renamed", func(t *testing.T, dir string) {
			renameFile(t, filepath.Dir(dir), filepath.Dir(dir)+"-away")
		}, func(t *testing.T, dir string) {
			renameFile(t, filepath.Dir(dir)+"-away", filepath.Dir(dir))
		}, map[string]string{"recipes/rose.md": "rose cream", "recipes/soap/oat.md": "oat soap", "ingredients/beeswax.md": "beeswax", "handbook.yaml": "title: Larkrow"}},
		{"deleted and made", func(t *testing.T, dir string) {
			require.NoError(t, os.RemoveAll(dir))
		}, func(t *testing.T, dir string) {
			writeFile(t, "new", dir, "recipes/rose.md")
		}, map[string]string{"recipes/rose.md": "new"}},
		{"a file in its place", func(t *testing.T, dir string) {
			renameFile(t, dir, dir+"-away")
			writeFile(t, "no folder", dir)
		}, func(t *testing.T, dir string) {
			require.NoError(t, os.Remove(dir))
			writeFile(t, "new", dir, "recipes/rose.md")
		}, map[string]string{"recipes/rose.md": "new"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			dir := filepath.Join(t.TempDir(), "shelf", "larkrow")
			renameFile(t, handbookFolder(t), mkparent(t, dir))
			f := followFolder(t, briskPace, dir)
			tt.away(t, dir)
			require.Eventually(t, func() bool {
				_, all := f.since(0)
				return all && f.sees(map[string]string{})
			}, watchLong, time.Millisecond)
			n := f.count()
			time.Sleep(10 * briskPace.round)
			assert.Equal(t, n, f.count(), "told of once while it is gone")
			tt.back(t, dir)
			require.Eventually(t, func() bool {
				_, all := f.since(n)
				return all && f.sees(tt.wantBack)
			}, watchLong, time.Millisecond)
			n = f.count()
			writeFile(t, "watched again", dir, "recipes/rose.md")
			require.Eventually(t, func() bool {
				names, _ := f.since(n)
				return slices.Contains(names, "recipes/rose.md")
			}, watchLong, time.Millisecond)
		})
	}
}

func mkparent(t *testing.T, dir string) string {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(dir), 0o755))
	return dir
}

func linkFile(t *testing.T, to, name string) {
	t.Helper()
	if err := os.Symlink(to, name); err != nil {
		t.Skip("this system makes no links here: ", err)
	}
}

func TestWatcherOfALinkedFolder(t *testing.T) {
	t.Parallel()
	one, two := handbookFolder(t), handbookFolder(t)
	dir := filepath.Join(t.TempDir(), "current")
	linkFile(t, one, dir)
	f := followFolder(t, briskPace, dir)
	writeFile(t, "through the link", dir, "recipes/rose.md")
	require.Eventually(t, func() bool { return f.sees(folderText(one)) }, watchLong, time.Millisecond)
	writeFile(t, "by its own name", one, "recipes/soap/oat.md")
	require.Eventually(t, func() bool { return f.sees(folderText(one)) }, watchLong, time.Millisecond)
	names, all := f.since(0)
	assert.False(t, all)
	assert.Equal(t, []string{"recipes/rose.md", "recipes/soap/oat.md"}, names)

	require.NoError(t, os.Remove(dir))
	linkFile(t, two, dir) // leads elsewhere now
	require.Eventually(t, func() bool {
		_, all := f.since(0)
		return all && f.sees(folderText(two))
	}, watchLong, time.Millisecond)
	writeFile(t, "in the other", two, "recipes/rose.md")
	require.Eventually(t, func() bool { return f.sees(folderText(two)) }, watchLong, time.Millisecond)
}

func TestWatcherLooksBehindLinks(t *testing.T) {
	t.Parallel()
	dir, outside := handbookFolder(t), t.TempDir()
	writeFile(t, "shared", outside, "shared.md")
	writeFile(t, "oils", outside, "oils/almond.md")
	linkFile(t, filepath.Join(outside, "shared.md"), filepath.Join(dir, "recipes/shared.md"))
	linkFile(t, filepath.Join(outside, "oils"), filepath.Join(dir, "oils"))
	linkFile(t, dir, filepath.Join(dir, "round"))
	f := followFolder(t, briskPace, dir)
	writeFile(t, "shared, changed", outside, "shared.md")
	writeFile(t, "almond, changed", outside, "oils/almond.md")
	writeFile(t, "new", outside, "oils/deep/apricot.md")
	require.Eventually(t, func() bool {
		names, _ := f.since(0)
		return containsAll(names, []string{"recipes/shared.md", "oils/almond.md", "oils/deep", "oils/deep/apricot.md"})
	}, watchLong, time.Millisecond)
	require.NoError(t, os.RemoveAll(filepath.Join(outside, "oils/deep")))
	n := f.count()
	require.Eventually(t, func() bool {
		names, _ := f.since(n)
		return containsAll(names, []string{"oils/deep", "oils/deep/apricot.md"})
	}, watchLong, time.Millisecond)
	_, all := f.since(0)
	assert.False(t, all)
}

func TestWatcherOfAThemeFolder(t *testing.T) {
	t.Parallel()
	for name, place := range map[string]func(dir, outside string) string{
		"elsewhere":           func(_, outside string) string { return outside },
		"within the handbook": func(dir, _ string) string { return filepath.Join(dir, "look") },
		"hidden in it":        func(dir, _ string) string { return filepath.Join(dir, "_look") },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := handbookFolder(t)
			theme := place(dir, filepath.Join(t.TempDir(), "look"))
			writeFile(t, "body{}", theme, "assets/linen.css")
			f := followFolder(t, briskPace, dir, theme)
			writeFile(t, "body{color:#222}", theme, "assets/linen.css")
			writeFile(t, "{{define}}", theme, "pages/recipe.html")
			writeFile(t, "rose", dir, "recipes/rose.md")
			want := []string{"recipes/rose.md", "theme:assets/linen.css", "theme:pages", "theme:pages/recipe.html"}
			if name == "within the handbook" {
				want = append(want, "look/assets/linen.css", "look/pages", "look/pages/recipe.html")
			}
			require.Eventually(t, func() bool {
				names, _ := f.since(0)
				return containsAll(names, want)
			}, watchLong, time.Millisecond)
			names, all := f.since(0)
			assert.ElementsMatch(t, want, names)
			assert.False(t, all)
			require.NoError(t, os.RemoveAll(theme))
			require.Eventually(t, func() bool { _, all := f.since(0); return all }, watchLong, time.Millisecond)
		})
	}
}

func TestNewWatcherErrors(t *testing.T) {
	t.Parallel()
	dir := handbookFolder(t)
	for name, tt := range map[string]struct {
		dir   string
		extra []string
		want  string
	}{
		"absent":          {filepath.Join(dir, "nowhere"), nil, "nowhere"},
		"a file":          {filepath.Join(dir, "handbook.yaml"), nil, "this is no folder"},
		"no such theme":   {dir, []string{filepath.Join(dir, "nowhere")}, "nowhere"},
		"theme a file":    {dir, []string{filepath.Join(dir, "handbook.yaml")}, "this is no folder"},
		"a name with \\0": {dir + "\x00", nil, "watch"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, err := NewWatcher(tt.dir, tt.extra...)
			assert.ErrorContains(t, err, tt.want)
		})
	}
}

// It runs alone, before the parallel tests, so that no other watcher is there.
func TestWatcherStopsWithItsContext(t *testing.T) {
	dir := handbookFolder(t)
	w, err := NewWatcher(dir, t.TempDir())
	require.NoError(t, err)
	assert.True(t, watching())
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error)
	took := make(chan Change)
	go func() { ended <- w.Run(ctx, func(c Change) { took <- c }) }()
	writeFile(t, "new folder, so a new feed", dir, "notes/n.md")
	assert.Contains(t, nextChange(t, took).Files, "notes/n.md")
	stop()
	require.NoError(t, <-ended)
	assert.Eventually(t, func() bool { return !watching() }, watchLong, time.Millisecond)
}

// nextChange gives the next change.
func nextChange(t *testing.T, changes <-chan Change) Change {
	t.Helper()
	select {
	case c := <-changes:
		return c
	case <-time.After(watchLong):
		require.Fail(t, "no change came")
		return Change{}
	}
}

// watching says whether any goroutine still serves a watcher.
func watching() bool {
	stacks := make([]byte, 1<<20)
	text := string(stacks[:runtime.Stack(stacks, true)])
	return strings.Contains(text, "fsnotify.") || strings.Contains(text, "(*Watcher).Run")
}

func BenchmarkWatcherSurvey(b *testing.B) {
	dir := b.TempDir()
	for i := range 10_000 {
		folder := filepath.Join(dir, fmt.Sprint(i%100))
		require.NoError(b, os.MkdirAll(folder, 0o755))
		require.NoError(b, os.WriteFile(filepath.Join(folder, fmt.Sprint(i)), []byte("text"), 0o644))
	}
	w, err := NewWatcher(dir)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		require.NoError(b, w.restart())
	}
	require.NoError(b, w.close())
}
