package binder

import (
	"cmp"
	"html/template"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/site"
)

// A titleLeaf is the title page and its back.
type titleLeaf struct {
	Title, Maker, About string
	AsOf                string // the latest day on which a page was updated; may be empty
	Recipes, Materials  int
	Choice              string // what it was narrowed to; may be empty
	Halted              []string
	OneSided            bool
}

func (b *Binder) titlePage() (any, error) {
	v := &titleLeaf{Title: b.build.Title, Maker: b.build.Maker, About: b.build.About, Recipes: b.Recipes(), Materials: len(b.materials), OneSided: b.options.OneSided}
	if day := b.asOf(); day != nil {
		v.AsOf = day.Format("2 January 2006")
	}
	o := &b.options
	choice := slices.Concat(o.Shelves, o.Recipes)
	if o.Since != nil {
		choice = append(choice, "updated since "+o.Since.Format("2 January 2006"))
	}
	v.Choice = strings.Join(choice, ", ")
	for _, held := range b.build.HeldBack(site.MembersEdition) {
		if b.ids[&held.Recipe.Page] != "" {
			v.Halted = append(v.Halted, held.Recipe.Title)
		}
	}
	return v, nil
}

// An entry leads to a place in the binder.
type entry struct {
	ID, Title, Tag string
	Page           template.HTML
}

func (b *Binder) entry(id, title, tag string) entry {
	return entry{ID: id, Title: title, Tag: tag, Page: marked(id)}
}

// A chapter is a group of entries.
type chapter struct {
	Name, About string
	Entries     []entry
}

func (b *Binder) contents() (any, error) {
	var all []chapter
	for _, s := range b.shelves {
		c := chapter{Name: s.Name, About: s.About}
		for _, r := range s.Recipes {
			c.Entries = append(c.Entries, b.entry(b.ids[&r.Page], r.Title, r.Product.Name))
		}
		all = append(all, c)
	}
	if len(b.records) > 0 {
		c := chapter{Name: "Batches"}
		for _, r := range b.records {
			words := r.Size.Written
			if r.Recipe != nil {
				words = r.Recipe.Title + ", " + words
			}
			c.Entries = append(c.Entries, b.entry(b.ids[&r.Page], r.Title, words))
		}
		all = append(all, c)
	}
	if groups := b.letters(); len(groups) > 0 {
		c := chapter{Name: "Materials"}
		first, last := groups[0], groups[len(groups)-1]
		c.Entries = append(c.Entries, b.entry(first.ID, "Materials, "+first.Letter+" to "+last.Letter, ""), b.entry("index", "Index of materials", ""))
		all = append(all, c)
	}
	if len(b.notes) > 0 {
		c := chapter{Name: "Notes"}
		for _, n := range b.notes {
			c.Entries = append(c.Entries, b.entry(b.ids[&n.Page], n.Title, ""))
		}
		all = append(all, c)
	}
	return all, nil
}

// A letter is the materials whose names begin with it.
type letter struct {
	ID, Letter string
	Materials  []*handbook.Ingredient
}

func (b *Binder) letters() []letter {
	var all []letter
	for _, i := range b.materials {
		initial := site.Initial(i.Title)
		if n := len(all); n == 0 || all[n-1].Letter != initial {
			all = append(all, letter{ID: "letter-" + plain(initial), Letter: initial})
		}
		l := &all[len(all)-1]
		l.Materials = append(l.Materials, i)
	}
	return all
}

// A materialsLeaf is the materials of one letter.
type materialsLeaf struct {
	letter
	Opens     bool // it is the first of them
	Materials []materialPart
}

// A materialPart is what is said of one material.
type materialPart struct {
	*site.IngredientView
	ID     string
	UsedIn []usedIn
}

// A usedIn is a recipe that takes a material.
type usedIn struct {
	entry
	Rates []site.UsedView // a version each
}

