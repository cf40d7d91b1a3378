package binder

import (
	"fmt"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/pdf"
	"larkrow.example/stillroom/internal/site"
)

// A benchLeaf is one version of a recipe in one batch, with room to write in.
type benchLeaf struct {
	*site.RecipeView
	ID      string
	Part    part
	Table   *site.FormulaView
	Batch   site.BatchColumn
	Version string // "" for the recipe as written
	PH      string // the target
	Book    string
	Closing string
}

// A Bench is a sheet for the bench, in a usual and in a denser setting.
type Bench struct {
	Title        string
	Usual, Dense []byte     // HTML documents; they differ in type size and spacing alone
	Day          *time.Time // on which the recipe was updated last
}

// Print prints the sheet: in the usual setting, and where that takes more than one page in the denser one, if this saves a page. html is the setting chosen.
func (s *Bench) Print(printer Printer) (html, printed []byte, err error) {
	html = s.Usual
	printed, pages, err := counted(printer, s.Usual)
	if err != nil {
		return nil, nil, err
	}
	if pages > 1 {
		dense, fewer, err := counted(printer, s.Dense)
		if err != nil {
			return nil, nil, err
		}
		if fewer < pages {
			html, printed = s.Dense, dense
		}
	}
	printed, err = pdf.Join(s.Title, s.Day, printed)
	return html, printed, err
}

// counted prints a document and counts its pages.
func counted(printer Printer, html []byte) (printed []byte, pages int, err error) {
	if printed, err = printer(html); err != nil {
		return nil, 0, err
	}
	_, pages, err = pdf.Places(printed)
	return printed, pages, err
}

// BenchSheet makes a sheet for the bench of one version, worked out in one batch.
func BenchSheet(build *site.Build, open func(file string) ([]byte, error), r *handbook.Recipe, w handbook.Worked, options Options) (*Bench, error) {
	if len(w.Batches) != 1 || w.Batches[0].Missing != nil {
		return nil, fmt.Errorf("a bench sheet is for one batch that can be made")
	}
	look, err := newLook(build.Theme())
	if err != nil {
		return nil, err
	}
	b := &Binder{build: build, open: open, options: options, look: look, addresses: build.Addresses(), ids: map[*handbook.Page]string{}, names: map[string]string{}}
	view, err := build.ViewSheet(r, w)
	if err != nil {
		return nil, err
	}
	id := "r-" + r.Slug
	sheet := &benchLeaf{RecipeView: view, ID: id, Book: build.Title, Closing: view.Caution}
	if view.Method, err = b.gathered(view.Method, id); err != nil {
		return nil, err
	}
	if sheet.Part, err = b.part(r, w, view.Versions[0], id); err != nil {
		return nil, err
	}
	sheet.Table = sheet.Part.Tables[0]
	sheet.Batch = sheet.Table.Batches[0]
	if !sheet.Part.Base() {
		sheet.Version = sheet.Part.Name
	}
	for _, f := range view.Facts {
		if f.Name == "pH" {
			sheet.PH = f.Value
		}
	}
	title := strings.Trim(r.Title+", "+sheet.Version, ", ") + ", " + sheet.Batch.Size
	u := &unit{ID: id, Title: title, Tab: -1, kind: "bench", draw: func() (any, error) { return sheet, nil }}
	if err := b.drawUnit(u); err != nil {
		return nil, err
	}
	b.units = []*unit{u}
	leaves := b.leaves(0, 1, nil, func(int) []byte { return u.html })
	usual, err := look.document(title, "bench", b.benchRules(title), leaves)
	if err != nil {
		return nil, err
	}
	dense, err := look.document(title, "bench dense", b.benchRules(title), leaves)
	return &Bench{Title: title, Usual: usual, Dense: dense, Day: r.Updated}, err
}
