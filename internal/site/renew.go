package site

import (
	"maps"
	"slices"

	"larkrow.example/stillroom/internal/handbook"
)

// Most saves change one recipe's text and nothing that an edition is chosen by: which pages there are, who may read them, which materials and
// pictures they bring along. Then the choice stands, and only the recipe is put in the other's place; in a handbook of ten thousand recipes choosing
// anew would cost more than all else that a save costs.

// Renew is [NewProof] of a later form of the book, in the edition and theme of this build.
func (s *Build) Renew(b *Book) *Build {
	if !s.stands(b) {
		return NewProof(b, s.edition, s.theme)
	}
	n := &Build{
		Book: b, edition: s.edition, theme: s.theme, words: s.words, assets: s.assets, held: s.held, secret: s.secret,
		recipes: slices.Clone(s.recipes), recipesBySlug: maps.Clone(s.recipesBySlug), ingredients: s.ingredients, byID: s.byID, materials: s.materials,
		notes: s.notes, teasers: s.teasers, feeds: s.feeds, listed: s.listed, noted: s.noted, pictures: s.pictures,
	}
	at := 0 // in the edition's recipes, which are in the order of the book's
	for i, old := range s.Book.Recipes {
		if at == len(n.recipes) || n.recipes[at] != old {
			continue
		}
		if r := b.Recipes[i]; r != old {
			n.recipes[at], n.recipesBySlug[r.Slug] = r, r
		}
		at++
	}
	n.addRecords()
	return n
}

// stands says whether a later form of the book has the same pages for this edition, which bring the same materials and pictures along.
func (s *Build) stands(b *Book) bool {
	if !s.SameFiles(b.Handbook) || s.heldBack != nil || len(s.teasers) > 0 || !s.sameRules(b) ||
		!slices.Equal(s.Book.Ingredients, b.Ingredients) || !slices.Equal(s.Book.Notes, b.Notes) {
		return false
	}
	for i, old := range s.Book.Recipes {
		if r := b.Recipes[i]; r != old && !s.alike(b, old, r) {
			return false
		}
	}
	return true
}

// sameRules says whether a later form of the book has the same settings as far as an edition is chosen by them.
func (s *Build) sameRules(b *Book) bool {
	return s.Address == b.Address && s.Door == b.Door && s.Book.Access == b.Access && s.Language == b.Language
}

// alike says whether two forms of a recipe are for the same readers and bring the same materials and pictures along.
func (s *Build) alike(b *Book, old, r *handbook.Recipe) bool {
	picture := func(a, b *handbook.Picture) bool { return a.File == b.File }
	return old.Slug == r.Slug && old.Access == r.Access && (old.Updated == nil) == (r.Updated == nil) &&
		slices.Equal(s.materialsOf(old), b.materialsOf(r)) && slices.EqualFunc(s.bodies[&old.Page].pictures, b.bodies[&r.Page].pictures, picture)
}
