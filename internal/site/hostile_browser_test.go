package site

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// attacks gives words that run, ask a foreign host or make an element where a page takes them for more than words. Each fits into a name.
func attacks(foreign string) []string {
	return []string{
		`<script>pwned=1</script><x-h>`,
		`"><img src=x onerror=pwned=1><x-h>`,
		`'><svg onload=pwned=1><x-h>`,
		`</title></script></style></textarea><script>pwned=1</script><x-h>`,
		`--><script>pwned=1</script><!--<x-h>`,
		`]]><script>pwned=1</script><x-h>`,
		`" onmouseover="pwned=1" onfocus="pwned=1" autofocus x-h="`,
		`<iframe src="http://` + foreign + `/"></iframe><x-h>`,
		`<link rel=stylesheet href=//` + foreign + `/a.css><x-h>`,
		`<meta http-equiv=refresh content="0;url=http://` + foreign + `/"><x-h>`,
		`<base href="http://` + foreign + `/"><x-h>`,
		`javascript:pwned=1//`,
		`data:text/html,<script>pwned=1</script>`,
		`{{.Title}} {{say "x"}} ${pwned=1} <%=pwned=1%>`,
		`\"};pwned=1;//`,
		`&lt;script&gt;pwned=1&lt;/script&gt; &#60;x-h&#62;`,
		`=HYPERLINK("http://` + foreign + `/";"x")`,
		`__proto__ constructor toString`,
		`<div style="background:url(http://` + foreign + `/b.png)" id=batch class=amount><x-h>`,
	}
}

// asYAML writes words as YAML takes them.
func asYAML(words string) string {
	data, _ := json.Marshal(words) // JSON is YAML
	return string(data)
}

