package preview

import (
	"flag"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

var picturesTo = flag.String("pictures", "", "folder to which pictures of the pages are written")

const (
	creamPage = "/recipes/hedgerow-hand-cream/"
	creamFile = "recipes/hedgerow-hand-cream.md"
	cetyl     = "Cetyl alcohol: 2 %"
	moreCetyl = "Cetyl alcohol: 3 %"
)

// A bench serves the demonstration handbook from a folder of its own, as the preview does, with changes told by hand.
type bench struct {
	dir, theme, address string
	desk                *Desk
	hub                 *Hub
	stop                func()

	originals map[string]string // what altered files of the handbook were at first

	mu    sync.Mutex
	asked map[string]int // how often each address was asked for
}

func newBench(t *testing.T) *bench {
	t.Helper()
	b := &bench{dir: t.TempDir(), theme: t.TempDir(), asked: map[string]int{}, originals: map[string]string{}}
	require.NoError(t, os.CopyFS(b.dir, os.DirFS("../../content")))
	b.write(t, b.theme, "pieces/end.html", `<form><input id="jotting"><textarea name="more"></textarea></form>`+b.linen(t, "pieces/end.html"))
	b.start(t, "127.0.0.1:0")
	t.Cleanup(func() { b.stop() })
	return b
}

// start runs the tool on an address, "127.0.0.1:0" for any free port.
func (b *bench) start(t *testing.T, address string) {
	t.Helper()
	desk, err := NewDesk(b.dir, Options{Edition: site.MakerEdition, Theme: b.theme})
	require.NoError(t, err)
	l, err := net.Listen("tcp", address)
	require.NoError(t, err)
	front, err := fs.Sub(linen.Preview, "preview")
	require.NoError(t, err)
	b.desk, b.hub, b.address = desk, NewHub(), l.Addr().String()
	handler := NewServer(desk.Now, b.hub, front, l, b.address)
	server := &http.Server{ReadHeaderTimeout: time.Second, Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		b.count(r.URL.Path)
		handler.ServeHTTP(w, r)
	})}
	b.stop = func() {
		b.hub.Close()
		assert.NoError(t, server.Close())
		assert.NoError(t, desk.Close())
	}
	go func() { assert.ErrorIs(t, server.Serve(l), http.ErrServerClosed) }()
}

func (b *bench) count(path string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.asked[path]++
}

func (b *bench) times(path string) int {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.asked[path]
}

func (b *bench) listeners() int {
	b.hub.mu.Lock()
	defer b.hub.mu.Unlock()
	return len(b.hub.readers)
}

func (b *bench) url(path string) string { return "http://" + b.address + path }

func (b *bench) linen(t *testing.T, file string) string {
	t.Helper()
	text, err := fs.ReadFile(linen.FS, file)
	require.NoError(t, err)
	return string(text)
}

func (b *bench) write(t *testing.T, dir, file, text string) {
	t.Helper()
	path := filepath.Join(dir, filepath.FromSlash(file))
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
}

// alter puts one text in place of another in a file of the handbook; nobody is told yet.
func (b *bench) alter(t *testing.T, file, from, to string) {
	t.Helper()
	before, err := os.ReadFile(filepath.Join(b.dir, filepath.FromSlash(file)))
	require.NoError(t, err)
	require.Contains(t, string(before), from)
	if _, known := b.originals[file]; !known {
		b.originals[file] = string(before)
	}
	b.write(t, b.dir, file, strings.Replace(string(before), from, to, 1))
}

// tell makes changed files known, as the watcher would.
func (b *bench) tell(t *testing.T, files ...string) {
	t.Helper()
	report := b.desk.Take(Change{Files: files})
	require.False(t, report.Same, "nothing was altered")
	b.hub.Tell(report.Event())
}

// change alters a file of the handbook and tells of it.
func (b *bench) change(t *testing.T, file, from, to string) {
	t.Helper()
	b.alter(t, file, from, to)
	b.tell(t, file)
}

