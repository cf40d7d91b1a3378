package site

import (
	"maps"
	"path"
	"slices"

	"larkrow.example/stillroom/internal/handbook"
)

// A Dependent is a page of an edition that is made from some file of the handbook.
type Dependent struct {
	Path   string // from the top of the output
	Title  string
	Access handbook.Access
	How    How
}

// How says why a page depends on a file.
type How string

// The ways in which a page can depend on a file.
const (
	Itself   How = "is written in it"
	Uses     How = "uses it"
	UsedBy   How = "says what uses it"
	Lists    How = "lists it"
	LinksTo  How = "links to it"
	ShowsIt  How = "shows it"
	FollowIt How = "follows it" // as all pages do handbook.yaml
)

// DependsOn lists the pages that are made from any of some files and folders of the handbook, each once: first those that are written in them, then recipes
// and ingredients, then lists. A file of the theme is not for it: on that, everything depends.
func (s *Build) DependsOn(files ...string) []Dependent {
	if slices.Contains(files, "handbook.yaml") {
		return s.everyPage()
	}
	q := &question{build: s, files: setOf(files), ids: make(map[string]bool), told: make(map[string]bool)}
	for _, i := range s.ingredients {
		if q.files.has(i.File) {
			q.ids[i.Slug] = true
		}
	}
	q.themselves()
	q.users()
	q.records()
	q.referrers()
	q.lists()
	return q.found
}

// everyPage lists all pages of the edition.
func (s *Build) everyPage() []Dependent {
	var all []Dependent
	for _, r := range s.recipes {
		all = append(all, s.dependent(&r.Page, FollowIt))
	}
	for _, i := range s.ingredients {
		all = append(all, s.dependent(&i.Page, FollowIt))
	}
	for _, n := range s.notes {
		all = append(all, s.dependent(&n.Page, FollowIt))
	}
	for _, r := range s.records {
		all = append(all, s.dependent(&r.Page, FollowIt))
	}
	for _, l := range s.directories() {
		l.How = FollowIt
		all = append(all, l)
	}
	return all
}

func (s *Build) dependent(p *handbook.Page, how How) Dependent {
	return Dependent{Path: s.pathOf(p), Title: p.Title, Access: p.Access, How: how}
}

// directories lists the pages that lead to others.
func (s *Build) directories() []Dependent {
	all := []Dependent{{Path: homePath, Title: s.Title, Access: handbook.Open}, {Path: "404.html", Title: "Page not found", Access: handbook.Open}}
	for _, shelf := range s.shelves() {
		all = append(all, Dependent{Path: shelfPath(shelf.name), Title: shelf.name, Access: handbook.Open})
	}
	if len(s.listed) > 0 {
		all = append(all, Dependent{Path: ingredientsPath, Title: "Ingredients", Access: handbook.Open})
	}
	if len(s.noted) > 0 {
		all = append(all, Dependent{Path: notesPath, Title: "Notes", Access: handbook.Open})
	}
	if s.hasFinder() {
		all = append(all, Dependent{Path: findPath, Title: "Find", Access: handbook.Open})
	}
	return append(all, s.recordDirectories()...)
}

// A question gathers what depends on some files.
type question struct {
	build *Build
	files fileSet
	ids   map[string]bool // materials whose pages are among the files
	told  map[string]bool
	found []Dependent

	onHome, onIngredients, onNotes bool            // lists that one of the pages stands in
	onShelves                      map[string]bool // by name
	onRecords                      bool            // whether a batch record is among the files
}

func (q *question) add(d Dependent) {
	if !q.told[d.Path] {
		q.told[d.Path] = true
		q.found = append(q.found, d)
	}
}

