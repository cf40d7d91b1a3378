package site

import (
	"maps"
	"net/url"
	"path"
	"strings"
	"sync"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/markdown"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/parallel"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/spell"
)

// A Book is a handbook made ready for building: bodies read, recipes worked out when they are first asked for. It is only read afterwards.
type Book struct {
	*handbook.Handbook
	bodies    map[*handbook.Page]*body
	benches   map[*handbook.Recipe]*bench
	converter *markdown.Converter

	hands    sync.Map // *hand by *handbook.Recipe, both as put away and whole
	found    sync.Map // *material.Material by a name in a formula
	usedOnce sync.Once
	used     map[string][]use // by material id
}

// A body is a page's text, read.
type body struct {
	document *markdown.Document  // nil of a recipe that was put away
	problems problem.List        // what is wrong with the page as written
	unknown  problem.List        // amounts that it asks for and the formula does not have
	pages    []string            // files of the pages that it links to
	pictures []*handbook.Picture // that the page shows or links to
}

// Prepare reads all bodies. What is wrong with one is added to the problems.
func Prepare(h *handbook.Handbook, problems *problem.List) *Book {
	return (&Book{}).Renew(h, problems)
}

// Renew makes a book of a later reading of the handbook, and takes over from this one what was worked out of pages that are still the same.
func (b *Book) Renew(h *handbook.Handbook, problems *problem.List) *Book {
	n := &Book{Handbook: h, converter: markdown.New()}
	n.bench(b)
	pages := n.pages()
	var todo []int
	if b.Handbook != nil && b.SameFiles(h) {
		n.bodies = maps.Clone(b.bodies)
		for i, p := range b.pages() {
			if pages[i] != p || b.Written(p) != p || h.Written(p) != p {
				delete(n.bodies, p)
				todo = append(todo, i)
			}
		}
	} else {
		n.bodies = make(map[*handbook.Page]*body, len(pages))
		for i := range pages {
			todo = append(todo, i)
		}
	}
	bodies := make([]*body, len(todo))
	parallel.Do(len(todo), func(i int) {
		at := todo[i]
		if at < len(h.Recipes) && h.Recipes[at].Header() != nil { // recipes come first
			bodies[i] = n.skimmed(h.Recipes[at])
			return
		}
		if bodies[i] = b.bodyOf(n, pages[at]); bodies[i] == nil {
			bodies[i] = n.read(pages[at])
		}
		if at < len(h.Recipes) && h.Written(pages[at]) == pages[at] { // else the page's own problem is told already
			bodies[i].unknown = unknownAmounts(h.Recipes[at], bodies[i].document, h.Materials)
		}
	})
	for i, y := range bodies {
		n.bodies[pages[todo[i]]] = y
	}
	for _, y := range n.bodies {
		problems.Join(&y.problems)
		problems.Join(&y.unknown)
	}
	return n
}

// bodyOf gives the body of a page that another book has read anew for what its formula says, if the text is still the same; nil if not.
func (b *Book) bodyOf(n *Book, p *handbook.Page) *body {
	if b.Handbook == nil || !b.SameFiles(n.Handbook) || n.Written(p) != p {
		return nil
	}
	old := b.PageOf(p.File)
	if old == nil || old.Source != p.Source || b.Written(old) != old || !samePicture(old.Picture, p.Picture) {
		return nil
	}
	y := *b.bodies[old]
	y.unknown = problem.List{}
	return &y
}

func samePicture(a, b *handbook.PictureUse) bool {
	return a == b || a != nil && b != nil && a.Picture == b.Picture
}

// bench makes room for what will be worked out of each recipe, and takes over what an earlier book has of those that are the same ones.
func (b *Book) bench(before *Book) {
	if before.Handbook != nil && before.SameFiles(b.Handbook) {
		b.benches = maps.Clone(before.benches)
		for i, r := range before.Recipes {
			if b.Recipes[i] != r {
				delete(b.benches, r)
				b.benches[b.Recipes[i]] = &bench{}
			}
		}
		return
	}
	b.benches = make(map[*handbook.Recipe]*bench, len(b.Recipes))
	for _, r := range b.Recipes {
		if b.benches[r] = before.benches[r]; b.benches[r] == nil {
			b.benches[r] = &bench{}
		}
	}
}

// read reads a page's body. Of a page that is shown in its last good form, what is told is wrong with the text as it is written now.
func (b *Book) read(p *handbook.Page) *body {
	y := &body{document: b.converter.Parse(p.Body)}
	written, d := b.Written(p), y.document
	if written != p {
		d = b.converter.Parse(written.Body)
	}
	b.proof(written, d, &y.problems)
	y.refer(b.Handbook, p, names(y.document.Links), names(y.document.Pictures))
	return y
}

// refer notes which pages and pictures a page leads to, by the links and pictures in its body.
func (y *body) refer(h *handbook.Handbook, p *handbook.Page, links, pictures []string) {
	if p.Picture != nil {
		y.pictures = append(y.pictures, p.Picture.Picture)
	}
	for _, name := range pictures {
		if picture := h.FindPicture(p.File, unescapePath(name)); picture != nil {
			y.pictures = append(y.pictures, picture)
		}
	}
	for _, name := range links {
		target, _ := cutFragment(name)
		if target == "" {
			continue
		}
		if to := h.PageOf(path.Join(path.Dir(p.File), target)); to != nil {
			y.pages = append(y.pages, to.File)
		} else if picture := h.FindPicture(p.File, target); picture != nil {
			y.pictures = append(y.pictures, picture)
		}
	}
}

