package preview

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

// A counter serves a small handbook over a connection of its own.
type counter struct {
	dir  string
	desk *Desk
	hub  *Hub
	*httptest.Server
}

// smallBook is a handbook with one page of each kind, a picture, and one page that cannot be read.
func smallBook() map[string]string {
	return map[string]string{
		"handbook.yaml":            "title: Test stillroom\naddress: https://handbook.example/\nshelves: [Creams]\naccess: open\n",
		"recipes/wren-lotion.md":   lotion,
		"ingredients/glycerin.md":  "---\nname: Glycerin\nrole: humectant\n---\nThick and sweet.\n",
		"notes/clean-hands.md":     "---\ntitle: Clean hands\naccess: members\n---\nWash them, then weigh the [glycerin](../ingredients/glycerin.md). ![A jar](jar.svg)\n",
		"pictures/jar.svg":         `<svg xmlns="http://www.w3.org/2000/svg" width="4" height="4"/>`,
		"notes/half-written.md":    "---\ntitle: [\n---\nNot yet.\n",
		"notes/secret-elsewhere.x": "not a page",
	}
}

func writeBook(t testing.TB, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
}

func deskOn(t testing.TB, files map[string]string) (*Desk, string) {
	t.Helper()
	dir := t.TempDir()
	writeBook(t, dir, files)
	desk, err := NewDesk(dir, Options{Edition: site.MakerEdition})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, desk.Close()) })
	return desk, dir
}

func front(t testing.TB) fs.FS {
	t.Helper()
	sub, err := fs.Sub(linen.Preview, "preview")
	require.NoError(t, err)
	return sub
}

func newCounter(t testing.TB, files map[string]string) *counter {
	t.Helper()
	desk, dir := deskOn(t, files)
	return serve(t, desk, dir)
}

func serve(t testing.TB, desk *Desk, dir string) *counter {
	t.Helper()
	c := &counter{dir: dir, desk: desk, hub: NewHub(), Server: httptest.NewUnstartedServer(nil)}
	c.Config.Handler = NewServer(desk.Now, c.hub, front(t), c.Listener, "")
	c.Start()
	t.Cleanup(func() { c.hub.Close(); c.Close() })
	return c
}

// port is the counter's own.
func (c *counter) port() string {
	_, port, _ := net.SplitHostPort(c.Listener.Addr().String())
	return port
}

// ask sends a request as it stands, with a path that no client would tidy, and does not follow redirects.
func (c *counter) ask(t testing.TB, method, path string, header ...string) (*http.Response, string) {
	t.Helper()
	line, err := net.Dial("tcp", c.Listener.Addr().String())
	require.NoError(t, err)
	defer line.Close()
	require.NoError(t, line.SetDeadline(time.Now().Add(10*time.Second)))
	host := "Host: 127.0.0.1:" + c.port()
	var rest string
	for _, h := range header {
		if strings.HasPrefix(h, "Host:") {
			host = h
		} else {
			rest += h + "\r\n"
		}
	}
	_, err = io.WriteString(line, method+" "+path+" HTTP/1.1\r\n"+host+"\r\n"+rest+"Connection: close\r\n\r\n")
	require.NoError(t, err)
	answer, err := http.ReadResponse(bufio.NewReader(line), &http.Request{Method: method})
	require.NoError(t, err)
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return answer, string(body)
}

