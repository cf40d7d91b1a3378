// Package browsertest opens built pages in a browser for tests: what fails, fails the test.
package browsertest

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser"
)

// needed is the variable that turns a missing browser from a skipped test into a failed one.
const needed = "STILLROOM_NEED_BROWSER"

// Need ends the test where no browser is installed: it is skipped; with STILLROOM_NEED_BROWSER=1 it fails.
func Need(t testing.TB) {
	t.Helper()
	if browser.Find() != "" {
		return
	}
	const message = "NOT TESTED: no Chromium-family browser is on PATH; install the package chromium"
	if os.Getenv(needed) == "1" {
		t.Fatal(message)
	}
	t.Skip(message + " (" + needed + "=1 makes this a failure)")
}

// A Browser is a running browser without a window.
type Browser struct{ *browser.Browser }

// View is how a page is looked at.
type View = browser.View

// Keys that write no sign, for Type.
const (
	Tab       = browser.Tab
	Enter     = browser.Enter
	Escape    = browser.Escape
	ArrowDown = browser.ArrowDown
	ArrowUp   = browser.ArrowUp
)

// Start runs a browser for the length of a test, which ends as [Need] says where there is none. Hosts are names that lead to this
// machine besides its own, and so stand for a foreign host.
func Start(t testing.TB, hosts ...string) *Browser {
	t.Helper()
	Need(t)
	b, err := browser.Launch(context.WithoutCancel(t.Context()), hosts...)
	require.NoError(t, err)
	t.Cleanup(b.Close)
	return &Browser{b}
}

// A Page is a page in a tab of its own, which is closed when the test ends.
type Page struct{ page *browser.Page }

// Open opens an address.
func (b *Browser) Open(t testing.TB, address string, view View) *Page {
	t.Helper()
	p, err := b.Browser.Open(address, view)
	require.NoError(t, err)
	t.Cleanup(p.Close)
	return &Page{p}
}

// Go leads the page to another address.
func (p *Page) Go(t testing.TB, address string) {
	t.Helper()
	require.NoError(t, p.page.Go(address))
}

// Click clicks the first element that a CSS selector finds, with the mouse, where it is seen.
func (p *Page) Click(t testing.TB, selector string) {
	t.Helper()
	require.NoError(t, p.page.Click(selector))
}

// Type types on the keyboard, into whatever has the focus.
func (p *Page) Type(t testing.TB, text string) {
	t.Helper()
	require.NoError(t, p.page.Type(text))
}

// Wait waits until an expression is true on the page. It works on hidden pages too, which draw no frames.
func (p *Page) Wait(t testing.TB, expression string) {
	t.Helper()
	require.NoError(t, p.page.Wait(expression))
}

// Resize makes the page as wide as given, in CSS pixels.
func (p *Page) Resize(t testing.TB, width int64) {
	t.Helper()
	require.NoError(t, p.page.Resize(width))
}

// Front brings a page to the front; where it is a tab, the window's other tabs are hidden.
func (p *Page) Front(t testing.TB) {
	t.Helper()
	require.NoError(t, p.page.Front())
}

// Print shows the page as it will be printed.
func (p *Page) Print(t testing.TB) {
	t.Helper()
	require.NoError(t, p.page.Paper())
}

// Prefer shows the page as to a reader with a preference, a media feature such as prefers-color-scheme: dark. It replaces
// preferences set before.
func (p *Page) Prefer(t testing.TB, feature, value string) {
	t.Helper()
	require.NoError(t, p.page.Prefer(feature, value))
}

// Picture takes a picture of what is seen of the page, as PNG.
func (p *Page) Picture(t testing.TB) []byte {
	t.Helper()
	picture, err := p.page.Picture()
	require.NoError(t, err)
	return picture
}

// Complaints gives the warnings and errors that the page has written to the browser's console, in order.
func (p *Page) Complaints() []string { return p.page.Complaints() }

// Close closes the page before the test ends.
func (p *Page) Close() { p.page.Close() }

// Ask evaluates an expression on the page, as a debugger does: also where the page's own scripts may not run.
func Ask[T any](t testing.TB, p *Page, expression string) T {
	t.Helper()
	value, err := browser.Ask[T](p.page, expression)
	require.NoError(t, err, expression)
	return value
}

// Await evaluates an expression that gives a promise, and waits for what that comes to.
func Await[T any](t testing.TB, p *Page, expression string) T {
	t.Helper()
	value, err := browser.Await[T](p.page, expression)
	require.NoError(t, err, expression)
	return value
}
