package check

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
)

// colour finds colourants that may not colour this kind of product, or only from a certified batch: EU by Annex IV, US by
// the colour additives of 21 CFR parts 73 and 74, each from the tables of package law. Maxima are in percent of the product
// by weight. What no table has by its name, and what is a colourant on the side, is told as a caution.
func colour(s *inspection) []Finding {
	if !s.onSkin() || !slices.ContainsFunc(s.facts, func(f *facts) bool { return f != nil && f.colourful }) {
		return nil
	}
	var found []Finding
	var most []*clause
	for _, sub := range s.substances(func(*constituent) bool { return true }) {
		if !s.colours(sub) {
			continue
		}
		c := sub.first.colour()
		if !c.known {
			found = append(found, s.unlisted(sub)...)
			continue
		}
		found = append(append(found, s.colourEU(sub, c.Colour)...), s.colourUS(sub, c.Colour)...)
		most = s.colourLimits(most, sub, c.limits)
	}
	for _, c := range most {
		if past, _ := c.over(*c.Max, s.weighed()); past {
			found = append(found, s.above(&family{purpose: law.AsColour}, c, *c.Max, law.Applies).Finding)
		}
	}
	return found
}

// A colouring is what the law has on a substance as a colourant.
type colouring struct {
	law.Colour
	known  bool
	limits []ruling // maxima of both markets
}

func colouringOf(inci, us string) colouring {
	var c colouring
	if c.Colour, c.known = law.FindColour(inci); !c.known {
		c.Colour, c.known = law.FindColour(us)
	}
	var rules []law.Rule
	for _, e := range c.EU {
		rules = append(rules, e.Rule)
	}
	for _, r := range rulesOn("US", inci, us) {
		if r.Kind == law.Colourant {
			rules = append(rules, r)
		}
	}
	for _, r := range rules {
		if r.Duty == law.AtMost && r.Max != nil {
			c.limits = append(c.limits, newRuling(&r, inci))
		}
	}
	return c
}

// isColourful says whether a material is a colourant, or is made of something with a colour index name.
func isColourful(m *material.Material) bool {
	return m.Has("colourant") || slices.ContainsFunc(m.Composition, func(c material.Constituent) bool { return indexed(c.INCI) })
}

// holdsColour says whether a material has a colourant of the tables in it.
func holdsColour(m *material.Material) bool {
	return slices.ContainsFunc(m.Composition, func(c material.Constituent) bool { _, ok := law.FindColour(c.INCI); return ok })
}

// colours says whether a substance is there to colour: it has a colour index name, or a colourant brings it.
func (s *inspection) colours(sub *substance) bool {
	return indexed(sub.inci) || slices.ContainsFunc(sub.brought, func(b brought) bool { return s.Materials[b.item].Has("colourant") })
}

// indexed says whether a name is a colour index number.
func indexed(inci string) bool { return len(inci) > 3 && strings.EqualFold(inci[:3], "CI ") }

// firstOfAll says whether a substance is brought by a material that is a colourant before all.
func (s *inspection) firstOfAll(sub *substance) bool {
	return slices.ContainsFunc(sub.brought, func(b brought) bool {
		roles := s.Materials[b.item].Roles
		return len(roles) > 0 && roles[0] == "colourant"
	})
}

// unlisted tells of a colourant that no table has, unless it only carries others that they have.
func (s *inspection) unlisted(sub *substance) []Finding {
	carries := slices.ContainsFunc(sub.brought, func(b brought) bool { return s.facts[b.item].colours() })
	if carries || !s.firstOfAll(sub) && !indexed(sub.inci) {
		return nil
	}
	f := s.colourFinding(sub, "restricted-see-entry", Caution, "", listsSource())
	f.Message = sub.inci + s.fromLines(sub) + " is not in the EU or US lists of colourants by this name, and what is not listed may not be used to colour a cosmetic."
	f.Mend = "Give inci: by its colour index number (CI …) if it has one, colour with a listed pigment, or accept this finding with the other purpose it has."
	return []Finding{f}
}

