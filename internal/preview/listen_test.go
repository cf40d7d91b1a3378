package preview

import (
	"bufio"
	"context"
	"net"
	"net/http"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseAddress(t *testing.T) {
	tests := []struct {
		address, host string
		port          int
		wrong         bool
	}{
		{address: "", host: "127.0.0.1", port: 4470},
		{address: "4480", host: "127.0.0.1", port: 4480},
		{address: ":4480", host: "127.0.0.1", port: 4480},
		{address: "localhost", host: "localhost", port: 4470},
		{address: "localhost:80", host: "localhost", port: 80},
		{address: "[::1]:4480", host: "::1", port: 4480},
		{address: "192.168.0.7:0", host: "192.168.0.7"},
		{address: "65536", wrong: true},
		{address: "localhost:", wrong: true},
		{address: "localhost:http", wrong: true},
		{address: "localhost:-1", wrong: true},
		{address: "::1", wrong: true},
		{address: "http://localhost:4470", wrong: true},
		{address: "local host:4470", wrong: true},
	}
	for _, tt := range tests {
		host, port, err := parseAddress(tt.address)
		if tt.wrong {
			assert.ErrorContains(t, err, "is no address to listen on: write it as 127.0.0.1:4470", tt.address)
			continue
		}
		require.NoError(t, err, tt.address)
		assert.Equal(t, tt.host, host, tt.address)
		assert.Equal(t, tt.port, port, tt.address)
	}
}

// portsInARow holds so many ports that follow one another, and gives the first.
func portsInARow(t *testing.T, n int) int {
	t.Helper()
	for range 50 {
		var held []net.Listener
		first, err := net.Listen("tcp", "127.0.0.1:0")
		require.NoError(t, err)
		held = append(held, first)
		port := first.Addr().(*net.TCPAddr).Port
		for i := 1; i < n && len(held) == i && port+i < 65536; i++ {
			if l, err := net.Listen("tcp", "127.0.0.1:"+strconv.Itoa(port+i)); err == nil {
				held = append(held, l)
			}
		}
		if len(held) == n {
			t.Cleanup(func() {
				for _, l := range held {
					_ = l.Close()
				}
			})
			return port
		}
		for _, l := range held {
			require.NoError(t, l.Close())
		}
	}
	t.Fatalf("no %d free ports in a row", n)
	return 0
}

func TestListenTakenPort(t *testing.T) {
	port := portsInARow(t, 2)
	l, note, err := Listen("127.0.0.1:" + strconv.Itoa(port))
	require.NoError(t, err)
	defer l.Close()
	got := l.Addr().(*net.TCPAddr)
	assert.True(t, got.IP.IsLoopback())
	assert.Greater(t, got.Port, port+1)
	assert.Equal(t, "port "+strconv.Itoa(port)+" is taken; using "+strconv.Itoa(got.Port), note)
}

func TestListenAllTaken(t *testing.T) {
	port := portsInARow(t, nextPorts+1)
	_, _, err := Listen(strconv.Itoa(port))
	require.EqualError(t, err, "ports "+strconv.Itoa(port)+" to "+strconv.Itoa(port+nextPorts)+" on 127.0.0.1 are all taken: name another with --listen 127.0.0.1:PORT")
}

func TestListen(t *testing.T) {
	l, note, err := Listen("127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	assert.Empty(t, note)
	assert.True(t, l.Addr().(*net.TCPAddr).IP.IsLoopback())
	_, _, err = Listen("192.0.2.1:4470") // an address for examples, RFC 5737: no machine of ours has it
	assert.ErrorContains(t, err, "listen on 192.0.2.1:4470: ")
	_, _, err = Listen("nonsense:address:here")
	assert.ErrorContains(t, err, "is no address to listen on")
}

// Serving ends within a second of being told to, although a page is open and listens.
func TestServeStops(t *testing.T) {
	desk, _ := deskOn(t, smallBook())
	hub := NewHub()
	l, _, err := Listen("127.0.0.1:0")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- Serve(ctx, l, NewServer(desk.Now, hub, front(t), l, ""), hub) }()

	answer, err := http.Get("http://" + l.Addr().String() + "/-/events")
	require.NoError(t, err)
	defer answer.Body.Close()
	greeted(t, bufio.NewReader(answer.Body))
	idle, err := net.Dial("tcp", l.Addr().String()) // a connection that asks nothing
	require.NoError(t, err)
	defer idle.Close()

	start := time.Now()
	cancel()
	select {
	case err := <-done:
		require.NoError(t, err)
		assert.Less(t, time.Since(start), 3*time.Second, "one, and room for a busy machine")
	case <-time.After(10 * time.Second):
		t.Fatal("it does not stop")
	}
	_, err = net.Dial("tcp", l.Addr().String())
	assert.Error(t, err, "the port is free again")
}

func TestServeFails(t *testing.T) {
	l, _, err := Listen("127.0.0.1:0")
	require.NoError(t, err)
	require.NoError(t, l.Close())
	assert.ErrorContains(t, Serve(t.Context(), l, http.NotFoundHandler(), NewHub()), "serve the preview: ")
}

// A preview that listens everywhere names addresses that a browser can use. Those below are of RFC 5737 and RFC 3927.
func TestAddresses(t *testing.T) {
	at := func(text string) net.Addr {
		ip, n, err := net.ParseCIDR(text)
		require.NoError(t, err)
		return &net.IPNet{IP: ip, Mask: n.Mask}
	}
	machine := []net.Addr{at("127.0.0.1/8"), at("::1/128"), at("192.0.2.2/24"), at("fe80::1/64"), at("169.254.3.4/16"), at("198.51.100.7/24")}
	assert.Equal(t, []string{"http://127.0.0.1:4470/", "http://192.0.2.2:4470/", "http://198.51.100.7:4470/"}, everywhere(4470, machine))
	assert.Equal(t, []string{"http://127.0.0.1:80/"}, everywhere(80, nil))

	l, _, err := Listen("0.0.0.0:0")
	require.NoError(t, err)
	defer l.Close()
	assert.Equal(t, "http://127.0.0.1:"+strconv.Itoa(l.Addr().(*net.TCPAddr).Port)+"/", Addresses(l)[0])
	one, _, err := Listen("127.0.0.1:0")
	require.NoError(t, err)
	defer one.Close()
	assert.Equal(t, []string{"http://" + one.Addr().String() + "/"}, Addresses(one))
}
