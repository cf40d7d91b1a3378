package preview

import (
	"crypto/rand"
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// An Event tells the open pages that something changed.
type Event struct {
	Number   int      `json:"number"`   // of the state
	Boot     string   `json:"boot"`     // of this run of the tool; filled in by the hub
	Files    []string `json:"files"`    // that changed; empty where anything may have
	Pictures []string `json:"pictures"` // that changed, as they are served
	Problems int      `json:"problems"` // in the whole handbook
}

const (
	heartbeat = 15 * time.Second // between comments that keep a connection alive
	patience  = 5 * time.Second  // for one message to be taken, before its reader is let go
	backlog   = 16               // messages that a reader may be behind
)

// A Hub passes events on to the pages that are open. It never waits for a reader: one that is too far behind is let go, and its browser
// connects again and catches up. It is safe for concurrent use.
type Hub struct {
	boot string
	beat func(time.Duration) (beats <-chan time.Time, stop func())

	mu      sync.Mutex
	readers map[*reader]bool
	closed  bool
}

// A reader is one open stream. Its messages are closed when it is let go.
type reader struct{ messages chan []byte }

// NewHub gives a hub that nobody listens to yet.
func NewHub() *Hub {
	return &Hub{boot: rand.Text(), readers: make(map[*reader]bool), beat: func(d time.Duration) (<-chan time.Time, func()) {
		t := time.NewTicker(d)
		return t.C, t.Stop
	}}
}

// Tell passes an event on to every reader.
func (h *Hub) Tell(e Event) {
	message := h.message("change", e)
	h.mu.Lock()
	defer h.mu.Unlock()
	for r := range h.readers {
		select {
		case r.messages <- message:
		default:
			h.drop(r)
		}
	}
}

// Close ends every stream, and takes no new ones.
func (h *Hub) Close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
	for r := range h.readers {
		h.drop(r)
	}
}

// drop lets a reader go. The caller holds the lock.
func (h *Hub) drop(r *reader) {
	if h.readers[r] {
		delete(h.readers, r)
		close(r.messages)
	}
}

// join takes in a reader; it is nil once the hub is closed.
func (h *Hub) join() *reader {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed {
		return nil
	}
	r := &reader{messages: make(chan []byte, backlog)}
	h.readers[r] = true
	return r
}

func (h *Hub) leave(r *reader) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.drop(r)
}

// message writes an event as it goes over the line.
func (h *Hub) message(name string, e Event) []byte {
	e.Boot = h.boot
	e.Files, e.Pictures = append([]string{}, e.Files...), append([]string{}, e.Pictures...) // [], not null
	data, err := json.Marshal(e)
	if err != nil {
		panic(err) // strings and numbers can be written
	}
	return fmt.Appendf(nil, "id: %d\nevent: %s\ndata: %s\n\n", e.Number, name, data)
}

// stream serves one reader until it goes, is let go, or the hub closes. now gives the event that it is greeted with.
func (h *Hub) stream(w http.ResponseWriter, r *http.Request, now func() Event) {
	reader := h.join()
	if reader == nil {
		http.Error(w, "The preview is stopping.", http.StatusServiceUnavailable)
		return
	}
	defer h.leave(reader)
	beats, stop := h.beat(heartbeat)
	defer stop()
	line := http.NewResponseController(w)
	send := func(message []byte) bool {
		_ = line.SetWriteDeadline(time.Now().Add(patience)) // a writer that knows no deadlines does not block
		_, err := w.Write(message)
		return err == nil && line.Flush() == nil
	}
	if !send([]byte("retry: 300\n\n")) || !send(h.message("now", now())) {
		return
	}
	for {
		select {
		case message, open := <-reader.messages:
			if !open || !send(message) {
				return
			}
		case <-beats:
			if !send([]byte(": still here\n\n")) {
				return
			}
		case <-r.Context().Done():
			return
		}
	}
}