// listsSource cites where the lists of colourants were read: as any entry of theirs does.
func listsSource() string {
	c, _ := law.FindColour("CI 77491")
	var parts []string
	for _, e := range c.EU[:min(1, len(c.EU))] {
		parts = append(parts, e.Source)
	}
	for _, u := range c.US[:min(1, len(c.US))] {
		parts = append(parts, u.Source)
	}
	return strings.Join(parts, "; ")
}

// colourEU judges a colourant by Annex IV. One that US law lists for all cosmetics and Annex IV does not know is a filler.
func (s *inspection) colourEU(sub *substance, c law.Colour) []Finding {
	reach := law.DoesNotApply
	for _, e := range c.EU {
		switch s.applies(&e.Rule) {
		case law.Applies:
			return s.colourNote(sub, e)
		case law.Unclear:
			reach = law.Unclear
		}
	}
	switch {
	case len(c.EU) > 0 && reach == law.Unclear:
		f := s.colourFinding(sub, "restricted-see-entry", Caution, "EU", cited(&c.EU[0].Rule))
		f.Message = sub.inci + s.fromLines(sub) + " may colour " + fields[c.EU[0].Scope] + " only in the EU (" + place(&c.EU[0].Rule) + "), and the kind of product is not clear."
		f.Mend = "Give product:, so that it can be checked."
		return []Finding{f}
	case len(c.EU) > 0:
		f := s.colourFinding(sub, "colourant-use", Stop, "EU", cited(&c.EU[0].Rule))
		f.Message = sub.inci + s.fromLines(sub) + " may colour " + fields[c.EU[0].Scope] + " only in the EU (" + place(&c.EU[0].Rule) + "), and this is " + s.product() + "."
		f.Mend = "Colour with a pigment that is allowed there."
		return []Finding{f}
	case slices.ContainsFunc(c.US, func(u law.ColourUS) bool { return u.General }):
		return nil
	case slices.ContainsFunc(c.US, func(u law.ColourUS) bool { return u.OtherUse }):
		return nil // told once, with the US
	}
	f := s.colourFinding(sub, "colourant-use", Stop, "EU", citing("not in Annex IV", c.US[0].SourceEU, c.US[0].StatusEU))
	f.Message = sub.inci + s.fromLines(sub) + " is not among the colourants that the EU allows (Annex IV)."
	f.Mend = "Colour with a pigment that is listed there."
	return []Finding{f}
}

// fields are the fields of application of Annex IV.
var fields = map[string]string{
	"all": "all products", "rinse-off": "products that are rinsed off", "non-mucous": "products that do not come onto mucous membranes",
	"non-eye": "products that are not for the eyes",
}

// colourNote tells of a further limit that matters for the product.
func (s *inspection) colourNote(sub *substance, e law.ColourEU) []Finding {
	if !s.concerned(concernsOf(e.Note)) {
		return nil
	}
	f := s.colourFinding(sub, "restricted-see-entry", Caution, "EU", cited(&e.Rule))
	f.Message = sub.inci + s.fromLines(sub) + " is allowed as a colourant in the EU (" + place(&e.Rule) + ") with a condition that this formula cannot answer: " + e.Note + "."
	f.Mend = "Read the entry, see that the product keeps to it, and accept this finding with the reason."
	return []Finding{f}
}

