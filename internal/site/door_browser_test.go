package site

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// The door in a browser: what members, people who are none, and people with faulty copies meet with.
func TestDoorInBrowser(t *testing.T) {
	b := browsertest.Start(t, "foreign.example")
	d := newDoorway(t)
	dir := d.publish(t, d.door, d.members...)
	open := func(t *testing.T, address string) *browsertest.Page {
		t.Helper()
		p := b.Open(t, address, browsertest.View{Width: 500, Script: true})
		t.Cleanup(p.Close)
		p.Prefer(t, "prefers-reduced-motion", "reduce") // no click lands beside what is scrolling by
		return p
	}
	code := d.codes[0].String()

	t.Run("opens, stays open and forgets", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.at(nightPage))
		typeCode(t, p, strings.ToLower(code))
		p.Wait(t, isOpen)
		assert.Contains(t, browsertest.Ask[string](t, p, `document.querySelector('main').textContent`), "canarymbody")
		assert.Equal(t, "Night balm · The bird table", browsertest.Ask[string](t, p, `document.title`))
		assert.Contains(t, browsertest.Ask[string](t, p, `document.querySelector('.book').textContent`), "members’ copy")
		p.Wait(t, `document.activeElement === document.querySelector('main h1')`)
		assert.Equal(t, "Opened: Night balm", browsertest.Ask[string](t, p, `document.getElementById('announce').textContent`))

		p.Go(t, h.at(nightPage))
		p.Wait(t, isOpen)
		assert.Equal(t, "BODY", browsertest.Ask[string](t, p, `document.activeElement.tagName`), "whoever has not touched the door is not led about")
		p.Click(t, `main .prose a[href$="marking-the-lid/index.html"]`)
		p.Wait(t, `document.querySelector('main')?.textContent.includes('canarymroost')`)
		browsertest.Ask[bool](t, p, `(history.back(), true)`)
		p.Wait(t, `document.querySelector('main')?.textContent.includes('canarymbody')`)

		other := open(t, h.at(roostPage))
		other.Wait(t, isOpen)
		home := open(t, h.at("index.html"))
		home.Wait(t, `document.querySelector('.opened').checkVisibility()`)
		assert.Equal(t, "Members’ pages are open on this device", browsertest.Ask[string](t, home, `document.getElementById('door--open').textContent`))

		home.Click(t, "#door--forget")
		other.Wait(t, ready)
		p.Wait(t, ready)
		assert.NotContains(t, browsertest.Ask[string](t, p, `document.documentElement.outerHTML`), "canarym", "other pages close too")
		other.Go(t, h.at(nightPage))
		other.Wait(t, ready)
		assert.False(t, browsertest.Ask[bool](t, other, `document.querySelector('.opened').checkVisibility()`))
	})

	t.Run("other tabs open with it", func(t *testing.T) {
		h := serve(t, dir)
		p, other := open(t, h.at(nightPage)), open(t, h.at(roostPage))
		other.Wait(t, ready)
		typeCode(t, p, code)
		other.Wait(t, isOpen)
	})

	t.Run("forgets with the tab", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.at(nightPage))
		p.Wait(t, ready)
		p.Click(t, `label[for="door--tab"]`)
		typeCode(t, p, code)
		p.Wait(t, isOpen)
		assert.Equal(t, "Members’ pages are open in this tab", browsertest.Ask[string](t, p, `document.getElementById('door--open').textContent`))
		p.Go(t, h.at(roostPage))
		p.Wait(t, isOpen)
		assert.Empty(t, browsertest.Await[[]string](t, p, leaks))
		other := open(t, h.at(nightPage))
		other.Wait(t, ready)
		browsertest.Await[bool](t, other, `new Promise(done => setTimeout(done, 200, true))`)
		assert.True(t, browsertest.Ask[bool](t, other, ready), "the other tab is not open")
		// What a browser brings back of a closed tab is its own storage; by then the database's part is out of date.
		browsertest.Await[bool](t, p, `new Promise(done => {
			indexedDB.open('stillroom').onsuccess = ({ target: { result } }) => {
				const tabs = result.transaction('tabs', 'readwrite'), cursor = tabs.objectStore('tabs').openCursor()
				cursor.onsuccess = () => { if (cursor.result) { cursor.result.update({ ...cursor.result.value, alive: Date.now() - 4 * 60 * 1000 }); cursor.result.continue() } }
				tabs.oncomplete = () => { result.close(); done(true) }
			}
		})`)
		p.Go(t, h.at(nightPage))
		p.Wait(t, ready)
		p.Wait(t, `sessionStorage.length === 0`)
		assert.False(t, browsertest.Ask[bool](t, p, `document.querySelector('.opened').checkVisibility()`))
	})

	t.Run("says what is wrong with a code", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.at(nightPage))
		typeCode(t, p, code[:len(code)-3])
		assert.Equal(t, "slip", said(t, p))
		assert.Equal(t, "door--code", browsertest.Ask[string](t, p, `document.activeElement.id`))
		assert.Equal(t, "true", browsertest.Ask[string](t, p, `document.getElementById('door--code').ariaInvalid`))
		typeCode(t, p, "7KV4R-A5F3J-VPTFW-RB3ZB-9")
		p.Wait(t, `document.getElementById('door--said').dataset.said === 'unknown'`)
		typeCode(t, p, code)
		p.Wait(t, isOpen)
	})

	t.Run("tells members that their access ended", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.at(nightPage))
		typeCode(t, p, code)
		p.Wait(t, isOpen)
		next := d.door.NextEpoch()
		h.show(d.publish(t, next, d.members[1]))
		p.Go(t, h.at(roostPage))
		assert.Equal(t, "ended", said(t, p))
		assert.False(t, browsertest.Ask[bool](t, p, barShown), "the message and the bar contradict each other")
		p.Go(t, h.at("index.html"))
		p.Wait(t, `document.readyState === 'complete'`)
		assert.False(t, browsertest.Ask[bool](t, p, `document.querySelector('.opened').checkVisibility()`))
		p.Go(t, h.at(nightPage))
		typeCode(t, p, d.codes[1].String())
		p.Wait(t, isOpen)
		p.Go(t, h.at(roostPage))
		p.Wait(t, isOpen)

		h.show(dir) // an older copy is put back
		p.Go(t, h.at(nightPage))
		p.Wait(t, isOpen)
		p.Wait(t, `document.getElementById('door--warning').checkVisibility()`)
		assert.Contains(t, browsertest.Ask[string](t, p, `document.getElementById('door--warning').textContent`), "older than one")
	})

	t.Run("says nothing else where access ended meanwhile", func(t *testing.T) {
		before, after := serve(t, dir), serve(t, d.publish(t, d.door.NextEpoch(), d.members[1]))
		// The browser has an old list of members at first, and gets the new one when the page does not open with it.
		after.put("sealed/ring.js", "if (document.currentScript.src.includes('?')) { "+after.read(t, "sealed/ring.js")+" } else { "+before.read(t, "sealed/ring.js")+" }")
		p := open(t, after.at(nightPage))
		typeCode(t, p, code)
		assert.Equal(t, "ended", said(t, p))
		assert.False(t, browsertest.Ask[bool](t, p, barShown))
		p.Go(t, after.at(roostPage))
		assert.Equal(t, "ended", said(t, p))
		assert.False(t, browsertest.Ask[bool](t, p, barShown))
	})

	t.Run("keeps members who stay", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.at(nightPage))
		typeCode(t, p, d.codes[1].String())
		p.Wait(t, isOpen)
		h.show(d.publish(t, d.door.NextEpoch(), d.members[1]))
		p.Go(t, h.at(nightPage))
		p.Wait(t, isOpen)
		assert.False(t, browsertest.Ask[bool](t, p, `document.getElementById('door--warning').checkVisibility()`))
	})

	t.Run("opens nothing that was meddled with", func(t *testing.T) {
		h := serve(t, dir)
		night := h.read(t, nightPage)
		sealed := sealedIn(t, night)
		flipped := []byte(sealed)
		at := len(flipped) / 2
		flipped[at] = map[bool]byte{true: 'A', false: 'B'}[flipped[at] != 'A']
		for name, page := range map[string]string{
			"a changed byte": strings.Replace(night, sealed, string(flipped), 1),
			"no base64":      strings.Replace(night, sealed, "*"+sealed, 1),
			"cut short":      strings.Replace(night, sealed, sealed[:len(sealed)/2/4*4], 1),
			"another page":   strings.Replace(night, sealed, sealedIn(t, h.read(t, roostPage)), 1),
			"another type":   strings.Replace(night, `data-type="application/json"`, `data-type="text/html"`, 1),
		} {
			h.put(nightPage, page)
			p := open(t, h.at(nightPage))
			typeCode(t, p, code)
			assert.Equal(t, "damaged", said(t, p), name)
			assert.NotContains(t, browsertest.Ask[string](t, p, `document.documentElement.outerHTML`), "canarym", name)
		}
	})

	t.Run("says that the list of members is not there", func(t *testing.T) {
		h := serve(t, dir)
		for text, want := range map[string]string{"": "ring", "stillroomRing({});": "damaged", `stillroomRing({"version":2});`: "damaged"} {
			h.put("sealed/ring.js", text)
			p := open(t, h.at(nightPage))
			typeCode(t, p, code)
			assert.Equal(t, want, said(t, p), text)
		}
	})

	t.Run("without scripts", func(t *testing.T) {
		h := serve(t, dir)
		p := b.Open(t, h.at(nightPage), browsertest.View{Width: 500})
		assert.Contains(t, browsertest.Ask[string](t, p, `document.getElementById('part--door').innerText`), "JavaScript")
		for _, hidden := range []string{"#door", ".search", ".opened"} {
			assert.False(t, browsertest.Ask[bool](t, p, `document.querySelector('`+hidden+`').checkVisibility()`), hidden)
		}
	})

	t.Run("without https", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.by(t, "foreign.example", nightPage))
		assert.Equal(t, "insecure", said(t, p))
		assert.False(t, browsertest.Ask[bool](t, p, `document.getElementById('door').checkVisibility()`))
	})

	t.Run("from a folder", func(t *testing.T) {
		address := (&url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(dir, filepath.FromSlash(nightPage)))}).String()
		p := open(t, address)
		p.Wait(t, ready)
		assert.False(t, browsertest.Ask[bool](t, p, `document.querySelector('.search').checkVisibility()`), "no list can be read there")
		assert.False(t, browsertest.Ask[bool](t, p, `document.getElementById('door--tab').checkVisibility()`))
		typeCode(t, p, code)
		p.Wait(t, isOpen)
		assert.Contains(t, browsertest.Ask[string](t, p, `document.querySelector('main').textContent`), "canarymbody")
		assert.Equal(t, "Members’ pages are open on this page only", browsertest.Ask[string](t, p, `document.getElementById('door--open').textContent`))
		p.Go(t, address)
		p.Wait(t, ready)
	})

	t.Run("where the browser keeps nothing", func(t *testing.T) {
		h := serve(t, dir)
		h.put("assets/refuse.js", `Object.defineProperty(window, 'indexedDB', { get() { throw new DOMException('no', 'SecurityError') } })`)
		h.put(nightPage, strings.Replace(h.read(t, nightPage), "<script", `<script src="../../assets/refuse.js"></script><script`, 1))
		p := open(t, h.at(nightPage))
		typeCode(t, p, code)
		p.Wait(t, isOpen)
		assert.Contains(t, browsertest.Ask[string](t, p, `document.getElementById('door--warning').textContent`), "keeps nothing")
	})

	t.Run("an opened page works", func(t *testing.T) {
		h := serve(t, dir)
		h.policy = strings.Replace(policy, "connect-src 'self'", "connect-src 'self' blob:", 1) // for the test to read a download
		p := open(t, h.at(nightPage)+"#how-to-pour")
		typeCode(t, p, code)
		p.Wait(t, isOpen)
		p.Wait(t, `document.querySelector('main .prose img[src^="blob:"]')?.naturalWidth > 0`)
		assert.Equal(t, []string{"160", "120"}, browsertest.Ask[[]string](t, p, `['width', 'height'].map(name => document.querySelector('main .prose img').getAttribute(name))`), "its room is kept until it comes")
		assert.Equal(t, "how-to-pour", browsertest.Ask[string](t, p, `document.querySelector(':target')?.id ?? ''`))
		assert.Equal(t, "night.svg", browsertest.Ask[string](t, p, `document.querySelector('.plate img').src.split('/').pop()`), "what everyone may see is fetched as always")

		csv := browsertest.Await[string](t, p, `fetch(document.querySelector('a[download="weights.csv"]').href).then(a => a.text())`)
		assert.Contains(t, csv, "Jojoba oil")
		assert.True(t, browsertest.Ask[bool](t, p, `[...document.querySelectorAll('main a')].filter(a => a.download).every(a => a.href.startsWith('blob:'))`))
		assert.Equal(t, []string{"weights.csv", "formula.json", "canarymshown.svg"},
			browsertest.Ask[[]string](t, p, `['weights.csv', 'formula.json', 'canarymshown.svg'].filter(name => document.querySelector('main a[download="' + name + '"]'))`))

		p.Click(t, `label[for="b2"]`)
		p.Click(t, `label[for="v2"]`)
		s := browsertest.Ask[seen](t, p, lookFor("v2", "b2"))
		assert.Equal(t, []string{"v2"}, s.Versions)
		assert.Equal(t, s.Wanted, s.Amounts)
		assert.Zero(t, s.Sideways)
		assert.True(t, browsertest.Ask[bool](t, p, `document.querySelector('[data-do="print"]').checkVisibility()`))
		p.Print(t)
		assert.True(t, browsertest.Ask[bool](t, p, `[...document.querySelectorAll('main.recipe .formula')].some(table => table.checkVisibility())`))
		assert.False(t, browsertest.Ask[bool](t, p, `document.querySelector('.opened').checkVisibility() || document.querySelector('.do').checkVisibility()`))
	})

	t.Run("pages without a teaser", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.at(nightPage))
		typeCode(t, p, code)
		p.Wait(t, isOpen)
		link := browsertest.Ask[string](t, p, `[...document.querySelectorAll('.formula a')].find(a => a.textContent.includes('Jojoba')).href`)
		assert.Regexp(t, `/sealed/index\.html\?[0-9a-z]{24}$`, link)
		p.Go(t, link)
		p.Wait(t, `document.querySelector('main.ingredient h1')?.textContent.startsWith('Jojoba oil')`)
		assert.True(t, strings.HasSuffix(browsertest.Ask[string](t, p, `document.querySelector('main .used a').href`), "/"+nightPage))
		p.Go(t, h.at("sealed/index.html?0000000000000000000000zz"))
		assert.Equal(t, "absent", said(t, p))
	})

	t.Run("ingredients tell members more", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.at(oilPage))
		p.Wait(t, `document.readyState === 'complete'`)
		assert.NotContains(t, browsertest.Ask[string](t, p, `document.querySelector('main').textContent`), "Night balm")
		p.Go(t, h.at(nightPage))
		typeCode(t, p, code)
		p.Wait(t, isOpen)
		p.Go(t, h.at(oilPage))
		p.Wait(t, `document.querySelector('main').textContent.includes('Night balm')`)
	})

	t.Run("by the keyboard alone", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.at(nightPage))
		p.Wait(t, ready)
		var way []string
		for range 20 {
			p.Type(t, browsertest.Tab)
			at := browsertest.Ask[string](t, p, `(e => e.id || e.textContent.trim())(document.activeElement)`)
			assert.True(t, browsertest.Ask[bool](t, p, `document.activeElement.matches(':focus-visible')`), at)
			way = append(way, at)
			if at == "door--code" {
				break
			}
		}
		assert.Equal(t, []string{"Straight to the page", "The bird table", "Recipes", "Ingredients", "Notes", "Find", "search--field", "The bird table", "Balms", "door--code"}, way)
		p.Type(t, code)
		p.Type(t, browsertest.Tab)
		assert.Equal(t, "Open", browsertest.Ask[string](t, p, `document.activeElement.textContent`))
		p.Type(t, browsertest.Tab+" ")
		assert.True(t, browsertest.Ask[bool](t, p, `document.activeElement.id === 'door--tab' && document.activeElement.checked`))
		p.Type(t, browsertest.Enter)
		p.Wait(t, isOpen)
		assert.Empty(t, browsertest.Ask[[]string](t, p, nameless))
	})

	t.Run("keeps no words", func(t *testing.T) {
		h := serve(t, dir)
		p := open(t, h.at(nightPage))
		typeCode(t, p, code)
		p.Wait(t, isOpen)
		p.Wait(t, `document.querySelector('main .prose img[src^="blob:"]')`)
		p.Go(t, h.at(nightPage))
		p.Wait(t, isOpen)
		p.Go(t, h.at(roostPage))
		p.Wait(t, isOpen)
		browsertest.Await[bool](t, p, `navigator.serviceWorker.ready.then(() => true)`)
		p.Go(t, h.at(nightPage))
		p.Wait(t, isOpen)
		p.Wait(t, `navigator.serviceWorker.controller`)
		assert.Empty(t, browsertest.Await[[]string](t, p, leaks))
		assert.Equal(t, []string{"false unwrapKey"}, browsertest.Await[[]string](t, p, keysKept))
		assert.Equal(t, []string{}, browsertest.Ask[[]string](t, p, `['stillroomRing', 'seal', 'door', 'remember', 'opened', 'match'].filter(name => name in globalThis)`))
	})
}