// restore puts the handbook back to what it was at first.
func (b *bench) restore(t *testing.T) {
	t.Helper()
	for file, text := range b.originals {
		b.write(t, b.dir, file, text)
		b.desk.Take(Change{Files: []string{file}})
	}
}

// upToDate waits until a page shows what the desk has at the moment.
func (b *bench) upToDate(t *testing.T, pages ...*browsertest.Page) {
	t.Helper()
	for _, p := range pages {
		p.Wait(t, fmt.Sprintf(`document.documentElement.dataset.preview === '%d' && document.querySelector('#preview--status').textContent === 'up to date'`, b.desk.Now().Number))
	}
}

// visit opens a page and waits until it listens.
func (b *bench) visit(t *testing.T, window *browsertest.Browser, path string, view browsertest.View) *browsertest.Page {
	t.Helper()
	view.Script = true
	p := window.Open(t, "about:blank", view)
	b.lead(t, p, path)
	return p
}

// anew leads a page to the cream as it was at first.
func (b *bench) anew(t *testing.T, p *browsertest.Page) {
	t.Helper()
	b.restore(t)
	b.lead(t, p, creamPage)
}

// lead leads a page elsewhere and waits until it listens there.
func (b *bench) lead(t *testing.T, p *browsertest.Page, path string) {
	t.Helper()
	p.Go(t, b.url(path))
	p.Wait(t, `document.querySelector('#preview--status').textContent === 'watching'`)
	browsertest.Ask[bool](t, p, `window.alive = true`)
}

// isAlive fails where a page was loaded anew since it was opened.
func isAlive(t *testing.T, p *browsertest.Page) {
	t.Helper()
	assert.True(t, browsertest.Ask[bool](t, p, `window.alive === true`), "the page was loaded again")
}

// said is what the page tells to those who listen to it.
func said(t *testing.T, p *browsertest.Page) string {
	t.Helper()
	return browsertest.Ask[string](t, p, `document.querySelector('#preview--said').textContent`)
}

