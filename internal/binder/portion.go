package binder

import (
	"bytes"
	"fmt"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/parallel"
	"larkrow.example/stillroom/internal/pdf"
)

// A browser's memory grows with what it prints at once, so a long binder is printed in portions, several at the same time, and joined.

// A portion is units that are printed at once: from the one, to before the other.
type portion struct {
	from, to int
	html     []byte
	pdf      []byte
}

// usualPortion is how much HTML a portion has at least, in bytes: some 200 pages.
const usualPortion = 1 << 20

// portions divides the units. Each portion begins on the front of a sheet, since a browser prints its first page so.
func (b *Binder) portions() []*portion {
	var all []*portion
	last, size := &portion{}, 0
	for i, u := range b.units {
		if size >= b.portionSize && b.units[i-1].Back {
			last.to = i
			all = append(all, last)
			last, size = &portion{from: i}, 0
		}
		size += len(u.html)
	}
	last.to = len(b.units)
	return append(all, last)
}

// print prints every portion that is not the same as in the last printing.
func (b *Binder) print(portions []*portion, printer Printer, pages Pages, backs map[string]bool, step func(units int)) error {
	filled, err := b.filled(pages)
	if err != nil {
		return err
	}
	wanted := b.wanted(filled)
	errs := make([]error, len(portions))
	var one sync.Mutex
	parallel.Do(len(portions), func(i int) {
		errs[i] = b.printOne(portions[i], printer, filled, wanted, pages, backs)
		one.Lock()
		defer one.Unlock()
		step(portions[i].to - portions[i].from)
	})
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func (b *Binder) printOne(p *portion, printer Printer, filled [][]byte, wanted map[string]bool, pages Pages, backs map[string]bool) error {
	text, err := b.portion(p, filled, wanted, pages, backs)
	if err != nil {
		return err
	}
	if bytes.Equal(text, p.html) {
		return nil
	}
	p.html = text
	p.pdf, err = printer(text)
	return err
}

// filled gives the units with page numbers in them.
func (b *Binder) filled(pages Pages) ([][]byte, error) {
	all := make([][]byte, len(b.units))
	for i, u := range b.units {
		text, err := pages.fill(u.html)
		if err != nil {
			return nil, err
		}
		all[i] = text
	}
	return all, nil
}

// wanted gives the ids whose pages have to be known: of every unit, and what is linked to.
func (b *Binder) wanted(filled [][]byte) map[string]bool {
	all := make(map[string]bool)
	for i, u := range b.units {
		all[u.ID] = true
		for _, m := range link.FindAllSubmatch(filled[i], -1) {
			all[string(m[1])] = true
		}
	}
	return all
}

// portion writes the document of a portion: pages are counted on from those before it, and links lead into other portions by pdf.Elsewhere.
func (b *Binder) portion(p *portion, filled [][]byte, wanted map[string]bool, pages Pages, backs map[string]bool) ([]byte, error) {
	here, places := b.here(p, filled, wanted)
	leaves := b.leaves(p.from, p.to, backs, func(i int) []byte {
		return link.ReplaceAllFunc(filled[i], func(m []byte) []byte {
			if id := string(link.FindSubmatch(m)[1]); !here[id] {
				return []byte(`href="` + pdf.Elsewhere + id + `"`)
			}
			return m
		})
	})
	rules := b.rules(p.from, p.to)
	if before := pages[b.units[p.from].ID] - 1; before > 0 {
		rules += fmt.Sprintf("html{counter-reset:page %d}\n", before)
	}
	return b.look.document(b.build.Title, "binder", rules, leaves, places...)
}

// here gives the ids that a portion has, and of these, in their order, those whose pages have to be known.
func (b *Binder) here(p *portion, filled [][]byte, wanted map[string]bool) (here map[string]bool, places []string) {
	here = make(map[string]bool)
	has := func(id string) {
		if wanted[id] && !here[id] {
			places = append(places, id)
		}
		here[id] = true
	}
	for i := p.from; i < p.to; i++ {
		has(b.units[i].ID)
		for _, m := range name.FindAllSubmatch(filled[i], -1) {
			has(string(m[1]))
		}
	}
	return here, places
}

// found reads on which pages of the whole everything stands that has to be known, and how many pages there are.
func (b *Binder) found(portions []*portion) (Pages, int, error) {
	pages, count := make(Pages), 0
	for _, p := range portions {
		places, length, err := pdf.Places(p.pdf)
		if err != nil {
			return nil, 0, err
		}
		for id, page := range places {
			pages[id] = count + page
		}
		count += length
	}
	var missing []string
	for _, u := range b.units {
		if pages[u.ID] == 0 {
			missing = append(missing, u.Title)
		}
	}
	if missing != nil {
		return nil, 0, fmt.Errorf("the PDF does not say on which page these begin: %s", strings.Join(missing, ", "))
	}
	return pages, count, nil
}

// printedParts gives the PDFs of portions.
func printedParts(portions []*portion) [][]byte {
	all := make([][]byte, len(portions))
	for i, p := range portions {
		all[i] = p.pdf
	}
	return all
}