// barShown tells whether the page says that the members' pages are open.
const barShown = `document.querySelector('.opened').checkVisibility()`

// leaks lists where the browser keeps a word that only members may read, or the bytes of a key: in the caches, the storages, the database.
const leaks = `(async () => {
	const found = [], secret = /canarym/
	for (const name of await caches.keys()) {
		const cache = await caches.open(name), requests = await cache.keys()
		for (const request of requests) {
			const answer = await cache.match(request)
			if (secret.test(request.url + await answer.text())) found.push('cache ' + request.url)
		}
	}
	for (const storage of [localStorage, sessionStorage]) {
		for (const key of Object.keys(storage)) if (secret.test(key + storage.getItem(key))) found.push('storage ' + key)
	}
	const look = value => value instanceof CryptoKey ? (value.extractable ? ['a key that can be had'] : [])
		: typeof value === 'string' && secret.test(value) ? [value]
		: value instanceof Uint8Array && value.length > 12 ? ['bytes']
		: value && typeof value === 'object' ? Object.values(value).flatMap(look) : []
	for (const { name } of await indexedDB.databases()) {
		const db = await new Promise(done => { indexedDB.open(name).onsuccess = event => done(event.target.result) })
		for (const store of db.objectStoreNames) {
			const all = await new Promise(done => { db.transaction(store).objectStore(store).getAll().onsuccess = event => done(event.target.result) })
			found.push(...all.flatMap(look))
		}
		db.close()
	}
	return found
})()`