// marked gives the places in a part of the page whose figures are marked as changed, with what they were before.
func marked(t *testing.T, p *browsertest.Page, part string) []string {
	t.Helper()
	return browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('`+part+`')].flatMap(e => [...e.querySelectorAll('[data-changed]')])
		.map(e => e.dataset.changed + ' → ' + e.textContent.replace(/\s+/g, ' ').trim())`)
}

// fresh counts what is marked as new.
func fresh(t *testing.T, p *browsertest.Page) int {
	t.Helper()
	return browsertest.Ask[int](t, p, `document.querySelectorAll('[data-new]').length`)
}

var desktop = browsertest.View{Width: 1100}

// An open page follows the handbook without being loaded again.
func TestPageFollows(t *testing.T) {
	b := newBench(t)
	p := b.visit(t, browsertest.Start(t), creamPage, desktop)

	t.Run("figures change in place and are marked until the next change", func(t *testing.T) {
		b.anew(t, p)
		b.change(t, creamFile, cetyl, moreCetyl)
		b.upToDate(t, p)
		assert.Equal(t, []string{
			"70.75 → 69.5", "176.87 6.24 → * 173.75 g 6.13 oz", "641.8 22.64 → * 630.5 g 22.24 oz", "1609.1 56.76 → * 1580.6 g 55.75 oz", "917.3 32.36 → * 901.1 g 31.79 oz",
			"2 → 3.0", "5 0.176 → 7.50 g 0.265 oz", "18.14 0.64 → 27.22 g 0.960 oz", "45.48 1.6 → 68.23 g 2.41 oz", "25.93 0.915 → 38.89 g 1.37 oz",
			"4.25 → 4.5", "10.63 0.375 → 11.25 g 0.397 oz", "38.56 1.36 → 40.82 g 1.44 oz", "96.66 3.41 → 102.34 g 3.61 oz", "55.1 1.94 → 58.34 g 2.06 oz",
		}, marked(t, p, ".weigh .v1 tbody tr:not(.phase)"))
		assert.Contains(t, marked(t, p, ".method"), "53.13 1.87 → 56.25 g 1.98 oz")
		assert.Regexp(t, `^\d+ figures changed$`, said(t, p))
		assert.Equal(t, "underline", browsertest.Ask[string](t, p, `getComputedStyle(document.querySelector('[data-changed] .g')).textDecorationLine`), "seen without colour")
		b.change(t, creamFile, "title: Hedgerow hand cream", "title: Hedge hand cream")
		b.upToDate(t, p)
		assert.Empty(t, marked(t, p, "body"))
		assert.Empty(t, said(t, p))
		assert.Equal(t, "Hedge hand cream · The Larkrow stillroom", browsertest.Ask[string](t, p, `document.title`))
		isAlive(t, p)
		assert.Empty(t, p.Complaints())
	})

	t.Run("a line put in is marked as new, and those below it are not", func(t *testing.T) {
		b.anew(t, p)
		b.change(t, creamFile, "      Vegetable glycerin: 4 %", "      Allantoin: 0.2 %\n      Vegetable glycerin: 3.8 %")
		b.upToDate(t, p)
		assert.Equal(t, []string{"Allantoin"}, browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('.v1 .formula tr[data-new]')].map(e => e.querySelector('a').textContent)`))
		assert.Equal(t, []string{"4 → 3.80"}, browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('.v1 .formula .pct[data-changed]')].map(e => e.dataset.changed + ' → ' + e.textContent)`))
		assert.Contains(t, said(t, p), "added")
	})

	t.Run("findings that come are marked, those that go are counted", func(t *testing.T) {
		b.anew(t, p)
		usual, muchOfIt := "ethylhexylglycerin blend: 1 %", "ethylhexylglycerin blend: 4 %"
		b.change(t, creamFile, usual, muchOfIt)
		b.upToDate(t, p)
		assert.Equal(t, []string{"above-legal-maximum", "above-usual-maximum"}, browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('.checks .v1 [data-new]')].map(e => e.dataset.code)`))
		assert.Regexp(t, `, \d new findings?$`, said(t, p))
		b.change(t, creamFile, muchOfIt, usual)
		b.upToDate(t, p)
		assert.Zero(t, fresh(t, p))
		assert.Regexp(t, `, \d findings? gone$`, said(t, p))
	})

	t.Run("what the writer did stays", func(t *testing.T) {
		b.anew(t, p)
		p.Click(t, "label[for=v3]")
		p.Click(t, "label[for=b3]")
		p.Click(t, ".rules-applied summary")
		p.Click(t, "[name=more]")
		p.Type(t, "half the rose")
		p.Click(t, "#jotting")
		p.Type(t, "warm the ja")
		browsertest.Ask[bool](t, p, `document.activeElement.scrollIntoView({block: 'center', behavior: 'instant'}) === undefined`)
		place := `document.activeElement.getBoundingClientRect().top`
		top := browsertest.Ask[float64](t, p, place)
		require.Greater(t, browsertest.Ask[float64](t, p, `scrollY`), 1000.0)
		b.change(t, creamFile, "  - name: Lavender", "  - name: Morning version\n    change:\n      Cetyl alcohol: 1 %\n  - name: Lavender")
		b.upToDate(t, p)
		p.Type(t, "rs")
		assert.Equal(t, "warm the jars", browsertest.Ask[string](t, p, `document.activeElement.value`))
		assert.Equal(t, "half the rose", browsertest.Ask[string](t, p, `document.querySelector('[name=more]').value`))
		assert.Equal(t, []string{"v4", "b3"}, browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('.choose :checked')].map(e => e.id)`), "a version is found by its name")
		assert.True(t, browsertest.Ask[bool](t, p, `document.querySelector('.rules-applied').open`))
		assert.False(t, browsertest.Ask[bool](t, p, `document.querySelector('.declares').open`))
		assert.InDelta(t, top, browsertest.Ask[float64](t, p, place), 2, "what the writer looks at stays where it is")
		isAlive(t, p)
	})

	t.Run("a size of one's own is weighed anew, and ticks of what changed are gone", func(t *testing.T) {
		b.anew(t, p)
		p.Click(t, "#bench--field")
		p.Type(t, "500 g"+browsertest.Enter)
		p.Wait(t, `document.querySelector('#b0:checked')`)
		p.Click(t, "#tick--v1-1")
		b.change(t, creamFile, cetyl, moreCetyl)
		b.upToDate(t, p)
		assert.Equal(t, "b0", browsertest.Ask[string](t, p, `document.querySelector('[name=batch]:checked').id`))
		assert.Contains(t, marked(t, p, ".weigh .v1 tbody .b0, .weigh .v1 tbody tr:not(.phase)"), "10 0.353 → 15.00 g 0.529 oz")
		assert.Equal(t, 1, browsertest.Ask[int](t, p, `document.querySelectorAll('.v1 thead .b0').length`))
		assert.Equal(t, "500 g", browsertest.Ask[string](t, p, `document.querySelector('#bench--field').value`))
		assert.False(t, browsertest.Ask[bool](t, p, `document.querySelector('#tick--v1-1').checked`))
		assert.Contains(t, browsertest.Ask[string](t, p, `document.querySelector('#bench--said').textContent`), "has changed since you ticked")
		isAlive(t, p)
		assert.Empty(t, p.Complaints())
		browsertest.Ask[bool](t, p, `localStorage.clear() === undefined`)
	})

	t.Run("problems come and go, and cover nothing at the page's end", func(t *testing.T) {
		b.anew(t, p)
		b.change(t, creamFile, cetyl, "Cetyl alcohol: 2 %%")
		b.upToDate(t, p)
		assert.Contains(t, browsertest.Ask[string](t, p, `document.querySelector('#preview--problems').innerText`), "recipes/hedgerow-hand-cream.md:25:")
		assert.Contains(t, browsertest.Ask[string](t, p, `document.querySelector('.formula').textContent`), "Cetyl alcohol", "the last good page stays")
		assert.InDelta(t, 800, browsertest.Ask[float64](t, p, `document.querySelector('#preview--problems').getBoundingClientRect().bottom`), 1, "at the window's foot")
		browsertest.Ask[bool](t, p, `scrollTo({top: 1e6, behavior: 'instant'}) === undefined`)
		assert.LessOrEqual(t, browsertest.Ask[float64](t, p, `document.querySelector('.end').getBoundingClientRect().bottom - document.querySelector('#preview--problems').getBoundingClientRect().top`), 1.0)
		b.change(t, creamFile, "Cetyl alcohol: 2 %%", moreCetyl)
		b.upToDate(t, p)
		assert.True(t, browsertest.Ask[bool](t, p, `document.querySelector('#preview--problems') === null`))
		assert.NotEmpty(t, marked(t, p, ".v1 .formula"))
	})

	t.Run("the style sheet is exchanged", func(t *testing.T) {
		b.anew(t, p)
		sheets := `[...document.querySelectorAll('link[rel=stylesheet]')].map(e => e.getAttribute('href'))`
		was := browsertest.Ask[[]string](t, p, sheets)
		require.Len(t, was, 2)
		b.write(t, b.theme, "assets/linen.css", b.linen(t, "assets/linen.css")+"body { background: rgb(1, 2, 3) }")
		b.tell(t, "theme:assets/linen.css")
		b.upToDate(t, p)
		now := browsertest.Ask[[]string](t, p, sheets)
		assert.Len(t, now, 2)
		assert.NotEqual(t, was[0], now[0])
		assert.Equal(t, was[1], now[1])
		assert.Equal(t, "rgb(1, 2, 3)", browsertest.Ask[string](t, p, `getComputedStyle(document.body).backgroundColor`))
		isAlive(t, p)
		assert.Empty(t, p.Complaints())
	})

	t.Run("a picture is loaded again, once", func(t *testing.T) {
		b.anew(t, p)
		const picture = "pictures/hedgerow-hand-cream.svg"
		before := b.times("/" + picture)
		b.write(t, b.dir, picture, `<svg xmlns="http://www.w3.org/2000/svg" width="7" height="5"/>`)
		b.tell(t, picture)
		p.Wait(t, `document.querySelector('.plate img').naturalWidth === 7`)
		b.change(t, creamFile, cetyl, moreCetyl)
		b.upToDate(t, p)
		assert.Equal(t, 7, browsertest.Ask[int](t, p, `document.querySelector('.plate img').naturalWidth`))
		assert.Equal(t, before+1, b.times("/"+picture))
		assert.Empty(t, p.Complaints())
	})
}

// The stream is picked up after the tool was started anew, and held only by pages that are seen.
func TestPageListens(t *testing.T) {
	window, b := browsertest.Start(t), newBench(t)

	t.Run("after the tool was started again", func(t *testing.T) {
		b.restore(t)
		p := b.visit(t, window, creamPage, desktop)
		b.stop()
		p.Wait(t, `document.querySelector('#preview--status').textContent === 'the tool has stopped; waiting for it'`)
		b.alter(t, creamFile, cetyl, moreCetyl)
		b.start(t, b.address)
		b.upToDate(t, p)
		assert.NotEmpty(t, marked(t, p, ".v1 .formula"), "the same number from another run of the tool is read again")
		isAlive(t, p)
		for _, complaint := range p.Complaints() {
			assert.Regexp(t, `net::ERR_|\(Download error or`, complaint, "nothing but connections failed") // the latter of an icon
		}
	})

	t.Run("a hidden page lets go and catches up", func(t *testing.T) {
		b.restore(t)
		p := b.visit(t, window, creamPage, browsertest.View{Width: 1100, Tab: true})
		number := browsertest.Ask[string](t, p, `document.documentElement.dataset.preview`)
		other := window.Open(t, "about:blank", browsertest.View{Width: 1100, Tab: true})
		other.Front(t)
		p.Wait(t, `document.hidden`)
		require.Eventually(t, func() bool { return b.listeners() == 0 }, 5*time.Second, 5*time.Millisecond)
		b.change(t, creamFile, cetyl, moreCetyl)
		assert.Equal(t, number, browsertest.Ask[string](t, p, `document.documentElement.dataset.preview`))
		p.Front(t)
		b.upToDate(t, p)
		assert.Equal(t, 1, b.listeners())
		assert.NotEmpty(t, marked(t, p, ".v1 .formula"))
		isAlive(t, p)
		assert.Empty(t, p.Complaints())
	})

	t.Run("two pages, and a burst of changes that ends with the last", func(t *testing.T) {
		b.restore(t)
		cream, bar := b.visit(t, window, creamPage, desktop), b.visit(t, window, "/recipes/larkrow-bar/", desktop)
		for i := range 9 {
			b.change(t, creamFile, fmt.Sprintf("Cetyl alcohol: 2%s %%", []string{"", ".1", ".2", ".3", ".4", ".5", ".6", ".7", ".8"}[i]), fmt.Sprintf("Cetyl alcohol: 2.%d %%", i+1))
		}
		b.upToDate(t, cream, bar)
		assert.Contains(t, browsertest.Ask[string](t, cream, `document.querySelector('.v1 .formula').textContent`), "2.90")
		assert.Empty(t, marked(t, bar, "body"))
		assert.Empty(t, append(cream.Complaints(), bar.Complaints()...))
	})
}

// What lies beside the page leaves room for it, folds away, and is not printed.
func TestPanel(t *testing.T) {
	window := browsertest.Start(t)
	b := newBench(t)
	b.change(t, "recipes/larkrow-bar.md", "title: ", "titel: ")
	covers := `(() => { const panel = document.querySelector('#preview--panel').getBoundingClientRect()
		return [...document.querySelectorAll('main > *, .formula')].some(e => e.getBoundingClientRect().right > panel.left - 10) })()`
	sideways := `document.documentElement.scrollWidth - document.documentElement.clientWidth`
	folded := `document.querySelector('#preview--fold').open === false`
	p := b.visit(t, window, creamPage, desktop)
	for _, width := range []int64{360, 800, 1280} {
		p.Resize(t, width)
		b.lead(t, p, creamPage)
		wide := width >= 1280
		assert.Equal(t, !wide, browsertest.Ask[bool](t, p, folded), width)
		assert.Zero(t, browsertest.Ask[int](t, p, sideways), "%d: it scrolls sideways", width)
		assert.False(t, wide && browsertest.Ask[bool](t, p, covers), "%d: it covers the page", width)
		p.Click(t, "#preview--fold summary")
		assert.Equal(t, wide, browsertest.Ask[bool](t, p, folded), width)
		b.lead(t, p, "/notes/")
		assert.Equal(t, wide, browsertest.Ask[bool](t, p, folded), "%d: it is remembered", width)
		browsertest.Ask[bool](t, p, `sessionStorage.clear() === undefined`)
	}
	b.lead(t, p, creamPage)
	p.Resize(t, 800)
	p.Wait(t, folded)
	p.Resize(t, 1700)
	p.Wait(t, `!(`+folded+`)`)
	assert.False(t, browsertest.Ask[bool](t, p, covers), "it covers the page")
	p.Print(t)
	assert.Zero(t, browsertest.Ask[int](t, p, `[...document.querySelectorAll('#preview--panel, #preview--problems')].filter(e => e.checkVisibility()).length`))
	assert.Equal(t, "0px", browsertest.Ask[string](t, p, `getComputedStyle(document.body).paddingRight`))
}

// Pictures for the eye, made only where a folder for them is named.
func TestPictures(t *testing.T) {
	if *picturesTo == "" {
		t.Skip("pictures are made with -pictures FOLDER")
	}
	window := browsertest.Start(t)
	take := func(p *browsertest.Page, name string) {
		require.NoError(t, os.WriteFile(filepath.Join(*picturesTo, name+".png"), p.Picture(t), 0o644))
	}
	look := func(p *browsertest.Page, selector string) {
		browsertest.Ask[bool](t, p, `document.querySelector('`+selector+`').scrollIntoView({behavior: 'instant', block: 'center'}) === undefined`)
	}
	for _, width := range []int64{360, 500, 800, 1280, 1600} {
		for _, scheme := range []string{"light", "dark"} {
			name := fmt.Sprintf("%d-%s", width, scheme)
			b := newBench(t)
			p := b.visit(t, window, creamPage, browsertest.View{Width: width})
			p.Prefer(t, "prefers-color-scheme", scheme)
			take(p, name+"-top")
			look(p, ".weigh .phase")
			b.change(t, creamFile, "ethylhexylglycerin blend: 1 %", "ethylhexylglycerin blend: 4 %")
			b.upToDate(t, p)
			time.Sleep(2 * time.Second) // until the ink is dry
			take(p, name+"-changed")
			look(p, ".finding")
			p.Click(t, "#preview--fold summary")
			take(p, name+"-toggled")
			b.change(t, creamFile, cetyl, "Cetyl alcohol: 2 %%")
			b.upToDate(t, p)
			p.Click(t, "#preview--fold summary")
			take(p, name+"-problems")
			p.Close()
		}
	}
}
