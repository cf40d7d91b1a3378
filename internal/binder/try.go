package binder

import (
	"io"

	"larkrow.example/stillroom/internal/site"
)

// tryOut renders every template from a view with nothing in it and from one with every field filled, so that a mistake in a theme is told before
// anything is printed.
func (l *look) tryOut() []error {
	var errs []error
	seen := make(map[string]bool)
	for _, kind := range []string{"title", "contents", "recipe", "batch", "materials", "note", "index", "bench", "document"} {
		full := emptyLeaf(kind)
		site.Sample(full)
		if l, ok := full.(*materialsLeaf); ok { // of a list the last is empty
			l.Materials[len(l.Materials)-1].IngredientView = &site.IngredientView{}
		}
		for _, view := range []any{emptyLeaf(kind), full} {
			if err := l.render(io.Discard, kind, view); err != nil && !seen[err.Error()] {
				seen[err.Error()] = true
				errs = append(errs, site.PrintError(err))
			}
		}
	}
	return errs
}

// emptyLeaf gives a pointer to the view of a kind of unit, with nothing in it.
func emptyLeaf(kind string) any {
	switch kind {
	case "title":
		return &titleLeaf{}
	case "contents":
		return &[]chapter{}
	case "recipe":
		return &recipeLeaf{RecipeView: &site.RecipeView{}}
	case "batch":
		return &batchLeaf{RecordView: &site.RecordView{}}
	case "materials":
		return &materialsLeaf{}
	case "note":
		return &noteLeaf{NoteView: &site.NoteView{}}
	case "index":
		return &[]indexLine{}
	case "bench":
		return &benchLeaf{RecipeView: &site.RecipeView{}, Table: &site.FormulaView{}}
	}
	return &sheaf{}
}