// keysKept lists the members' keys in the database: whether their bytes can be had, and what they are for.
const keysKept = `new Promise(done => {
	indexedDB.open('stillroom').onsuccess = ({ target: { result } }) => {
		result.transaction('members').objectStore('members').getAll().onsuccess = async ({ target }) => {
			const keys = []
			for (const { wrapKey } of target.result) {
				const had = await crypto.subtle.exportKey('raw', wrapKey).then(() => true, () => false)
				keys.push(had + ' ' + wrapKey.usages.join(' '))
			}
			result.close()
			done(keys)
		}
	}
})`

// nameless lists the controls that are seen and have no words of their own, and ids that are used twice.
const nameless = `[
	...[...document.querySelectorAll('input, button, a[href], summary')]
		.filter(e => e.checkVisibility() && !(e.labels?.length ? e.labels[0].textContent : e.textContent + (e.ariaLabel ?? '') + (e.querySelector('img')?.alt ?? '')).trim())
		.map(e => e.outerHTML),
	...[...document.querySelectorAll('[id]')].map(e => e.id).filter((id, i, all) => all.indexOf(id) !== i),
]`

// The page's own reader of sealed things agrees with every frozen value of package seal.
func TestSealScript(t *testing.T) {
	b := browsertest.Start(t)
	h := serve(t, t.TempDir())
	h.put("try.html", `<!DOCTYPE html><title>t</title><script src="seal.js"></script>`)
	h.put("seal.js", string(defaultTheme(t).Assets()["seal.js"].Bytes))
	p := b.Open(t, h.at("try.html"), browsertest.View{Width: 500, Script: true})
	vectors, err := os.ReadFile(filepath.Join("..", "seal", "testdata", "vectors.json"))
	require.NoError(t, err)
	require.True(t, json.Valid(vectors))
	result := browsertest.Await[struct {
		Agree  int
		Faults []string
	}](t, p, `(`+tryVectors+`)(`+string(vectors)+`)`)
	assert.Empty(t, result.Faults)
	assert.Equal(t, 57, result.Agree)
}

