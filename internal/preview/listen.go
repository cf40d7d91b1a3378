package preview

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strconv"
	"strings"
	"syscall"
	"time"
)

const (
	defaultPort = 4470
	nextPorts   = 20 // how many further ports are tried where one is taken
)

// Listen opens the address that the preview is served on: "" for 127.0.0.1:4470, a port, or host:port. Where the port is taken the next ones
// are tried, and note says which one it became. Without a host it is never open to other machines.
func Listen(address string) (l net.Listener, note string, err error) {
	host, port, err := parseAddress(address)
	if err != nil {
		return nil, "", err
	}
	last := min(port+nextPorts, 65535)
	if port == 0 {
		last = 0 // any port that is free
	}
	for p := port; p <= last; p++ {
		l, err = net.Listen("tcp", net.JoinHostPort(host, strconv.Itoa(p)))
		switch {
		case err == nil && p != port:
			return l, fmt.Sprintf("port %d is taken; using %d", port, p), nil
		case err == nil:
			return l, "", nil
		case !taken(err):
			return nil, "", fmt.Errorf("listen on %s: %w", net.JoinHostPort(host, strconv.Itoa(p)), reason(err))
		}
	}
	if last == port {
		return nil, "", fmt.Errorf("port %d on %s is taken: name another with --listen %s:PORT", port, host, host)
	}
	return nil, "", fmt.Errorf("ports %d to %d on %s are all taken: name another with --listen %s:PORT", port, last, host, host)
}

// parseAddress reads "", "4470", ":4470", "localhost" or "host:4470".
func parseAddress(address string) (host string, port int, err error) {
	wrong := fmt.Errorf("“%s” is no address to listen on: write it as 127.0.0.1:%d", address, defaultPort)
	host, digits := "", address
	switch i := strings.LastIndexByte(address, ':'); {
	case address == "":
		digits = strconv.Itoa(defaultPort)
	case i >= 0:
		if host, digits, err = net.SplitHostPort(address); err != nil {
			return "", 0, wrong
		}
	case strings.Trim(address, "0123456789") != "":
		host, digits = address, strconv.Itoa(defaultPort)
	}
	port, err = strconv.Atoi(digits)
	if err != nil || port < 0 || port > 65535 || strings.ContainsAny(host, "/ \t") {
		return "", 0, wrong
	}
	if host == "" {
		host = "127.0.0.1"
	}
	return host, port, nil
}

// Addresses gives where a browser finds what a listener serves: of one that listens everywhere, the IPv4 addresses of this machine, its own first.
func Addresses(l net.Listener) []string {
	at, ok := l.Addr().(*net.TCPAddr)
	if !ok || !at.IP.IsUnspecified() {
		return []string{"http://" + l.Addr().String() + "/"}
	}
	machine, _ := net.InterfaceAddrs() // without them, the machine itself finds it
	return everywhere(at.Port, machine)
}

// everywhere gives the addresses of a port on a machine of several.
func everywhere(port int, machine []net.Addr) []string {
	all := []string{"127.0.0.1"}
	for _, a := range machine {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && !n.IP.IsLoopback() && !n.IP.IsLinkLocalUnicast() {
			all = append(all, n.IP.String())
		}
	}
	for i, host := range all {
		all[i] = "http://" + net.JoinHostPort(host, strconv.Itoa(port)) + "/"
	}
	return all
}

// taken says whether a port is in use. The number is what Windows calls it.
func taken(err error) bool {
	return errors.Is(err, syscall.EADDRINUSE) || errors.Is(err, syscall.Errno(10048))
}

// reason takes off what package net says of the call.
func reason(err error) error {
	if op, ok := errors.AsType[*net.OpError](err); ok {
		return op.Err
	}
	return err
}

// Serve serves the preview until ctx ends, and then stops within a second although streams are open.
func Serve(ctx context.Context, l net.Listener, handler http.Handler, hub *Hub) error {
	server := &http.Server{
		Handler: handler, ReadHeaderTimeout: 5 * time.Second, WriteTimeout: 30 * time.Second, IdleTimeout: time.Minute, MaxHeaderBytes: 32 << 10,
	}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(l) }()
	select {
	case err := <-failed:
		hub.Close()
		return fmt.Errorf("serve the preview: %w", err)
	case <-ctx.Done():
	}
	hub.Close()
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 700*time.Millisecond)
	defer cancel()
	if err := server.Shutdown(grace); err != nil {
		return server.Close() // of what is still being sent, the rest is not
	}
	return nil
}