func TestServerPages(t *testing.T) {
	c := newCounter(t, smallBook())
	tests := []struct {
		path   string
		status int
		has    string
	}{
		{"/", 200, "<h1>Test stillroom</h1>"},
		{"/index.html", 200, "<h1>Test stillroom</h1>"},
		{"/recipes/wren-lotion/", 200, "<h1>Wren lotion</h1>"},
		{"/recipes/wren-lotion/index.html", 200, "<h1>Wren lotion</h1>"},
		{"/recipes/wren-lotion/?n=7", 200, "<h1>Wren lotion</h1>"},
		{"/recipes/wren-lotion/formula.json", 200, `"Wren lotion"`},
		{"/recipes/wren-lotion/weights.csv", 200, "Glycerin"},
		{"/ingredients/glycerin/", 200, "Thick and sweet."},
		{"/ingredients/squalane/", 404, "Page not found"},
		{"/notes/clean-hands/", 200, "Wash them"},
		{"/pictures/jar.svg", 200, "<svg"},
		{"/notes/half-written/", 200, "This page cannot be shown yet"},
		{"/-/preview.js", 200, "EventSource"},
		{"/-/preview.css", 200, "#preview--panel"},
		{"/-/idiomorph.js", 200, "Idiomorph"},
		{"/-/panel.html", 404, "no such file"},
		{"/-/", 404, "no such file"},
		{"/nothing/", 404, "Page not found"},
		{"/nothing/deep/down/here", 404, "Page not found"},
	}
	for _, tt := range tests {
		answer, body := c.ask(t, "GET", tt.path)
		assert.Equal(t, tt.status, answer.StatusCode, tt.path)
		assert.Contains(t, body, tt.has, tt.path)
		if strings.HasPrefix(answer.Header.Get("Content-Type"), "text/html") {
			assert.Contains(t, body, ` data-preview="`, tt.path)
			assert.Contains(t, body, `<aside id="preview--panel"`, tt.path)
			assert.Contains(t, body, `<section id="preview--problems"`, "%s: a page has a problem", tt.path)
		}
	}
}

func TestServerRedirects(t *testing.T) {
	c := newCounter(t, smallBook())
	for path, to := range map[string]string{
		"/recipes/wren-lotion": "/recipes/wren-lotion/", "/notes": "/notes/", "/notes/half-written": "/notes/half-written/", "/recipes/wren%2Dlotion": "/recipes/wren-lotion/",
	} {
		answer, _ := c.ask(t, "GET", path)
		assert.Equal(t, http.StatusFound, answer.StatusCode, path)
		assert.Equal(t, to, answer.Header.Get("Location"), path)
	}
	for _, path := range []string{"/recipes", "/recipes/none", "/shelves", "//handbook.example/recipes", "/index.html/index.html"} {
		answer, _ := c.ask(t, "GET", path)
		assert.Equal(t, http.StatusNotFound, answer.StatusCode, path)
		assert.Empty(t, answer.Header.Get("Location"), path)
	}
}

// What lies outside the handbook's pages is never found, however it is asked for.
func TestServerHostilePaths(t *testing.T) {
	c := newCounter(t, smallBook())
	writeBook(t, filepath.Dir(c.dir), map[string]string{"outside.svg": "a secret"})
	for _, path := range []string{
		"/handbook.yaml", "/recipes/wren-lotion.md", "/notes/secret-elsewhere.x", "/.git/config",
		"/../outside.svg", "/pictures/../../outside.svg", "/pictures/..%2f..%2foutside.svg", "/pictures/%2e%2e/%2e%2e/outside.svg", "/%2e%2e%2foutside.svg",
		"/pictures/..%5c..%5coutside.svg", `/pictures\jar.svg`, "/pictures%5cjar.svg", "/pictures%2fjar.svg", "/pictures/jar.svg%00", "/pictures/jar.svg%00.html",
		"/pictures//jar.svg", "//pictures/jar.svg", "/./pictures/jar.svg", "/pictures/./jar.svg", "/pictures/x/../jar.svg", "/pictures/jar.svg/", "/pictures/",
		"/pictures/jar.svg%0d%0aX-Evil:1", "/%ff%fe", "/pictures/jar.svg.", "/pictures/jar.svg%20", "/PICTURES/jar.svg", "/C:/windows", "/-/../pictures/jar.svg",
		"/-/..%2fpages/home.html", "/-/%2e%2e/linen.go", "/-/events/", "/proc/self/environ", "/" + strings.Repeat("a/", 3000),
	} {
		answer, body := c.ask(t, "GET", path)
		assert.Equal(t, http.StatusNotFound, answer.StatusCode, path)
		assert.NotContains(t, body, "a secret", path)
		assert.Empty(t, answer.Header.Get("X-Evil"), path)
		assert.Empty(t, answer.Header.Get("Location"), path)
	}
	for _, path := range []string{"*", "pictures/jar.svg", "http://elsewhere.example/pictures/jar.svg"} {
		answer, _ := c.ask(t, "GET", path)
		assert.GreaterOrEqual(t, answer.StatusCode, 400, path)
	}
}