const tryVectors = `async v => {
	const faults = []
	let agree = 0
	const same = (got, want, what) => { if (got === want) agree++; else faults.push(what + ': ' + got + ', not ' + want) }
	const text = bytes => btoa(Array.from(bytes, byte => String.fromCharCode(byte)).join(''))
	const refused = promise => promise.then(() => 'opened', fault => fault instanceof seal.Damaged ? 'damaged' : String(fault))
	const first = { salt: v.door.salt, rounds: v.door.rounds }
	for (const typed of v.slips) same(seal.parseCode(typed), null, 'slip ' + typed)
	for (const { code, typed, signs, locator } of v.codes) {
		for (const one of [code, ...typed]) same(seal.parseCode(one), signs, one)
		const who = await seal.member(signs, first)
		same(who.locator, locator, 'locator')
		same(who.wrapKey.extractable, false, 'key of ' + code)
	}
	for (const { epoch, members, ring: line, pages } of v.epochs) {
		const ring = seal.checkRing(JSON.parse(line))
		let content = null
		for (const [i, { signs }] of v.codes.entries()) {
			const mine = await seal.unlock(ring, await seal.member(signs, ring))
			same(mine !== null, members.includes(i), 'member ' + i + ' in epoch ' + epoch)
			content ??= mine
		}
		for (const page of pages) {
			const box = seal.fromBase64(page.sealed)
			same(text(await seal.open(content, page.path, page.mediaType, box)), page.plain, page.path)
			same(await refused(seal.open(content, page.path + 'x', page.mediaType, box)), 'damaged', 'path')
			same(await refused(seal.open(content, page.path, page.mediaType + 'x', box)), 'damaged', 'type')
			same(await refused(seal.open({ ...content, epoch: 9 }, page.path, page.mediaType, box)), 'damaged', 'epoch')
			same(await refused(seal.open(content, page.path, page.mediaType, box.with(40, box[40] ^ 1))), 'damaged', 'byte')
		}
		const spoilt = { ...ring, epoch: epoch + 1 }
		same(await refused(seal.unlock(spoilt, await seal.member(v.codes[members[0]].signs, spoilt))), 'damaged', 'ring of another epoch')
	}
	return { Agree: agree, Faults: faults }
}`

