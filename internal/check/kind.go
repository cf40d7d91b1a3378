package check

import (
	"slices"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// Product types, by how they are used.
var (
	soaps  = []string{"bar soap", "shaving soap", "shampoo bar"}                                    // solid
	washes = []string{"liquid soap", "hand wash", "body wash", "face wash", "baby wash", "shampoo"} // may be a true soap in water
	baths  = []string{"bath salts", "bath fizz", "bubble bath", "bath oil", "bath melt", "bath tea", "milk bath", "foot soak"}
	scrubs = []string{"body scrub", "foot scrub", "lip scrub"}
	masks  = []string{"face mask", "hair mask"}
)

func (s *inspection) isA(types ...[]string) bool {
	return slices.ContainsFunc(types, func(t []string) bool { return slices.Contains(t, s.Product.Name) })
}

// what names the product in a sentence.
func (s *inspection) what() string {
	if s.Product.Name == "" {
		return "product"
	}
	return s.Product.Name
}

// isTrueSoap says whether the product is a soap made of fats with lye, by [Subject.Soap]: one that takes up at least half of them, as a
// trace of lye that sets the pH of a wash does not.
func (s *inspection) isTrueSoap() bool {
	if !s.isA(soaps, washes) {
		return false
	}
	made, ok := s.asSoap()
	return ok && made.Saponified
}

// isSoap says whether figures for soap are meant for the product: a true soap, or a bar that is not made of surfactants in its place.
func (s *inspection) isSoap() bool { return s.isTrueSoap() || s.isA(soaps) && !s.isSyndet() }

// soapNames are the INCI names of what comes out of fats and lye.
var soapNames = sync.OnceValue(func() map[string]bool {
	names := make(map[string]bool)
	for _, f := range soap.FatTable() {
		names[f.SodiumSoap], names[f.PotassiumSoap] = true, true
	}
	delete(names, "")
	return names
})

// isSoapBase says whether a material is soap already, as a base to melt is.
func isSoapBase(m *material.Material) bool {
	return slices.ContainsFunc(m.Composition, func(c material.Constituent) bool { return soapNames()[c.INCI] })
}

// fats gives the items that are the product's fats: what a rate "of the oils" is measured on.
func (s *inspection) fats() []int {
	return s.oils.get(func() []int {
		isSoap := s.isSoap()
		return itemsOf(s.dosesThat(func(d *dose) bool {
			if isSoap {
				f, ok := d.facts.soap.Fat(d.name, d.percent)
				return ok && !f.Acid
			}
			return d.facts.oil
		}))
	})
}

// water gives how much of a material is water, in percent: all of one that is a plant water or juice and tells no figure.
func water(m *material.Material) quantity.Number {
	if !m.BringsWater() {
		return quantity.Number{}
	}
	if p, ok := m.WaterPercent(); ok && p.Sign() > 0 {
		return p
	}
	return quantity.Int(100)
}

// guarded gives the materials that are there to hold microbes back.
func (s *inspection) guarded() []*dose {
	return s.guards.get(func() []*dose { return s.dosesThat(func(d *dose) bool { return d.facts.protects }) })
}

// protects says whether a material is there to hold microbes back.
func protects(m *material.Material) bool {
	return m.Has("preservative", "preservative-booster") || len(m.Protects) > 0
}

// wet gives the materials that bring water into a product. A preservative's own water is not counted, nor that of a soap base in a bar,
// which keeps it (common practice, no source). What is not known counts where its name tells of water.
func (s *inspection) wet() []*dose {
	return s.waters.get(func() []*dose {
		return append(s.dosesThat(func(d *dose) bool {
			return d.facts.wet && !d.facts.protects && !(d.facts.soapBase && s.isA(soaps))
		}), s.wetByName()...)
	})
}

// waterPercent gives how much of a product is water that materials bring.
func waterPercent(materials []*dose) quantity.Number {
	sum := quantity.Number{}
	for _, d := range materials {
		if d.facts.wet {
			sum = sum.Add(part(d.percent, d.facts.water))
		}
	}
	return sum
}

// part gives so many percent of a percentage.
func part(percent, of quantity.Number) quantity.Number {
	return percent.Mul(of).Quo(quantity.Int(100))
}

// littleWater is the percentage of water up to which a product of powders and salts counts as dry: common practice, no source.
var littleWater = quantity.Int(5)

// isDryGoods says whether a product is at least half powders and salts with next to no water, as a bath fizz is.
func (s *inspection) isDryGoods() bool {
	solid := s.dosesThat(func(d *dose) bool {
		return !d.facts.wet && d.Has("salt", "clay", "starch", "exfoliant", "food", "botanical", "alkali", "acid", "colourant") && !d.Has("oil")
	})
	return percentOf(solid).Cmp(quantity.Int(50)) >= 0 && !s.hasWater()
}

// isSolid says whether the product is a bar or stick, which no hand dips into.
func (s *inspection) isSolid() bool { return strings.HasSuffix(s.Product.Name, " bar") || s.isA(soaps) }

// and joins names: "a, b and c", or "a; b, fine; and c" where a comma in a name would hide where it ends.
func and(names []string) string {
	last := len(names) - 1
	switch {
	case last < 0:
		return ""
	case last == 0:
		return names[0]
	case last > 1 && strings.Contains(strings.Join(names, ""), ", "):
		return strings.Join(names[:last], "; ") + "; and " + names[last]
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}
