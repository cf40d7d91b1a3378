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
	inci    string // as the material or a table names it
	key     string // of inci; see plainKey
	us      string // US name where it is known to differ, or ""
	percent quantity.Number
	kind    int
	flags   []string
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
func (s *Subject) open() opened {
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
func (s *Subject) weighed() opened {
	var o opened
	for i, item := range s.Version.Items {
		o.parts = append(o.parts, openItem(item.Name, s.material(i), s.Version.Percent(i))...)
	}
	return o
}

// openItem opens one item. The parts add up to its percent.
func openItem(name string, m *material.Material, percent quantity.Number) []part {
	switch {
	case percent.Sign() <= 0:
		return nil
	case m == nil:
		return []part{{inci: name, key: plainKey(name), percent: percent, flags: []string{NameUnknown}}}
	case len(m.Composition) == 0:
		return []part{{inci: m.Name, key: plainKey(m.Name), percent: percent, flags: []string{NameUnknown}}}
	}
	left, untold := hundred.Sub(sumOf(m)), countUntold(m)
	var parts []part
	for _, c := range m.Composition {
		p := part{inci: c.INCI, key: plainKey(c.INCI), us: c.US}
		p.kind = kindOf(m, p.key, c.INCI)
		p.flags = flagsOf(m, p.kind)
		share := c.Percent
		if share.Sign() == 0 && untold > 0 {
			share = left.Quo(quantity.Int(untold))
			p.flags = append(p.flags, PartUnknown)
		}
		if share.Sign() <= 0 {
			continue
		}
		p.percent = percentOf(percent, share)
		parts = append(parts, p)
	}
	if untold == 0 && left.Sign() > 0 {
		parts = append(parts, part{inci: m.Name, key: plainKey(m.Name), percent: percentOf(percent, left), flags: []string{PartsUnknown, NameUnknown}})
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