// The browser's own functions, against published values.
func TestBrowserPrimitives(t *testing.T) {
	b := browsertest.Start(t)
	h := serve(t, t.TempDir())
	h.put("try.html", `<!DOCTYPE html><title>t</title>`)
	p := b.Open(t, h.at("try.html"), browsertest.View{Width: 500, Script: true})
	tests := []struct{ source, expression, want string }{
		{
			"RFC 5869, A.1", `bits({ name: 'HKDF', hash: 'SHA-256', salt: unhex('000102030405060708090a0b0c'), info: unhex('f0f1f2f3f4f5f6f7f8f9') }, unhex('0b'.repeat(22)), 42)`,
			"3cb25f25faacd57a90434f64d0362f2a2d2d0a90cf1a5a4c5db02d56ecc4c5bf34007208d5b887185865",
		},
		{
			"RFC 7914, 11, second; from memory", `bits({ name: 'PBKDF2', hash: 'SHA-256', salt: utf8('NaCl'), iterations: 80000 }, utf8('Password'), 64)`,
			"4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56a1d425a1225833549adb841b51c9b3176a272bdebba1d078478f62b397f33c8d",
		},
		{
			"McGrew and Viega, The Galois/Counter Mode of Operation (GCM), appendix B, test case 16; from memory",
			`gcm('feffe9928665731c6d6a8f9467308308'.repeat(2), 'cafebabefacedbaddecaf888', 'feedfacedeadbeeffeedfacedeadbeefabaddad2', '522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f66276fc6ece0f4e1768cddf8853bb2d551b')`,
			"d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a721c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b39",
		},
	}
	for _, test := range tests {
		got := browsertest.Await[string](t, p, `(async () => {
			const { subtle } = crypto, utf8 = text => new TextEncoder().encode(text)
			const unhex = text => Uint8Array.from(text.match(/../g), pair => parseInt(pair, 16))
			const hex = buffer => [...new Uint8Array(buffer)].map(byte => byte.toString(16).padStart(2, '0')).join('')
			const bits = async (way, key, n) => subtle.deriveBits(way, await subtle.importKey('raw', key, way.name, false, ['deriveBits']), 8 * n)
			const gcm = async (key, iv, aad, box) => subtle.decrypt({ name: 'AES-GCM', iv: unhex(iv), additionalData: unhex(aad) }, await subtle.importKey('raw', unhex(key), 'AES-GCM', false, ['decrypt']), unhex(box))
			return hex(await `+test.expression+`)
		})()`)
		assert.Equal(t, test.want, got, test.source)
	}
}
