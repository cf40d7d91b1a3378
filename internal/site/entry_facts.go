package site

import (
	"slices"

	"larkrow.example/stillroom/internal/handbook"
)

// recipeEntryFacts gives what the finder goes by of a recipe.
func (s *Build) recipeEntryFacts(r *handbook.Recipe) EntryFacts {
	g := s.gistOf(r)
	f := EntryFacts{Category: r.Product.Category, Minutes: g.Minutes}
	for i := range g.Versions {
		f.Versions = append(f.Versions, s.entryVersion(g, &g.Versions[i]))
	}
	return f
}

// entryVersion gives what a version takes. Of a material whose page is not in the edition nothing is told but the name that the formula
// tells anyway.
func (s *Build) entryVersion(g *gist, v *gistVersion) EntryVersion {
	e := EntryVersion{Name: namedVersion(v.Kind, v.Name, s.words)}
	once := func(list *[]string, word string) {
		if !slices.Contains(*list, word) {
			*list = append(*list, word)
		}
	}
	for _, at := range v.Takes {
		item := g.Items[at]
		if s.byID[item.Material] != nil {
			once(&e.Takes, item.Material)
		} else {
			once(&e.Others, item.Name)
		}
	}
	return e
}

// ingredientEntryFacts gives what the finder goes by of an ingredient.
func ingredientEntryFacts(i *handbook.Ingredient) EntryFacts {
	f := EntryFacts{Material: i.Slug, Origin: i.Material.SureOrigin()}
	switch m := i.Material; {
	case len(m.FoodSources) > 0:
		f.Sources = m.FoodSources
	case m.NoFoodSource.Known:
		f.Sources = []string{}
	}
	return f
}
