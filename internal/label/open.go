package label

import (
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// What a part of a product is on a label.
const (
	plain  = iota
	scent  // told as perfume in the EU
	colour // stands at the end
)

// A part is some of one substance in a product.
type part struct {
	*named
	percent quantity.Number
}

// Flags of an [Entry]: what the maker has to look into.
const (
	NameUnknown  = "INCI name not known"
	PartsUnknown = "composition not told in full"
	PartUnknown  = "share in its material not known"
	TypicalSplit = "percents of a typical material: the supplier's sheet decides"
	NoScentData  = "allergens not known: ask for the fragrance's certificate"
	TypicalScent = "allergens of a typical lot: the certificate decides"
	SoapFromMemo = "name of the soap from memory"
	SoapUnknown  = "name of the soap not known"
	NotListedUS  = "no US listing as a colour is known"
	SeveralUS    = "several US colours have this number: name the one that was bought"
)

// opened is a version opened into its substances, and what could not be told of it.
type opened struct {
	parts  []part
	doubts []string
}

// open opens every material of a version into its substances; a soap as it comes out where that is wanted and can be told.
func (s *look) open() opened {
	if s.AsMade {
		made, why := s.made()
		if why == "" {
			return made
		}
		o := s.weighed()
		o.doubts = append(o.doubts, "The soap is listed by what goes in, not as made: "+why+".")
		return o
	}
	return s.weighed()
}

// weighed opens a version as it is weighed.
func (s *look) weighed() opened {
	o := opened{parts: make([]part, 0, 2*len(s.Version.Items))}
	for i := range s.Version.Items {
		o.parts = s.openItem(o.parts, i)
	}
	return o
}

// openItem opens one item, after other parts. The new ones add up to its percent.
func (s *look) openItem(parts []part, i int) []part {
	percent := s.percents[i]
	if percent.Sign() <= 0 {
		return parts
	}
	f := s.facts[i]
	if f == nil {
		return append(parts, part{newNamed(s.Version.Items[i].Name, "", plain, []string{NameUnknown}), percent})
	}
	for _, p := range f.parts {
		parts = append(parts, part{p.named, percent.Mul(p.of)})
	}
	return parts
}

// open opens a material into its substances: what of it is known, and the rest under its own name.
func open(m *material.Material) []share {
	if len(m.Composition) == 0 {
		return []share{newShare(newNamed(m.Name, "", plain, []string{NameUnknown}), quantity.Int(1))}
	}
	left, untold := hundred.Sub(sumOf(m)), countUntold(m)
	var parts []share
	for _, c := range m.Composition {
		kind := kindOf(m, plainKey(c.INCI), c.INCI)
		flags := flagsOf(m, kind)
		percent := c.Percent
		if percent.Sign() == 0 && untold > 0 {
			percent = left.Quo(quantity.Int(untold))
			flags = append(flags, PartUnknown)
		}
		if percent.Sign() > 0 {
			parts = append(parts, newShare(newNamed(c.INCI, c.US, kind, flags), fraction(percent)))
		}
	}
	if untold == 0 && left.Sign() > 0 {
		parts = append(parts, newShare(newNamed(m.Name, "", plain, []string{PartsUnknown, NameUnknown}), fraction(left)))
	}
	return parts
}

// countUntold counts the substances of which a material has an untold share of what the others leave.
func countUntold(m *material.Material) int64 {
	if hundred.Cmp(sumOf(m)) <= 0 {
		return 0
	}
	n := int64(0)
	for _, c := range m.Composition {
		if c.Percent.Sign() == 0 {
			n++
		}
	}
	return n
}

func sumOf(m *material.Material) quantity.Number {
	sum := quantity.Number{}
	for _, c := range m.Composition {
		sum = sum.Add(c.Percent)
	}
	return sum
}

// kindOf says what a substance of a material is on a label.
func kindOf(m *material.Material, key, inci string) int {
	switch {
	case isColour(m, key, inci):
		return colour
	case isScent(m, key):
		return scent
	}
	return plain
}

// isScent says whether a substance is there for its smell: what is called perfume; what a fragrance or an essential oil of one
// substance is; and an essential oil in a blend of them. What thins such a blend is told by its own name.
func isScent(m *material.Material, key string) bool {
	if isPerfume(key) {
		return true
	}
	return m.Has("fragrance", "essential-oil") && (len(m.Composition) == 1 || essentialOils()[key])
}

// flagsOf gives what the maker has to look into for a substance of a material.
func flagsOf(m *material.Material, kind int) []string {
	var flags []string
	if m.Split.Known && len(m.Composition) > 1 {
		flags = append(flags, TypicalSplit)
	}
	if kind == scent {
		switch {
		case m.Fragrance.Known:
		case len(m.Fragrance.Allergens) == 0:
			flags = append(flags, NoScentData)
		default:
			flags = append(flags, TypicalScent)
		}
	}
	return flags
}

var hundred = quantity.Int(100)

func percentOf(n, percent quantity.Number) quantity.Number { return n.Mul(percent).Quo(hundred) }
