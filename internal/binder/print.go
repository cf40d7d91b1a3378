package binder

import (
	"errors"
	"fmt"
	"html/template"
	"maps"
	"regexp"
	"slices"
	"time"
)

// A Printer makes a PDF of an HTML document that is whole in itself.
type Printer func(html []byte) (pdf []byte, err error)

// mostPrintings is how often a binder is printed before its page numbers are given up: the first printing counts the pages, the second has the
// numbers, and more are needed only where these move what they number.
const mostPrintings = 6

// Printed is a binder as printed.
type Printed struct {
	PDF       []byte
	Pages     Pages
	Count     int // of pages
	Printings int
	Sheets    []Sheet
}

// HTML gives the document without page numbers, for reading and for printing in any browser.
func (b *Binder) HTML() ([]byte, error) {
	leaves := b.leaves(nil, func(u *unit) template.HTML { return template.HTML(fillNames(u.html, b.names)) })
	return b.look.document(b.build.Title, "binder", b.rules(), leaves)
}

// leaves lists the units for a document; backs are those that end with an empty back.
func (b *Binder) leaves(backs map[string]bool, text func(*unit) template.HTML) []leaf {
	all := make([]leaf, len(b.units))
	for i, u := range b.units {
		all[i] = leaf{N: i, ID: u.ID, Title: u.Title, Text: text(u), Remarks: backs[u.ID], Lines: b.options.Paper.rows()}
	}
	return all
}

// numbered gives the document with page numbers.
func (b *Binder) numbered(pages Pages, backs map[string]bool) ([]byte, error) {
	var errs []error
	leaves := b.leaves(backs, func(u *unit) template.HTML {
		text, err := pages.fill(u.html)
		errs = append(errs, err)
		return template.HTML(text)
	})
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return b.look.document(b.build.Title, "binder", b.rules(), leaves)
}

// Print prints the binder until the page numbers in it are those of its pages. step is called after each printing.
func (b *Binder) Print(printer Printer, step func()) (*Printed, error) {
	var pages Pages
	var backs map[string]bool
	for n := 1; n <= mostPrintings; n++ {
		text, err := b.numbered(pages, backs)
		if err != nil {
			return nil, err
		}
		pdf, err := printer(text)
		if err != nil {
			return nil, err
		}
		step()
		found, count, err := readPages(pdf, append(linked(text), b.starts()...))
		if err != nil {
			return nil, err
		}
		wanted, last := b.turned(found, count, backs)
		if pages != nil && agree(pages, found) && maps.Equal(backs, wanted) {
			return &Printed{PDF: Settled(pdf, b.asOf()), Pages: found, Count: count, Printings: n, Sheets: b.sheets(found, count)}, nil
		}
		pages, backs = last, wanted
	}
	return nil, fmt.Errorf("the page numbers did not settle in %d printings", mostPrintings)
}

// agree says whether every place stands on the page that was printed for it.
func agree(printed, found Pages) bool {
	for id, page := range found {
		if printed[id] != page {
			return false
		}
	}
	return true
}

// starts lists the ids of the units.
func (b *Binder) starts() []string {
	var all []string
	for _, u := range b.units {
		all = append(all, u.ID)
	}
	return all
}

// turned works out which units need an empty back so that the next begins on the front of a sheet, and on what pages everything comes to stand then.
func (b *Binder) turned(found Pages, count int, backs map[string]bool) (map[string]bool, Pages) {
	wanted, moved := make(map[string]bool), make(map[int]int) // by the page where a unit begins now: how far it moves
	next := 1
	var begins []int
	for i, u := range b.units {
		from, to := found[u.ID], count+1
		if i+1 < len(b.units) {
			to = found[b.units[i+1].ID]
		}
		length := to - from
		if backs[u.ID] {
			length--
		}
		moved[from] = next - from
		begins = append(begins, from)
		next += length
		if u.Back && !b.options.OneSided && next%2 == 0 {
			wanted[u.ID] = true
			next++
		}
	}
	pages := make(Pages, len(found))
	for id, page := range found {
		at, exact := slices.BinarySearch(begins, page)
		if !exact {
			at--
		}
		pages[id] = page + moved[begins[max(0, at)]]
	}
	return wanted, pages
}

// What a browser writes differently into the same PDF: the moment of printing, and numbers for table cells that go on from whatever it showed before.
var (
	dates = regexp.MustCompile(`/(?:CreationDate|ModDate) \(D:(\d{14})`)
	nodes = regexp.MustCompile(`\(node(\d{8})\)`)
)

// Settled makes the same bytes of what is printed from the same document: the day of the latest update stands for the moment of printing, and cells are
// numbered from 1 in their order.
func Settled(pdf []byte, day *time.Time) []byte {
	fixed := "20000101000000"
	if day != nil {
		fixed = day.Format("20060102") + "000000"
	}
	out := slices.Clone(pdf)
	for _, m := range dates.FindAllSubmatchIndex(out, -1) {
		copy(out[m[2]:m[3]], fixed)
	}
	places := nodes.FindAllSubmatchIndex(out, -1)
	var numbers []string
	for _, m := range places {
		numbers = append(numbers, string(out[m[2]:m[3]]))
	}
	slices.Sort(numbers)
	numbers = slices.Compact(numbers)
	for _, m := range places {
		rank, _ := slices.BinarySearch(numbers, string(out[m[2]:m[3]]))
		copy(out[m[2]:m[3]], fmt.Sprintf("%08d", rank+1))
	}
	return out
}