func (b *Binder) materialsOf(l letter, opens bool) (any, error) {
	leaf := &materialsLeaf{letter: l, Opens: opens}
	for _, i := range l.Materials {
		v, err := b.build.ViewIngredient(i)
		if err != nil {
			return nil, err
		}
		p := materialPart{IngredientView: v, ID: b.ids[&i.Page], UsedIn: b.usedIn(i)}
		if v.Body, err = b.gathered(v.Body, p.ID); err != nil {
			return nil, err
		}
		leaf.Materials = append(leaf.Materials, p)
	}
	return leaf, nil
}

func (b *Binder) usedIn(i *handbook.Ingredient) []usedIn {
	var all []usedIn
	for _, u := range b.usesOf(i) {
		id := b.ids[&u.Recipe.Page]
		if n := len(all); n == 0 || all[n-1].ID != id {
			all = append(all, usedIn{entry: b.entry(id, u.Recipe.Title, "")})
		}
		rate := site.UsedView{Percent: u.Percent}
		if u.Number > 0 {
			rate.Version = u.Name
		}
		last := &all[len(all)-1]
		last.Rates = append(last.Rates, rate)
	}
	return all
}

// A batchLeaf is a batch record.
type batchLeaf struct {
	*site.RecordView
	ID    string
	Opens bool // it is the first of them
}

func (b *Binder) record(r *handbook.Record, opens bool) (any, error) {
	v, err := b.build.ViewRecord(r)
	if err != nil {
		return nil, err
	}
	leaf := &batchLeaf{RecordView: v, ID: b.ids[&r.Page], Opens: opens}
	v.Recipe.Href = b.leads(v.Recipe.Href, leaf.ID)
	v.Body, err = b.gathered(v.Body, leaf.ID)
	return leaf, err
}

// A noteLeaf is a note.
type noteLeaf struct {
	*site.NoteView
	ID    string
	Opens bool // it is the first of them
}

func (b *Binder) note(n *handbook.Note, opens bool) (any, error) {
	v, err := b.build.ViewNote(n)
	if err != nil {
		return nil, err
	}
	leaf := &noteLeaf{NoteView: v, ID: b.ids[&n.Page], Opens: opens}
	v.Body, err = b.gathered(v.Body, leaf.ID)
	return leaf, err
}

// An indexLine is a material with the pages that speak of it: its own first.
type indexLine struct {
	Name  string
	See   string // the material that this is another name of; then there are no pages
	Own   template.HTML
	Pages template.HTML
}

// index lists the materials, with their other names, and where each is used.
func (b *Binder) index() (any, error) {
	var all []indexLine
	known := make(map[string]bool)
	for _, i := range b.materials {
		known[material.Key(i.Title)] = true
	}
	for _, i := range b.materials {
		all = append(all, indexLine{Name: i.Title, Own: markedAll([]string{b.ids[&i.Page]}), Pages: markedAll(b.places(i))})
		for _, other := range i.Material.Also {
			if !known[material.Key(other)] && site.Initial(other) != site.Initial(i.Title) {
				known[material.Key(other)] = true
				all = append(all, indexLine{Name: other, See: i.Title})
			}
		}
	}
	slices.SortStableFunc(all, func(x, y indexLine) int { return cmp.Compare(material.Key(x.Name), material.Key(y.Name)) })
	return all, nil
}

// places lists the ids of the versions that take a material, in the order of the pages. Of a part of a pot only what is added to it stands there.
func (b *Binder) places(i *handbook.Ingredient) []string {
	var ids []string
	inPot := make(map[*handbook.Recipe]bool)
	for _, u := range b.usesOf(i) { // of each recipe the base comes first
		inPot[u.Recipe] = inPot[u.Recipe] || u.Kind == formula.Base
		if u.Kind == formula.SplitKind && inPot[u.Recipe] {
			continue
		}
		ids = append(ids, b.versionID(u.Recipe, u.Number))
	}
	return ids
}

func markedAll(ids []string) template.HTML {
	if len(ids) == 0 {
		return ""
	}
	return template.HTML("<!--pages " + strings.Join(ids, " ") + "-->")
}