func TestServerMethods(t *testing.T) {
	c := newCounter(t, smallBook())
	for _, method := range []string{"POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "BREW"} {
		for _, path := range []string{"/", "/-/events", "/-/preview.js", "/nothing"} {
			answer, _ := c.ask(t, method, path)
			assert.Equal(t, http.StatusMethodNotAllowed, answer.StatusCode, "%s %s", method, path)
			assert.Equal(t, "GET, HEAD", answer.Header.Get("Allow"), "%s %s", method, path)
		}
	}
	for _, path := range []string{"/", "/pictures/jar.svg", "/nothing", "/-/preview.css"} {
		head, none := c.ask(t, "HEAD", path)
		got, body := c.ask(t, "GET", path)
		assert.Equal(t, got.StatusCode, head.StatusCode, path)
		assert.Equal(t, got.ContentLength, head.ContentLength, path)
		assert.EqualValues(t, len(body), got.ContentLength, path)
		assert.Empty(t, none, path)
	}
	head, _ := c.ask(t, "HEAD", "/-/events")
	assert.Equal(t, "text/event-stream; charset=utf-8", head.Header.Get("Content-Type"))
}

func TestServerHosts(t *testing.T) {
	c := newCounter(t, smallBook())
	for host, status := range map[string]int{
		"127.0.0.1:" + c.port(): 200, "localhost:" + c.port(): 200, "LocalHost:" + c.port(): 200, "[::1]:" + c.port(): 200,
		"127.0.0.1": 421, "localhost": 421, "localhost:1": 421, "rebound.example:" + c.port(): 421, "rebound.example": 421,
		"localhost.rebound.example:" + c.port(): 421, "127.0.0.1.rebound.example:" + c.port(): 421, "192.168.0.7:" + c.port(): 421, "0.0.0.0:" + c.port(): 421,
		"": 421, ":" + c.port(): 421, "localhost:" + c.port() + ":" + c.port(): 421, "x@localhost:" + c.port(): 421,
	} {
		for _, path := range []string{"/", "/-/preview.js"} {
			answer, body := c.ask(t, "GET", path, "Host: "+host)
			if status == 421 && answer.StatusCode == http.StatusBadRequest {
				continue // refused even before us
			}
			assert.Equal(t, status, answer.StatusCode, "%q %s", host, path)
			assert.Equal(t, status == 200, !strings.HasPrefix(body, "The preview answers only"), host)
		}
	}
	answer, _ := c.ask(t, "GET", "/-/events", "Host: rebound.example:"+c.port())
	assert.Equal(t, http.StatusMisdirectedRequest, answer.StatusCode, "what changed is for the maker's own pages")
}

func TestHosts(t *testing.T) {
	at := func(ip string, port int) net.Addr { return &net.TCPAddr{IP: net.ParseIP(ip), Port: port} }
	tests := []struct {
		at    net.Addr
		asked string
		host  string
		want  bool
	}{
		{at("127.0.0.1", 4470), "", "127.0.0.1:4470", true},
		{at("127.0.0.1", 4471), "", "127.0.0.1:4470", false},
		{at("127.0.0.1", 80), "", "localhost", true},
		{at("127.0.0.1", 80), "", "localhost:80", true},
		{at("192.168.0.7", 4470), "192.168.0.7:4470", "192.168.0.7:4470", true},
		{at("192.168.0.7", 4470), "bench.local:4470", "bench.local:4470", true},
		{at("192.168.0.7", 4470), "bench.local:4470", "other.local:4470", false},
		{at("::", 4470), "0.0.0.0:4470", "192.168.0.9:4470", true},
		{at("::", 4470), "[::]:4470", "[fe80::1]:4470", true},
		{at("::", 4470), "0.0.0.0:4470", "rebound.example:4470", false},
		{at("fe80::1", 4470), "[fe80::1]:4470", "[fe80::1]:4470", true},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, hostsOf(tt.at, tt.asked).allow(tt.host), "%s asked as %q, host %q", tt.at, tt.asked, tt.host)
	}
}