// colourUS judges a colourant by the US list. A colour index number may stand for several US colours: one that is open is enough.
func (s *inspection) colourUS(sub *substance, c law.Colour) []Finding {
	name := nameIn("US", sub)
	if len(c.US) == 0 {
		f := s.colourFinding(sub, "colourant-use", Stop, "US", citing("21 CFR parts 73 and 74", "", "memory"))
		f.Message = name + s.fromLines(sub) + " is not among the colours that US law lists for cosmetics."
		f.Mend = "For the US colour with a pigment that is listed there."
		return []Finding{f}
	}
	open := slices.DeleteFunc(slices.Clone(c.US), func(u law.ColourUS) bool { return !opens(u, s.Product) })
	u := c.US[0]
	f := s.colourFinding(sub, "colourant-use", Stop, "US", citing(u.Citation, u.Source, u.Status))
	switch {
	case len(open) > 0 && !slices.ContainsFunc(open, func(u law.ColourUS) bool { return !u.Certified }):
		f.Source = citing(open[0].Citation, open[0].Source, open[0].Status)
		f.Message = name + s.fromLines(sub) + " may colour a cosmetic in the US only from a batch that the FDA has certified (" + open[0].Citation + ")."
		f.Mend = "Buy it with the number of its FDA batch certificate, and accept this finding with that number; or do not sell it in the US."
	case len(open) > 0:
		return nil
	case u.OtherUse:
		if !s.firstOfAll(sub) {
			return nil
		}
		f.Code, f.Level, f.Market = "restricted-see-entry", Caution, ""
		if len(c.EU) > 0 {
			f.Market = "US"
		}
		f.Message = name + s.fromLines(sub) + " is no listed colourant (" + u.Limits + ")."
		f.Mend = "Accept this finding with the other purpose that it has, such as scrubbing or drawing up oil; or colour with a listed pigment."
	case s.limited(u):
		f.Code, f.Level = "restricted-see-entry", Caution
		f.Message = name + s.fromLines(sub) + " may colour in the US only within limits in words (" + u.Citation + "): " + u.Limits + "."
		f.Mend = "Read the section, see that the product keeps to it, and accept this finding with the reason."
	default:
		f.Message = name + s.fromLines(sub) + " may not colour " + s.product() + " in the US (" + u.Citation + "): " + u.Limits + "."
		f.Mend = "For the US colour with a pigment that is listed for this use."
	}
	return []Finding{f}
}

// opens says whether US law lets a colour be used in products of this kind.
func opens(u law.ColourUS, p law.Product) bool {
	switch p.Site {
	case "lips":
		return u.Lips
	case "mouth":
		return u.General
	}
	return u.General || u.External
}

// limited says whether a colour is listed for a part of the body that is the product's, in words.
func (s *inspection) limited(u law.ColourUS) bool {
	words := map[string][]string{"hair": {"hair", "shampoo"}, "mouth": {"dentifrice"}, "face": {"face", "facial", "make-up"}, "": {""}}[s.Product.Site]
	return u.Listed && slices.ContainsFunc(words, func(w string) bool { return strings.Contains(u.Limits, w) })
}

// colourLimits gathers the maxima that reach the product, of both markets.
func (s *inspection) colourLimits(all []*clause, sub *substance, limits []ruling) []*clause {
	for n := range limits {
		r := &limits[n]
		if s.applies(r.Rule) != law.Applies {
			continue
		}
		i := slices.IndexFunc(all, func(o *clause) bool { return o.Market == r.Market && o.Group == r.Group && equal(o.Max, r.Max) })
		if i < 0 {
			i = len(all)
			all = append(all, &clause{ruling: r, reach: law.Applies})
		}
		s.count(all[i], r, sub, sub.brought)
	}
	return all
}

func (s *inspection) colourFinding(sub *substance, code string, level Level, market, source string) Finding {
	return Finding{Code: code, Level: level, Subject: nameIn(market, sub), Market: market, Source: source, Items: linesOf(sub.brought)}
}

// fromLines names the lines that bring a substance, where that does not go without saying.
func (s *inspection) fromLines(sub *substance) string {
	return s.from(&clause{names: []string{sub.inci}, items: linesOf(sub.brought)})
}

func linesOf(parts []brought) []int {
	var items []int
	for _, b := range parts {
		items = append(items, b.item)
	}
	slices.Sort(items)
	return slices.Compact(items)
}
