package site

import (
	"html/template"
	"slices"

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

// copies gives the label copy of a recipe's versions: for each, that of all markets.
func (b *Book) copies(r *handbook.Recipe) [][]label.Copy {
	n := b.benchOf(r)
	n.labelling.Do(func() { n.copies = copiesOf(b.Worked(r)) })
	return n.copies
}

func copiesOf(worked []handbook.Worked) [][]label.Copy {
	all := make([][]label.Copy, len(worked))
	for i, w := range worked {
		all[i] = label.For(labelSubject(w.Subject))
	}
	return all
}

// labels shows the label copy of a recipe's versions: for each what differs by market, and the rules of all of them once. Whoever is responsible in a
// market stands in it; where that is nil, room is left.
func labels(worked []handbook.Worked, copies [][]label.Copy, tells func(handbook.Worked) bool, responsible func(market string) *label.Responsible) (views [][]LabelView, rules template.HTML) {
	views = make([][]LabelView, len(worked))
	told := make([]label.Copy, 0, len(worked)*len(label.Markets()))
	for i, w := range worked {
		if !tells(w) {
			continue
		}
		views[i] = make([]LabelView, len(copies[i]))
		for j := range copies[i] {
			c := &copies[i][j]
			views[i][j] = labelView(c, responsible(c.Market))
		}
		told = append(told, copies[i]...)
	}
	return views, drawRules(told)
}

func labelView(c *label.Copy, responsible *label.Responsible) LabelView {
	v := LabelView{
		Market: c.Market, Heading: c.Ingredients.Heading, Ingredients: c.Ingredients.String(),
		Notes: append(c.Doubts[:len(c.Doubts):len(c.Doubts)], flagNotes(c.Ingredients.Entries)...),
	}
	v.Contents = make([]LabelLine, 0, len(c.Contents))
	for i := range c.Contents {
		n := &c.Contents[i]
		when := n.Container
		for _, note := range n.Notes {
			when += ": " + note
		}
		v.Contents = append(v.Contents, LabelLine{Text: n.Text, When: when, Rule: cited(n.Basis[0])})
	}
	v.Warnings = make([]LabelLine, 0, len(c.Warnings))
	for _, l := range c.Warnings {
		v.Warnings = append(v.Warnings, LabelLine{Text: l.Text, When: l.When, Rule: cited(l.Basis)})
	}
	v.Lines = make([]LabelLine, 0, len(c.Lines))
	for _, l := range c.Lines {
		v.Lines = append(v.Lines, LabelLine{Text: label.Named(l, responsible), When: l.When, Rule: cited(l.Basis)})
	}
	return v
}

// flagNotes says what to look into before printing, each once with the names that it is about.
func flagNotes(entries []label.Entry) []string {
	var flags, names []string
	for i := range entries {
		e := &entries[i]
		for _, f := range e.Flags {
			if at := slices.Index(flags, f); at >= 0 {
				names[at] += ", " + e.Name
			} else {
				flags, names = append(flags, f), append(names, e.Name)
			}
		}
	}
	for i, f := range flags {
		flags[i] = names[i] + ": " + f + "."
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

// drawRules draws the small print of label copies: every rule that was applied, once for each market, with what it asks for and where that is from.
func drawRules(copies []label.Copy) template.HTML {
	k := newInk()
	drawn := make(map[string]bool, 64)
	for _, market := range label.Markets() {
		clear(drawn)
		for i := range copies {
			if copies[i].Market != market {
				continue
			}
			for j := range copies[i].SmallPrint {
				b := &copies[i].SmallPrint[j]
				if drawn[b.ID] {
					continue
				}
				if len(drawn) == 0 {
					k.part("h4", "market", market)
					k.raw(`<ul class="rules">`)
				}
				drawn[b.ID] = true
				k.rule(b)
			}
		}
		if len(drawn) > 0 {
			k.raw("</ul>")
		}
	}
	return k.html()
}

// rule draws a rule, where its words are from, and whether they were read.
func (k *ink) rule(b *label.Basis) {
	k.raw(`<li data-rule="`)
	k.text(b.ID)
	k.raw(`">`)
	k.text(b.Words)
	k.raw(` <small class="source">`)
	k.text(b.Citation)
	switch b.Status {
	case "read":
		k.raw(". Read in: ")
		k.text(b.Source)
	case "memory":
		k.raw(". From memory")
	}
	k.raw("</small></li>")
}
