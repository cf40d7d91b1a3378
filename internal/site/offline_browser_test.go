package site

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// inCache says whether an address is kept.
func inCache(address string) string {
	return `caches.match('` + address + `').then(answer => Boolean(answer))`
}

// At the bench without a connection: what was read can be read, sealed pages too, and the rest says why not.
func TestOfflineInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	d := newDoorway(t)
	h := serve(t, d.publish(t, d.door, d.members...))
	p := b.Open(t, h.at("recipes/perch-balm/index.html"), browsertest.View{Width: 500, Script: true})
	p.Wait(t, `navigator.serviceWorker.controller`)
	for _, page := range []string{"recipes/perch-balm/index.html", "pictures/recipes/perch.svg", "404.html"} {
		for !browsertest.Await[bool](t, p, inCache(h.at(page))) {
			browsertest.Await[bool](t, p, `new Promise(done => setTimeout(done, 20, true))`)
		}
	}
	p.Go(t, h.at(nightPage))
	typeCode(t, p, d.codes[0].String())
	p.Wait(t, isOpen)
	p.Wait(t, `document.querySelector('main .prose img[src^="blob:"]')`)
	search(t, p, "perch")
	p.Go(t, h.at("")) // a folder's address is that of its page
	p.Wait(t, `document.readyState === 'complete'`)
	for _, page := range []string{"index.html", nightPage, "sealed/ring.js", "search.json"} {
		for !browsertest.Await[bool](t, p, inCache(h.at(page))) {
			browsertest.Await[bool](t, p, `new Promise(done => setTimeout(done, 20, true))`)
		}
	}
	assert.Empty(t, browsertest.Await[[]string](t, p, leaks))
	assert.False(t, browsertest.Await[bool](t, p, inCache(h.at("sw.js"))))

	h.stop()
	p.Go(t, h.at("recipes/perch-balm/index.html"))
	p.Wait(t, `document.querySelector('h1')?.textContent === 'Perch balm' && document.styleSheets[0].cssRules.length > 100`)
	p.Wait(t, `document.querySelector('.plate img').naturalWidth > 0`)
	p.Go(t, h.at(nightPage)+"?from=elsewhere")
	p.Wait(t, isOpen)
	p.Wait(t, `document.querySelector('main .prose img[src^="blob:"]')`)
	assert.Contains(t, search(t, p, "perch"), "Perch balm")
	p.Go(t, h.at("recipes/"))
	p.Wait(t, `document.getElementById('offline')?.checkVisibility()`)
	assert.False(t, browsertest.Ask[bool](t, p, `document.getElementById('no-such-page').checkVisibility()`))
	assert.True(t, browsertest.Ask[bool](t, p, `document.styleSheets[0].cssRules.length > 100`))
	assert.Equal(t, h.at("index.html"), browsertest.Ask[string](t, p, `document.querySelector('.book a').href`))
}

// A newer worker drops what an older one kept, a newer form of an asset the older, and a page that is gone is forgotten.
func TestWorkerRenews(t *testing.T) {
	b := browsertest.Start(t)
	d := newDoorway(t)
	h := serve(t, d.publish(t, d.door, d.members...))
	page := h.read(t, "recipes/perch-balm/index.html")
	p := b.Open(t, h.at("recipes/perch-balm/index.html"), browsertest.View{Width: 500, Script: true})
	p.Wait(t, `navigator.serviceWorker.controller`)
	kept := func(address string, want bool) {
		t.Helper()
		for browsertest.Await[bool](t, p, inCache(h.at(address))) != want {
			browsertest.Await[bool](t, p, `new Promise(done => setTimeout(done, 20, true))`)
		}
	}
	sheet := defaultTheme(t).Assets()["linen.css"].Path
	kept(sheet, true)
	newer := "assets/linen.0123abcd.css"
	h.put(newer, "h1 { color: red }")
	h.put("recipes/perch-balm/index.html", strings.Replace(page, sheet, newer, 1))
	p.Go(t, h.at("recipes/perch-balm/index.html"))
	kept(newer, true)
	kept(sheet, false)

	kept("index.html", false)
	p.Go(t, h.at("index.html"))
	kept("index.html", true)
	h.put("recipes/perch-balm/index.html", strings.ReplaceAll(page, "sw.js?v=", "sw.js?v=next"))
	p.Go(t, h.at("recipes/perch-balm/index.html"))
	kept("index.html", false)
	assert.Len(t, browsertest.Await[[]string](t, p, `caches.keys()`), 1)
	p.Go(t, h.at("recipes/gone/index.html"))
	p.Wait(t, `document.readyState === 'complete'`)
	assert.False(t, browsertest.Await[bool](t, p, inCache(h.at("recipes/gone/index.html"))))
}

// The preview's pages register no worker.
func TestPreviewKeepsNothing(t *testing.T) {
	b := browsertest.Start(t)
	d := newDoorway(t)
	h := serve(t, d.publish(t, d.door, d.members...))
	h.put("index.html", strings.Replace(h.read(t, "index.html"), "<html ", `<html data-preview="1" `, 1))
	p := b.Open(t, h.at("index.html"), browsertest.View{Width: 500, Script: true})
	p.Wait(t, `document.readyState === 'complete'`)
	browsertest.Await[bool](t, p, `new Promise(done => setTimeout(done, 300, true))`)
	assert.Zero(t, browsertest.Await[int](t, p, `navigator.serviceWorker.getRegistrations().then(all => all.length)`))
}