// themselves adds the pages that are written in the files, and notes the lists that they or their pictures stand in.
func (q *question) themselves() {
	q.onShelves = make(map[string]bool)
	for _, r := range q.recipesNamed() {
		if q.self(&r.Page) {
			q.onShelves[r.Shelf], q.onHome = true, true
		}
	}
	for _, i := range q.build.ingredients {
		if q.self(&i.Page) {
			q.onIngredients = true
		}
	}
	for _, n := range q.build.notes {
		if q.self(&n.Page) {
			q.onNotes, q.onHome = true, true
		}
	}
	q.onRecords = q.writtenRecords()
	for _, t := range q.build.teasers {
		if q.self(t.page) {
			q.onHome, q.onNotes, q.onIngredients = true, true, true
			q.onShelves[t.shelf] = true
		}
	}
}

// recipesNamed gives the recipes that may be written in the files or show one as their picture: where only pages are named, those.
func (q *question) recipesNamed() []*handbook.Recipe {
	if q.files.folders || slices.ContainsFunc(slices.Collect(maps.Keys(q.files.names)), func(file string) bool { return q.build.PageOf(file) == nil }) {
		return q.build.recipes
	}
	var named []*handbook.Recipe
	for _, file := range slices.Sorted(maps.Keys(q.files.names)) {
		p := q.build.PageOf(file)
		if r := q.build.RecipeAt(p.Slug); r != nil && &r.Page == p {
			named = append(named, r)
		}
	}
	return named
}

// self adds a page if it is written in one of the files. It says whether lists depend on them for this page.
func (q *question) self(p *handbook.Page) bool {
	written := q.files.has(p.File)
	if written {
		q.add(q.build.dependent(p, Itself))
	}
	return written || p.Picture != nil && q.files.has(p.Picture.File)
}

// users adds the recipes that take one of the materials, and the pages of the materials that one of the recipes takes.
func (q *question) users() {
	recipes := q.build.recipes
	if len(q.ids) == 0 {
		recipes = q.recipesNamed()
	}
	for _, r := range recipes {
		itself := q.files.has(r.File)
		for _, m := range q.build.materialsOf(r) {
			if q.ids[m.ID] {
				q.add(q.build.dependent(&r.Page, Uses))
			}
			if i := q.build.byID[m.ID]; itself && i != nil {
				q.add(q.build.dependent(&i.Page, UsedBy))
			}
		}
	}
}

// referrers adds the pages that link to one of the pages or show one of the pictures.
func (q *question) referrers() {
	for _, p := range q.build.shownPages() {
		y := q.build.bodies[p]
		if y == nil {
			continue
		}
		if slices.ContainsFunc(y.pages, q.files.has) {
			q.add(q.build.dependent(p, LinksTo))
		}
		if slices.ContainsFunc(y.pictures, func(picture *handbook.Picture) bool { return q.files.has(picture.File) }) {
			q.add(q.build.dependent(p, ShowsIt))
		}
	}
}

// lists adds the directories that one of the pages stands in.
func (q *question) lists() {
	for _, l := range q.build.directories() {
		in := q.onHome
		switch l.Path {
		case homePath:
		case "404.html":
			in = false
		case ingredientsPath:
			in = q.onIngredients
		case notesPath:
			in = q.onNotes
		case findPath:
			in = len(q.onShelves) > 0 || q.onIngredients
		case recordsPath, stockPath:
			in = false // told by records
		default:
			in = q.onShelves[l.Title]
		}
		if in {
			l.How = Lists
			q.add(l)
		}
	}
}

// A fileSet is files and folders by their names.
type fileSet struct {
	names   map[string]bool
	folders bool // whether any of the names may be a folder's
}

func setOf(files []string) fileSet {
	set := fileSet{names: make(map[string]bool, len(files))}
	for _, file := range files {
		set.names[file] = true
		set.folders = set.folders || path.Ext(file) != ".md"
	}
	return set
}

// has says whether a file is in the set, itself or through a folder above it. What has no file is not.
func (f fileSet) has(file string) bool {
	if (f.names[file] || f.names["."]) && file != "" {
		return true
	}
	for at := path.Dir(file); f.folders && at != "." && file != ""; at = path.Dir(at) {
		if f.names[at] {
			return true
		}
	}
	return false
}

// shownPages lists the edition's pages that have a body.
func (s *Build) shownPages() []*handbook.Page {
	return joinPages(s.recipes, s.ingredients, s.notes, s.records)
}
