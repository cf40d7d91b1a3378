package binder

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// readPages finds on which page of a PDF each id stands: a browser writes a named destination for every id that a link leads to.
func readPages(pdf []byte, ids []string) (Pages, int, error) {
	api.DisableConfigDir()
	ctx, err := api.ReadContext(bytes.NewReader(pdf), model.NewDefaultConfiguration())
	if err != nil {
		return nil, 0, fmt.Errorf("read the printed pages: %w", err)
	}
	if err := ctx.EnsurePageCount(); err != nil {
		return nil, 0, fmt.Errorf("count the printed pages: %w", err)
	}
	numbers := make(map[types.IndirectRef]int, ctx.PageCount)
	for n := 1; n <= ctx.PageCount; n++ {
		ref, err := ctx.PageDictIndRef(n)
		if err != nil {
			return nil, 0, fmt.Errorf("find page %d: %w", n, err)
		}
		numbers[*ref] = n
	}
	catalogue, err := ctx.Catalog()
	if err != nil {
		return nil, 0, err
	}
	places, err := ctx.DereferenceDict(catalogue["Dests"])
	if err != nil {
		return nil, 0, fmt.Errorf("read the places in the PDF: %w", err)
	}
	return lookUp(ctx, places, numbers, ids)
}

func lookUp(ctx *model.Context, places types.Dict, numbers map[types.IndirectRef]int, ids []string) (Pages, int, error) {
	pages := make(Pages, len(ids))
	var missing []string
	for _, id := range ids {
		place, err := ctx.DereferenceArray(places[id])
		if err != nil || len(place) == 0 {
			missing = append(missing, id)
			continue
		}
		ref, ok := place[0].(types.IndirectRef)
		if n := numbers[ref]; ok && n > 0 {
			pages[id] = n
			continue
		}
		missing = append(missing, id)
	}
	if missing != nil {
		return nil, 0, fmt.Errorf("the PDF does not say on which page these stand: %s", strings.Join(missing, ", "))
	}
	return pages, ctx.PageCount, nil
}
