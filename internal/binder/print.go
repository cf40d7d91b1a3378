package binder

import (
	"fmt"
	"html/template"
	"maps"
	"slices"

	"larkrow.example/stillroom/internal/pdf"
)

// A Printer makes a PDF of an HTML document that is whole in itself. It is used by several goroutines at once.
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
	leaves := b.leaves(0, len(b.units), nil, func(i int) []byte { return fillNames(b.units[i].html, b.names) })
	return b.look.document(b.build.Title, "binder", b.rules(0, len(b.units)), leaves)
}

// leaves lists units for a document, from the one to before the other; backs are those that end with an empty back.
func (b *Binder) leaves(from, to int, backs map[string]bool, text func(i int) []byte) []leaf {
	all := make([]leaf, 0, to-from)
	for i := from; i < to; i++ {
		u := b.units[i]
		all = append(all, leaf{N: i, ID: u.ID, Title: u.Title, Text: template.HTML(text(i)), Remarks: backs[u.ID], Lines: b.options.Paper.rows()})
	}
	return all
}

// Print prints the binder until the page numbers in it are those of its pages. step is called after each portion with how many units it has.
func (b *Binder) Print(printer Printer, step func(units int)) (*Printed, error) {
	var pages Pages
	var backs map[string]bool
	portions := b.portions()
	for n := 1; n <= mostPrintings; n++ {
		if err := b.print(portions, printer, pages, backs, step); err != nil {
			return nil, err
		}
		found, count, err := b.found(portions)
		if err != nil {
			return nil, err
		}
		wanted, last := b.turned(found, count, backs)
		if pages != nil && agree(pages, found) && maps.Equal(backs, wanted) {
			whole, err := pdf.Join(b.build.Title, b.asOf(), printedParts(portions)...)
			return &Printed{PDF: whole, Pages: found, Count: count, Printings: n, Sheets: b.sheets(found, count)}, err
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