// hostileBook is a handbook in which every text is one of some words, wherever a page can have one.
func hostileBook(home, foreign string, all []string) fstest.MapFS {
	files := fstest.MapFS{}
	add := func(file, text string) { files[file] = &fstest.MapFile{Data: []byte(text)} }
	var shelves []string
	for i, words := range all {
		q := func(format string) string { return asYAML(fmt.Sprintf(format, words, i)) }
		shelves = append(shelves, fmt.Sprintf("{name: %s, about: %s}", q("%s shelf %d"), q("%s about %d")))
		add(fmt.Sprintf("recipes/h-%d.md", i), fmt.Sprintf(`---
title: %s
product: hand cream
shelf: %s
summary: %s
updated: 2026-11-0%d
tools: [%s, a bowl]
picture: {file: %s, shows: %s}
video: {address: "https://film.larkrow.example/w?v=1&x=%%3C/script%%3E%%22%%3Ex-h", title: %s}
fill: {container: %s, takes: 52 g, loss: 3 %%, costs: 0.35}
batches: [250 g, 32 oz]
formula:
  - phase: %s
    note: %s
    weigh:
      %s: {amount: 12.5 %%, note: %s}
      Sunflower oil: q.s.
  - phase: Cool-down
    weigh: {Lavender oil: 0.3 %%}
variants: [{name: %s, note: %s, change: {Lavender oil: %s}}]
splits: [{name: %s, note: %s, share: 1/2}, {name: Plain %d, share: 1/2}]
changes: [{on: 2026-01-03, before: {Lavender oil: 0.2 %%}, note: %s}]
accept: [{finding: unknown-material, because: %s}, {finding: no-emulsifier, because: %s}, {finding: emulsion-unbalanced, because: %s}]
---
%s`, q("%s cream %d"), q("%s shelf %d"), q("%s summary %d"), 1+i%9, q("%s tool %d"), asYAML(hostilePicture), q("%s shows %d"), q("%s video %d"),
			q("%s tin %d"), q("%s phase %d"), q("%s phase note %d"), q("%s oil %d"), q("%s line note %d"), q("%s variant %d"), q("%s variant note %d"), q("becomes %s oil %d"),
			q("%s split %d"), q("%s split note %d"), i, q("%s change %d"), q("%s because %d"), q("%s because too %d"), q("%s because three %d"), hostileBody(words)))
		add(fmt.Sprintf("ingredients/i-%d.md", i), fmt.Sprintf(`---
name: %s
also: [%s]
inci: %s
summary: %s
density: {value: 0.92 g/ml, source: %s}
cautions: [%s]
supplier: %s
lots: [{lot: %s, opened: 2026-03-02, holds: 500 g}]
---
%s`, q("%s oil %d"), q("%s also %d"), q("%s inci %d"), q("%s isummary %d"), q("%s source %d"), q("%s caution %d"), q("%s supplier %d"), q("%s lot %d"), hostileBody(words)))
		add(fmt.Sprintf("notes/n-%d.md", i), fmt.Sprintf("---\ntitle: %s\nsummary: %s\n---\n%s", q("%s note %d"), q("%s nsummary %d"), hostileBody(words)))
		add(fmt.Sprintf("batches/c-%d.md", i), fmt.Sprintf(`---
batch: C-%d
recipe: h-%d
size: 250 g
made: 2026-05-03
by: %s
weighed:
  %s: {weighed: 31 g, lot: %s, note: %s}
  Sunflower oil: {weighed: 218 g, lot: %s}
  Lavender oil: {weighed: 0.75 g}
yield: 240 g
checked: {by: %s, on: 2026-05-04, passed: yes}
---
%s`, i, i, q("%s by %d"), q("%s oil %d"), q("%s lot %d"), q("%s rnote %d"), q("%s otherlot %d"), q("%s judge %d"), hostileBody(words)))
	}
	first := asYAML(all[0])
	add("handbook.yaml", "title: "+first+"\nmaker: "+first+"\nabout: "+first+"\naddress: "+home+"/\ncurrency: "+asYAML("<x-h>")+"\nlabour: 15 per hour\nresponsible: {name: "+first+", address: "+
		first+", contact: "+first+"}\nshelves: ["+strings.Join(shelves, ", ")+"]\n")
	add("pictures/a.svg", `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect width="9" height="9"/></svg>`)
	add("pictures/"+hostilePicture, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" onload="pwned=1"><script>pwned=1</script><a href="javascript:pwned=1"><image href="http://`+foreign+`/p.png"/></a><rect width="9" height="9"/></svg>`)
	return files
}

// hostilePicture is a file's name that breaks out of an attribute.
const hostilePicture = `a" onerror="pwned=1'><x-h>&#x22;%22?#.svg`

// hostileBody is a page's text with words in every place that a text has.
func hostileBody(words string) string {
	plain := strings.NewReplacer("`", "", "|", "", "[", "", "]", "").Replace(words)
	return "# " + plain + "\n\n" + plain + "\n\n- " + plain + "\n\n> " + plain + "\n\n| " + plain + " | b |\n|---|---|\n| 1 | " + plain + " |\n\n::: note [" + plain + "]\n" +
		plain + "\n:::\n\n```html\n" + words + "\n```\n\n```js " + strings.ReplaceAll(words, "`", "") + "\nx\n```\n\n`" + plain + "`\n\n" +
		"[" + plain + "](https://example.org/%22onmouseover=%22pwned=1 'title \" onmouseover=\"pwned=1')\n\n" +
		"<https://example.org/\"><x-h>>\n\n![" + plain + "](a.svg 'title \" onerror=\"pwned=1')\n"
}

// A trap is two hosts: one that serves a folder without any policy, so that what gets into a page is not stopped by it, and one of which
// nothing may be asked.
type trap struct {
	home, other *httptest.Server
	mu          sync.Mutex
	asked       []string // of the other host
	missing     []string // files that the folder does not have
}

func newTrap(t testing.TB, dir string) *trap {
	t.Helper()
	h := &trap{}
	note := func(list *[]string, what string) {
		h.mu.Lock()
		defer h.mu.Unlock()
		*list = append(*list, what)
	}
	files := http.FileServer(http.Dir(dir))
	h.home = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, err := os.Stat(filepath.Join(dir, filepath.FromSlash(path.Clean(r.URL.Path)))); err != nil && r.URL.Path != "/favicon.ico" {
			note(&h.missing, r.URL.Path)
		}
		files.ServeHTTP(w, r)
	}))
	h.other = httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { note(&h.asked, r.URL.String()) }))
	t.Cleanup(func() {
		h.home.CloseClientConnections()
		h.home.Close()
		h.other.Close()
	})
	return h
}

// caught is what words could have done to a page.
type caught struct {
	Ran      bool     // whether a script of theirs did
	Elements []string // that none of our pages has
	Handlers []string // attributes that run something, or style
	Scripts  []string // that stand in the page, or come from elsewhere
	Leads    []string // addresses of another kind than a page's
	Fetched  []string // what was asked of another host
	Turned   bool     // whether a character turns the text about
	Words    string   // what stands on the page
}

