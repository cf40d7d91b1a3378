package site

import (
	"cmp"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
)

func (s *Build) ingredient(i *handbook.Ingredient) (any, error) {
	m := i.Material
	v := &IngredientView{
		Frame: s.frame("ingredient", ingredientPath(i), i.Title, i.Summary, Link{Text: s.Title, Href: homePath}, Link{Text: "Ingredients", Href: ingredientsPath}),
		Name:  i.Title, Also: m.Also, Roles: strings.Split(roleWords(m.Roles), ", "), Summary: i.Summary, Access: access(&i.Page),
		Facts: MaterialFacts(m), Uses: MaterialUses(m), Cautions: m.Cautions,
	}
	if len(m.Roles) == 0 {
		v.Roles = nil
	}
	v.Picture, v.Video = s.picture(&i.Page, v.Root), video(&i.Page)
	v.UsedIn = drawUsedIn(s.usedIn(m.ID, v.Root))
	if s.edition == MakerEdition {
		v.Private = private(m)
	}
	body, err := s.body(&i.Page, nil)
	v.Body = body
	return v, err
}

// usedIn lists the edition's recipes that take a material.
func (s *Build) usedIn(id, root string) []UsedView {
	var all []UsedView
	for _, u := range s.usesAll()[id] {
		if !s.has(&u.recipe.Page) {
			continue
		}
		row := UsedView{Recipe: Link{Text: u.recipe.Title, Href: root + recipePath(u.recipe)}, Percent: u.percent + " %"}
		if u.version.Kind != formula.Base {
			row.Version = u.version.Name
		}
		all = append(all, row)
	}
	return all
}

// private gives what only the maker sees.
func private(m *material.Material) []Fact {
	facts := fact(nil, "Supplier", m.Supplier, "")
	if m.Price != nil {
		facts = fact(facts, "Price", m.Price.Written, "")
	}
	for _, l := range m.Lots {
		words := ""
		if l.Opened != "" {
			words = "opened " + l.Opened
		}
		if l.Expires != "" {
			words += ", expires " + l.Expires
		}
		if l.Holds != nil {
			words += ", held " + l.Holds.Grams().Text(6) + " g"
		}
		facts = fact(facts, "Lot "+l.Code, cmp.Or(strings.TrimPrefix(words, ", "), "no dates"), "")
	}
	return facts
}