func TestServerHeaders(t *testing.T) {
	book := smallBook()
	for name, text := range map[string]string{"b.woff2": "x", "c.webmanifest": "{}", "d.odd": "?", "e.json": "{}", "f.txt": "x"} {
		book["theme/assets/"+name] = text
	}
	dir := t.TempDir()
	writeBook(t, dir, book)
	desk, err := NewDesk(dir, Options{Edition: site.MakerEdition, Theme: filepath.Join(dir, "theme")})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, desk.Close()) })
	c := serve(t, desk, dir)

	theme, err := site.LoadTheme(linen.FS, os.DirFS(filepath.Join(dir, "theme")))
	require.NoError(t, err)
	types := map[string]string{
		"/": "text/html; charset=utf-8", "/nothing": "text/html; charset=utf-8", "/pictures/jar.svg": "image/svg+xml",
		"/recipes/wren-lotion/weights.csv": "text/csv; charset=utf-8", "/recipes/wren-lotion/formula.json": "application/json",
		"/-/preview.js": "text/javascript; charset=utf-8", "/-/preview.css": "text/css; charset=utf-8", "/-/other": "text/plain; charset=utf-8",
	}
	for asset, kind := range map[string]string{
		"linen.css": "text/css; charset=utf-8", "mark.svg": "image/svg+xml", "b.woff2": "font/woff2", "c.webmanifest": "application/manifest+json",
		"d.odd": "application/octet-stream", "e.json": "application/json", "f.txt": "text/plain; charset=utf-8",
	} {
		types["/"+theme.Assets()[asset].Path] = kind
	}
	for path, kind := range types {
		answer, _ := c.ask(t, "GET", path)
		h := answer.Header
		assert.Equal(t, kind, h.Get("Content-Type"), path)
		assert.Equal(t, "no-store", h.Get("Cache-Control"), path)
		assert.Equal(t, "nosniff", h.Get("X-Content-Type-Options"), path)
		assert.Equal(t, "no-referrer", h.Get("Referrer-Policy"), path)
		assert.Equal(t, "same-origin", h.Get("Cross-Origin-Resource-Policy"), path)
		assert.Equal(t, contentPolicy, h.Get("Content-Security-Policy"), path)
		assert.NotContains(t, h.Get("Content-Security-Policy"), "unsafe", path)
	}
}

func TestServerETag(t *testing.T) {
	c := newCounter(t, smallBook())
	const path = "/recipes/wren-lotion/"
	first, body := c.ask(t, "GET", path)
	tag := first.Header.Get("ETag")
	require.Regexp(t, `^"[0-9a-f]{24}"$`, tag)
	for _, asked := range []string{tag, `"other", ` + tag, "W/" + tag, "*"} {
		answer, none := c.ask(t, "GET", path, "If-None-Match: "+asked)
		assert.Equal(t, http.StatusNotModified, answer.StatusCode, asked)
		assert.Equal(t, tag, answer.Header.Get("ETag"), asked)
		assert.Empty(t, none, asked)
	}
	other, again := c.ask(t, "GET", path, `If-None-Match: "other"`)
	assert.Equal(t, http.StatusOK, other.StatusCode)
	assert.Equal(t, body, again)

	writeBook(t, c.dir, map[string]string{"recipes/wren-lotion.md": strings.Replace(lotion, "Glycerin: 3 %", "Glycerin: 4 %", 1)})
	c.desk.Take(Change{Files: []string{"recipes/wren-lotion.md"}})
	changed, after := c.ask(t, "GET", path, "If-None-Match: "+tag)
	assert.Equal(t, http.StatusOK, changed.StatusCode)
	assert.NotEqual(t, tag, changed.Header.Get("ETag"))
	assert.Contains(t, after, "Glycerin 3 % → 4 %: Distilled water 73.8 % → 72.8 %; still within limits.")
}

// The page for an address that leads nowhere stands at any depth, so that its links begin at the top and not at the published handbook.
func TestServerMissingPage(t *testing.T) {
	c := newCounter(t, smallBook())
	answer, body := c.ask(t, "GET", "/a/b/c/d")
	assert.Equal(t, http.StatusNotFound, answer.StatusCode)
	assert.Contains(t, body, `href="/index.html"`)
	assert.Contains(t, body, `href="/assets/linen.`)
	assert.NotContains(t, body, "handbook.example")
	assert.NotContains(t, body, `"./`)
}

