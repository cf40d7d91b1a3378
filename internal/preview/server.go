package preview

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// A Server shows the state of a desk. It serves what the state has by name and reads no file but the front end's own, which are embedded.
type Server struct {
	now   func() *State
	hub   *Hub
	front fs.FS
	hosts hosts
}

// NewServer gives the handler for a listener. now gives the state to show; front has preview.js, preview.css and idiomorph.js.
func NewServer(now func() *State, hub *Hub, front fs.FS, l net.Listener, address string) *Server {
	return &Server{now: now, hub: hub, front: front, hosts: hostsOf(l.Addr(), address)}
}

// contentPolicy lets a page load from this server alone, run only its scripts, and stand in no other page.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; font-src 'self'; " +
	"connect-src 'self'; manifest-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"

// ServeHTTP answers a request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	header := w.Header()
	header.Set("Cache-Control", "no-store")
	header.Set("X-Content-Type-Options", "nosniff")
	header.Set("Content-Security-Policy", contentPolicy)
	header.Set("Referrer-Policy", "no-referrer")
	header.Set("Cross-Origin-Resource-Policy", "same-origin")
	switch {
	case !s.hosts.allow(r.Host):
		plain(w, http.StatusMisdirectedRequest, "The preview answers only to the address that it was started with.")
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		header.Set("Allow", "GET, HEAD")
		plain(w, http.StatusMethodNotAllowed, "The preview can only be read.")
	case r.URL.Path == "/-/events":
		s.events(w, r)
	case strings.HasPrefix(r.URL.Path, "/-/"):
		s.frontEnd(w, r)
	default:
		s.page(w, r)
	}
}

// plain answers in one sentence.
func plain(w http.ResponseWriter, status int, sentence string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write([]byte(sentence + "\n")) // a reader who has gone misses nothing
}

func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/event-stream; charset=utf-8")
	if r.Method == http.MethodHead {
		return
	}
	s.hub.stream(w, r, func() Event {
		state := s.now()
		return Event{Number: state.Number, Problems: len(state.Problems)}
	})
}

// frontEnd serves the preview's own script and style.
func (s *Server) frontEnd(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(r.URL.Path, "/-/")
	if slices.Contains([]string{"preview.js", "preview.css", "idiomorph.js"}, name) {
		if data, err := fs.ReadFile(s.front, name); err == nil {
			send(w, r, name, data)
			return
		}
	}
	plain(w, http.StatusNotFound, "The preview has no such file.")
}

// page serves a page or file of the handbook, dressed if it is a page.
func (s *Server) page(w http.ResponseWriter, r *http.Request) {
	state := s.now()
	file, ok := fileOf(r.URL)
	if !ok {
		s.missing(w, state)
		return
	}
	if isBlank(state, file) {
		send(w, r, file, Dress(bare(state, file, nil), state, file))
		return
	}
	data, found, err := state.Page(file)
	switch {
	case err != nil:
		answer(w, http.StatusInternalServerError, Dress(bare(state, file, err), state, file))
	case found && path.Ext(file) == ".html":
		send(w, r, file, Dress(data, state, file))
	case found:
		send(w, r, file, data)
	default:
		s.elsewhere(w, state, file)
	}
}

// fileOf gives the output file that an address asks for. Addresses with a dot segment, an empty one, an encoded slash, a backslash or a
// control character ask for none.
func fileOf(u *url.URL) (file string, ok bool) {
	file, rooted := strings.CutPrefix(u.Path, "/")
	if file == "" || strings.HasSuffix(file, "/") {
		file += "index.html"
	}
	odd := func(r rune) bool { return r == '\\' || unicode.IsControl(r) }
	return file, rooted && fs.ValidPath(file) && !strings.ContainsFunc(file, odd) && !strings.Contains(strings.ToLower(u.RawPath), "%2f")
}

// elsewhere sends an address without its last slash on to the page, if there is one.
func (s *Server) elsewhere(w http.ResponseWriter, state *State, file string) {
	page := file + "/index.html"
	if _, found, err := state.Page(page); !found && err == nil && !isBlank(state, page) {
		s.missing(w, state)
		return
	}
	w.Header().Set("Location", (&url.URL{Path: "/" + file + "/"}).EscapedPath())
	w.WriteHeader(http.StatusFound)
}

// missing serves the theme's page for an address that leads nowhere.
func (s *Server) missing(w http.ResponseWriter, state *State) {
	data, found, err := state.Page(missingFile)
	if !found || err != nil {
		data = bare(state, missingFile, err)
	}
	answer(w, http.StatusNotFound, Dress(fromTop(data, state), state, missingFile))
}

// answer sends a page with a status that is not 200.
func answer(w http.ResponseWriter, status int, page []byte) {
	w.Header().Set("Content-Type", contentTypes[".html"])
	w.Header().Set("Content-Length", strconv.Itoa(len(page)))
	w.WriteHeader(status)
	_, _ = w.Write(page) // a reader who has gone misses nothing
}

// send sends a file with its type and a tag of its content.
func send(w http.ResponseWriter, r *http.Request, file string, data []byte) {
	kind, known := contentTypes[strings.ToLower(path.Ext(file))]
	if !known {
		kind = "application/octet-stream"
	}
	sum := sha256.Sum256(data)
	w.Header().Set("Content-Type", kind)
	w.Header().Set("ETag", `"`+hex.EncodeToString(sum[:12])+`"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
}

// contentTypes gives a file's type by its ending, the same on every machine.
var contentTypes = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".json": "application/json", ".csv": "text/csv; charset=utf-8", ".txt": "text/plain; charset=utf-8", ".xml": "application/xml",
	".webmanifest": "application/manifest+json", ".pdf": "application/pdf",
	".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".gif": "image/gif", ".webp": "image/webp",
	".avif": "image/avif", ".ico": "image/x-icon",
	".woff2": "font/woff2", ".woff": "font/woff", ".ttf": "font/ttf", ".otf": "font/otf",
}

// hosts are the names under which the preview may be asked for. Any other is refused: a foreign site could make its own name lead here, and
// so read a handbook that is for the maker alone.
type hosts struct {
	names []string
	port  string
	every bool // any address in figures, since the preview listens on all of them
}

// hostsOf gives the names for a listener, and what it was asked to listen on.
func hostsOf(at net.Addr, asked string) hosts {
	h := hosts{names: []string{"127.0.0.1", "localhost", "[::1]"}}
	if tcp, ok := at.(*net.TCPAddr); ok {
		h.port = strconv.Itoa(tcp.Port)
	}
	if host, _, err := parseAddress(asked); err == nil {
		ip, err := netip.ParseAddr(host)
		h.every = err == nil && ip.IsUnspecified()
		if err == nil && ip.Is6() {
			host = "[" + host + "]"
		}
		h.names = append(h.names, host)
	}
	return h
}

// allow says whether a request's Host is one of them, with the port. Browsers leave out port 80.
func (h hosts) allow(host string) bool {
	name, found := strings.CutSuffix(host, ":"+h.port)
	if !found && h.port != "80" {
		return false
	}
	if h.every {
		if _, err := netip.ParseAddr(strings.Trim(name, "[]")); err == nil {
			return true
		}
	}
	return slices.ContainsFunc(h.names, func(known string) bool { return strings.EqualFold(known, name) })
}
