package preview

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/synthetic"
)

// The long form is go test ./internal/preview -run Endures -saves 10000.
var saves = flag.Int("saves", 300, "how many saves the preview is kept running through")

// A preview that runs for days through thousands of saves, of pages that change, break, mend, come, go and move, with readers that come and go,
// holds no more at the end than soon after it began.
func TestPreviewEnduresSaves(t *testing.T) {
	w := openWorkroom(t, synthetic.Size{Recipes: 8, Seed: 1})
	s := &saver{workroom: w, t: t}
	for _, r := range w.desk.Now().Build.Recipes() {
		s.pages = append(s.pages, r.File)
		s.paths = append(s.paths, "recipes/"+r.Slug+"/index.html")
	}
	first := max(100, *saves/10) // until the memory that is held for good has been taken
	for range first {
		s.save()
	}
	began := s.holds(held{goroutines: 1 << 30, files: 1 << 30, watches: 1 << 30})
	for range *saves - first {
		s.save()
	}
	ended := s.holds(began)
	t.Logf("after %d saves: %v; after %d: %v", first, began, *saves, ended)
	assert.LessOrEqual(t, ended.goroutines, began.goroutines)
	assert.LessOrEqual(t, ended.files, began.files)
	assert.LessOrEqual(t, ended.watches, began.watches)
	assert.Less(t, ended.heap, began.heap+1<<20, "bytes on the heap")
}

// What a process holds.
type held struct{ heap, goroutines, files, watches int }

// holds tells what is held now, once all that is still ending has ended, as far as it does.
func (s *saver) holds(before held) (now held) {
	for range 100 {
		http.DefaultClient.CloseIdleConnections()
		runtime.GC()
		var memory runtime.MemStats
		runtime.ReadMemStats(&memory)
		now = held{int(memory.HeapAlloc), runtime.NumGoroutine(), 0, 0}
		now.files, now.watches = openFiles(s.t)
		if now.goroutines <= before.goroutines && now.files <= before.files && now.watches <= before.watches && now.heap < before.heap {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	return now
}

// openFiles counts the open files of the process, and what it has the system watch. Where the system does not tell, the test says so and counts none.
func openFiles(t testing.TB) (files, watches int) {
	const table = "/proc/self/fdinfo"
	all, err := os.ReadDir(table)
	if err != nil {
		t.Log("NOT COUNTED: open files and watches, which this system does not list")
		return 0, 0
	}
	for _, f := range all {
		text, err := os.ReadFile(filepath.Join(table, f.Name()))
		if err == nil { // else it was that of the list itself
			files++
			watches += strings.Count(string(text), "inotify wd:")
		}
	}
	return files, watches
}

// A saver is a maker at work, one save after the other.
type saver struct {
	*workroom
	t     testing.TB
	pages []string // recipes' files
	paths []string // and their pages
	n     int
	whole []byte // the page that is broken at the moment, as it was
}

// save does the next thing and waits until the preview has taken it.
func (s *saver) save() {
	s.n++
	before := s.desk.Now().Number
	page := s.pages[s.n/10%len(s.pages)]
	switch s.n % 10 {
	case 0: // every page says another title
		s.change("handbook.yaml", func(text []byte) []byte {
			first, rest, _ := bytes.Cut(text, []byte("\n"))
			require.True(s.t, bytes.HasPrefix(first, []byte("title: ")))
			return append(fmt.Appendf(nil, "title: The stillroom, %d\n", s.n), rest...)
		})
	case 5:
		s.change(page, func(text []byte) []byte {
			s.whole = text
			return bytes.Replace(text, []byte("\nproduct: "), []byte("\nproduct: no such thing as "), 1)
		})
	case 6:
		s.change(page, func([]byte) []byte { return s.whole })
	case 7:
		s.put(fmt.Sprintf("notes/new-%d.md", s.n), []byte("---\ntitle: A new note\n---\nA sentence.\n"))
	case 8:
		require.NoError(s.t, os.Remove(s.at(fmt.Sprintf("notes/new-%d.md", s.n-1))))
	case 9: // the folder of all recipes gets another name
		from, to := filepath.Dir(s.at(page)), s.at(fmt.Sprintf("recipes/all-%d", s.n))
		require.NoError(s.t, os.Rename(from, to))
		for i, name := range s.pages {
			s.pages[i] = fmt.Sprintf("recipes/all-%d/%s", s.n, filepath.Base(name))
		}
	default:
		s.change(page, func(text []byte) []byte {
			text, _, _ = bytes.Cut(text, []byte("\nSaved "))
			return append(bytes.TrimRight(text, "\n"), fmt.Sprintf("\n\nSaved %d times.\n", s.n)...)
		})
	}
	require.Eventually(s.t, func() bool { return s.desk.Now().Number > before }, 20*time.Second, time.Millisecond, "save %d is not taken", s.n)
	for len(s.events) > 0 {
		<-s.events
	}
	if s.n%10 > 0 && s.n%10 < 5 {
		path, seen := s.paths[s.n/10%len(s.pages)], fmt.Appendf(nil, "Saved %d times.", s.n)
		require.Eventually(s.t, func() bool { return bytes.Contains(s.page(s.t, path), seen) }, 20*time.Second, time.Millisecond, "save %d is not shown", s.n)
	}
	if s.n%25 == 0 { // another reader comes and goes
		ctx, stop := context.WithCancel(s.t.Context())
		s.listen(s.t, ctx)
		stop()
	}
}

func (s *saver) at(name string) string { return filepath.Join(s.dir, filepath.FromSlash(name)) }

func (s *saver) change(name string, how func([]byte) []byte) {
	text, err := os.ReadFile(s.at(name))
	require.NoError(s.t, err)
	s.put(name, how(text))
}

// put saves a file, now at once, now as many editors do it.
func (s *saver) put(name string, text []byte) {
	file := s.at(name)
	if s.n%2 == 0 {
		require.NoError(s.t, os.WriteFile(file, text, 0o644))
		return
	}
	require.NoError(s.t, os.WriteFile(file+"~", text, 0o644))
	require.NoError(s.t, os.Rename(file+"~", file))
}
