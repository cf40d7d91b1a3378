package check

import (
	"regexp"
	"slices"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A substance is one INCI name of a version, summed over every line and material that brings it.
type substance struct {
	inci, us string
	first    *constituent // of its name
	brought  []brought
}

// A brought is what one line brings of a substance: which part of the line, as a fraction of 1, and what for.
type brought struct {
	item int
	part quantity.Number
	use
	assumed *law.Content // where it is what such an oil usually holds
}

// levels are percents of the whole: the exact one, then that of each weighed batch as it will be weighed.
type levels []quantity.Number

// add adds a part of other percents, given as a fraction of 1, to these; nil stands for nothing.
func (l levels) add(part quantity.Number, of levels) levels {
	if l == nil {
		l = make(levels, len(of))
	}
	for i := range of {
		l[i] = l[i].Add(of[i].Mul(part))
	}
	return l
}

// A use says what for a line can bring a substance. Where a material has no role all is possible.
type use struct{ preserves, scents, other bool }

// substances opens every material of a version into its substances, in the order of the lines, and gives those that are wanted by what is known of
// the first that has the name. What a certificate or a typical lot says is in a fragrance counts too; where it repeats the composition, the larger
// figure. So does what an oil usually holds by the table of package law, where the material does not tell.
func (s *inspection) substances(wanted func(*constituent) bool) []*substance {
	var all []*substance
	n := 0
	for _, f := range s.facts {
		if f != nil {
			n += len(f.constituents)
		}
	}
	firsts := make([]first, 0, n)
	for i, f := range s.facts {
		if f == nil {
			continue
		}
		for j := range f.constituents {
			c := &f.constituents[j]
			at := slices.IndexFunc(firsts, func(one first) bool { return one.folded == c.folded })
			if at < 0 {
				at = len(firsts)
				firsts = append(firsts, first{constituent: c})
				if wanted(c) {
					firsts[at].substance = &substance{inci: c.INCI, us: c.USName(), first: c}
					all = append(all, firsts[at].substance)
				}
			}
			if sub := firsts[at].substance; sub != nil {
				sub.brought = append(sub.brought, brought{item: i, part: c.part, use: c.use, assumed: c.assumed})
			}
		}
	}
	return all
}

// A first is the first constituent of a name, with the substance that it makes where that is wanted.
type first struct {
	*constituent
	*substance
}

// levels gives the percents of an item.
func (s *inspection) levels(item int) levels {
	all := s.shares.get(func() []levels { return make([]levels, len(s.percents)) })
	if all[item] == nil {
		of := append(make(levels, 0, 1+len(s.Batches)), s.percents[item])
		for i := range s.Batches {
			if s.Batches[i].isWeighed() {
				of = append(of, s.weighedIn(i).percents[item])
			}
		}
		all[item] = of
	}
	return all[item]
}

// weighed gives the batches that have weights.
func (s *inspection) weighed() []Batch {
	return s.all.get(func() []Batch {
		if !slices.ContainsFunc(s.Batches, func(b Batch) bool { return !b.isWeighed() }) {
			return s.Batches
		}
		return slices.DeleteFunc(slices.Clone(s.Batches), func(b Batch) bool { return !b.isWeighed() })
	})
}

func (b *Batch) isWeighed() bool { return b.Missing == nil && b.Column.Total.Grams().Sign() > 0 }

// constituents gives a material's substances, each name once. A single one without a percent is the whole.
func constituents(m *material.Material) []material.Constituent {
	all := make([]material.Constituent, 0, len(m.Composition)+len(m.Fragrance.Allergens))
	find := func(inci string) int {
		return slices.IndexFunc(all, func(c material.Constituent) bool { return strings.EqualFold(c.INCI, inci) })
	}
	for _, c := range m.Composition {
		if len(m.Composition) == 1 && c.Percent.Sign() == 0 {
			c.Percent = quantity.Int(100)
		}
		if i := find(c.INCI); i >= 0 {
			all[i].Percent = all[i].Percent.Add(c.Percent)
			continue
		}
		all = append(all, c)
	}
	for _, c := range m.Fragrance.Allergens {
		if i := find(c.INCI); i < 0 {
			all = append(all, c)
		} else if all[i].Percent.Cmp(c.Percent) < 0 {
			all[i].Percent = c.Percent
		}
	}
	for _, c := range held(m) {
		if i := find(c.Substance); i >= 0 {
			all[i].Percent = all[i].Percent.Add(*c.Percent)
			continue
		}
		all = append(all, material.Constituent{INCI: c.Substance, Percent: *c.Percent})
	}
	return all
}

// keepsTheMaterial is the percent of a material up to which a preservative in it is taken to be there to keep the
// material itself, as in a gel or a surfactant. Common practice, no source.
var keepsTheMaterial = quantity.Int(5)

// useOf says what for a material brings one of its substances.
func useOf(m *material.Material, c material.Constituent) use {
	switch {
	case len(m.Roles) == 0:
		return use{true, true, true}
	case m.Has("preservative", "preservative-booster"):
		return use{preserves: true, other: m.Has("active", "exfoliant", "fragrance", "essential-oil"), scents: m.Has("fragrance", "essential-oil")}
	case m.Has("fragrance", "essential-oil"):
		return use{scents: true, other: true}
	case !m.Has("active", "exfoliant", "acid") && len(m.Composition) > 1 && c.Percent.Cmp(keepsTheMaterial) <= 0:
		return use{preserves: true}
	}
	return use{other: true}
}

// day gives the day whose law applies: the latest text known where none is given.
func (s *inspection) day() time.Time {
	if s.On.IsZero() {
		return time.Date(9999, 12, 31, 0, 0, 0, 0, time.UTC)
	}
	return s.On
}

// onSkin says whether the product goes on skin, so that the law on cosmetics reaches it.
func (s *inspection) onSkin() bool { return s.Product.Category != "not on skin" }

// sunWords are those by which a page presents its product as one that keeps the sun off.
var sunWords = regexp.MustCompile(`(?i)\b(?:spf|uv|uv[ab]|sun ?screens?|sun ?block|sun (?:cream|lotion|protection|filter)s?)\b`)

// unknownComposition finds materials of which it is not known what they are made of, so that the law could not be checked:
// those with no composition, with parts missing, or with a placeholder that only the supplier's sheet can fill (common
// practice, no source). Of fragrances the certificate tells, which is another check.
func unknownComposition(s *inspection) []Finding {
	var found []Finding
	at := make(map[string]int)
	for i, m := range s.Materials {
		if m == nil || !s.onSkin() {
			continue
		}
		why := s.facts[i].missing
		if why == "" {
			continue
		}
		if n, ok := at[m.Name]; ok {
			found[n].Items = append(found[n].Items, i)
			continue
		}
		at[m.Name] = len(found)
		found = append(found, Finding{
			Code: "unknown-material", Level: Caution, Subject: s.Version.Items[i].Name, Items: []int{i}, Source: "common practice",
			Message: why + ", so the law could not be checked for all that is in it.",
			Mend:    "Write inci: with the percents of the supplier's sheet on its page under ingredients/.",
		})
	}
	return found
}

// nearlyAll is how much of a composition has to be known. Common practice, no source.
var nearlyAll = quantity.Int(99)

// missing says in what a material's composition is not known, or "".
func missing(m *material.Material) string {
	var sum quantity.Number
	for _, c := range m.Composition {
		sum = sum.Add(c.Percent)
	}
	switch {
	case len(m.Composition) == 0:
		return "It is not known what " + m.Name + " is made of"
	case m.NeedsSheet && !m.Has("fragrance", "essential-oil"):
		return "What " + m.Name + " is made of is a placeholder that only the supplier's sheet can correct"
	case len(m.Composition) == 1 && sum.Sign() == 0 || sum.Cmp(nearlyAll) >= 0:
		return ""
	}
	return "Only " + sum.Text(2) + " % of what " + m.Name + " is made of is known"
}

// applies says whether a rule reaches the product. Of a product of no known type it is unclear where the rule reaches some
// types and not others.
func (s *inspection) applies(r *law.Rule) law.Applicability {
	if s.Product.Category != "" {
		return r.Applies(s.Product, s.day())
	}
	var seen [law.Unclear + 1]bool
	for _, name := range law.ProductNames() {
		if p, _ := law.FindProduct(name); p.Category != "not on skin" {
			seen[r.Applies(p, s.day())] = true
		}
	}
	switch {
	case !seen[law.Applies] && !seen[law.Unclear]:
		return law.DoesNotApply
	case !seen[law.DoesNotApply] && !seen[law.Unclear]:
		return law.Applies
	}
	return law.Unclear
}
