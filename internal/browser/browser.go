// Package browser drives a Chromium-family browser without a window: it opens pages, asks them things and prints them as PDF.
package browser

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"strings"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// patience is how long one step may take on a slow machine before it is given up.
const patience = 30 * time.Second

// ErrNone is that no browser is installed where programs are looked for; its text says what to install.
var ErrNone = errors.New("no Chromium-family browser is on PATH")

// Install says how to come by a browser.
const Install = "install the package chromium (apt install chromium, brew install --cask chromium), or use any installed browser: open the HTML file in it and print"

// A Browser is a running browser.
type Browser struct {
	context context.Context
	close   func()
}

// Find gives the browser's program, or "" where there is none.
func Find() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge"} {
		if program, err := exec.LookPath(name); err == nil {
			return program
		}
	}
	return ""
}

// Launch runs a browser until Close; the error is ErrNone where none is installed. Hosts are names that lead to this machine besides its own,
// and so stand for a foreign host.
func Launch(ctx context.Context, hosts ...string) (*Browser, error) {
	program := Find()
	if program == "" {
		return nil, ErrNone
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program))
	if len(hosts) > 0 {
		options = append(options, chromedp.Flag("host-resolver-rules", "MAP "+strings.Join(hosts, " 127.0.0.1, MAP ")+" 127.0.0.1"))
	}
	allocator, stop := chromedp.NewExecAllocator(ctx, options...)
	window, quit := chromedp.NewContext(allocator)
	b := &Browser{window, func() { quit(); stop() }}
	if err := chromedp.Do(window); err != nil {
		b.Close()
		return nil, fmt.Errorf("start %s: %w", program, err)
	}
	return b, nil
}

// Close ends the browser.
func (b *Browser) Close() { b.close() }

// A View is how a page is looked at. Width is in CSS pixels; Script lets the page's own scripts run. Tab puts the page into the
// browser's one window as a tab, where the tab in front hides the others; without it the page has a window of its own.
type View struct {
	Width  int64
	Script bool
	Tab    bool
}

// A Page is a page in a tab of its own.
type Page struct {
	context context.Context
	close   context.CancelFunc
	console console
}

// Open opens an address.
func (b *Browser) Open(address string, view View) (*Page, error) {
	ctx, closeTab := chromedp.NewContext(b.context, chromedp.WithNewWindow(!view.Tab))
	p := &Page{context: ctx, close: closeTab}
	if err := p.open(address, view); err != nil {
		p.Close()
		return nil, fmt.Errorf("open %s: %w", address, err)
	}
	return p, nil
}

func (p *Page) open(address string, view View) error {
	if err := chromedp.Do(p.context); err != nil {
		return err
	}
	go p.console.listen(chromedp.Console(p.context))
	if !view.Script {
		_, err := chromedp.Call(p.context, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		if err != nil {
			return err
		}
	}
	return p.do(chromedp.EmulateViewport(view.Width, 800), chromedp.Navigate(address))
}

// Close closes the page: pages that hold a connection each are more than a browser allows at once.
func (p *Page) Close() { p.close() }

// Go leads the page to another address.
func (p *Page) Go(address string) error { return p.do(chromedp.Navigate(address)) }

func (p *Page) do(steps ...chromedp.Action[chromedp.Void]) error {
	ctx, cancel := context.WithTimeout(p.context, patience)
	defer cancel()
	return chromedp.Do(ctx, steps...)
}

// Ask evaluates an expression on the page, as a debugger does: also where the page's own scripts may not run.
func Ask[T any](p *Page, expression string) (T, error) {
	ctx, cancel := context.WithTimeout(p.context, patience)
	defer cancel()
	return chromedp.Run(ctx, chromedp.Evaluate[T](expression))
}

// Await evaluates an expression that gives a promise, and waits for what that comes to.
func Await[T any](p *Page, expression string) (T, error) {
	ctx, cancel := context.WithTimeout(p.context, patience)
	defer cancel()
	return chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}
