package preview

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/synthetic"
)

// A workroom is a whole preview of a large handbook, as the command runs it.
type workroom struct {
	dir    string
	desk   *Desk
	events chan Event
	url    string
}

// bench size: the handbook that the aims are set for.
var large = synthetic.Size{Recipes: 10_000, Ingredients: 400, Notes: 40, Seed: 1}

// openWorkroom writes a handbook and previews it, with one reader of its events.
func openWorkroom(b testing.TB, size synthetic.Size) *workroom {
	b.Helper()
	w := &workroom{dir: b.TempDir(), events: make(chan Event, 64)}
	require.NoError(b, synthetic.Write(w.dir, size))
	watcher, err := NewWatcher(w.dir)
	require.NoError(b, err)
	w.desk, err = NewDesk(w.dir, Options{Edition: site.MakerEdition})
	require.NoError(b, err)
	b.Cleanup(func() { _ = w.desk.Close() })
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	hub := NewHub()
	ctx, stop := context.WithCancel(b.Context())
	ended := make(chan error, 2)
	go func() {
		ended <- Serve(ctx, listener, NewServer(w.desk.Now, hub, os.DirFS("../../themes/linen/preview"), listener, ""), hub)
	}()
	go func() {
		ended <- watcher.Run(ctx, func(c Change) {
			if report := w.desk.Take(c); !report.Same {
				hub.Tell(report.Event())
			}
		})
	}()
	b.Cleanup(func() { stop(); <-ended; <-ended })
	w.url = "http://" + listener.Addr().String()
	w.listen(b, ctx)
	return w
}

// listen reads the event stream, as an open page does.
func (w *workroom) listen(b testing.TB, ctx context.Context) {
	b.Helper()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, w.url+"/-/events", nil)
	require.NoError(b, err)
	answer, err := http.DefaultClient.Do(request)
	require.NoError(b, err)
	go func() {
		defer answer.Body.Close()
		kind := ""
		for lines := bufio.NewScanner(answer.Body); lines.Scan(); {
			if name, is := strings.CutPrefix(lines.Text(), "event: "); is {
				kind = name
			}
			if data, is := strings.CutPrefix(lines.Text(), "data: "); is && kind == "change" {
				var e Event
				if json.Unmarshal([]byte(data), &e) == nil {
					w.events <- e
				}
			}
		}
	}()
}

// page fetches a page as a browser does.
func (w *workroom) page(b testing.TB, path string) []byte {
	b.Helper()
	answer, err := http.Get(w.url + "/" + path) //nolint:noctx // ends with the server
	require.NoError(b, err)
	defer answer.Body.Close()
	var page bytes.Buffer
	_, err = page.ReadFrom(answer.Body)
	require.NoError(b, err)
	return page.Bytes()
}

// BenchmarkSave measures from the moment when an editor begins to save until an open page is told (event-ms) and has the new page in
// hand (page-ms), watcher, debounce and HTTP included, in a handbook of 10,000 recipes and 400 ingredients. full-ms is a build of the whole handbook
// from nothing in the same process, and ratio what a save's work is of that.
func BenchmarkSave(b *testing.B) {
	w := openWorkroom(b, large)
	full := fullBuild(b, w.dir)
	b.Run("recipe", func(b *testing.B) {
		r := w.desk.Now().Build.Recipes()[large.Recipes/2]
		w.save(b, r.File, "recipes/"+r.Slug+"/index.html", full)
	})
	b.Run("material", func(b *testing.B) {
		file, path := w.busyMaterial(b, 500)
		w.save(b, file, path, full)
	})
}

