package site

import (
	"html/template"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// labelSubject gives a version in the form that its label is worked out from.
func labelSubject(s *check.Subject) *label.Subject {
	out := &label.Subject{
		Version: s.Version, Materials: s.Materials, Product: s.Product, Fills: s.Fills, Keeps: s.Keeps, AsMade: s.Made, On: s.On,
	}
	if s.Lye != nil {
		out.Purity = make(map[soap.Alkali]quantity.Number)
		for _, u := range s.Lye.Alkalis {
			out.Purity[u.Alkali] = u.Purity
		}
	}
	return out
}

// tellsLabel says whether a version's label copy may stand in this edition: it must not tell what a page says that is left
// out, other than what the catalogue says anyway.
func (s *Build) tellsLabel(w handbook.Worked) bool {
	for _, m := range w.Materials {
		if m == nil || s.showsMaterial(m.ID) {
			continue
		}
		common := material.Common().ByID(m.Base)
		if m != common && (common == nil || !sameOnLabel(m, common)) {
			return false
		}
	}
	return true
}

// sameOnLabel says whether two materials look the same on a label.
func sameOnLabel(a, b *material.Material) bool {
	same := func(a, b material.Constituent) bool {
		return a.INCI == b.INCI && a.US == b.US && a.Percent.Cmp(b.Percent) == 0
	}
	vanillin := func(m *material.Material) quantity.Number {
		if m.Fragrance.Vanillin == nil {
			return quantity.Number{}
		}
		return *m.Fragrance.Vanillin
	}
	return slices.EqualFunc(a.Composition, b.Composition, same) && slices.EqualFunc(a.Fragrance.Allergens, b.Fragrance.Allergens, same) &&
		vanillin(a).Cmp(vanillin(b)) == 0 && a.DeclareAs == b.DeclareAs && a.Soap == b.Soap && slices.Equal(a.Roles, b.Roles)
}

// responsible gives who answers for the products in a market, in the maker's edition; nil in others, whose readers have to name themselves.
func (s *Build) responsible(market string) *label.Responsible {
	if s.edition != MakerEdition {
		return nil
	}
	return s.ResponsibleIn(market)
}

// labels gives a recipe's label copy: for each version what differs by market, and the rules of all of them once. Whoever is responsible in a
// market stands in it; where that is nil, room is left.
func labels(worked []handbook.Worked, tells func(handbook.Worked) bool, responsible func(market string) *label.Responsible) (views [][]LabelView, rules template.HTML) {
	rulesOf := make(map[string][]label.Basis)
	for _, w := range worked {
		var view []LabelView
		if !tells(w) {
			views = append(views, nil)
			continue
		}
		for _, c := range label.For(labelSubject(w.Subject)) {
			view = append(view, labelView(c, responsible(c.Market)))
			rulesOf[c.Market] = append(rulesOf[c.Market], c.SmallPrint...)
		}
		views = append(views, view)
	}
	return views, drawRules(rulesOf)
}

func labelView(c label.Copy, responsible *label.Responsible) LabelView {
	v := LabelView{Market: c.Market, Heading: c.Ingredients.Heading, Ingredients: c.Ingredients.String(), Notes: c.Doubts}
	for _, n := range c.Contents {
		v.Contents = append(v.Contents, LabelLine{Text: n.Text, When: strings.Join(append([]string{n.Container}, n.Notes...), ": "), Rule: cited(n.Basis[0])})
	}
	for _, l := range c.Warnings {
		v.Warnings = append(v.Warnings, LabelLine{Text: l.Text, When: l.When, Rule: cited(l.Basis)})
	}
	for _, l := range c.Lines {
		v.Lines = append(v.Lines, LabelLine{Text: label.Named(l, responsible), When: l.When, Rule: cited(l.Basis)})
	}
	v.Notes = append(v.Notes, flagNotes(c.Ingredients.Entries)...)
	return v
}

// flagNotes says what to look into before printing, each once with the names that it is about.
func flagNotes(entries []label.Entry) []string {
	var flags []string
	names := make(map[string][]string)
	for _, e := range entries {
		for _, f := range e.Flags {
			if names[f] == nil {
				flags = append(flags, f)
			}
			names[f] = append(names[f], e.Name)
		}
	}
	for i, f := range flags {
		flags[i] = strings.Join(names[f], ", ") + ": " + f + "."
	}
	return flags
}

// cited gives a rule's paragraph, and that it is from memory where it is.
func cited(b label.Basis) string {
	if b.Status == "memory" {
		return b.Citation + ", from memory"
	}
	return b.Citation
}

// drawRules draws the small print: every rule that was applied, with what it asks for and where that is from.
func drawRules(of map[string][]label.Basis) template.HTML {
	var k ink
	for _, market := range label.Markets() {
		drawn := make(map[string]bool)
		for _, b := range of[market] {
			if drawn[b.ID] {
				continue
			}
			if len(drawn) == 0 {
				k.part("h4", "market", market)
				k.raw(`<ul class="rules">`)
			}
			drawn[b.ID] = true
			k.raw(`<li data-rule="`)
			k.text(b.ID)
			k.raw(`">`)
			k.text(b.Words)
			k.raw(" ")
			k.part("small", "source", b.Citation+ruleSource(b))
			k.raw("</li>")
		}
		if len(drawn) > 0 {
			k.raw("</ul>")
		}
	}
	return k.html()
}

// ruleSource says where the words of a rule are from, and whether they were read.
func ruleSource(b label.Basis) string {
	switch b.Status {
	case "read":
		return ". Read in: " + b.Source
	case "memory":
		return ". From memory"
	}
	return ""
}