const catch = `(() => {
	const all = [...document.querySelectorAll('*')]
	const sketch = e => e.outerHTML.slice(0, 120)
	const known = new Set('http: https: mailto: tel: blob:'.split(' '))
	return {
		Ran: typeof pwned !== 'undefined' || 'pwned' in window,
		Elements: all.filter(e => e.matches('x-h, [x-h], iframe, object, embed, base, style, meta[http-equiv], [autofocus]')).map(sketch),
		Handlers: all.filter(e => [...e.attributes].some(a => a.name.startsWith('on') || a.name === 'style' || a.name === 'srcdoc')).map(sketch),
		Scripts: [...document.scripts].filter(s => s.src ? new URL(s.src).origin !== location.origin : !['application/ld+json', 'application/json'].includes(s.type)).map(sketch),
		Leads: all.filter(e => ['href', 'src', 'action', 'formaction', 'data', 'poster', 'xlink:href'].some(n => e.hasAttribute(n) && !known.has(new URL(e.getAttribute(n), location).protocol))).map(sketch)
			.concat([...document.querySelectorAll('link[href], img[src]')].filter(e => !e.matches('[rel=canonical], [rel=alternate]') && new URL(e.href || e.src).origin !== location.origin).map(sketch)),
		Fetched: performance.getEntriesByType('resource').map(e => e.name).filter(n => new URL(n).origin !== location.origin),
		Turned: /[\u202a-\u202e\u2066-\u2069]/.test(document.documentElement.outerHTML),
		Words: document.body.textContent,
	}
})()`

// TestHostileWordsStayWords opens every page of a handbook whose texts all attack its readers: no script runs, nothing is asked of another host, no
// element or attribute comes of a text, and the text can be read.
func TestHostileWordsStayWords(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("NOT TESTED on Windows, which has no such names of files")
	}
	b := browsertest.Start(t)
	dir := t.TempDir()
	h := newTrap(t, dir)
	foreign := strings.TrimPrefix(h.other.URL, "http://")
	words := attacks(foreign)
	buildInto(t, hostileBook(h.home.URL, foreign, words), MakerEdition, dir)
	var pages []string
	for file := range filesOf(t, dir) {
		if strings.HasSuffix(file, ".html") {
			pages = append(pages, file)
		}
	}
	slices.Sort(pages)
	require.Greater(t, len(pages), 5*len(words))
	p := b.Open(t, "about:blank", browsertest.View{Width: 1280, Script: true})
	look := func(what string) (words string) {
		t.Helper()
		got := browsertest.Ask[caught](t, p, catch)
		words, got.Words = strings.Join(strings.Fields(got.Words), " "), ""
		require.Equal(t, caught{Elements: []string{}, Handlers: []string{}, Scripts: []string{}, Leads: []string{}, Fetched: []string{}}, got, what)
		return words
	}
	shown := 0
	for n, file := range pages {
		kind, i := "", 0
		if is, _ := fmt.Sscanf(strings.NewReplacer("/", " ", "-", " ").Replace(file), "%s %s %d", &kind, new(string), &i); is == 3 && kind != "recipes" && (i+n)%4 != 0 {
			continue // its like are looked at, and all without a browser
		}
		p.Go(t, h.home.URL+"/"+(&url.URL{Path: file}).EscapedPath())
		p.Wait(t, `document.readyState === 'complete'`)
		said := look(file)
		if kind == "recipes" {
			assert.Contains(t, said, strings.Join(strings.Fields(words[i]), " "), "%s: the words can be read", file)
			shown++
		}
	}
	assert.Equal(t, len(words), shown)

	// What scripts make of the words: what is searched for and found, and weights for another batch.
	p.Go(t, h.home.URL+"/index.html")
	assert.NotEmpty(t, search(t, p, "cream"))
	look("what is found")
	search(t, p, "<x-h>")
	look("what is not found")
	p.Go(t, h.home.URL+"/"+findPath+"?q="+url.QueryEscape("<x-h> cream"))
	p.Wait(t, `document.readyState === 'complete'`)
	look("the finder")
	h.mu.Lock()
	defer h.mu.Unlock()
	assert.Empty(t, h.asked, "what was asked of another host")
	assert.Empty(t, h.missing, "what was asked for and is not there")
}
