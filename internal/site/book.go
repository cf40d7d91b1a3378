package site

import (
	"net/url"
	"path"
	"strings"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/markdown"
	"larkrow.example/stillroom/internal/parallel"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// A Book is a handbook made ready for building: bodies read, recipes worked out. It is only read afterwards.
type Book struct {
	*handbook.Handbook
	bodies map[*handbook.Page]*markdown.Document
	worked map[*handbook.Recipe][]handbook.Worked
	used   map[string][]use // by material id
}

// A use is a version of a recipe that takes a material, with its percent in all lines together.
type use struct {
	recipe  *handbook.Recipe
	version *formula.Version
	percent string
}

// Prepare reads all bodies and works out all recipes. What is wrong with a body is added to the problems.
func Prepare(h *handbook.Handbook, problems *problem.List) *Book {
	b := &Book{
		Handbook: h, bodies: make(map[*handbook.Page]*markdown.Document),
		worked: make(map[*handbook.Recipe][]handbook.Worked), used: make(map[string][]use),
	}
	converter := markdown.New()
	pages := b.pages()
	documents := make([]*markdown.Document, len(pages))
	found := make([]problem.List, len(pages))
	parallel.Do(len(pages), func(i int) {
		documents[i] = converter.Parse(pages[i].Body)
		b.proof(pages[i], documents[i], &found[i])
	})
	works := make([][]handbook.Worked, len(h.Recipes))
	parallel.Do(len(h.Recipes), func(i int) { works[i] = h.Work(h.Recipes[i]) })
	for i, p := range pages {
		b.bodies[p] = documents[i]
		problems.Join(&found[i])
	}
	for i, r := range h.Recipes {
		b.worked[r] = works[i]
		b.amounts(r, problems)
		b.use(r)
	}
	return b
}

// pages lists every page that has a body.
func (b *Book) pages() []*handbook.Page {
	var all []*handbook.Page
	for _, r := range b.Recipes {
		all = append(all, &r.Page)
	}
	for _, i := range b.Ingredients {
		all = append(all, &i.Page)
	}
	for _, n := range b.Notes {
		all = append(all, &n.Page)
	}
	return all
}

// Worked gives a recipe's versions with their batches and findings.
func (b *Book) Worked(r *handbook.Recipe) []handbook.Worked { return b.worked[r] }

// proof tells what is wrong with a body: its own faults, links and pictures that lead nowhere.
func (b *Book) proof(p *handbook.Page, d *markdown.Document, problems *problem.List) {
	for _, i := range d.Issues {
		problems.Addf(p.Span(i.Start, i.End), i.Hint, "%s", i.Message)
	}
	for _, l := range d.Links {
		if hint, ok := b.leads(p, l.Name); !ok {
			problems.Addf(p.Span(l.Start, l.End), hint, "the link to “%s” leads nowhere", l.Name)
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

// leads says whether a link within the handbook leads to a page or picture, and if not what to do.
func (b *Book) leads(p *handbook.Page, destination string) (hint string, ok bool) {
	target, _ := cutFragment(destination)
	if target == "" {
		return "", true // to a heading of this page
	}
	if b.PageOf(path.Join(path.Dir(p.File), target)) != nil || b.FindPicture(p.File, target) != nil {
		return "", true
	}
	return b.meant(p, target), false
}

// meant says which page a broken link may have meant: one of the same name elsewhere, or of a name that is near.
func (b *Book) meant(p *handbook.Page, target string) string {
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

// amounts tells of :amount[…] that names what no version of the recipe has.
func (b *Book) amounts(r *handbook.Recipe, problems *problem.List) {
	if len(r.Versions) == 0 {
		return // the formula's own problem is told already
	}
	for _, a := range b.bodies[&r.Page].Amounts {
		found, twice := false, ""
		for _, v := range r.Versions {
			items := v.FindInMethod(a.Name)
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
}

// use notes which materials a recipe takes: in its base, and in the versions where the percent differs from that.
func (b *Book) use(r *handbook.Recipe) {
	var base map[string]quantity.Number
	for i, v := range r.Versions {
		percents := materialPercents(v)
		if i == 0 {
			base = percents
		}
		for id, percent := range percents {
			if other, has := base[id]; i == 0 || !has || other.Cmp(percent) != 0 {
				b.used[id] = append(b.used[id], use{r, v, percent.Text(2)})
			}
		}
	}
}
