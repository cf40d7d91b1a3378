package binder

import (
	"fmt"
	"html/template"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
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

// BenchSheet makes a sheet for the bench of one version, worked out in one batch.
func BenchSheet(build *site.Build, open func(file string) ([]byte, error), r *handbook.Recipe, w handbook.Worked, options Options) ([]byte, error) {
	if len(w.Batches) != 1 || w.Batches[0].Missing != nil {
		return nil, fmt.Errorf("a bench sheet is for one batch that can be made")
	}
	look, err := newLook()
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
	return look.document(title, "bench", b.benchRules(title), b.leaves(nil, func(u *unit) template.HTML { return template.HTML(u.html) }))
}
