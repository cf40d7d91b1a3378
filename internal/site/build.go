package site

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"html/template"
	"path"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/markdown"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/parallel"
	"larkrow.example/stillroom/internal/picture"
	"larkrow.example/stillroom/internal/words"
)

// A Build writes one edition of a book.
type Build struct {
	*Book
	edition  Edition
	theme    *Theme
	words    *words.Language
	sealing  *sealing          // nil where nothing is sealed
	assets   map[string]string // an asset's name → its path from the top of the output
	held     map[string]bool   // recipes by file
	secret   map[string]bool   // materials, by id, that only pages of other editions tell of
	heldBack []Held

	recipes       []*handbook.Recipe
	recipesBySlug map[string]*handbook.Recipe
	ingredients   []*handbook.Ingredient
	byID          map[string]*handbook.Ingredient // by material
	materials     map[string]string               // a material's id → its page's path
	notes         []*handbook.Note
	records       []*handbook.Record
	recordsBySlug map[string]*handbook.Record
	recordsOf     map[string][]*handbook.Record // by the recipe's file
	recordsTaking map[string][]*handbook.Record // by material id
	batches       sync.Map                      // *record.Batch by *handbook.Record
	teasers       []teaser
	feeds         bool // whether it has a feed
	briefOnce     sync.Once
	brief         []Entry
	listed        []*handbook.Ingredient // with those of which it has but a teaser
	noted         []*handbook.Note       // likewise
	shelvesOnce   sync.Once
	shelved       []shelfPages
	pictures      map[string]string // a picture's file → its path from the top of the output
	standing      sync.Map          // *standing by commonality
	sums          sync.Map          // Sum by path: what files rest on
}

// NewBuild chooses what belongs to an edition: pages for its readers, recipes that are not held back, and the pictures that these show.
func NewBuild(b *Book, edition Edition, theme *Theme) *Build {
	held := b.HeldBack(edition)
	if edition == OpenEdition && b.Door.Kind != "" { // a recipe that members cannot have is not shown to anyone
		held = b.HeldBack(MembersEdition)
	}
	return newBuild(b, edition, theme, held)
}

// Held lists the recipes that are kept from this edition, with the findings that stop them.
func (s *Build) Held() []Held { return s.heldBack }

// NewProof is a build for the writer's eyes: nothing is held back, and the pages say what is not for use.
func NewProof(b *Book, edition Edition, theme *Theme) *Build { return newBuild(b, edition, theme, nil) }

func newBuild(b *Book, edition Edition, theme *Theme, held []Held) *Build {
	s := &Build{
		Book: b, edition: edition, theme: theme, assets: map[string]string{}, held: map[string]bool{},
		recipesBySlug: make(map[string]*handbook.Recipe, len(b.Recipes)), materials: map[string]string{}, pictures: map[string]string{},
	}
	s.words, _ = theme.languages.In(b.Language)
	for name, a := range theme.assetsIn(s.words) {
		s.assets[name] = a.Path
	}
	s.heldBack = held
	for _, h := range held {
		s.held[h.Recipe.File] = true
	}
	s.secret = s.secrets()
	for _, r := range b.Recipes {
		switch {
		case s.has(&r.Page):
			s.recipes = append(s.recipes, r)
			s.recipesBySlug[r.Slug] = r
			s.showPictures(&r.Page)
		case s.teases(&r.Page):
			s.tease(&r.Page, r.Shelf)
		}
	}
	for _, i := range b.Ingredients {
		switch {
		case s.has(&i.Page):
			s.ingredients = append(s.ingredients, i)
			s.materials[i.Slug] = ingredientPath(i)
			s.showPictures(&i.Page)
		case s.teases(&i.Page):
			s.materials[i.Slug] = ingredientPath(i)
			s.tease(&i.Page, "")
		}
	}
	s.addCommon()
	for _, n := range b.Notes {
		switch {
		case s.has(&n.Page):
			s.notes = append(s.notes, n)
			s.showPictures(&n.Page)
		case s.teases(&n.Page):
			s.tease(&n.Page, "")
		default:
			continue
		}
		s.noted = append(s.noted, n)
	}
	s.addRecords()
	s.listed = slices.Clone(s.ingredients)
	for _, i := range b.Ingredients {
		if s.teases(&i.Page) {
			s.listed = append(s.listed, i)
		}
	}
	s.feeds = s.hasFeed()
	return s
}

