package material

import "slices"

// NoSource is written in the place of food-allergen sources where a material is known to be made from none of them: of the kinds that
// Regulation (EU) No 1169/2011, Annex II, lists (from memory), and of shea nut, coconut, cocoa and apricot kernel. A material that names
// some source, or says nothing, may hold others. Traces, and what a supplier adds to keep an oil, are never spoken of.
const NoSource = "none"

// maybeAnimal is the code of the caution that a material is sold from plants and from animals. A page that gives its origin answers it.
const maybeAnimal = "maybe-animal"

// SureOrigin gives a material's origin as far as it tells whether it is of animals: "animal" where it contains what animals alone give, whatever
// the rest of it is, and "" where it is sold from plants and from animals, or nothing is known.
func (m *Material) SureOrigin() string {
	switch {
	case slices.ContainsFunc(m.FoodSources, ofAnimals):
		return "animal"
	case slices.Contains(m.CautionCodes, maybeAnimal) && m.Origin != "animal":
		return ""
	}
	return m.Origin
}

// ofAnimals says whether a food-allergen source is of animals.
func ofAnimals(source string) bool {
	return slices.Contains([]string{"milk", "egg", "eggs", "fish", "crustaceans", "molluscs"}, Key(source))
}
