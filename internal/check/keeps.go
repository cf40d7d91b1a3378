package check

import "larkrow.example/stillroom/internal/quantity"

// keepsTooLong finds a claimed shelf life beyond that of the shortest-lived material, which is counted unopened, or beyond what is
// usual for such a product. Milk and water in a true soap do not last as such and are not looked at. Materials of which no shelf
// life is known are told of, but for waters and minerals.
func keepsTooLong(s *inspection) []Finding {
	if s.Keeps == nil {
		return nil
	}
	var found []Finding
	var shorter, unknown []*dose
	claimed := days(*s.Keeps)
	for _, d := range s.doses {
		switch {
		case s.isTrueSoap() && (d.IsFood() || d.facts.wet):
		case !d.Keeps.Known && !d.Has("water", "salt", "clay") && d.Origin != "mineral":
			unknown = append(unknown, d)
		case d.Keeps.Known && claimed.Cmp(d.facts.lasts) > 0:
			shorter = append(shorter, d)
		}
	}
	if len(shorter) > 0 {
		found = append(found, s.outlives(shorter))
	}
	if l := s.usualLife(); claimed.Cmp(days(l.usual)) > 0 {
		found = append(found, s.pastUsual(l))
	}
	if len(unknown) > 0 {
		found = append(found, s.lifeUnknown(unknown))
	}
	return found
}

// A life is how long a kind of product usually keeps at most: common practice, no source.
type life struct {
	kind  string
	usual quantity.Duration
}

// usualLife gives the life of the product's kind.
func (s *inspection) usualLife() life {
	months := func(kind string, n int64) life {
		return life{kind, quantity.Duration{Count: quantity.Int(n), Unit: "month"}}
	}
	wet := s.wet()
	if _, defended := s.defend(); len(wet) > 0 && defended {
		return months("a product that its own alcohol, sugar, salt or glycerin keeps", 24)
	}
	switch {
	case len(wet) == 0 && s.isA(soaps), s.isTrueSoap():
		return months("soap", 24)
	case s.isDryGoods():
		return months("dry goods", 24)
	case len(wet) == 0:
		return months("a product of oils and waxes without water", 18)
	case isPreserved(s, s.guarded()):
		return months("a preserved product with water", 12)
	}
	return life{"a product with water and no preservative, kept cold", quantity.Duration{Count: quantity.Int(14), Unit: "day"}}
}

// days gives the length of a duration in days: a year is 365.25, and a month a twelfth of that.
func days(d quantity.Duration) quantity.Number {
	year := quantity.Fraction(1461, 4)
	switch d.Unit {
	case "day":
		return d.Count
	case "week":
		return d.Count.Mul(quantity.Int(7))
	case "month":
		return d.Count.Mul(year).Quo(quantity.Int(12))
	case "year":
		return d.Count.Mul(year)
	}
	return d.Minutes().Quo(quantity.Int(24 * 60))
}

// inMonths writes a duration in months.
func inMonths(d quantity.Duration) quantity.Number {
	return days(d).Quo(days(quantity.Duration{Count: quantity.Int(1), Unit: "month"}))
}

// outlives is the finding on a claim beyond the shelf life of materials; the shortest is the limit.
func (s *inspection) outlives(shorter []*dose) Finding {
	least := shorter[0]
	for _, d := range shorter {
		if d.facts.lasts.Cmp(least.facts.lasts) < 0 {
			least = d
		}
	}
	f := s.claimed(least.Keeps.Value)
	f.Subject, f.Items, f.Source = least.name, itemsOf(shorter), shownSource(least.Keeps.Source)
	f.Message += least.name + " keeps for " + least.Keeps.Value.String() + " unopened"
	if len(shorter) > 1 {
		f.Message += "; shorter than the claim are " + and(namesOf(shorter))
	}
	f.Message += "."
	f.Mend = "Claim " + least.Keeps.Value.String() + " or less, or take a material that keeps longer."
	return f
}

func (s *inspection) pastUsual(l life) Finding {
	f := s.claimed(l.usual)
	f.Source = "common practice"
	f.Message += "up to " + l.usual.String() + " is usual for " + l.kind + "."
	f.Mend = "Claim " + l.usual.String() + " or less, or have a longer shelf life tested."
	return f
}

// claimed begins the finding on a claim past a limit, in months.
func (s *inspection) claimed(limit quantity.Duration) Finding {
	most := inMonths(limit)
	return Finding{
		Code: "keeps-too-long", Level: Caution, Unit: "months", Value: past(inMonths(*s.Keeps), most, 1), Limit: most.Text(1),
		Message: "It is said to keep for " + s.Keeps.String() + "; ",
	}
}

func (s *inspection) lifeUnknown(unknown []*dose) Finding {
	return Finding{
		Code: "keeps-too-long", Level: Caution, Subject: and(namesOf(unknown)), Items: itemsOf(unknown), Value: inMonths(*s.Keeps).Text(1), Unit: "months",
		Message: "How long " + and(namesOf(unknown)) + " keeps is not known, so the claim of " + s.Keeps.String() + " could not be checked against it.",
		Mend:    "Give keeps: on the ingredient's page, after the supplier's sheet.",
	}
}
