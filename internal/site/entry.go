package site

import (
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
)

// The files that list an edition's pages for programs.
const (
	feedPath     = "feed.xml"
	sitemapPath  = "sitemap.xml"
	manifestPath = "manifest.webmanifest"
	robotsPath   = "robots.txt"
)

// shelfEntry is the kind of an entry for a shelf; those for pages are the pages' kinds.
const shelfEntry = "shelf"

// An Entry stands for a page in the lists that programs read: the search list, the feed and the sitemap.
type Entry struct {
	Path    string // from the top of the output
	Title   string
	Summary string
	Kind    string     // recipe, ingredient, note or shelf
	Tag     string     // a recipe's product, an ingredient's roles
	Shelf   string     // of a recipe
	Words   []string   // what else finds the page: names of ingredients; of an ingredient its other names
	Updated *time.Time // nil where not known
	Members bool       // the page is for members
	Teaser  bool       // the edition has no more of the page than title, summary, tag and shelf: its Words and Facts are told to no one
	Facts   EntryFacts
}

// EntryFacts are what the finder goes by beside the words.
type EntryFacts struct {
	Category string         // of a recipe: leave-on, rinse-off, not on skin
	Minutes  string         // of a recipe: working time, a decimal; "" where not known
	Versions []EntryVersion // of a recipe
	Material string         // of an ingredient: its id
	Origin   string         // of an ingredient, "" where not known
	Sources  []string       // of an ingredient: food-allergen sources; nil where not known, empty where it is made from none
}

// An EntryVersion is what one version of a recipe takes, each once: materials that the edition has pages of by their ids, others by the
// names that the formula gives them.
type EntryVersion struct {
	Name          string
	Takes, Others []string
}

// entries lists the edition's pages: recipes, ingredients and notes by file, then the shelves in the handbook's order.
func (s *Build) entries() []Entry {
	var all []Entry
	for e := range s.eachEntry {
		all = append(all, *e)
	}
	return all
}

// eachEntry gives what [Build.entries] lists, one at a time: together the words of ten thousand recipes take much room.
func (s *Build) eachEntry(yield func(*Entry) bool) {
	for _, r := range s.recipes {
		if e := s.recipeEntry(r); !yield(&e) {
			return
		}
	}
	for _, i := range s.ingredients {
		e := s.pageEntry(&i.Page)
		e.Tag, e.Words, e.Facts = roleWords(s.words, i.Material.Roles), ingredientWords(i), ingredientEntryFacts(i)
		if !yield(&e) {
			return
		}
	}
	for _, n := range s.notes {
		if e := s.pageEntry(&n.Page); !yield(&e) {
			return
		}
	}
	for _, p := range s.shelves() {
		if !yield(&Entry{Path: shelfPath(p.name), Title: p.name, Summary: p.about, Kind: shelfEntry}) {
			return
		}
	}
}

// everyEntry gives the edition's pages, and its teasers.
func (s *Build) everyEntry(yield func(*Entry) bool) {
	for e := range s.eachEntry {
		if !yield(e) {
			return
		}
	}
	for _, t := range s.teasers {
		e := s.pageEntry(t.page)
		e.Shelf, e.Teaser = t.shelf, true
		if !yield(&e) {
			return
		}
	}
}

// briefEntries lists the edition's pages and teasers as [Build.everyEntry] does, without what finds them.
func (s *Build) briefEntries() []Entry {
	s.briefOnce.Do(func() {
		for _, p := range joinPages(s.recipes, s.ingredients, s.notes, nil) {
			s.brief = append(s.brief, s.pageEntry(p))
		}
		for _, p := range s.shelves() {
			s.brief = append(s.brief, Entry{Path: shelfPath(p.name), Title: p.name, Summary: p.about, Kind: shelfEntry})
		}
		for _, t := range s.teasers {
			e := s.pageEntry(t.page)
			e.Teaser = true
			s.brief = append(s.brief, e)
		}
	})
	return s.brief
}

// pageEntry gives what the entry of every page has.
func (s *Build) pageEntry(p *handbook.Page) Entry {
	return Entry{
		Path: s.pathOf(p), Title: p.Title, Summary: p.Summary, Kind: string(p.Kind),
		Updated: p.Updated, Members: p.Access == handbook.Members,
	}
}

func (s *Build) recipeEntry(r *handbook.Recipe) Entry {
	e := s.pageEntry(&r.Page)
	e.Tag, e.Shelf, e.Words, e.Facts = named(s.words, "product", r.Product.Name), r.Shelf, s.recipeWords(r), s.recipeEntryFacts(r)
	return e
}

// recipeWords gives the ingredients of all versions: as the formula names them, and as their pages do where the edition has those.
func (s *Build) recipeWords(r *handbook.Recipe) []string {
	words := newWordList(r.Title)
	for _, item := range s.gistOf(r).Items {
		words.add(item.Name)
		if i := s.byID[item.Material]; i != nil {
			words.add(i.Title)
		}
	}
	return words.all
}

// ingredientWords gives an ingredient's other names and the INCI names of what it is made of.
func ingredientWords(i *handbook.Ingredient) []string {
	words := newWordList(i.Title)
	for _, name := range i.Material.Also {
		words.add(name)
	}
	for _, c := range i.Material.Composition {
		words.add(c.INCI)
		words.add(c.USName())
	}
	return words.all
}

// A wordList gathers names, each once, in the order in which they come.
type wordList struct {
	all  []string
	seen map[string]bool // by the name and by its material.Key
}

// newWordList begins a list that leaves out the page's own title, by which it is found anyway.
func newWordList(title string) *wordList {
	return &wordList{seen: map[string]bool{"": true, material.Key(title): true}}
}

func (l *wordList) add(name string) {
	if l.seen[name] {
		return
	}
	key := material.Key(name)
	if !l.seen[key] {
		l.all = append(l.all, name)
	}
	l.seen[name], l.seen[key] = true, true
}

// absolute gives a file's full address. The home page's is the handbook's own.
func absolute(address, file string) string {
	if file == homePath {
		return address
	}
	return address + urlPath(file)
}
