package site

import (
	"cmp"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/words"
)

func (s *Build) ingredient(i *handbook.Ingredient) (any, error) {
	m := i.Material
	v := &IngredientView{
		Frame: s.frame("ingredient", ingredientPath(i), i.Title, i.Summary, Link{Text: s.Title, Href: homePath}, Link{Text: s.words.Say("menu.ingredients"), Href: ingredientsPath}),
		Name:  i.Title, Also: m.Also, Roles: strings.Split(roleWords(s.words, m.Roles), ", "), Summary: i.Summary, Access: access(&i.Page),
		Facts: materialFacts(m, s.words), Uses: materialUses(m, s.words), Cautions: m.Cautions,
	}
	if len(m.Roles) == 0 {
		v.Roles = nil
	}
	v.Picture, v.Video = s.picture(&i.Page, v.Root), video(&i.Page)
	s.tell(&v.Frame, &i.Page).about = i.Title
	v.UsedIn = drawUsedIn(s.usedIn(m.ID, v.Root))
	if s.edition == MakerEdition {
		v.Private, v.Taken = private(m, s.words), s.batchesTaking(m.ID, v.Root)
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
		row := UsedView{Recipe: Link{Text: u.recipe.Title, Href: root + recipePath(u.recipe)}, Percent: percent(s.words, u.percent)}
		if u.version.Kind != formula.Base {
			row.Version = u.version.Name
		}
		all = append(all, row)
	}
	return all
}

// private gives what only the maker sees.
func private(m *material.Material, l *words.Language) []Fact {
	facts := fact(nil, l.Say("ingredient.supplier"), m.Supplier, "")
	if m.Price != nil {
		facts = fact(facts, l.Say("ingredient.price"), m.Price.Written, "")
	}
	for _, lot := range m.Lots {
		var known []string
		if lot.Opened != "" {
			known = append(known, l.Say("ingredient.opened", "day", lot.Opened))
		}
		if lot.Expires != "" {
			known = append(known, l.Say("ingredient.expires", "day", lot.Expires))
		}
		if lot.Holds != nil {
			known = append(known, l.Say("ingredient.held", "weight", l.Number(lot.Holds.Grams().Text(6))+" g"))
		}
		facts = fact(facts, l.Say("ingredient.lot", "code", lot.Code), cmp.Or(l.Commas(known), l.Say("ingredient.undated")), "")
	}
	return facts
}