// tease adds a teaser of a page.
func (s *Build) tease(p *handbook.Page, shelf string) {
	s.teasers = append(s.teasers, teaser{p, shelf})
	if p.Picture != nil {
		s.pictures[p.Picture.File] = picturePath(p.Picture.File)
	}
}

// addCommon adds a page for each material of the catalogue that the edition's recipes take and that has no page of the maker's own.
func (s *Build) addCommon() {
	have := make(map[string]bool)
	for _, i := range s.Ingredients {
		have[i.Slug] = true
	}
	seen := make(map[*material.Material]bool)
	for _, r := range s.recipes {
		for _, m := range s.materialsOf(r) {
			if seen[m] {
				continue
			}
			seen[m] = true
			if have[m.ID] {
				continue
			}
			have[m.ID] = true
			page := handbook.Page{Slug: m.ID, Title: m.Name, Summary: m.Summary, Access: handbook.Open, Kind: handbook.IngredientPage}
			s.ingredients = append(s.ingredients, &handbook.Ingredient{Page: page, Material: m})
		}
	}
	slices.SortFunc(s.ingredients, func(a, b *handbook.Ingredient) int { return cmp.Compare(a.Slug, b.Slug) })
	s.byID = make(map[string]*handbook.Ingredient, len(s.ingredients))
	for _, i := range s.ingredients {
		s.byID[i.Slug] = i
	}
}

// showPictures notes which pictures a page shows.
func (s *Build) showPictures(p *handbook.Page) {
	for _, picture := range s.bodies[p].pictures {
		s.pictures[picture.File] = picturePath(picture.File)
	}
}

// picturePath is where a picture is put: under pictures/, keeping the folders that tell it from others.
func picturePath(file string) string {
	if strings.HasPrefix(file, "pictures/") {
		return file
	}
	return path.Join("pictures", file)
}

// An output is one file to be written and what makes its bytes, for which it may use the buffer.
type output struct {
	path string
	make func(*bytes.Buffer) ([]byte, error)
}

// A sheaf is outputs that are made one after the other, those of one recipe among them.
type sheaf struct {
	outputs []output
	recipe  *handbook.Recipe // that they are of, or nil
	rests   func() Sum       // gives what they rest on; nil where that is not known
	alone   bool             // whether they rest on less than the whole book
}

// bytes makes the file.
func (o output) bytes() ([]byte, error) { return o.into(new(bytes.Buffer)) }

// into makes the file; its bytes may be those of the buffer. A bug that panics spoils this file alone, and is told with its name.
func (o output) into(buf *bytes.Buffer) (data []byte, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("internal error: %v", r)
		}
	}()
	return o.make(buf)
}

// Write writes the edition into a tree. Whoever wants nothing written where a picture is damaged calls [Build.TryPictures] before. open reads a picture's bytes from the handbook; step is called once for each file done.
// Files that rest on the same as when the last run left them are not made again, if they are still as it left them; memory may be nil.
// Where ctx ends before the last file is made, that is the error, and nothing is put in place.
func (s *Build) Write(ctx context.Context, tree *Tree, memory *Memory, open func(file string) ([]byte, error), step func()) (Tally, error) {
	sheaves := s.sheaves(open)
	var paths []string
	for _, f := range sheaves {
		for _, o := range f.outputs {
			paths = append(paths, o.path)
		}
	}
	before := memory.outlet(s, tree)
	if err := tree.Claim(paths); err != nil {
		return Tally{}, err
	}
	errs := make([]error, len(sheaves))
	var failed atomic.Bool
	var kept atomic.Int64
	parallel.Do(len(sheaves), func(i int) {
		if failed.Load() || ctx.Err() != nil {
			return
		}
		if errs[i] = s.write(tree, sheaves[i], before, &kept, step); errs[i] != nil {
			failed.Store(true)
		}
	})
	for _, err := range errs {
		if err != nil {
			return Tally{}, err
		}
	}
	if err := ctx.Err(); err != nil {
		return Tally{}, err
	}
	tally, err := tree.Finish()
	tally.Kept = int(kept.Load())
	return tally, err
}

