package handbook

import (
	"io/fs"
	"maps"
	"path"
	"reflect"
	"slices"
	"strings"
	"sync"

	"golang.org/x/text/unicode/norm"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// A page is read anew when its own text differs or when something that it asked of the rest of the handbook would now be answered
// otherwise: a material's name, a picture, what handbook.yaml says to all pages. What it asked is noted while it is read, so that there is no second
// list of what depends on what. A page that is not read anew keeps its place in memory; whoever works something out of a page can
// keep the result for as long as the page is the same one.

// A Reader reads a handbook again and again, and reads anew only what a change touches. It is for one goroutine at a time; the
// handbooks that it gives are only read.
type Reader struct {
	// KeepGood gives a page that has problems in the form that it had when it last had none; the problems are told all the same.
	KeepGood bool

	fsys        fs.FS
	light       *Light // nil where recipes stay whole
	listing     *listing
	settings    settingsLeaf
	pictures    map[string]*Picture
	ingredients sheaf[Ingredient]
	recipes     sheaf[Recipe]
	notes       sheaf[Note]
	records     sheaf[Record]
	last        *Handbook
	reverted    map[string]bool
}

// NewReader gives a reader of the handbook in a folder.
func NewReader(fsys fs.FS) *Reader { return &Reader{fsys: fsys} }

// Load reads the handbook in a folder once. It gives what could be read even where there are problems, so that everything is checked in one
// run; a page with problems has what it could be read to. Files and folders whose names begin with a point or an underscore are passed over.
func Load(fsys fs.FS) (*Handbook, *problem.List) { return NewReader(fsys).Read(Everything) }

// A Stale says which files and folders may differ from when they were last read.
type Stale struct {
	everything bool
	names      map[string]bool
}

// Everything is stale when nothing is known of what changed.
var Everything = Stale{everything: true}

// Files gives the stale files and folders by their slash-separated paths within the handbook.
func Files(names ...string) Stale {
	s := Stale{names: make(map[string]bool, len(names))}
	for _, name := range names {
		s.names[name] = true
	}
	return s
}

// has says whether a file may differ, itself or through a folder above it.
func (s Stale) has(file string) bool {
	if s.everything || len(s.names) == 0 {
		return s.everything
	}
	for at := file; ; {
		if s.names[at] {
			return true
		}
		i := strings.LastIndexByte(at, '/')
		if i < 0 {
			return false
		}
		at = at[:i]
	}
}

// Read gives the handbook as it is now, with all its problems.
func (r *Reader) Read(stale Stale) (*Handbook, *problem.List) {
	if r.listing == nil {
		stale = Everything
	}
	r.reverted = nil
	if r.moved(stale) {
		r.list()
	}
	return r.assemble(stale)
}

// Revert gives the handbook of the last reading once more, with the pages of some files in the form that they had when they were
// last settled; a page that never was is left as it is.
func (r *Reader) Revert(files ...string) *Handbook {
	r.reverted = make(map[string]bool, len(files))
	for _, file := range files {
		r.reverted[file] = true
	}
	h, _ := r.assemble(Stale{})
	return h
}

// Settle takes the texts of the last reading as good, other than those that have problems or were reverted.
func (r *Reader) Settle() {
	r.ingredients.settle(r)
	r.recipes.settle(r)
	r.notes.settle(r)
	r.records.settle(r)
}

// A settingsLeaf is what was last read of handbook.yaml, and its last text without a problem.
type settingsLeaf struct {
	source, good *problem.Source
	readable     bool
	problems     problem.List // with the file itself
}

// A listing is which files there are, and what is wrong with their names.
type listing struct {
	files    []string
	pages    map[string][]string // by top folder
	problems problem.List
	told     map[string]bool // files of whose names something was told
	settings bool            // whether handbook.yaml is there: what is told of other names hangs on it
	clashes  []clash         // pages of one address
	known    bool            // whether the clashes are
}

// moved says whether files may have come or gone.
func (r *Reader) moved(stale Stale) bool {
	if stale.everything {
		return true
	}
	for name := range stale.names {
		_, known := slices.BinarySearch(r.listing.files, name)
		known = known || name == settingsFile && r.listing.settings || r.listing.told[name]
		info, err := fs.Lstat(r.fsys, name)
		if known != (err == nil) || known && info.Mode().Type()&^fs.ModeSymlink != 0 || !known && slices.ContainsFunc(r.listing.files, under(name)) {
			return true
		}
	}
	return false
}

// under gives what says whether a file lies in a folder.
func under(folder string) func(file string) bool {
	return func(file string) bool { return strings.HasPrefix(file, folder+"/") }
}

func (r *Reader) list() {
	l := &loader{fsys: r.fsys, problems: &problem.List{}, told: make(map[string]bool)}
	files := l.files()
	l.passedOver(files)
	l.sameButCase(files)
	r.listing = &listing{files: files, pages: make(map[string][]string), problems: *l.problems, told: l.told}
	_, err := fs.Stat(r.fsys, settingsFile)
	r.listing.settings = err == nil
	for _, file := range files {
		if folder, _, _ := strings.Cut(file, "/"); strings.EqualFold(path.Ext(file), ".md") {
			r.listing.pages[folder] = append(r.listing.pages[folder], file)
		}
	}
}

// assemble reads what is stale and puts the handbook together.
func (r *Reader) assemble(stale Stale) (*Handbook, *problem.List) {
	h := r.empty()
	problems := &problem.List{}
	r.readSettings(h, stale, problems)
	problems.Join(&r.listing.problems)
	r.readPictures(h, stale, problems)
	all := r.last != nil && sameRules(h, r.last)
	pictures := r.last != nil && reflect.ValueOf(h.Pictures).Pointer() == reflect.ValueOf(r.last.Pictures).Pointer()
	r.readIngredients(h, stale, all, pictures, problems)
	r.readRecipes(h, stale, all, pictures, problems)
	h.Notes = readAll(r, h, &r.notes, "notes", NotePage, stale, problems, onPictures[Note](h, all, pictures), h.note)
	r.readRecords(h, stale, all, pictures, problems)
	r.file(h)
	h.addresses(problems)
	h.ownShelves()
	r.last = h
	return h, problems
}

// readSettings reads handbook.yaml.
func (r *Reader) readSettings(h *Handbook, stale Stale, problems *problem.List) {
	l := &r.settings
	if l.source == nil || stale.has(settingsFile) {
		l.problems = problem.List{}
		l.source, l.readable = readSource(r.fsys, settingsFile, &l.problems)
	}
	found := &problem.List{}
	found.Join(&l.problems)
	if l.readable {
		h.settings(l.source, found)
	}
	h.settingsText = l.source.Text
	problems.Join(found)
	switch {
	case found.Len() == 0:
		l.good = l.source
	case r.KeepGood && l.good != nil:
		*h = *r.empty()
		h.settings(l.good, &problem.List{})
	}
}

// empty gives a handbook in which nothing is read yet.
func (r *Reader) empty() *Handbook {
	return &Handbook{Access: Maker, Tolerance: quantity.Int(1), listing: r.listing, doubtful: make(map[string]bool), written: make(map[*Page]*Page)}
}

// sameRules says whether two handbooks say the same to all pages.
func sameRules(a, b *Handbook) bool {
	sizes := func(h *Handbook) []string {
		var all []string
		for _, batch := range h.Batches {
			all = append(all, batch.Written)
		}
		return all
	}
	names := func(h *Handbook) []string {
		var all []string
		for _, shelf := range h.Shelves {
			all = append(all, shelf.Name)
		}
		return all
	}
	return a.Access == b.Access && a.Currency == b.Currency && a.settingsRead == b.settingsRead && a.listsShelves == b.listsShelves &&
		(!a.listsShelves || slices.Equal(names(a), names(b))) && slices.Equal(sizes(a), sizes(b)) && reflect.DeepEqual(a.Scale, b.Scale) && a.Tolerance.Cmp(b.Tolerance) == 0
}

func (r *Reader) readPictures(h *Handbook, stale Stale, problems *problem.List) {
	changed := r.last == nil || r.listing != r.last.listing
	all := make(map[string]*Picture)
	for _, file := range r.listing.files {
		if !isPicture(file) {
			continue
		}
		key := norm.NFC.String(file)
		old := r.pictures[key]
		if old != nil && !old.unread && !stale.has(file) {
			all[key] = old
			continue
		}
		p, err := measurePicture(r.fsys, file)
		if err != nil {
			unreadable(file, err, problems)
		}
		if old != nil && *old == *p {
			p = old
		}
		changed = changed || p != old
		all[key] = p
	}
	if changed {
		r.pictures = all
	}
	h.Pictures = r.pictures
}

// readIngredients reads the ingredients' pages and indexes their names; the index is the last one if no ingredient's page is another.
func (r *Reader) readIngredients(h *Handbook, stale Stale, rules, pictures bool, problems *problem.List) {
	h.Ingredients = readAll(r, h, &r.ingredients, "ingredients", IngredientPage, stale, problems, onPictures[Ingredient](h, rules, pictures), h.ingredient)
	claim(h.Ingredients, problems)
	for _, page := range h.Ingredients {
		h.doubt(page)
	}
	if r.last != nil && slices.Equal(h.Ingredients, r.last.Ingredients) {
		h.Materials = r.last.Materials
		return
	}
	materials := make([]*material.Material, len(h.Ingredients))
	for i, page := range h.Ingredients {
		materials[i] = page.Material
	}
	h.Materials = material.NewIndex(materials).Over(material.Common())
}

// readRecipes reads the recipes' pages. They depend on what the names in them mean.
func (r *Reader) readRecipes(h *Handbook, stale Stale, rules, pictures bool, problems *problem.List) {
	rules = rules && h.doubtful[""] == r.last.doubtful[""]
	stands := onPictures[Recipe](h, rules, pictures)
	if rules && h.Materials != r.last.Materials {
		before, means, names := stands, h.meansAsIn(r.last), h.Materials.SameNames(r.last.Materials)
		stands = func(l *leaf[Recipe]) bool {
			return (before == nil || before(l)) && (names || !l.asked.everyName) && !slices.ContainsFunc(l.asked.materials, func(name string) bool { return !means(name) })
		}
	}
	if r.light != nil {
		r.readLight(h, problems)
		return
	}
	h.Recipes = readAll(r, h, &r.recipes, "recipes", RecipePage, stale, problems, stands, h.recipe)
}

// meansAsIn gives what says whether a name means the same materials in this handbook as in another, and remembers its answers.
func (h *Handbook) meansAsIn(other *Handbook) func(name string) bool {
	var mu sync.Mutex // pages are read on all cores
	known := make(map[string]bool)
	return func(name string) bool {
		mu.Lock()
		defer mu.Unlock()
		same, ok := known[name]
		if !ok {
			same = slices.Equal(h.Materials.Candidates(name), other.Materials.Candidates(name))
			known[name] = same
		}
		return same
	}
}

// onPictures gives what says whether a page stands that depends on the handbook's rules and on the picture that it names; nil where all do.
func onPictures[T any, P paged[T]](h *Handbook, rules, pictures bool) func(*leaf[T]) bool {
	switch {
	case !rules:
		return func(*leaf[T]) bool { return false }
	case pictures:
		return nil
	}
	return func(l *leaf[T]) bool {
		p := P(l.page).self()
		return l.asked.picture == "" || p.Picture != nil && h.FindPicture(p.File, l.asked.picture) == p.Picture.Picture
	}
}

// file keeps every page under its file's name.
func (r *Reader) file(h *Handbook) {
	last := r.last
	if last != nil && last.listing == h.listing {
		h.pages = maps.Clone(last.pages)
	} else {
		h.pages, last = make(map[string]*Page, len(h.Recipes)+len(h.Ingredients)+len(h.Notes)+len(h.Records)), &Handbook{}
	}
	keep(h, h.Recipes, last.Recipes)
	keep(h, h.Ingredients, last.Ingredients)
	keep(h, h.Notes, last.Notes)
	keep(h, h.Records, last.Records)
}

// keep files the pages that are not those of before, which are as many or none.
func keep[T any, P paged[T]](h *Handbook, pages, before []*T) {
	for i, x := range pages {
		if before == nil || before[i] != x {
			h.pages[norm.NFC.String(P(x).self().File)] = P(x).self()
		}
	}
}

// readRecords reads the batch records. They depend on their recipes, as these are shown, and on what the names in them mean.
func (r *Reader) readRecords(h *Handbook, stale Stale, rules, pictures bool, problems *problem.List) {
	if len(r.listing.pages[recordsFolder]) == 0 && len(r.records.files) == 0 {
		return
	}
	h.recipes, h.ingredients = make(map[string]*Recipe, len(h.Recipes)), make(map[string]*Ingredient, len(h.Ingredients))
	for _, recipe := range slices.Backward(h.Recipes) { // the first of an address stays
		h.recipes[recipe.Slug] = recipe
	}
	for _, i := range h.Ingredients {
		h.ingredients[i.Material.ID] = i
	}
	rules = rules && r.last.recipes != nil && h.doubtful[""] == r.last.doubtful[""]
	stands := onPictures[Record](h, rules, pictures)
	if rules && !(slices.Equal(h.Recipes, r.last.Recipes) && h.Materials == r.last.Materials) {
		last, means, names := r.last, h.meansAsIn(r.last), h.Materials.SameNames(r.last.Materials)
		addresses := slices.EqualFunc(h.Recipes, last.Recipes, func(a, b *Recipe) bool { return a.Slug == b.Slug && a.Title == b.Title })
		stands = func(l *leaf[Record]) bool {
			return (names || !l.asked.everyName) && (addresses || !l.asked.everyRecipe) &&
				!slices.ContainsFunc(l.asked.recipes, func(slug string) bool { return h.recipes[slug] != last.recipes[slug] }) &&
				!slices.ContainsFunc(l.asked.materials, func(name string) bool { return !means(name) })
		}
	}
	h.Records = readAll(r, h, &r.records, recordsFolder, RecordPage, stale, problems, stands, h.record)
	h.claimCodes(problems)
}