// A stream is greeted with the state, and then hears of each change.
func TestServerEvents(t *testing.T) {
	c := newCounter(t, smallBook())
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, c.URL+"/-/events", nil)
	require.NoError(t, err)
	answer, err := http.DefaultClient.Do(request)
	require.NoError(t, err)
	defer answer.Body.Close()
	assert.Equal(t, "text/event-stream; charset=utf-8", answer.Header.Get("Content-Type"))
	assert.Equal(t, "no-store", answer.Header.Get("Cache-Control"))
	lines := bufio.NewReader(answer.Body)

	assert.Equal(t, []string{"retry: 300"}, readMessage(t, lines))
	name, now := readEvent(t, lines)
	assert.Equal(t, "now", name)
	assert.Equal(t, c.desk.Now().Number, now.Number)
	assert.Len(t, c.desk.Now().Problems, now.Problems)
	assert.Positive(t, now.Problems)
	assert.NotEmpty(t, now.Boot)

	c.hub.Tell(Event{Number: 7, Files: []string{"notes/clean-hands.md", "pictures/jar.svg"}, Pictures: []string{"pictures/jar.svg"}, Problems: 2})
	name, change := readEvent(t, lines)
	assert.Equal(t, "change", name)
	assert.Equal(t, Event{Number: 7, Boot: now.Boot, Files: []string{"notes/clean-hands.md", "pictures/jar.svg"}, Pictures: []string{"pictures/jar.svg"}, Problems: 2}, change)

	c.hub.Close()
	_, err = lines.ReadByte()
	assert.ErrorIs(t, err, io.EOF, "the stream ends with the hub")
}

// readMessage reads the lines up to an empty one.
func readMessage(t *testing.T, r *bufio.Reader) []string {
	t.Helper()
	var lines []string
	for {
		line, err := r.ReadString('\n')
		require.NoError(t, err)
		if line == "\n" {
			return lines
		}
		lines = append(lines, strings.TrimSuffix(line, "\n"))
	}
}

// readEvent reads a message of three lines: id, event, data.
func readEvent(t *testing.T, r *bufio.Reader) (name string, e Event) {
	t.Helper()
	lines := readMessage(t, r)
	require.Len(t, lines, 3)
	id, name, data := strings.TrimPrefix(lines[0], "id: "), strings.TrimPrefix(lines[1], "event: "), strings.TrimPrefix(lines[2], "data: ")
	require.NoError(t, json.Unmarshal([]byte(data), &e))
	assert.Regexp(t, `^[0-9]+$`, id)
	assert.NotContains(t, data, "null")
	return name, e
}

// Whatever is asked for, what is answered is a page or file that the state has under that very name, dressed or as it is, or a page that
// says that there is none.
func FuzzServer(f *testing.F) {
	desk, dir := deskOn(f, smallBook())
	writeBook(f, filepath.Dir(dir), map[string]string{"outside.svg": "a secret"})
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(f, err)
	defer l.Close()
	server := NewServer(desk.Now, NewHub(), front(f), l, "")
	for _, seed := range []string{"/", "/recipes/wren-lotion", "/pictures/../handbook.yaml", "/pictures/jar.svg", "/%2e%2e/outside.svg", "/notes%2fclean-hands/", "/-/../x", `/a\..\b`, "/\x00", "//x"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, address string) {
		u, err := url.ParseRequestURI(address)
		if err != nil || u.Path == "/-/events" {
			t.Skip()
		}
		w := httptest.NewRecorder()
		server.ServeHTTP(w, &http.Request{Method: http.MethodGet, URL: u, Host: l.Addr().String(), Header: http.Header{}})
		body := w.Body.String()
		require.NotContains(t, body, "a secret")
		state := desk.Now()
		switch w.Code {
		case http.StatusOK:
			if name, ours := strings.CutPrefix(u.Path, "/-/"); ours {
				require.Contains(t, []string{"preview.js", "preview.css", "idiomorph.js"}, name)
				return
			}
			file := strings.TrimPrefix(u.Path, "/")
			if file == "" || strings.HasSuffix(file, "/") {
				file += "index.html"
			}
			require.True(t, fs.ValidPath(file))
			want, found, err := state.Page(file)
			require.NoError(t, err)
			if isBlank(state, file) {
				want, found = bare(state, file, nil), true
			}
			require.True(t, found, "%q is no file of the handbook", file)
			if strings.HasSuffix(file, ".html") {
				want = Dress(want, state, file)
			}
			assert.Equal(t, string(want), body)
		case http.StatusFound:
			to, err := url.Parse(w.Header().Get("Location"))
			require.NoError(t, err)
			assert.Empty(t, to.Host)
			assert.Equal(t, u.Path+"/", to.Path)
		default:
			assert.Equal(t, http.StatusNotFound, w.Code)
		}
	})
}
