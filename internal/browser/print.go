package browser

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"github.com/chromedp/chromedp"
)

// printing is how long one printing may take: a binder of some hundred recipes takes minutes on a busy machine.
const printing = 30 * time.Minute

// FileAddress gives the address of a file.
func FileAddress(file string) (string, error) {
	whole, err := filepath.Abs(file)
	if err != nil {
		return "", err
	}
	whole = filepath.ToSlash(whole)
	if whole[0] != '/' {
		whole = "/" + whole // a drive's letter
	}
	return (&url.URL{Scheme: "file", Path: whole}).String(), nil
}

// Print prints a page as a tagged PDF with an outline, on the paper that its own @page rules name, once its fonts are there. The page is whole in
// itself: styles, fonts and pictures stand in it.
func (b *Browser) Print(html []byte) ([]byte, error) {
	dir, err := os.MkdirTemp("", "stillroom-print-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "page.html")
	if err := os.WriteFile(file, html, 0o600); err != nil {
		return nil, err
	}
	address, err := FileAddress(file)
	if err != nil {
		return nil, err
	}
	tab, closeTab := chromedp.NewContext(b.context)
	defer closeTab()
	if err := chromedp.Do(tab); err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(tab, printing)
	defer cancel()
	pdf, err := pdfOf(ctx, address)
	if err != nil {
		return nil, fmt.Errorf("print: %w", err)
	}
	return pdf, nil
}

func pdfOf(ctx context.Context, address string) ([]byte, error) {
	if err := chromedp.Do(ctx, chromedp.Navigate(address)); err != nil {
		return nil, err
	}
	if _, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`document.fonts.ready.then(() => true)`, chromedp.EvalAwaitPromise)); err != nil {
		return nil, err
	}
	return chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground(),
		chromedp.PDFOutlineAndTagged(), chromedp.PDFStream()))
}
