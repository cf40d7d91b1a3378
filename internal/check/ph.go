package check

import (
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

// preservativePH finds preservatives that the target pH of a wet product takes out of the range in which they work, with how much of
// an acid is left in the form that works where its strength is known. Ranges are those of the materials, in pH; without
// a target, preservatives that hang on it are told of. A true soap is alkaline and needs none.
func preservativePH(s *inspection) []Finding {
	if len(s.wet()) == 0 || s.isTrueSoap() || s.isDryGoods() {
		return nil
	}
	var found []Finding
	for _, d := range s.guarded() {
		switch {
		case !d.PH.Known && d.Has("preservative"):
			found = append(found, unchecked(d, "the pH at which it works is not known", "Give ph: on the ingredient's page, after the supplier's sheet."))
		case !d.PH.Known:
		case s.PH == nil && hangsOnPH(d):
			found = append(found, unchecked(d, "it works at pH "+d.PH.Value.String()+" and the recipe gives no target", "Give the recipe a ph:, and measure it in every batch."))
		case s.PH != nil:
			found = append(found, s.outOfRange(d)...)
		}
	}
	return found
}

// hangsOnPH says whether a preservative works at few products' pH: as a weak acid does, or up to pH 6 only. Common practice, no source.
func hangsOnPH(d *dose) bool { return len(acidsOf(d)) > 0 || d.PH.Value.High.Cmp(quantity.Int(6)) <= 0 }

// acidsOf gives the weak acids of which a preservative is made, or whose salts.
func acidsOf(d *dose) []law.Acid {
	var acids []law.Acid
	for _, c := range d.Composition {
		if a, _, ok := law.FindAcid(c.INCI); ok && c.Percent.Sign() > 0 {
			acids = append(acids, a)
		}
	}
	return acids
}

func unchecked(d *dose, why, mend string) Finding {
	return Finding{
		Code: "preservative-ph", Level: Caution, Subject: d.name, Items: d.items, Unit: "pH", Source: shownSource(d.PH.Source), Mend: mend,
		Message: "Whether " + d.name + " works could not be checked: " + why + ".",
	}
}

// outOfRange compares the target with a preservative's range: a stop if all of it lies outside, a caution if a part does.
func (s *inspection) outOfRange(d *dose) []Finding {
	works, target := d.PH.Value, *s.PH
	f := Finding{
		Code: "preservative-ph", Level: Caution, Subject: d.name, Items: d.items, Unit: "pH", Source: shownSource(d.PH.Source),
		Value: target.High.String(), Limit: works.High.String(),
		Mend: "Bring the target pH to " + works.High.String() + " or lower, or take a preservative that works at it.",
	}
	switch {
	case target.High.Cmp(works.High) > 0:
		if target.Low.Cmp(works.High) > 0 {
			f.Level, f.Value = Stop, target.Low.String()
		}
	case target.Low.Cmp(works.Low) < 0:
		if target.High.Cmp(works.Low) < 0 {
			f.Level = Stop
		} else {
			f.Value = target.Low.String()
		}
		f.Limit = works.Low.String()
		f.Mend = "Bring the target pH to " + f.Limit + " or higher, or take a preservative that works at it."
	default:
		return nil
	}
	f.Message = d.name + " works at pH " + works.String() + ", and the target is pH " + target.String() + "." + left(d, target)
	for _, a := range acidsOf(d) {
		f.Source += "; " + acidSource(a)
	}
	return []Finding{f}
}

// left tells how much of a preservative's acids keeps the form that works, over the target.
func left(d *dose, target quantity.Interval) string {
	text := ""
	for _, a := range acidsOf(d) {
		most, ok1 := a.Undissociated(target.Low)
		least, ok2 := a.Undissociated(target.High)
		if !ok1 || !ok2 {
			continue
		}
		text += " At pH " + target.Low.String() + " " + most.Text(1) + " % of its " + a.Name + " is in the form that works"
		if target.Low.Cmp(target.High) != 0 {
			text += ", at pH " + target.High.String() + " " + least.Text(1) + " %"
		}
		text += "."
	}
	return text
}

// acidSource gives where an acid's strength is from.
func acidSource(a law.Acid) string {
	if a.Status == "memory" {
		return a.Source + ", from memory"
	}
	return a.Source
}
