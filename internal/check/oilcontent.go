package check

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// untold gives the oils in a material, with their share of it, that usually hold substances which the law limits and of which
// the material tells no figure of its own.
func untold(m *material.Material) (all []law.Content, of []quantity.Number) {
	tells := func(substance string) bool {
		is := func(c material.Constituent) bool { return strings.EqualFold(c.INCI, substance) }
		return slices.ContainsFunc(m.Composition, is) || slices.ContainsFunc(m.Fragrance.Allergens, is)
	}
	for _, c := range m.Composition {
		share := c.Percent
		if len(m.Composition) == 1 && share.Sign() == 0 {
			share = quantity.Int(100)
		}
		for _, content := range law.Contents(c.INCI) {
			if !tells(content.Substance) {
				all, of = append(all, content), append(of, share)
			}
		}
	}
	return all, of
}

// held gives what the oils in a material usually hold by the table of package law, in percent of the material.
func held(m *material.Material) []law.Content {
	var known []law.Content
	all, of := untold(m)
	for i, c := range all {
		if c.Percent != nil {
			percent := part(*c.Percent, of[i])
			c.Percent = &percent
			known = append(known, c)
		}
	}
	return known
}

// contentUnknown finds oils that bring a substance which EU law limits in the product, where nothing tells how much.
func (s *inspection) contentUnknown() []Finding {
	var found []Finding
	for i, f := range s.facts {
		if f == nil {
			continue
		}
		for _, c := range f.untold {
			if at := slices.IndexFunc(c.limits, func(r law.Rule) bool { return s.applies(&r) != law.DoesNotApply }); at >= 0 {
				found = s.addUnknown(found, i, c.Content, &c.limits[at])
			}
		}
	}
	return found
}

// An untoldLimit is what a material can bring of a substance without telling how much, with the maxima that EU law sets for that.
type untoldLimit struct {
	law.Content
	limits []law.Rule
}

// limitsOn gives the maxima in EU law on a substance.
func limitsOn(substance string) []law.Rule {
	return slices.DeleteFunc(law.Find("EU", substance, nil), func(r law.Rule) bool { return r.Duty != law.AtMost || r.Max == nil })
}

func (s *inspection) addUnknown(found []Finding, line int, c law.Content, r *law.Rule) []Finding {
	name := s.Version.Items[line].Name
	if n := slices.IndexFunc(found, func(f Finding) bool { return f.Subject == name }); n >= 0 {
		if !slices.Contains(found[n].Items, line) {
			found[n].Items = append(found[n].Items, line)
		}
		return found
	}
	return append(found, Finding{
		Code: "restricted-see-entry", Level: Caution, Subject: name, Market: "EU", Items: []int{line}, Source: cited(r) + "; " + c.Source,
		Message: name + " can bring " + c.Substance + ", of which EU law (" + place(r) + ") allows " + r.Max.String() + " % of the product; how much is in it nothing tells, so it could not be checked.",
		Mend:    "Ask the supplier, and give " + c.Substance + " with its percent under allergens: on the ingredient's page.",
	})
}