// buffers are for pages while they are drawn and written.
var buffers = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// write writes the files of a sheaf, unless they stand.
func (s *Build) write(tree *Tree, f sheaf, before *outletMemory, count *atomic.Int64, step func()) error {
	if before != nil && f.rests != nil && before.made(f) == f.rests() {
		stand := true
		for _, o := range f.outputs {
			kept, err := tree.Keep(o.path)
			if err != nil {
				return fmt.Errorf("%s: %w", o.path, err)
			}
			stand = stand && kept
		}
		if stand {
			count.Add(int64(len(f.outputs)))
			for range f.outputs {
				step()
			}
			return nil
		}
	}
	if f.recipe != nil {
		putDown, err := s.pickUp(f.recipe)
		if err != nil {
			return err
		}
		defer putDown()
	}
	buf := buffers.Get().(*bytes.Buffer)
	defer buffers.Put(buf)
	for _, o := range f.outputs {
		buf.Reset()
		data, err := o.into(buf)
		if err == nil {
			err = tree.Write(o.path, data)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", o.path, err)
		}
		step()
	}
	return nil
}

// TryPictures makes every picture once, so that those that cannot be published are told before anything is written.
func (s *Build) TryPictures(open func(string) ([]byte, error)) error {
	pictures := s.pictureOutputs(open)
	if s.sealing != nil {
		pictures = append(pictures, s.sealing.members.pictureOutputs(open)...)
	}
	slices.SortFunc(pictures, func(a, b output) int { return cmp.Compare(a.path, b.path) })
	errs := make([]error, len(pictures))
	parallel.Do(len(pictures), func(i int) {
		if _, err := pictures[i].bytes(); err != nil {
			errs[i] = fmt.Errorf("%s: %w", pictures[i].path, err)
		}
	})
	return errors.Join(distinct(slices.DeleteFunc(errs, func(err error) bool { return err == nil }))...)
}

// page adds a page that the theme draws.
func (s *Build) page(file, kind string, view func() (any, error)) output {
	return output{file, func(buf *bytes.Buffer) ([]byte, error) {
		v, err := view()
		if err != nil {
			return nil, err
		}
		if err := s.theme.Render(buf, kind, v); err != nil {
			return nil, err
		}
		return buf.Bytes(), nil
	}}
}

// outputs lists every file of the edition.
func (s *Build) outputs(open func(string) ([]byte, error)) []output {
	var all []output
	for _, f := range s.sheaves(open) {
		all = append(all, f.outputs...)
	}
	return all
}

// sheaves gives every file of the edition: the largest first, so that no core waits for one at the end.
func (s *Build) sheaves(open func(string) ([]byte, error)) []sheaf {
	var all []sheaf
	one := func(rests func() Sum, outputs ...output) {
		for _, o := range outputs {
			all = append(all, sheaf{outputs: []output{o}, rests: rests})
		}
	}
	book := s.restsOfBook
	one(book, s.forPrograms()...)
	one(book, s.lists()...)
	for _, i := range s.ingredients {
		all = append(all, sheaf{outputs: []output{s.ingredientOutput(i)}, rests: func() Sum { return s.restsOfIngredient(i) }, alone: true})
	}
	for _, r := range s.recipes {
		f := sheaf{outputs: s.recipeOutputs(r), recipe: r}
		if r.Header() != nil {
			f.rests, f.alone = func() Sum { return s.restsOf(r) }, true
		}
		all = append(all, f)
	}
	for _, n := range s.notes {
		one(book, s.noteOutput(n))
	}
	one(book, s.recordOutputs()...)
	for _, t := range s.teasers {
		one(nil, s.teaserOutput(t))
	}
	if s.sealing != nil {
		one(nil, s.sealing.outputs()...)
	}
	one(nil, s.assetOutputs()...)
	one(nil, s.pictureOutputs(open)...)
	return all
}

