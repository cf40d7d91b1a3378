package label

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// warnings gives what a version has to warn of in a market. Products that go on no skin are no cosmetics and have none here.
func (s *look) warnings(market string) []Line {
	if s.Product.Category == "not on skin" {
		return nil
	}
	if market == EU {
		return s.precautions()
	}
	var all []Line
	if s.foams() {
		l := prescribed("us-foaming-bath-caution")
		l.When = "unless the label says that the product is for adults only"
		all = append(all, l)
	}
	if s.hasAHA() {
		l := prescribed("us-aha-sunburn-alert")
		l.When = "recommended by FDA guidance, not binding"
		all = append(all, l)
	}
	return all
}

// prescribed gives the line that a rule prescribes.
func prescribed(id string) Line {
	l, _ := law.LabelRule(id)
	return Line{Text: strings.Join(l.Prescribed, " / "), Basis: rule(id)}
}

// foams says whether a product is a foaming bath by 21 CFR 740.17(a): it goes into the bath and holds a surfactant.
func (s *look) foams() bool {
	switch s.Product.Name {
	case "bubble bath":
		return true
	case "bath fizz", "bath salts", "bath oil", "bath melt", "milk bath", "bath tea":
	default:
		return false
	}
	for i := range s.Version.Items {
		if m := s.material(i); m != nil && m.Has("surfactant") && s.percents[i].Sign() > 0 {
			return true
		}
	}
	return false
}

// alphaHydroxy are the beginnings and ends of the names of alpha hydroxy acids, their salts and their esters: glycolic and
// lactic acid by the expert panel that FDA cites (read); malic, tartaric and mandelic acid from memory. Citric acid, which
// sets the pH of half the creams there are, is not counted.
var alphaHydroxy = []string{"glycolic acid", "lactic acid", "malic acid", "tartaric acid", "mandelic acid", "glycolate", "lactate", "malate", "tartrate", "mandelate"}

func (s *look) hasAHA() bool {
	found := false
	s.substances(func(c *share, _ quantity.Number) { found = found || c.aha })
	return found
}

// isAHA says whether the key of a name is one of an alpha hydroxy acid.
func isAHA(key string) bool {
	return slices.ContainsFunc(alphaHydroxy, func(end string) bool { return key == end || strings.HasSuffix(key, " "+end) })
}

// A substance is one that a version holds, in percent of it, summed over all materials.
type substance struct {
	*share  // the first of it
	percent quantity.Number
}

// substances calls back for what a version is made of, as weighed, in order.
func (s *look) substances(is func(c *share, percent quantity.Number)) {
	for i, f := range s.facts {
		percent := s.percents[i]
		if f == nil {
			continue
		}
		for n := range f.parts {
			if c := &f.parts[n]; percent.Sign() > 0 && !slices.Contains(c.flags, NameUnknown) {
				is(c, percent)
			}
		}
		for n := range f.scents {
			is(&f.scents[n], percent)
		}
	}
}

// precautions gives the words that the annexes prescribe for what a version holds.
func (s *look) precautions() []Line {
	var all []Line
	for _, sub := range s.worded() {
		for i := range sub.words {
			if l, due := s.precaution(sub, &sub.words[i]); due {
				all = addLine(all, l)
			}
		}
	}
	return all
}

// worded sums up the substances for which there are words. What is of one name is what the first of it is.
func (s *look) worded() []substance {
	some := false
	s.substances(func(c *share, _ quantity.Number) { some = some || c.words != nil })
	if !some {
		return nil
	}
	var all []substance
	s.substances(func(c *share, percent quantity.Number) {
		i := slices.IndexFunc(all, func(have substance) bool { return have.key == c.key })
		if i < 0 {
			i = len(all)
			all = append(all, substance{share: c})
		}
		if all[i].words != nil {
			all[i].percent = all[i].percent.Add(percent.Mul(c.of))
		}
	})
	return slices.DeleteFunc(all, func(sub substance) bool { return sub.words == nil })
}

// precaution gives the words of one rule, if they are due.
func (s *look) precaution(sub substance, r *law.Rule) (Line, bool) {
	applies := r.Applies(s.Product, s.day())
	switch {
	case applies == law.DoesNotApply || sub.percent.Sign() <= 0:
		return Line{}, false
	case r.Purpose == law.AsFragrance || r.Purpose == law.AsColour || r.Purpose == law.AsUVFilter:
		return Line{}, false
	}
	when, due := whenDue(s.Product, sub.percent, r)
	if applies == law.Unclear {
		when = strings.TrimPrefix(when+"; if the product is of the kind that the entry is about", "; ")
	}
	l := Line{
		Text: r.LabelWords, When: when,
		Basis: Basis{ID: r.Entry, Citation: r.Citation, Words: "Words for " + strings.Join(r.Names[:min(len(r.Names), 1)], ""), Source: r.Source, Status: r.Status},
	}
	return l, due
}

// whenDue says on what condition a rule's words are due, and whether they can be. Where a rule counts what cannot be worked out
// from the substance, as the formaldehyde that it gives off, the level is told as the condition.
func whenDue(p law.Product, percent quantity.Number, r *law.Rule) (string, bool) {
	if _, product := law.FindProduct(r.LabelWhen); product {
		return "", p.Name == r.LabelWhen
	}
	if level, ok := levelOf(r.LabelWhen); ok {
		return "", percent.Cmp(level) > 0
	}
	if r.Duty != law.Warn || r.Max == nil {
		return r.LabelWhen, true
	}
	if counted, ok := r.Counted(firstOf(r), percent); ok {
		return r.LabelWhen, counted.Cmp(*r.Max) > 0
	}
	return "more than " + r.Max.String() + " % of " + r.CountedAs + " in all", true
}

func firstOf(r *law.Rule) string {
	if len(r.Names) == 0 {
		return ""
	}
	return r.Names[0]
}

// levelOf reads the level of a condition "above 2 %".
func levelOf(when string) (quantity.Number, bool) {
	rest, ok := strings.CutPrefix(when, "above ")
	if !ok {
		return quantity.Number{}, false
	}
	figure, _, ok := strings.Cut(rest, " %")
	n, err := quantity.ParseNumber(figure)
	return n, ok && err == nil
}

// addLine adds a line once; words that are simply due go before the same words on a condition.
func addLine(all []Line, l Line) []Line {
	for i, have := range all {
		if material.Key(have.Text) == material.Key(l.Text) {
			if l.When == "" && have.When != "" {
				all[i] = l
			}
			return all
		}
	}
	return append(all, l)
}
