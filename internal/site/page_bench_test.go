package site

import (
	"io"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/synthetic"
)

// longBuild gives an edition of an invented handbook whose recipes are worked out, so that what is left to do is to make its pages.
func longBuild(b *testing.B, recipes int, edition Edition) *Build {
	b.Helper()
	files := fstest.MapFS{}
	for name, data := range synthetic.Files(synthetic.Size{Recipes: recipes, Seed: 1}) {
		files[name] = &fstest.MapFile{Data: data}
	}
	h, problems := handbook.Load(files)
	book := Prepare(h, problems)
	book.WorkAll(edition)
	return NewBuild(book, edition, defaultTheme(b))
}

// BenchmarkListPages makes the pages that lead to others, of 300 recipes: what is on them, and their HTML.
func BenchmarkListPages(b *testing.B) {
	s := longBuild(b, 300, OpenEdition)
	most := s.ingredients[0]
	for _, i := range s.ingredients {
		if uses := s.usesAll(); len(uses[i.Material.ID]) > len(uses[most.Material.ID]) {
			most = i
		}
	}
	for _, page := range []struct {
		kind string
		view func() (any, error)
	}{
		{"home", s.home},
		{"shelf", func() (any, error) { return s.shelf(s.shelves()[0]) }},
		{"ingredients", s.ingredientList},
		{"ingredient", func() (any, error) { return s.ingredient(most) }},
	} {
		b.Run(page.kind, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				v, err := page.view()
				require.NoError(b, err)
				require.NoError(b, s.theme.Render(io.Discard, page.kind, v))
			}
		})
	}
}

// BenchmarkRecipePage makes recipes' pages: what is on them, then their HTML.
func BenchmarkRecipePage(b *testing.B) {
	for _, edition := range []Edition{OpenEdition, MakerEdition} {
		b.Run(string(edition), func(b *testing.B) {
			s := longBuild(b, 50, edition)
			pages := map[string]func(r *handbook.Recipe) (any, error){"view": s.recipe}
			views := make(map[*handbook.Recipe]any)
			for _, r := range s.recipes {
				v, err := s.recipe(r)
				require.NoError(b, err)
				views[r] = v
			}
			pages["render"] = func(r *handbook.Recipe) (any, error) { return nil, s.theme.Render(io.Discard, "recipe", views[r]) }
			for _, part := range []string{"view", "render"} {
				b.Run(part, func(b *testing.B) {
					b.ReportAllocs()
					for i := 0; b.Loop(); i++ {
						_, err := pages[part](s.recipes[i%len(s.recipes)])
						require.NoError(b, err)
					}
				})
			}
		})
	}
}