// names gives what references name.
func names(references []markdown.Reference) []string {
	all := make([]string, len(references))
	for i, r := range references {
		all[i] = r.Name
	}
	return all
}

// pages lists every page that has a body.
func (b *Book) pages() []*handbook.Page {
	return joinPages(b.Recipes, b.Ingredients, b.Notes, b.Records)
}

// joinPages lists the pages of recipes, ingredients, notes and records, in that order.
func joinPages(recipes []*handbook.Recipe, ingredients []*handbook.Ingredient, notes []*handbook.Note, records []*handbook.Record) []*handbook.Page {
	all := make([]*handbook.Page, 0, len(recipes)+len(ingredients)+len(notes)+len(records))
	for _, r := range recipes {
		all = append(all, &r.Page)
	}
	for _, i := range ingredients {
		all = append(all, &i.Page)
	}
	for _, n := range notes {
		all = append(all, &n.Page)
	}
	for _, r := range records {
		all = append(all, &r.Page)
	}
	return all
}

// proof tells what is wrong with a body: its own faults, links and pictures that lead nowhere.
func (b *Book) proof(p *handbook.Page, d *markdown.Document, problems *problem.List) {
	for _, i := range d.Issues {
		problems.Addf(p.Span(i.Start, i.End), i.Hint, "%s", i.Message)
	}
	for _, l := range d.Links {
		if !b.leads(p, l.Name) {
			problems.Addf(p.Span(l.Start, l.End), b.meant(p, l.Name), "the link to “%s” leads nowhere", l.Name)
		}
	}
	for _, l := range d.Pictures {
		if b.FindPicture(p.File, unescapePath(l.Name)) == nil {
			hint := spell.DidYouMean(path.Base(unescapePath(l.Name)), b.PictureNames(), "put the picture beside the page or into pictures/")
			problems.Addf(p.Span(l.Start, l.End), hint, "there is no picture “%s”", l.Name)
		}
	}
	if p.Kind != handbook.RecipePage {
		for _, a := range d.Amounts {
			problems.Addf(p.Span(a.Start, a.End), "write the weight out; only a recipe has batches", "only a recipe can show the amount of “%s”", a.Name)
		}
	}
}

// leads says whether a link within the handbook leads to a page or picture.
func (b *Book) leads(p *handbook.Page, destination string) bool {
	target, _ := cutFragment(destination)
	if target == "" {
		return true // to a heading of this page
	}
	return b.PageOf(path.Join(path.Dir(p.File), target)) != nil || b.FindPicture(p.File, target) != nil
}

// meant says which page a broken link may have meant: one of the same name elsewhere, or of a name that is near.
func (b *Book) meant(p *handbook.Page, destination string) string {
	target, _ := cutFragment(destination)
	files := make(map[string]string)
	var names []string
	for _, other := range b.pages() {
		name := path.Base(other.File)
		files[name] = other.File
		names = append(names, name)
	}
	if near := spell.Nearest(path.Base(target), names); near != "" {
		return "did you mean “" + relative(p.File, files[near]) + "”?"
	}
	return "make that page, or take the link out; a link names a page's file, such as ../ingredients/beeswax.md"
}

// relative writes a file's path as a page in another file links to it.
func relative(from, to string) string {
	up := strings.Count(from, "/")
	if path.Dir(from) == path.Dir(to) {
		return path.Base(to)
	}
	return strings.Repeat("../", up) + to
}

// cutFragment parts a link into the path that it leads to and the heading there; a # in a file's name is written %23.
func cutFragment(destination string) (target, fragment string) {
	target, fragment, _ = strings.Cut(destination, "#")
	return unescapePath(target), fragment
}

// unescapePath undoes percent signs in a link: a file with a space is written with %20.
func unescapePath(s string) string {
	if u, err := url.PathUnescape(s); err == nil && utf8.ValidString(u) {
		return u
	}
	return s
}

// unknownAmounts tells of :amount[…] that names what no version of the recipe has.
func unknownAmounts(r *handbook.Recipe, d *markdown.Document, known *material.Index) (problems problem.List) {
	if len(r.Versions) == 0 {
		return problems // the page's own problem is told already
	}
	for _, a := range d.Amounts {
		found, twice := false, ""
		for _, v := range r.Versions {
			items := inMethod(v, a.Name, known)
			found = found || len(items) > 0 || v.FindPhase(a.Name) != nil
			if len(items) > 1 {
				twice = a.Name + " in " + v.Phases[v.Items[items[0]].Phase].Name
			}
		}
		at := r.Span(a.Start, a.End)
		switch {
		case !found:
			problems.Addf(at, spell.DidYouMean(a.Name, r.Versions[0].Names(), "name an ingredient or a phase of this recipe"), "“%s” is not in the formula", a.Name)
		case twice != "":
			problems.Addf(at, "say which, as in :amount["+twice+"]", "“%s” stands in more than one phase", a.Name)
		}
	}
	return problems
}