func (s *Build) assetOutputs() []output {
	var all []output
	for _, a := range s.theme.assetsIn(s.words) {
		all = append(all, output{a.Path, func(*bytes.Buffer) ([]byte, error) { return a.Bytes, nil }})
	}
	return all
}

func (s *Build) pictureOutputs(open func(string) ([]byte, error)) []output {
	var all []output
	for file, to := range s.pictures {
		all = append(all, output{to, func(*bytes.Buffer) ([]byte, error) { return s.pictureBytes(file, open) }})
	}
	return all
}

// pictureBytes gives a picture as it is published: without what its file says beside the picture. The maker's own edition has photographs as they
// are, but no drawing: opened by itself, that would run what it holds.
func (s *Build) pictureBytes(file string, open func(string) ([]byte, error)) ([]byte, error) {
	data, err := open(file)
	if err != nil || s.edition == MakerEdition && !strings.EqualFold(path.Ext(file), ".svg") {
		return data, err
	}
	return picture.Clean(file, data)
}

// lists gives the pages that lead to others.
func (s *Build) lists() []output {
	all := []output{s.page("index.html", "home", s.home), s.page("404.html", "missing", s.missing)}
	for _, shelf := range s.shelves() {
		all = append(all, s.page(shelfPath(shelf.name), "shelf", func() (any, error) { return s.shelf(shelf) }))
	}
	if len(s.listed) > 0 {
		all = append(all, s.page(ingredientsPath, "ingredients", s.ingredientList))
	}
	if len(s.noted) > 0 {
		all = append(all, s.page(notesPath, "notes", s.noteList))
	}
	if s.hasFinder() {
		all = append(all, s.page(findPath, "find", s.findPage))
	}
	return append(all, s.recordLists()...)
}

// recipeOutputs gives the files of a recipe. They are made while it is in hand.
func (s *Build) recipeOutputs(r *handbook.Recipe) []output {
	file := func(make func(*handbook.Recipe) []byte) func(*bytes.Buffer) ([]byte, error) {
		return func(*bytes.Buffer) ([]byte, error) {
			whole, err := s.inHand(r)
			if err != nil {
				return nil, err
			}
			return make(whole), nil
		}
	}
	return []output{
		s.page(recipePath(r), "recipe", func() (any, error) {
			whole, err := s.inHand(r)
			if err != nil {
				return nil, err
			}
			return s.recipe(whole)
		}),
		{recipeFolder(r) + "formula.json", file(s.formulaFile)},
		{recipeFolder(r) + "weights.csv", file(func(r *handbook.Recipe) []byte { return weightsCSV(s.Worked(r)) })},
	}
}

func (s *Build) ingredientOutput(i *handbook.Ingredient) output {
	return s.page(ingredientPath(i), "ingredient", func() (any, error) { return s.ingredient(i) })
}

func (s *Build) noteOutput(n *handbook.Note) output {
	return s.page(notePath(n), "note", func() (any, error) { return s.note(n) })
}

// body draws a page's body for the place where it will stand.
func (s *Build) body(p *handbook.Page, amounts func(name string) string) (template.HTML, error) {
	if p.Body == "" {
		return "", nil
	}
	var document *markdown.Document
	if y := s.bodies[p]; y != nil {
		document = y.document
	} else {
		document = s.converter.Parse(p.Body) // of a recipe that was put away
	}
	return document.HTML(&resolver{build: s, page: p, root: rootOf(s.pathOf(p)), amounts: amounts})
}
