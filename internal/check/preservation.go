package check

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// preservation finds products with water that nothing protects from microbes, and microbes that what protects them does not hold.
// A true soap needs none: its alkali keeps a bar (common practice, no source), and may keep a soap in water. Nor do dry goods and products
// without water, nor what is mostly alcohol (above 60 %; common practice, no source); those that meet water in use get a note. Where something is not known and may bring water, that is told.
func preservation(s *inspection) []Finding {
	guards := s.guarded()
	wet := s.wet()
	switch {
	case s.Product.Category == "not on skin" && len(wet) == 0, s.isTrueSoap() && !s.isA(washes):
		return nil
	case len(wet) == 0 || s.isDryGoods():
		if unknown := s.mayBeWet(); unknown != nil && !isPreserved(s, guards) {
			return []Finding{maybeUnpreserved(unknown)}
		}
		if len(guards) == 0 {
			return s.meetsWater()
		}
		return s.gap(guards)
	case isPreserved(s, guards):
		return s.gap(guards)
	}
	if d, ok := s.defend(); ok && d.kills != 0 && d.value.Cmp(quantity.Int(d.kills)) > 0 {
		return nil
	}
	return []Finding{s.unpreserved(wet, guards)}
}

// isPreserved says whether there is a preservative, or helpers that hold every kind of microbe between them.
func isPreserved(s *inspection, guards []*dose) bool {
	if slices.ContainsFunc(guards, func(d *dose) bool { return d.Has("preservative") }) {
		return true
	}
	return len(guards) > 0 && len(s.uncovered(guards)) == 0
}

// unpreserved is the finding on a wet product that nothing protects: a stop, or a caution where it may keep by itself.
func (s *inspection) unpreserved(wet, guards []*dose) Finding {
	amount := waterPercent(wet)
	shown := past(amount, quantity.Number{}, 2)
	f := Finding{
		Code: "no-preservative", Level: Stop, Value: shown, Unit: "%", Items: itemsOf(wet), Source: "common practice",
		Message: "It holds " + shown + " % of water, brought by " + and(namesOf(wet)) + ", and no preservative: bacteria, yeast and mould will grow in it.",
		Mend:    "Add a preservative that works at its pH, at the rate its sheet gives, or leave the water out.",
	}
	if len(guards) > 0 {
		f.Message += " " + and(namesOf(guards)) + " only helps a preservative and does not hold all of them."
	}
	if d, ok := s.defend(); ok {
		f.Level, f.Value, f.Limit, f.Source = Caution, d.value.Text(2), quantity.Int(d.least).String(), d.source
		of := " of the " + d.name + " and water in it"
		if d.whole {
			of = " of it"
		}
		f.Message = "It has water and no preservative. Its " + d.name + ", " + f.Value + " %" + of + ", may keep it by itself, for which " + f.Limit + " % is the least; only a test of the product can tell."
		f.Mend = "Have it tested, or add a preservative."
	} else if s.isTrueSoap() {
		f.Level = Caution
		f.Message = "It is a soap in water without a preservative. Its alkali may keep it by itself; only a test of the product can tell."
		f.Mend = "Have it tested, and do not thin it later without a preservative."
	}
	return f
}

// dipped are the containers that hands reach into.
var dipped = []string{"jar", "tub", "pot", "tin"}

// meetsWater notes a product without water and preservative that gets wet in use: a scrub or mask, or one that hands dip into.
func (s *inspection) meetsWater() []Finding {
	var containers []string
	for _, f := range s.Fills {
		words := strings.Fields(strings.ToLower(f.Container))
		if n := len(words); n > 0 && slices.Contains(dipped, words[n-1]) && !slices.Contains(containers, words[n-1]) {
			containers = append(containers, words[n-1])
		}
	}
	hands := containers != nil && !s.isSolid() && s.Product.Category != "not on skin"
	if !hands && !s.isA(scrubs, masks) {
		return nil
	}
	f := Finding{
		Code: "no-preservative", Level: Note, Source: "common practice",
		Message: "There is no water in it and so no preservative, but wet hands can bring water into the " + and(containers) + ".",
		Mend:    "Say on the label to keep water out and to take it with dry hands or a dry spoon, or add a preservative.",
	}
	if containers == nil {
		f.Message = "There is no water in it and so no preservative, but it is used wet, and water can get into what is left."
	}
	return []Finding{f}
}

// microbes are what a product has to be protected from.
var microbes = []string{"bacteria", "yeast", "mould"}

// gap finds microbes that nothing in a product holds at least moderately: a preservative below its usual least amount does not count.
// Where it is not known what one holds, that is told.
func (s *inspection) gap(guards []*dose) []Finding {
	open := s.uncovered(guards)
	if len(open) == 0 {
		return nil
	}
	var weak, unknown []*dose
	for _, d := range guards {
		if len(d.Protects) == 0 {
			unknown = append(unknown, d)
		} else {
			weak = append(weak, d)
		}
	}
	f := Finding{
		Code: "preservation-gap", Level: Caution, Subject: and(open), Items: itemsOf(guards), Source: s.gapSource(weak, open),
		Message: "Nothing in it is known to hold " + and(open) + " well enough.",
		Mend:    "Pair it with a preservative that is good against " + and(open) + ", or take another, and have the product tested.",
	}
	if len(weak) > 0 {
		f.Message += " It has " + and(namesOf(weak)) + "."
	}
	if len(unknown) > 0 {
		f.Message += " What " + and(namesOf(unknown)) + " holds is not known, so that it could not be checked."
		f.Mend = "Give protects: on the ingredient's page, after the supplier's sheet. " + f.Mend
	}
	return []Finding{f}
}

// uncovered gives the microbes that no preservative at a working level holds at least moderately.
func (s *inspection) uncovered(guards []*dose) []string {
	return slices.DeleteFunc(slices.Clone(microbes), func(microbe string) bool {
		return slices.ContainsFunc(guards, func(d *dose) bool {
			return s.works(d) && slices.ContainsFunc(d.Protects, func(p material.Protection) bool {
				return p.Against == microbe && p.How != "weak"
			})
		})
	})
}

// works says whether there is at least as much of a preservative as the least that is usual, where that is known.
func (s *inspection) works(d *dose) bool {
	_, less := s.measure().less(d, s.rates(d.facts))
	return !less
}

// gapSource gives where it is from that the preservatives do not hold what is open.
func (s *inspection) gapSource(guards []*dose, open []string) string {
	var sources []string
	for _, d := range guards {
		for _, p := range d.Protects {
			if source := shownSource(p.Source); slices.Contains(open, p.Against) && !slices.Contains(sources, source) {
				sources = append(sources, source)
			}
		}
	}
	return strings.Join(sources, "; ")
}
