// Package synthetic makes large invented handbooks for benchmarks and endurance tests.
package synthetic

import (
	"errors"
	"iter"
	"os"
	"path/filepath"
)

// A Size says how large a handbook is, in pages of each kind, and which of many it is. Recipes use ingredients and link to notes, so there
// are never fewer of these than the recipes need: about 1 ingredient for 25 recipes and 1 note for 250, besides the first few.
type Size struct {
	Recipes, Ingredients, Notes int
	Seed                        uint64
}

// Write writes a handbook folder, which need not be there yet. Files that are in it already stay, but for those of the same names.
func Write(dir string, size Size) error {
	if size.Recipes < 0 || size.Ingredients < 0 || size.Notes < 0 {
		return errors.New("synthetic: a handbook has no fewer than 0 pages of a kind")
	}
	made := make(map[string]bool)
	for name, data := range Files(size) {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if folder := filepath.Dir(file); !made[folder] {
			if err := os.MkdirAll(folder, 0o755); err != nil {
				return err
			}
			made[folder] = true
		}
		if err := os.WriteFile(file, data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// Files gives the files of a handbook, each by its path from the handbook's folder. A page hangs on the seed and its own number alone,
// so that a larger handbook of the same seed has all pages of a smaller one.
func Files(size Size) iter.Seq2[string, []byte] {
	return func(yield func(string, []byte) bool) {
		b := newBook(size)
		for _, kind := range []struct {
			count int
			file  func(n int) (string, []byte)
		}{
			{1, settings},
			{pictureCount, b.picture},
			{len(b.ingredients), b.ingredientPage},
			{b.notes, b.notePage},
			{size.Recipes, b.recipePage},
		} {
			for n := range kind.count {
				if !yield(kind.file(n)) {
					return
				}
			}
		}
	}
}

// A book is what pages need to know of the others.
type book struct {
	seed        uint64
	notes       int
	products    []product
	ingredients []ingredient
	byFamily    map[family][]ingredient
}

func newBook(size Size) *book {
	b := &book{seed: size.Seed, notes: max(size.Notes, noteReach(size.Recipes)), products: products(), byFamily: make(map[family][]ingredient)}
	for k := range max(size.Ingredients, ingredientReach(size.Recipes)) {
		i := b.ingredient(k)
		b.ingredients = append(b.ingredients, i)
		b.byFamily[i.family] = append(b.byFamily[i.family], i)
	}
	return b
}

// ingredientReach gives how many of the ingredients a recipe of that number may use.
func ingredientReach(recipe int) int { return len(slots) + recipe/25 }

// noteReach gives how many of the notes a recipe of that number may link to.
func noteReach(recipe int) int { return firstNotes + recipe/250 }
