package preview

import (
	"bufio"
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A pipeWriter is a reader of a stream that takes what it is sent only when somebody reads from the other end.
type pipeWriter struct {
	http.ResponseWriter
	io.Writer
}

func (p pipeWriter) Write(data []byte) (int, error) { return p.Writer.Write(data) }
func (p pipeWriter) Flush()                         {}

// listen opens a stream on a hub; ended is closed when it is over.
func listen(t *testing.T, h *Hub) (messages *bufio.Reader, ended <-chan struct{}) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	from, to := io.Pipe()
	over := make(chan struct{})
	go func() {
		defer close(over)
		r := httptest.NewRequestWithContext(ctx, http.MethodGet, "/-/events", nil)
		h.stream(pipeWriter{httptest.NewRecorder(), to}, r, func() Event { return Event{Number: 1} })
		_ = to.Close()
	}()
	t.Cleanup(func() { cancel(); _ = from.Close(); <-over })
	return bufio.NewReader(from), over
}

func (h *Hub) listening() int {
	h.mu.Lock()
	defer h.mu.Unlock()
	return len(h.readers)
}

func greeted(t *testing.T, r *bufio.Reader) {
	t.Helper()
	require.Equal(t, []string{"retry: 300"}, readMessage(t, r))
	name, _ := readEvent(t, r)
	require.Equal(t, "now", name)
}

func TestHubHeartbeat(t *testing.T) {
	h := NewHub()
	beats := make(chan time.Time)
	stopped := make(chan struct{})
	h.beat = func(d time.Duration) (<-chan time.Time, func()) {
		assert.Equal(t, 15*time.Second, d)
		return beats, func() { close(stopped) }
	}
	r, ended := listen(t, h)
	greeted(t, r)
	for range 3 {
		beats <- time.Time{}
		assert.Equal(t, []string{": still here"}, readMessage(t, r))
	}
	h.Close()
	<-ended
	<-stopped
}

func TestHubTellsAll(t *testing.T) {
	h := NewHub()
	first, _ := listen(t, h)
	second, _ := listen(t, h)
	greeted(t, first)
	greeted(t, second)
	h.Tell(Event{Number: 2})
	h.Tell(Event{Number: 3})
	for _, r := range []*bufio.Reader{first, second} {
		for _, want := range []int{2, 3} {
			name, e := readEvent(t, r)
			assert.Equal(t, "change", name)
			assert.Equal(t, want, e.Number)
		}
	}
	assert.NotEqual(t, NewHub().boot, h.boot, "each run has a name of its own")
}

// A reader who does not take what is sent is let go, and nobody waits for it.
func TestHubDropsSlowReaders(t *testing.T) {
	h := NewHub()
	slow, ended := listen(t, h)
	greeted(t, slow) // and then takes nothing more
	quick, _ := listen(t, h)
	greeted(t, quick)
	for i := range 3 * backlog {
		h.Tell(Event{Number: i})
		_, e := readEvent(t, quick)
		require.Equal(t, i, e.Number)
	}
	assert.Equal(t, 1, h.listening())
	taken := 0
	for { // what was on its way still comes, then the stream ends
		line, err := slow.ReadString('\n')
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if strings.HasPrefix(line, "id:") {
			taken++
		}
	}
	<-ended
	assert.LessOrEqual(t, taken, backlog+2)
}

func TestHubForgetsReadersThatGo(t *testing.T) {
	h := NewHub()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	h.stream(httptest.NewRecorder(), httptest.NewRequestWithContext(ctx, http.MethodGet, "/-/events", nil), func() Event { return Event{} })
	assert.Zero(t, h.listening())
}

func TestHubClosed(t *testing.T) {
	h := NewHub()
	r, ended := listen(t, h)
	greeted(t, r)
	h.Close()
	<-ended
	h.Close()
	h.Tell(Event{Number: 2})
	w := httptest.NewRecorder()
	h.stream(w, httptest.NewRequest(http.MethodGet, "/-/events", nil), func() Event { return Event{} })
	assert.Equal(t, http.StatusServiceUnavailable, w.Code)
}
