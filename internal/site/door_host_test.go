package site

import (
	"crypto/rand"
	"encoding/json"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
	"larkrow.example/stillroom/internal/seal"
)

// A doorway is a small handbook with sealed pages, as published, and who may open them.
type doorway struct {
	source  fstest.MapFS
	door    seal.Door
	codes   []seal.Code // of Wren and of Martin
	members []seal.Member
}

// newDoorway makes a door with two members. Its few rounds are for speed.
func newDoorway(t testing.TB) *doorway {
	t.Helper()
	door, err := seal.NewDoor(rand.Reader, 1000)
	require.NoError(t, err)
	d := &doorway{source: filesIn(t, "door.txtar"), door: door}
	for range 2 {
		code, err := seal.NewCode(rand.Reader)
		require.NoError(t, err)
		d.codes = append(d.codes, code)
		d.members = append(d.members, door.Admit(code))
	}
	return d
}

// publish builds the open edition into a folder of its own.
func (d *doorway) publish(t testing.TB, door seal.Door, members ...seal.Member) string {
	t.Helper()
	ring, err := door.Ring(members)
	require.NoError(t, err)
	read := func(file string) ([]byte, error) { return fs.ReadFile(d.source, file) }
	book, problems := Skim(d.source, nil, OpenEdition)
	require.Zero(t, problems.Len())
	build := NewBuild(book, OpenEdition, defaultTheme(t))
	build.Seal(Lock{door, ring}, read)
	dir := t.TempDir()
	tree, err := OpenTree(dir, OpenEdition)
	require.NoError(t, err)
	defer tree.Close()
	_, err = build.Write(t.Context(), tree, nil, read, func() {})
	require.NoError(t, err)
	for name, text := range filesOf(t, dir) {
		require.NotContains(t, name+text, "canarym", name)
	}
	return dir
}

// policy is the strictest that a host may send with the pages.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; connect-src 'self'; " +
	"worker-src 'self'; manifest-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'; report-uri /-/policy"

// A doorHost serves a published folder under a strict policy. Some files can be given otherwise than they are in the folder.
type doorHost struct {
	server *httptest.Server
	mu     sync.Mutex
	dir    string
	policy string
	other  map[string][]byte
	broken []string // what the policy did not let pass, as browsers report it
}

// serve starts a host, and looks at the end whether the policy was kept.
func serve(t testing.TB, dir string) *doorHost {
	t.Helper()
	h := &doorHost{dir: dir, policy: policy, other: map[string][]byte{}}
	h.server = httptest.NewServer(h)
	t.Cleanup(func() {
		h.stop()
		h.mu.Lock()
		defer h.mu.Unlock()
		assert.Empty(t, h.broken, "the policy was not kept")
	})
	return h
}

// stop cuts all connections and takes no others.
func (h *doorHost) stop() {
	h.server.CloseClientConnections()
	h.server.Close()
}

func (h *doorHost) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	file := strings.TrimPrefix(r.URL.Path, "/")
	if file == "-/policy" {
		h.report(r)
		return
	}
	if file == "" || strings.HasSuffix(file, "/") {
		file += "index.html"
	}
	data, status := h.file(file)
	kinds := map[string]string{
		".html": "text/html; charset=utf-8", ".css": "text/css", ".js": "text/javascript", ".json": "application/json", ".svg": "image/svg+xml",
		".woff2": "font/woff2", ".csv": "text/csv", ".webmanifest": "application/manifest+json",
	}
	kind, known := kinds[filepath.Ext(file)]
	if !known {
		kind = "application/octet-stream"
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Security-Policy", h.policy)
	w.Header().Set("X-Content-Type-Options", "nosniff")
	w.Header().Set("Cache-Control", "no-cache")
	w.WriteHeader(status)
	_, _ = w.Write(data)
}

func (h *doorHost) report(r *http.Request) {
	var report struct {
		Body map[string]any `json:"csp-report"`
	}
	if json.NewDecoder(r.Body).Decode(&report) == nil {
		text, _ := json.Marshal(report.Body)
		h.mu.Lock()
		h.broken = append(h.broken, string(text))
		h.mu.Unlock()
	}
}

// file gives a file's bytes, or those of the page for wrong addresses.
func (h *doorHost) file(name string) ([]byte, int) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if data, has := h.other[name]; has {
		return data, http.StatusOK
	}
	root := os.DirFS(h.dir)
	if data, err := fs.ReadFile(root, name); err == nil {
		return data, http.StatusOK
	}
	data, _ := fs.ReadFile(root, "404.html")
	return data, http.StatusNotFound
}

// show serves another folder from now on.
func (h *doorHost) show(dir string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.dir = dir
}

// put gives a file otherwise than it is in the folder.
func (h *doorHost) put(name, text string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.other[name] = []byte(text)
}

// read reads a file of the folder.
func (h *doorHost) read(t testing.TB, name string) string {
	t.Helper()
	data, err := fs.ReadFile(os.DirFS(h.dir), name)
	require.NoError(t, err)
	return string(data)
}

// at gives a page's address.
func (h *doorHost) at(page string) string { return h.server.URL + "/" + page }

// by gives a page's address under another name of this machine.
func (h *doorHost) by(t testing.TB, host, page string) string {
	t.Helper()
	u, err := url.Parse(h.at(page))
	require.NoError(t, err)
	u.Host = host + ":" + u.Port()
	return u.String()
}

// The pages of testdata/door.txtar, and what tells that one of them is open.
const (
	nightPage = "recipes/night-balm/index.html"
	roostPage = "recipes/marking-the-lid/index.html"
	oilPage   = "ingredients/sunflower-oil/index.html"
	ready     = `document.readyState === 'complete' && document.getElementById('door') && !document.getElementById('door').hidden`
	isOpen    = `document.querySelector('main.recipe') && !document.getElementById('door')`
	saidText  = `document.getElementById('door--said').textContent`
)

// typeCode types a code into the form and sends it off.
func typeCode(t testing.TB, p *browsertest.Page, code string) {
	t.Helper()
	p.Wait(t, ready)
	browsertest.Ask[bool](t, p, `(field => { field.value = ''; field.focus(); return true })(document.getElementById('door--code'))`)
	p.Type(t, code+browsertest.Enter)
}

// said waits for what the form says and gives its key.
func said(t testing.TB, p *browsertest.Page) string {
	t.Helper()
	p.Wait(t, `!['', 'opening'].includes(document.getElementById('door--said')?.dataset.said ?? '')`)
	return browsertest.Ask[string](t, p, `document.getElementById('door--said').dataset.said`)
}

// sealedIn gives the sealed text of a teaser.
func sealedIn(t testing.TB, page string) string {
	t.Helper()
	found := regexp.MustCompile(`id="sealed-page"[^>]*>([^<]+)<`).FindStringSubmatch(page)
	require.NotNil(t, found)
	return found[1]
}
