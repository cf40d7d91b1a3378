package check

import (
	"slices"

	"larkrow.example/stillroom/internal/emulsion"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// usualSource is where the usual figures of emulsions are from.
const usualSource = "common practice, no source"

func (s *inspection) emulsion() (emulsion.Emulsion, bool) {
	e := s.emulsionOf(s.exactly())
	if e.Oil.Weight.Sign() == 0 || !s.hasWater() {
		return e, false
	}
	_, isSoap := s.asSoap()
	return e, !isSoap
}

// hasWater says whether more of the version is water than what a dry product may hold.
func (s *inspection) hasWater() bool { return waterPercent(s.wet()).Cmp(littleWater) > 0 }

func (s *inspection) emulsionOf(m mixture) emulsion.Emulsion {
	return emulsion.Read(s.Version.Items, s.Materials, m.percent)
}

// emulsify finds oil and water with nothing to bind them, with too little of it (in percent of the oil phase; surfactants bind too),
// and with emulsifiers whose HLB is more than 1 off what the oil phase asks for. All of it is common practice, no source.
func emulsify(s *inspection) []Finding {
	if !s.hasWater() {
		return nil // which is soon told
	}
	e, ok := s.emulsion()
	if !ok {
		return nil
	}
	if percentOf(s.dosesThat(s.bindsOil)).Sign() == 0 {
		return s.noEmulsifier(e)
	}
	return append(s.tooLittle(), s.unbalanced(e)...)
}

// bindsOil says whether a material binds oil and water, as surfactants do too, and a fatty acid where an alkali turns some of it to soap.
func (s *inspection) bindsOil(d *dose) bool {
	if d.Has("surfactant") || d.facts.emulsifier {
		return true
	}
	f, ok := d.facts.soap.Fat(d.name, d.percent)
	return ok && !f.Acid && d.Has("acid") && slices.ContainsFunc(s.Materials, func(m *material.Material) bool { return m != nil && m.Has("alkali") })
}

// emulsifiers gives the items that are emulsifiers.
func (s *inspection) emulsifiers() []int {
	return itemsOf(s.dosesThat(func(d *dose) bool { return d.facts.emulsifier }))
}

func (s *inspection) noEmulsifier(e emulsion.Emulsion) []Finding {
	message := "There are " + e.Oil.Weight.Text(2) + " % oils and " + waterPercent(s.wet()).Text(2) + " % water with nothing to bind them, so they part again."
	if len(e.Unknown) > 0 {
		message += " Nothing is known of " + and(once(e.Unknown)) + ", which may do it."
	}
	return []Finding{{
		Code: "no-emulsifier", Level: Caution, Value: "0", Limit: e.Oil.Weight.Quo(quantity.Int(100 / emulsion.UsualPercent)).Text(2), Unit: "%",
		Source: usualSource, Items: itemsOf(s.dosesThat(func(d *dose) bool { return d.facts.oil })), Message: message,
		Mend: "Add an emulsifier, about a fifth to a quarter of the oils; or say on the label that it is to be shaken.",
	}}
}

// tooLittle finds less than a fifth of the oil phase of what binds it.
func (s *inspection) tooLittle() []Finding {
	usual := quantity.Int(emulsion.UsualPercent)
	oils := itemsOf(s.dosesThat(func(d *dose) bool { return d.facts.oil }))
	binders := itemsOf(s.dosesThat(s.bindsOil))
	missing, batches, is := s.worst(func(of share) quantity.Number {
		oil := of(oils)
		if oil.Sign() == 0 {
			return quantity.Number{}
		}
		return usual.Sub(quantity.Int(100).Mul(of(binders)).Quo(oil))
	}, quantity.Number{}, 0)
	if !is {
		return nil
	}
	value := past(usual.Sub(missing), usual, 1)
	return []Finding{{
		Code: "too-little-emulsifier", Level: Caution, Value: value, Limit: usual.Text(0), Unit: "%", Source: usualSource,
		Items: binders,
		Message: "What binds the oils to the water is " + value + " % of the oil phase, and it usually takes " + usual.Text(0) +
			" % or more: the product may part." + byRounding(batches),
		Mend: "Add emulsifier, or lower the oils. Some emulsifiers need less: then go by the maker's sheet.",
	}}
}

// unbalanced finds an HLB that is not what the oil phase asks for, or tells which figures are missing.
func (s *inspection) unbalanced(e emulsion.Emulsion) []Finding {
	if e.Emulsifier.Weight.Sign() == 0 {
		return nil // surfactants alone: the rule is not for them
	}
	if waxes := s.selfBinding(e); waxes != nil {
		return waxes
	}
	if missing := slices.Concat(e.Oil.Unknown, e.Emulsifier.Unknown, e.Unknown); len(missing) > 0 {
		return []Finding{{
			Code: "emulsion-unbalanced", Level: Caution, Items: s.emulsifiers(),
			Message: "Whether the emulsifier suits the oils was not checked: no HLB is known of " + and(once(missing)) + ".",
			Mend:    "Add hlb: to the emulsifiers' pages and required-hlb: to the oils', from the supplier's sheets; or make a small batch and watch it for a month.",
		}}
	}
	off := func(m mixture) quantity.Number {
		by, _ := s.emulsionOf(m).Off()
		if by.Sign() < 0 {
			by = by.Neg()
		}
		if !m.exact {
			by = to(by, 1)
		}
		return by
	}
	most := quantity.Int(emulsion.UsualOff)
	m, batches, is := s.pastLimit(func(m mixture) quantity.Number { return off(m).Sub(most) })
	if !is {
		return nil
	}
	has := s.emulsionOf(m)
	middle, _ := has.Emulsifier.Middle()
	wants := span(has.Oil.HLB)
	return []Finding{{
		Code: "emulsion-unbalanced", Level: Caution, Value: past(off(m), most, 2), Limit: most.Text(0), Unit: "HLB", Source: usualSource,
		Items: s.emulsifiers(),
		Message: "The emulsifiers have an HLB of " + middle.Text(2) + " and the oils ask for " + wants + ", which is more than " + most.Text(0) +
			" apart: the product may part." + byRounding(batches),
		Mend: "Change the emulsifiers or their proportion so that their HLB comes near " + wants + "." + s.proportion(m, has),
	}}
}

// proportion says how to divide the emulsifiers between two, where they are two and some proportion meets the middle of what the oils ask for.
func (s *inspection) proportion(m mixture, has emulsion.Emulsion) string {
	items := s.emulsifiers()
	middle, known := has.Oil.Middle()
	if len(items) != 2 || !known {
		return ""
	}
	one, other := s.Materials[items[0]].HLB, s.Materials[items[1]].HLB
	if !one.Known || !other.Known {
		return ""
	}
	first, second, err := emulsion.Split(one.Value, other.Value, middle)
	if err != nil {
		return ""
	}
	both := m.of(items)
	part := func(share quantity.Number) string { return share.Mul(both).Quo(quantity.Int(100)).Text(2) + " %" }
	return " Of these two, " + part(first) + " of " + s.Version.Items[items[0]].Name + " with " + part(second) + " of " + s.Version.Items[items[1]].Name + " meets it."
}

// selfBinding notes emulsifying waxes without an HLB: they are sold to bind by themselves, and the rule of mixtures cannot be used with them.
// It tells nothing where another emulsifier without an HLB, or an ingredient of which nothing is known, is in the product.
func (s *inspection) selfBinding(e emulsion.Emulsion) []Finding {
	waxes := s.dosesThat(func(d *dose) bool { return d.Has("emulsifying-wax") && !d.HLB.Known })
	names := namesOf(waxes)
	if len(waxes) == 0 || len(e.Unknown) > 0 || slices.ContainsFunc(e.Emulsifier.Unknown, func(n string) bool { return !s.among(n, waxes) }) {
		return nil
	}
	is, itself, its := " is", "itself", "its"
	if len(waxes) > 1 {
		is, itself, its = " are", "themselves", "their"
	}
	return []Finding{{
		Code: "emulsion-unbalanced", Level: Note, Subject: and(names), Items: itemsOf(waxes), Source: usualSource,
		Message: and(names) + is + " sold to bind by " + itself + "; " + its + " HLB is not known, so whether it suits the oils was not checked.",
		Mend:    "Go by the maker's sheet, and watch a small batch for a month.",
	}}
}

// among says whether a line of that name is of one of the doses.
func (s *inspection) among(name string, doses []*dose) bool {
	return slices.ContainsFunc(doses, func(d *dose) bool {
		return slices.ContainsFunc(d.items, func(i int) bool { return s.Version.Items[i].Name == name })
	})
}

// span writes an interval with two places.
func span(v quantity.Interval) string {
	if v.Low.Text(2) == v.High.Text(2) {
		return v.Low.Text(2)
	}
	return v.Low.Text(2) + "–" + v.High.Text(2)
}

// once gives names in order, each once.
func once(names []string) []string {
	var all []string
	for _, n := range names {
		if !slices.ContainsFunc(all, func(told string) bool { return material.Key(told) == material.Key(n) }) {
			all = append(all, n)
		}
	}
	return all
}
