package browser

import (
	"context"
	"fmt"
	"iter"
	"slices"
	"sync"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// glance is how long to wait between two looks at a page that has yet to become as it should.
const glance = 5 * time.Millisecond

// Wait waits until an expression is true on the page. It works on hidden pages too, which draw no frames.
func (p *Page) Wait(expression string) error {
	ctx, cancel := context.WithTimeout(p.context, patience)
	defer cancel()
	for {
		came, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		if err != nil {
			return fmt.Errorf("wait for %s: %w", expression, err)
		}
		if came {
			return nil
		}
		time.Sleep(glance)
	}
}

// Keys that write no sign, for Type.
const (
	Tab       = kb.Tab
	Enter     = kb.Enter
	Escape    = kb.Escape
	ArrowDown = kb.ArrowDown
	ArrowUp   = kb.ArrowUp
)

// Click clicks the first element that a CSS selector finds, with the mouse, where it is seen.
func (p *Page) Click(selector string) error { return p.do(chromedp.Click(chromedp.CSS(selector))) }

// Type types on the keyboard, into whatever has the focus.
func (p *Page) Type(text string) error { return p.do(chromedp.KeyEvent(text)) }

// Resize makes the page as wide as given, in CSS pixels.
func (p *Page) Resize(width int64) error { return p.do(chromedp.EmulateViewport(width, 800)) }

// Front brings a page to the front; where it is a tab, the window's other tabs are hidden.
func (p *Page) Front() error {
	_, err := chromedp.Call(p.context, page.BringToFront, cdp.Empty{})
	return err
}

// Paper shows the page as it will be printed.
func (p *Page) Paper() error {
	_, err := chromedp.Call(p.context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	return err
}

// Prefer shows the page as to a reader with a preference, a media feature such as prefers-color-scheme: dark. It replaces
// preferences set before.
func (p *Page) Prefer(feature, value string) error {
	features := []*emulation.MediaFeature{{Name: feature, Value: value}}
	_, err := chromedp.Call(p.context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
	return err
}

// Picture takes a picture of what is seen of the page, as PNG.
func (p *Page) Picture() ([]byte, error) {
	ctx, cancel := context.WithTimeout(p.context, patience)
	defer cancel()
	return chromedp.Run(ctx, chromedp.CaptureScreenshot())
}

// Complaints gives the warnings and errors that the page has written to the browser's console, in order.
func (p *Page) Complaints() []string { return p.console.read() }

// A console gathers what a page complains about.
type console struct {
	mu   sync.Mutex
	said []string
}

func (c *console) listen(messages iter.Seq2[chromedp.ConsoleMessage, error]) {
	grave := []chromedp.ConsoleType{chromedp.ConsoleWarning, chromedp.ConsoleError, chromedp.ConsoleException}
	for message, err := range messages {
		if err != nil {
			return
		}
		if slices.Contains(grave, message.Type) {
			c.mu.Lock()
			c.said = append(c.said, message.String()+" "+message.URL)
			c.mu.Unlock()
		}
	}
}

func (c *console) read() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.said)
}
