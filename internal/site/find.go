package site

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
)

// Page makes one file of the edition by its path from the top of the output. open reads a picture's bytes from the handbook.
// It says false where the edition has no such file.
func (s *Build) Page(file string, open func(file string) ([]byte, error)) (data []byte, found bool, err error) {
	for _, o := range s.near(file, open) {
		if o.path == file {
			data, err := o.bytes()
			return data, true, err
		}
	}
	return nil, false, nil
}

// near lists some files of the edition, with the one that is wanted among them if it is there at all.
func (s *Build) near(file string, open func(string) ([]byte, error)) []output {
	if i := slices.IndexFunc(s.teasers, func(t teaser) bool { return s.pathOf(t.page) == file }); i >= 0 {
		return []output{s.teaserOutput(s.teasers[i])}
	}
	folder, rest, _ := strings.Cut(file, "/")
	slug, _, _ := strings.Cut(rest, "/")
	switch folder {
	case "recipes":
		if r := s.RecipeAt(slug); r != nil {
			return s.recipeOutputs(r)
		}
		return nil
	case "ingredients":
		if i := s.byID[slug]; i != nil {
			return []output{s.ingredientOutput(i)}
		}
	case "notes":
		if n := s.noteAt(slug); n != nil {
			return []output{s.noteOutput(n)}
		}
	case "batches":
		if r := s.recordsBySlug[slug]; r != nil {
			return []output{s.recordOutput(r)}
		}
	case "assets":
		return s.assetOutputs()
	case "pictures":
		return s.pictureOutputs(open)
	}
	if isForPrograms(file) {
		return s.forPrograms()
	}
	return s.lists()
}

// Paths lists every file of the edition by its path from the top of the output.
func (s *Build) Paths() []string {
	var all []string
	for _, o := range s.outputs(nil) {
		all = append(all, o.path)
	}
	return all
}

// RecipeAt gives the edition's recipe of an address, or nil.
func (s *Build) RecipeAt(slug string) *handbook.Recipe { return s.recipesBySlug[slug] }

// noteAt gives the edition's note of an address, or nil.
func (s *Build) noteAt(slug string) *handbook.Note {
	if i := slices.IndexFunc(s.notes, func(n *handbook.Note) bool { return n.Slug == slug }); i >= 0 {
		return s.notes[i]
	}
	return nil
}

// Recipe gives the recipe whose page, figures or weights are at a path of the output, or nil.
func (s *Build) Recipe(file string) *handbook.Recipe {
	if rest, is := strings.CutPrefix(file, "recipes/"); is {
		slug, _, _ := strings.Cut(rest, "/")
		return s.RecipeAt(slug)
	}
	return nil
}

// Recipes gives the edition's recipes, by file.
func (s *Build) Recipes() []*handbook.Recipe { return s.recipes }

// Source gives the file of the handbook that a page of the output is written in, or "" where there is none: a list, or a material
// of the catalogue.
func (s *Build) Source(file string) string {
	folder, rest, _ := strings.Cut(file, "/")
	slug, _, _ := strings.Cut(rest, "/")
	switch folder {
	case "recipes":
		if r := s.RecipeAt(slug); r != nil {
			return r.File
		}
	case "ingredients":
		if i := s.byID[slug]; i != nil {
			return i.File
		}
	case "notes":
		if n := s.noteAt(slug); n != nil {
			return n.File
		}
	case "batches":
		if r := s.recordsBySlug[slug]; r != nil {
			return r.File
		}
	}
	return ""
}

// PicturesIn lists where the pictures that the edition shows are in the output: those that are among some files and folders of the handbook.
func (s *Build) PicturesIn(files ...string) []string {
	named := setOf(files)
	var all []string
	for file, to := range s.pictures {
		if named.has(file) {
			all = append(all, to)
		}
	}
	slices.Sort(all)
	return all
}