// save changes a file again and again; path is the page that is open.
func (w *workroom) save(b *testing.B, file, path string, full time.Duration) {
	name := filepath.Join(w.dir, filepath.FromSlash(file))
	raw, err := os.ReadFile(name)
	require.NoError(b, err)
	before := w.page(b, path)
	var told, shown, took time.Duration
	n := 0
	for b.Loop() {
		n++
		text := bytes.Replace(raw, []byte("\n---\n"), fmt.Appendf(nil, "\nupdated: 2026-%02d-%02d\n---\n", 1+n/28%12, 1+n%28), 1)
		if bytes.Contains(raw, []byte("\nupdated:")) {
			text = append(bytes.Clone(raw), fmt.Sprintf("\nSeen %d times.\n", n)...)
		}
		start := time.Now()
		require.NoError(b, os.WriteFile(name, text, 0o644))
		<-w.events
		told += time.Since(start)
		page := w.page(b, path)
		shown += time.Since(start)
		took += w.desk.Now().Took
		require.NotEqual(b, before, page)
		before = page
	}
	require.NoError(b, os.WriteFile(name, raw, 0o644))
	<-w.events
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 / float64(n) }
	b.ReportMetric(ms(told), "event-ms")
	b.ReportMetric(ms(shown), "page-ms")
	b.ReportMetric(ms(took), "work-ms")
	b.ReportMetric(float64(full.Milliseconds()), "full-ms")
	b.ReportMetric(float64(full)/(float64(took)/float64(n)), "full/work")
}

// busyMaterial finds an ingredient's page that at least so many recipes use, the nearest above, and a recipe that does.
func (w *workroom) busyMaterial(b testing.TB, recipes int) (file, path string) {
	b.Helper()
	build, best := w.desk.Now().Build, 1<<30
	for _, i := range build.Ingredients {
		users := 0
		first := ""
		for _, d := range build.DependsOn(i.File) {
			if d.How == site.Uses {
				users++
				first = d.Path
			}
		}
		if users >= recipes && users < best {
			file, path, best = i.File, first, users
		}
	}
	require.NotEmpty(b, file, "no ingredient is used by %d recipes", recipes)
	b.Logf("%s is used by %d recipes", file, best)
	return file, path
}

// fullBuild times a build of everything from nothing.
func fullBuild(b testing.TB, dir string) time.Duration {
	b.Helper()
	start := time.Now()
	desk, err := NewDesk(dir, Options{Edition: site.MakerEdition})
	require.NoError(b, err)
	defer desk.Close()
	tree, err := site.OpenTree(b.TempDir(), site.MakerEdition)
	require.NoError(b, err)
	defer tree.Close()
	_, err = desk.Now().Build.Write(b.Context(), tree, nil, desk.folder.ReadFile, func() {})
	require.NoError(b, err)
	return time.Since(start)
}

// BenchmarkPaint measures from the moment when an editor begins to save until a real browser has painted the page anew (painted-ms), in the
// same large handbook.
func BenchmarkPaint(b *testing.B) {
	w := openWorkroom(b, large)
	page := browsertest.Start(b)
	r := w.desk.Now().Build.Recipes()[large.Recipes/2]
	name := filepath.Join(w.dir, filepath.FromSlash(r.File))
	raw, err := os.ReadFile(name)
	require.NoError(b, err)
	open := page.Open(b, w.url+"/recipes/"+r.Slug+"/", browsertest.View{Width: 1280, Script: true})
	browsertest.Ask[bool](b, open, `(new MutationObserver(() => {
		const seen = /Painted (\d+) times/.exec(document.body.textContent);
		if (seen && seen[1] !== window.seen) {
			window.seen = seen[1];
			requestAnimationFrame(() => requestAnimationFrame(() => { window.painted = {number: seen[1], at: Date.now()} }));
		}
	}).observe(document.body, {childList: true, subtree: true, characterData: true}), true)`)
	var painted time.Duration
	n := 0
	for b.Loop() {
		n++
		start := time.Now()
		require.NoError(b, os.WriteFile(name, append(bytes.Clone(raw), fmt.Sprintf("\nPainted %d times.\n", n)...), 0o644))
		open.Wait(b, fmt.Sprintf("window.painted && painted.number === '%d'", n))
		painted += time.UnixMilli(int64(browsertest.Ask[float64](b, open, "painted.at"))).Sub(start)
		<-w.events
	}
	b.ReportMetric(float64(painted.Microseconds())/1000/float64(n), "painted-ms")
}
