// Package binder makes the printed edition of a handbook: one document for a ring binder, and a sheet for the bench.
package binder

import (
	"bytes"
	"cmp"
	"fmt"
	"html/template"
	"slices"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/parallel"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/spell"
)

// The binder is made of units: the title, the contents, each recipe, each batch record, the materials of each letter, each note, the index. A unit begins on a page
// of its own, a recipe on a sheet of its own, so that it can be taken out and replaced alone. What other units refer to has an id, and page numbers stand in a unit's text as marks
// that are filled in once the pages have been counted in a printing.

// Options say what goes into a binder and onto what paper. Empty lists and a nil day leave nothing out.
type Options struct {
	Paper    Paper
	OneSided bool       // paper is printed on one side: holes always on the left, no backs
	Shelves  []string   // names of shelves
	Recipes  []string   // addresses or titles of recipes
	Since    *time.Time // only recipes and notes that were updated on or after this day
}

// narrowed says whether only some recipes are wanted.
func (o *Options) narrowed() bool {
	return len(o.Shelves) > 0 || len(o.Recipes) > 0 || o.Since != nil
}

// A Binder is a document, ready to be printed.
type Binder struct {
	build       *site.Build
	open        func(file string) ([]byte, error)
	options     Options
	look        *look
	addresses   map[string]site.Addressed
	portionSize int                       // of HTML, in bytes, at least
	ids         map[*handbook.Page]string // of pages that are in the binder
	order       map[*handbook.Recipe]int  // of its recipes

	shelves   []site.ShelfOf
	records   []*handbook.Record     // of the recipes in it
	materials []*handbook.Ingredient // by title
	notes     []*handbook.Note
	units     []*unit
	names     map[string]string // what an id is called
}

// New makes a binder of an edition. open reads a picture's bytes from the handbook.
func New(build *site.Build, open func(file string) ([]byte, error), options Options) (*Binder, error) {
	look, err := newLook(build.Theme())
	if err != nil {
		return nil, err
	}
	b := &Binder{
		build: build, open: open, options: options, look: look, addresses: build.Addresses(), portionSize: usualPortion,
		ids: make(map[*handbook.Page]string), order: make(map[*handbook.Recipe]int), names: make(map[string]string),
	}
	if err := b.choose(); err != nil {
		return nil, err
	}
	return b, b.write()
}

// Recipes counts the recipes in the binder.
func (b *Binder) Recipes() int {
	n := 0
	for _, s := range b.shelves {
		n += len(s.Recipes)
	}
	return n
}

// Units counts the parts that begin on a page of their own.
func (b *Binder) Units() int { return len(b.units) }

// choose settles which recipes, materials and notes go in.
func (b *Binder) choose() error {
	if err := b.unknown(); err != nil {
		return err
	}
	for _, shelf := range b.build.ShelfList() {
		shelf.Recipes = slices.DeleteFunc(slices.Clone(shelf.Recipes), func(r *handbook.Recipe) bool { return !b.wants(r) })
		if len(shelf.Recipes) > 0 {
			b.shelves = append(b.shelves, shelf)
		}
		for _, r := range shelf.Recipes {
			b.name(&r.Page, "r-")
			b.order[r] = len(b.order)
		}
	}
	for _, r := range b.build.RecordList() {
		if r.Recipe == nil && !b.options.narrowed() || r.Recipe != nil && b.ids[&r.Recipe.Page] != "" {
			b.records = append(b.records, r)
			b.name(&r.Page, "b-")
		}
	}
	for _, i := range b.build.IngredientList() {
		if !b.options.narrowed() || len(b.usesOf(i)) > 0 {
			b.materials = append(b.materials, i)
			b.name(&i.Page, "m-")
		}
	}
	slices.SortStableFunc(b.materials, func(x, y *handbook.Ingredient) int {
		return cmp.Or(cmp.Compare(site.Initial(x.Title), site.Initial(y.Title)), cmp.Compare(material.Key(x.Title), material.Key(y.Title)))
	})
	for _, n := range b.build.NoteList() {
		since := b.options.Since
		if !b.options.narrowed() || len(b.options.Shelves)+len(b.options.Recipes) == 0 && n.Updated != nil && !n.Updated.Before(*since) {
			b.notes = append(b.notes, n)
			b.name(&n.Page, "n-")
		}
	}
	if len(b.shelves)+len(b.notes) == 0 {
		return fmt.Errorf("nothing in the handbook is what was asked for, so there is nothing to print")
	}
	return nil
}

func (b *Binder) name(p *handbook.Page, kind string) {
	b.ids[p] = kind + p.Slug
	b.names[kind+p.Slug] = p.Title
}

// unknown tells of shelves and recipes that were asked for and are not there.
func (b *Binder) unknown() error {
	var shelves, recipes []string
	for _, s := range b.build.ShelfList() {
		shelves = append(shelves, s.Name)
		for _, r := range s.Recipes {
			recipes = append(recipes, r.Slug)
		}
	}
	for _, name := range b.options.Shelves {
		if !slices.ContainsFunc(shelves, func(s string) bool { return same(s, name) }) {
			return fmt.Errorf("there is no shelf “%s”: %s", name, spell.DidYouMean(name, shelves, "the shelves are: "+strings.Join(shelves, ", ")))
		}
	}
	for _, name := range b.options.Recipes {
		if !slices.ContainsFunc(b.build.Book.Recipes, func(r *handbook.Recipe) bool { return called(r, name) }) {
			return fmt.Errorf("there is no recipe “%s”: %s", name, spell.DidYouMean(name, recipes, "stillroom check names what the handbook has"))
		}
	}
	return nil
}

