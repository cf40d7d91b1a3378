package check

import (
	"slices"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A keeper is what may keep a wet product by itself where there is enough of it.
type keeper struct {
	name   string
	least  int64 // percent: of the product, or of it and the product's water together
	kills  int64 // percent above which nothing grows and nothing is said; 0 where there is none such
	whole  bool  // of the product
	source string
	of     func(m *material.Material) quantity.Number // how much of a material is it, in percent
}

// keepers are the products' own defences, each with the least that may do.
var keepers = []keeper{
	{"alcohol", 20, 60, true, "ISO 29621, products of low microbial risk, from memory", func(m *material.Material) quantity.Number {
		if m.Has("alcohol") {
			return quantity.Int(100)
		}
		return portion(m, "Alcohol", "Alcohol Denat.", "Isopropyl Alcohol")
	}},
	{"sugar", 65, 0, false, "USP Syrup, 85 g of sucrose in 100 ml, from memory", func(m *material.Material) quantity.Number {
		if honey := portion(m, "Mel"); honey.Sign() > 0 {
			return honey.Sub(part(honey, water(m)))
		}
		return portion(m, "Sucrose", "Glucose", "Fructose")
	}},
	{"salt", 26, 0, false, "brine saturated with sodium chloride, CRC Handbook, from memory", func(m *material.Material) quantity.Number {
		return portion(m, "Sodium Chloride", "Maris Sal")
	}},
	{"glycerin", 60, 0, false, "common practice, no source", func(m *material.Material) quantity.Number {
		return portion(m, "Glycerin")
	}},
}

// portion gives how much of a material some substances are, in percent.
func portion(m *material.Material, inci ...string) quantity.Number {
	sum := quantity.Number{}
	for _, c := range m.Composition {
		if slices.Contains(inci, c.INCI) {
			sum = sum.Add(c.Percent)
		}
	}
	return sum
}

// A defence is a keeper that a product has enough of.
type defence struct {
	keeper
	value quantity.Number // percent, as the keeper's least is meant
}

// defend gives the defence that a product has against all the water in it, the first of the table, if it has one.
func (s *inspection) defend() (defence, bool) {
	all := s.doses
	if named := s.wetByName(); named != nil {
		all = slices.Concat(all, named)
	}
	for n, k := range keepers {
		have := quantity.Number{}
		for _, d := range all {
			if keeps := d.facts.keeps[n]; keeps.Sign() != 0 {
				have = have.Add(part(d.percent, keeps))
			}
		}
		if !k.whole && have.Sign() != 0 {
			have = hundredfold(have, have.Add(waterPercent(all)))
		}
		if have.Cmp(quantity.Int(k.least)) >= 0 {
			return defence{k, have}, true
		}
	}
	return defence{}, false
}
