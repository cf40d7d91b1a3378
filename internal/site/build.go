package site

import (
	"bytes"
	"cmp"
	"fmt"
	"html/template"
	"path"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/parallel"
)

// A Build writes one edition of a book.
type Build struct {
	*Book
	edition Edition
	theme   *Theme
	assets  map[string]string // an asset's name → its path from the top of the output
	held    map[*handbook.Recipe]bool

	recipes     []*handbook.Recipe
	ingredients []*handbook.Ingredient
	byID        map[string]*handbook.Ingredient // by material
	materials   map[string]string               // a material's id → its page's path
	notes       []*handbook.Note
	pictures    map[string]string // a picture's file → its path from the top of the output
}

// NewBuild chooses what belongs to an edition: pages for its readers, recipes that are not held back, and the pictures that these show.
func NewBuild(b *Book, edition Edition, theme *Theme) *Build {
	s := &Build{Book: b, edition: edition, theme: theme, assets: map[string]string{}, held: map[*handbook.Recipe]bool{}, materials: map[string]string{}, pictures: map[string]string{}}
	for name, a := range theme.Assets() {
		s.assets[name] = a.Path
	}
	for _, h := range b.HeldBack(edition) {
		s.held[h.Recipe] = true
	}
	for _, r := range b.Recipes {
		if edition.shows(r.Access) && !s.held[r] {
			s.recipes = append(s.recipes, r)
			s.showPictures(&r.Page)
		}
	}
	for _, i := range b.Ingredients {
		if edition.shows(i.Access) {
			s.ingredients = append(s.ingredients, i)
			s.materials[i.Slug] = ingredientPath(i)
			s.showPictures(&i.Page)
		}
	}
	s.addCommon()
	for _, n := range b.Notes {
		if edition.shows(n.Access) {
			s.notes = append(s.notes, n)
			s.showPictures(&n.Page)
		}
	}
	return s
}

// addCommon adds a page for each material of the catalogue that the edition's recipes take and that has no page of the maker's own.
func (s *Build) addCommon() {
	have := make(map[string]bool)
	for _, i := range s.Ingredients {
		have[i.Slug] = true
	}
	for _, r := range s.recipes {
		for _, w := range s.worked[r] {
			for _, m := range w.Materials {
				if m == nil || have[m.ID] {
					continue
				}
				have[m.ID] = true
				page := handbook.Page{Slug: m.ID, Title: m.Name, Summary: m.Summary, Access: handbook.Open, Kind: handbook.IngredientPage}
				s.ingredients = append(s.ingredients, &handbook.Ingredient{Page: page, Material: m})
			}
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
	if p.Picture != nil {
		s.pictures[p.Picture.File] = picturePath(p.Picture.File)
	}
	for _, ref := range s.bodies[p].Pictures {
		if picture := s.FindPicture(p.File, unescapePath(ref.Name)); picture != nil {
			s.pictures[picture.File] = picturePath(picture.File)
		}
	}
	for _, ref := range s.bodies[p].Links {
		target, _ := cutFragment(ref.Name)
		if picture := s.FindPicture(p.File, target); picture != nil && target != "" {
			s.pictures[picture.File] = picturePath(picture.File)
		}
	}
}

// picturePath is where a picture is put: under pictures/, keeping the folders that tell it from others.
func picturePath(file string) string {
	if strings.HasPrefix(file, "pictures/") {
		return file
	}
	return path.Join("pictures", file)
}

// An output is one file to be written and what makes its bytes.
type output struct {
	path string
	make func() ([]byte, error)
}

// bytes makes the file. A bug that panics spoils this file alone, and is told with its name.
func (o output) bytes() (data []byte, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("internal error: %v", r)
		}
	}()
	return o.make()
}

// Write writes the edition into a tree. open reads a picture's bytes from the handbook; step is called once for each file done.
func (s *Build) Write(tree *Tree, open func(file string) ([]byte, error), step func()) (Tally, error) {
	outputs := s.outputs(open)
	paths := make([]string, len(outputs))
	for i, o := range outputs {
		paths[i] = o.path
	}
	if err := tree.Claim(paths); err != nil {
		return Tally{}, err
	}
	errs := make([]error, len(outputs))
	parallel.Do(len(outputs), func(i int) {
		data, err := outputs[i].bytes()
		if err == nil {
			err = tree.Write(outputs[i].path, data)
		}
		if err != nil {
			errs[i] = fmt.Errorf("%s: %w", outputs[i].path, err)
		}
		step()
	})
	for _, err := range errs {
		if err != nil {
			return Tally{}, err
		}
	}
	return tree.Finish()
}

// Files gives how many files the edition has.
func (s *Build) Files() int { return len(s.outputs(nil)) }

// page adds a page that the theme draws.
func (s *Build) page(file, kind string, view func() (any, error)) output {
	return output{file, func() ([]byte, error) {
		v, err := view()
		if err != nil {
			return nil, err
		}
		var buf bytes.Buffer
		if err := s.theme.Render(&buf, kind, v); err != nil {
			return nil, err
		}
		return buf.Bytes(), nil
	}}
}

// outputs lists every file of the edition.
func (s *Build) outputs(open func(string) ([]byte, error)) []output {
	all := []output{s.page("index.html", "home", s.home), s.page("404.html", "missing", s.missing)}
	for _, shelf := range s.shelves() {
		all = append(all, s.page(shelfPath(shelf.name), "shelf", func() (any, error) { return s.shelf(shelf) }))
	}
	for _, r := range s.recipes {
		all = append(all,
			s.page(recipePath(r), "recipe", func() (any, error) { return s.recipe(r) }),
			output{recipeFolder(r) + "formula.json", func() ([]byte, error) { return formulaJSON(r, s.worked[r], s.showsMaterial, s.tellsLabel) }},
			output{recipeFolder(r) + "weights.csv", func() ([]byte, error) { return weightsCSV(s.worked[r]) }})
	}
	if len(s.ingredients) > 0 {
		all = append(all, s.page(ingredientsPath, "ingredients", s.ingredientList))
	}
	for _, i := range s.ingredients {
		all = append(all, s.page(ingredientPath(i), "ingredient", func() (any, error) { return s.ingredient(i) }))
	}
	if len(s.notes) > 0 {
		all = append(all, s.page(notesPath, "notes", s.noteList))
	}
	for _, n := range s.notes {
		all = append(all, s.page(notePath(n), "note", func() (any, error) { return s.note(n) }))
	}
	for _, a := range s.theme.Assets() {
		all = append(all, output{a.Path, func() ([]byte, error) { return a.Bytes, nil }})
	}
	for file, to := range s.pictures {
		all = append(all, output{to, func() ([]byte, error) { return open(file) }})
	}
	return all
}

// body draws a page's body for the place where it will stand.
func (s *Build) body(p *handbook.Page, amounts func(name string) string) (template.HTML, error) {
	if s.bodies[p] == nil {
		return "", nil // a material of the catalogue has no text of the maker's
	}
	return s.bodies[p].HTML(&resolver{build: s, page: p, root: rootOf(s.pathOf(p)), amounts: amounts})
}
