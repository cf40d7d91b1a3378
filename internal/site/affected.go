package site

import (
	"slices"

	"larkrow.example/stillroom/internal/handbook"
)

// Affected lists the pages of two builds of an edition, one before and one after a change to some files, that the change may have altered, made
// or taken away; all pages where the files are the whole folder, “.”. It is what depends on the files in either build, and what was read anew
// for a reason that no file tells, such as a name that now means another material.
func Affected(before, after *Build, files ...string) []Dependent {
	told := make(map[string]bool)
	var all []Dependent
	add := func(some ...Dependent) {
		for _, d := range some {
			if !told[d.Path] {
				told[d.Path] = true
				all = append(all, d)
			}
		}
	}
	if slices.Contains(files, ".") || !before.Alike(after) {
		add(after.everyPage()...)
		add(before.everyPage()...)
		return all
	}
	files = append(rewritten(before, after), files...)
	add(after.DependsOn(files...)...)
	add(before.DependsOn(files...)...)
	for _, r := range Changed(before, after) {
		add(after.dependent(&r.Page, Uses))
		add(after.usedOtherwise(before, before.RecipeAt(r.Slug), r)...)
	}
	add(after.recordsOtherwise(before)...)
	add(before.recordsOtherwise(after)...)
	if came := append(after.ingredientsWithout(before), before.ingredientsWithout(after)...); len(came) > 0 || len(before.listed) != len(after.listed) { // two pages may be of one address
		add(came...)
		add(Dependent{Path: homePath, Title: after.Title, Access: handbook.Open, How: Lists}, Dependent{Path: ingredientsPath, Title: "Ingredients", Access: handbook.Open, How: Lists})
		if after.hasFinder() || before.hasFinder() {
			add(Dependent{Path: findPath, Title: "Find", Access: handbook.Open, How: Lists})
		}
	}
	return all
}

// ingredientsWithout lists the ingredients' pages that another build does not have, or has under another title: those of the catalogue's
// materials come and go with the recipes that take them.
func (s *Build) ingredientsWithout(other *Build) []Dependent {
	var all []Dependent
	for _, i := range s.ingredients {
		if there := other.byID[i.Slug]; there == nil || there.Title != i.Title {
			all = append(all, s.dependent(&i.Page, UsedBy))
		}
	}
	return all
}

// rewritten lists the files of pages of which another text is shown than before. One that was put back to its last good form comes forward
// when something else is mended.
func rewritten(before, after *Build) []string {
	var files []string
	for _, p := range after.pages() {
		if old := before.PageOf(p.File); old != nil && old != p && old.Source.Text != p.Source.Text {
			files = append(files, p.File)
		}
	}
	return files
}

// Changed lists the recipes of a build that were read anew since an earlier one.
func Changed(before, after *Build) []*handbook.Recipe {
	var all []*handbook.Recipe
	for i, r := range after.recipes {
		if i < len(before.recipes) && before.recipes[i] == r {
			continue
		}
		if before.RecipeAt(r.Slug) != r {
			all = append(all, r)
		}
	}
	return all
}

// Alike says whether two builds have the same around every page: the theme, and what handbook.yaml says.
func (s *Build) Alike(other *Build) bool {
	return s.theme == other.theme && s.Door == other.Door && s.Title == other.Title && s.Maker == other.Maker && s.About == other.About && s.Address == other.Address &&
		s.Currency == other.Currency && (s.Labour == nil) == (other.Labour == nil) && (s.Labour == nil || s.Labour.Cmp(*other.Labour) == 0) &&
		slices.Equal(s.Responsible, other.Responsible) && slices.Equal(s.menu("", ""), other.menu("", "")) && slices.Equal(s.Shelves, other.Shelves)
}

// usedOtherwise lists the pages of materials that one form of a recipe takes otherwise than another; old may be nil.
func (s *Build) usedOtherwise(before *Build, old, r *handbook.Recipe) []Dependent {
	var had map[string][]use
	if old != nil {
		had = before.usesOf(old)
	}
	var all []Dependent
	for id, uses := range s.usesOf(r) {
		if i := s.byID[id]; i != nil && !slices.EqualFunc(uses, had[id], sameUse) {
			all = append(all, s.dependent(&i.Page, UsedBy))
		}
	}
	for id := range had {
		if i := s.byID[id]; i != nil && s.usesOf(r)[id] == nil {
			all = append(all, s.dependent(&i.Page, UsedBy))
		}
	}
	return all
}

// sameUse says whether two uses read alike.
func sameUse(a, b use) bool {
	return a.recipe.Title == b.recipe.Title && a.version.Name == b.version.Name && a.version.Kind == b.version.Kind && a.percent == b.percent
}
