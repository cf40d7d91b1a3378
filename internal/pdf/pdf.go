// Package pdf joins what a browser prints into one PDF, with its tags, outline, links and places kept.
package pdf

import (
	"bytes"
	"fmt"
	"sync"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// A long book is printed in parts, since a browser's memory grows with what it prints at once. Each part is a whole PDF; Join takes the objects of all
// of them over under new numbers and writes anew what a file has only one of: the catalogue, the page tree's root, the tags' root, the outline, the
// named places. The terms are those of ISO 32000-1 (clauses from memory).

// Elsewhere begins the address of a link from one part to a place in another: "place:" and the place's id.
const Elsewhere = "place:"

// Places gives the page, counted from 1, of each id that a link in the PDF leads to, and how many pages there are: a browser names a place for each
// of these.
func Places(pdf []byte) (map[string]int, int, error) {
	p, err := read(pdf)
	if err != nil {
		return nil, 0, err
	}
	numbers := make(map[types.IndirectRef]int, p.ctx.PageCount)
	for n := 1; n <= p.ctx.PageCount; n++ {
		ref, err := p.ctx.PageDictIndRef(n)
		if err != nil {
			return nil, 0, fmt.Errorf("find page %d: %w", n, err)
		}
		numbers[*ref] = n
	}
	named, err := p.ctx.DereferenceDict(p.catalogue["Dests"])
	if err != nil {
		return nil, 0, fmt.Errorf("read the places in the PDF: %w", err)
	}
	places := make(map[string]int, len(named))
	for id, o := range named {
		place, err := p.ctx.DereferenceArray(o)
		if err != nil || len(place) == 0 {
			continue
		}
		if ref, ok := place[0].(types.IndirectRef); ok && numbers[ref] > 0 {
			places[id] = numbers[ref]
		}
	}
	return places, p.ctx.PageCount, nil
}

// quiet keeps the PDF library from setting up a folder of its own.
var quiet = sync.OnceFunc(api.DisableConfigDir)

// A part is a printed PDF, read.
type part struct {
	ctx       *model.Context
	catalogue types.Dict
}

func read(pdf []byte) (*part, error) {
	quiet()
	ctx, err := api.ReadContext(bytes.NewReader(pdf), model.NewDefaultConfiguration())
	if err != nil {
		return nil, fmt.Errorf("read the printed pages: %w", err)
	}
	if err := ctx.EnsurePageCount(); err != nil {
		return nil, fmt.Errorf("count the printed pages: %w", err)
	}
	catalogue, err := ctx.Catalog()
	if err != nil {
		return nil, fmt.Errorf("read the printed pages: %w", err)
	}
	return &part{ctx, catalogue}, nil
}

// object gives the number of the object that a reference leads to, 0 for what is no reference.
func object(o types.Object) int {
	if ref, ok := o.(types.IndirectRef); ok {
		return ref.ObjectNumber.Value()
	}
	return 0
}
