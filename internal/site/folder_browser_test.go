package site

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// A folderHost serves a handbook from a folder of a host whose other addresses are someone else's.
type folderHost struct {
	*doorHost
	front *httptest.Server
	mu    sync.Mutex
	stray []string // what was asked for outside the folder
}

const deeper = "/some/folder/"

func serveInFolder(t testing.TB) *folderHost {
	t.Helper()
	h := &folderHost{doorHost: serve(t, t.TempDir())}
	in := http.StripPrefix(strings.TrimSuffix(deeper, "/"), h.doorHost)
	h.front = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case r.URL.Path == "/-/policy":
			h.doorHost.ServeHTTP(w, r)
		case strings.HasPrefix(r.URL.Path, deeper):
			in.ServeHTTP(w, r)
		default:
			h.mu.Lock()
			h.stray = append(h.stray, r.URL.Path)
			h.mu.Unlock()
			http.NotFound(w, r)
		}
	}))
	t.Cleanup(h.close)
	return h
}

func (h *folderHost) close() {
	h.front.CloseClientConnections()
	h.front.Close()
}

func (h *folderHost) at(page string) string { return h.front.URL + deeper + page }

func (h *folderHost) strays() []string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return slices.Clone(h.stray)
}

// askedFor gives the addresses that the page and its manifest name, and which of them are not there.
const askedFor = `(async () => {
	const manifest = document.querySelector('link[rel="manifest"]').href, app = await (await fetch(manifest)).json()
	const id = new URL(app.id, new URL(app.start_url, manifest).origin).href
	const named = [...document.querySelectorAll('a[href]:not([href^="#"]), link[href], script[src], img[src]')].map(e => e.href || e.src)
	const all = [...new Set([...named, ...[app.start_url, app.scope, ...app.icons.map(icon => icon.src)].map(a => new URL(a, manifest).href)])]
	const ours = all.filter(a => new URL(a).origin === location.origin && !a.startsWith('blob:'))
	const gone = await Promise.all(ours.map(a => fetch(a).then(answer => answer.ok ? '' : a)))
	return { Ours: ours, Gone: gone.filter(Boolean), App: id === new URL(app.start_url, manifest).href }
})()`

type addresses struct {
	Ours, Gone []string
	App        bool // the manifest's id is what it would be without one, so that an app that was put on a device stays the same
}

// A handbook need not stand at the top of its host: in a folder everything works, and nothing outside it is asked for.
func TestFolderOfAHostInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	d, h := newDoorway(t), serveInFolder(t)
	settings := d.source["handbook.yaml"].Data
	d.source["handbook.yaml"] = &fstest.MapFile{Data: append(slices.Clone(settings), "address: "+h.at("")+"\n"...)}
	h.show(d.publish(t, d.door, d.members...))

	p := b.Open(t, h.at("recipes/perch-balm/index.html"), browsertest.View{Width: 500, Script: true})
	p.Wait(t, `navigator.serviceWorker.controller`)
	assert.Equal(t, h.at(""), browsertest.Await[string](t, p, `navigator.serviceWorker.ready.then(worker => worker.scope)`))
	inPlace := func(page string) {
		t.Helper()
		p.Go(t, h.at(page))
		p.Wait(t, `document.readyState === 'complete' && document.styleSheets[0]?.cssRules.length > 100`)
		found := browsertest.Await[addresses](t, p, askedFor)
		assert.Greater(t, len(found.Ours), 15, page)
		assert.Empty(t, found.Gone, page)
		assert.True(t, found.App, page)
		for _, address := range found.Ours {
			assert.True(t, strings.HasPrefix(address, h.at("")), "%s leads to %s", page, address)
		}
	}
	for _, page := range []string{"", "recipes/perch-balm/index.html", findPath, ingredientsPath, "recipes/nowhere/at/all/"} {
		inPlace(page)
	}
	assert.Contains(t, search(t, p, "perch"), "Perch balm", "on the page for wrong addresses")
	assert.Equal(t, h.at("recipes/perch-balm/index.html"), browsertest.Ask[string](t, p, `document.querySelector('#search--found a').href`))

	p.Go(t, h.at(nightPage))
	typeCode(t, p, d.codes[0].String())
	p.Wait(t, isOpen)
	p.Wait(t, `document.querySelector('main .prose img[src^="blob:"]')`)
	for !browsertest.Await[bool](t, p, inCache(h.at("404.html"))) {
		browsertest.Await[bool](t, p, `new Promise(done => setTimeout(done, 20, true))`)
	}
	assert.Empty(t, h.strays(), "asked for outside the folder")

	h.close()
	p.Go(t, h.at("recipes/perch-balm/index.html"))
	p.Wait(t, `document.querySelector('h1')?.textContent === 'Perch balm' && document.styleSheets[0].cssRules.length > 100`)
	p.Go(t, h.at("recipes/not-read/"))
	p.Wait(t, `document.getElementById('offline')?.checkVisibility() && document.styleSheets[0].cssRules.length > 100`)
}