// wants says whether a recipe was asked for.
func (b *Binder) wants(r *handbook.Recipe) bool {
	o := &b.options
	named := len(o.Shelves)+len(o.Recipes) == 0 ||
		slices.ContainsFunc(o.Shelves, func(name string) bool { return same(r.Shelf, name) }) ||
		slices.ContainsFunc(o.Recipes, func(name string) bool { return called(r, name) })
	return named && (o.Since == nil || r.Updated != nil && !r.Updated.Before(*o.Since))
}

func called(r *handbook.Recipe, name string) bool {
	return r.Slug == name || same(r.Title, name) || r.File == name
}

func same(a, b string) bool { return material.Key(a) == material.Key(b) }

// usesOf lists which of the binder's recipes take a material, in their order there.
func (b *Binder) usesOf(i *handbook.Ingredient) []site.UseOf {
	uses := slices.DeleteFunc(b.build.UsesOf(i.Slug), func(u site.UseOf) bool { return b.ids[&u.Recipe.Page] == "" })
	slices.SortStableFunc(uses, func(x, y site.UseOf) int { return cmp.Compare(b.order[x.Recipe], b.order[y.Recipe]) })
	return uses
}

// A unit is what begins on a page of its own.
type unit struct {
	ID    string
	Title string // for the running head
	Tab   int    // which tab it stands under, -1 for none
	Back  bool   // what follows begins on the front of a sheet; an empty back is ruled for remarks

	draw func() (any, error) // gives the view
	kind string              // of the template
	html []byte              // with marks for page numbers
}

// write draws every unit.
func (b *Binder) write() error {
	b.lay()
	for _, u := range b.units {
		if b.names[u.ID] == "" {
			b.names[u.ID] = u.Title
		}
	}
	errs := make([]error, len(b.units))
	parallel.Do(len(b.units), func(i int) { errs[i] = b.drawUnit(b.units[i]) })
	for i, err := range errs {
		if err != nil {
			return fmt.Errorf("%s: %w", b.units[i].Title, err)
		}
	}
	return nil
}

func (b *Binder) drawUnit(u *unit) error {
	view, err := u.draw()
	if err != nil {
		return err
	}
	var buf bytes.Buffer
	if err := b.look.render(&buf, u.kind, view); err != nil {
		return err
	}
	u.html = buf.Bytes()
	return nil
}

// lay lists the units in their order.
func (b *Binder) lay() {
	b.add(&unit{ID: "title", Title: b.build.Title, Tab: -1, kind: "title", draw: b.titlePage})
	b.add(&unit{ID: "contents", Title: "Contents", Tab: -1, Back: true, kind: "contents", draw: b.contents})
	for tab, shelf := range b.shelves {
		for i, r := range shelf.Recipes {
			b.add(&unit{ID: b.ids[&r.Page], Title: r.Title, Tab: tab, Back: true, kind: "recipe", draw: func() (any, error) {
				view, err := b.recipe(r)
				if i == 0 && err == nil {
					view.Opens = &shelf
				}
				return view, err
			}})
		}
	}
	tab := len(b.shelves)
	for i, r := range b.records {
		b.add(&unit{ID: b.ids[&r.Page], Title: "Batch " + r.Title, Tab: tab, Back: i == len(b.records)-1, kind: "batch", draw: func() (any, error) { return b.record(r, i == 0) }})
	}
	tab++
	letters := b.letters()
	for i, g := range letters {
		b.add(&unit{ID: g.ID, Title: "Materials, " + g.Letter, Tab: tab, Back: i == len(letters)-1, kind: "materials", draw: func() (any, error) { return b.materialsOf(g, i == 0) }})
	}
	for i, n := range b.notes {
		b.add(&unit{ID: b.ids[&n.Page], Title: n.Title, Tab: tab + 1, Back: i == len(b.notes)-1, kind: "note", draw: func() (any, error) { return b.note(n, i == 0) }})
	}
	if len(b.materials) > 0 {
		b.add(&unit{ID: "index", Title: "Index of materials", Tab: tab + 2, kind: "index", draw: b.index})
	}
}

func (b *Binder) add(u *unit) { b.units = append(b.units, u) }

// tabs names the tabs on the edge. Batches have theirs before there are any: the first would move all others.
func (b *Binder) tabs() []string {
	var all []string
	for _, s := range b.shelves {
		all = append(all, s.Name)
	}
	return append(all, "Batches", "Materials", "Notes", "Index")
}

// asOf gives the latest day on which a page in the binder was updated, nil where no page says.
func (b *Binder) asOf() *time.Time {
	var last *time.Time
	for p := range b.ids {
		if p.Updated != nil && (last == nil || p.Updated.After(*last)) {
			last = p.Updated
		}
	}
	return last
}

// marked gives the mark that the number of an id's page is filled in at.
func marked(id string) template.HTML { return template.HTML("<!--page " + id + "-->") }
