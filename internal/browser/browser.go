// Package browser opens built pages in a Chromium-family browser, for tests.
package browser

import (
	"context"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// needed is the variable that turns a missing browser from a skipped test into a failed one.
const needed = "STILLROOM_NEED_BROWSER"

// patience is how long one step may take on a slow machine before it is given up.
const patience = 30 * time.Second

// A Browser is a running browser without a window.
type Browser struct{ context context.Context }

// Start runs a browser for the length of a test. Where none is installed the test is skipped; with STILLROOM_NEED_BROWSER=1 it fails.
func Start(t testing.TB) *Browser {
	t.Helper()
	program := find()
	if program == "" {
		const message = "NOT TESTED: no Chromium-family browser is on PATH; install the package chromium"
		if os.Getenv(needed) == "1" {
			t.Fatal(message)
		}
		t.Skip(message + " (" + needed + "=1 makes this a failure)")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, quit := chromedp.NewContext(allocator)
	t.Cleanup(quit)
	require.NoError(t, chromedp.Do(ctx), "start %s", program)
	return &Browser{ctx}
}

// find gives the browser's program, or "".
func find() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge"} {
		if program, err := exec.LookPath(name); err == nil {
			return program
		}
	}
	return ""
}

// A View is how a page is looked at. Width is in CSS pixels; Script lets the page's own scripts run.
type View struct {
	Width  int64
	Script bool
}

// A Page is a page in a tab of its own, which is closed when the test ends.
type Page struct{ context context.Context }

// Open opens an address.
func (b *Browser) Open(t testing.TB, address string, view View) *Page {
	t.Helper()
	ctx, closeTab := chromedp.NewContext(b.context)
	t.Cleanup(closeTab)
	require.NoError(t, chromedp.Do(ctx))
	p := &Page{ctx}
	if !view.Script {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		require.NoError(t, err)
	}
	p.do(t, chromedp.EmulateViewport(view.Width, 800), chromedp.Navigate(address))
	return p
}

// Go leads the page to another address.
func (p *Page) Go(t testing.TB, address string) {
	t.Helper()
	p.do(t, chromedp.Navigate(address))
}

// Click clicks the first element that a CSS selector finds, with the mouse, where it is seen.
func (p *Page) Click(t testing.TB, selector string) {
	t.Helper()
	p.do(t, chromedp.Click(chromedp.CSS(selector)))
}

// Print shows the page as it will be printed.
func (p *Page) Print(t testing.TB) {
	t.Helper()
	_, err := chromedp.Call(p.context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	require.NoError(t, err)
}

func (p *Page) do(t testing.TB, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	ctx, cancel := context.WithTimeout(p.context, patience)
	defer cancel()
	require.NoError(t, chromedp.Do(ctx, steps...))
}

// Ask evaluates an expression on the page, as a debugger does: also where the page's own scripts may not run.
func Ask[T any](t testing.TB, p *Page, expression string) T {
	t.Helper()
	ctx, cancel := context.WithTimeout(p.context, patience)
	defer cancel()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression))
	require.NoError(t, err, expression)
	return value
}
