package site

import (
	"slices"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
)

// recipeEntryFacts gives what the finder goes by of a recipe.
func (s *Build) recipeEntryFacts(r *handbook.Recipe) EntryFacts {
	f := EntryFacts{Category: r.Product.Category}
	if r.Time != nil {
		minutes := r.Time.Minutes()
		f.Time = &minutes
	}
	for _, v := range r.Versions {
		f.Versions = append(f.Versions, s.entryVersion(v))
	}
	return f
}

// entryVersion gives what a version takes. Of a material whose page is not in the edition nothing is told but the name that the formula
// tells anyway.
func (s *Build) entryVersion(v *formula.Version) EntryVersion {
	e := EntryVersion{Name: versionName(v, s.words)}
	once := func(list *[]string, word string) {
		if !slices.Contains(*list, word) {
			*list = append(*list, word)
		}
	}
	for _, item := range v.Items {
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
