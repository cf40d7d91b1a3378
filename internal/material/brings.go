package material

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// WaterPercent gives how much of the material is water, in percent by weight: what is stated, else the water of its
// composition. It is false where neither is known.
func (m *Material) WaterPercent() (quantity.Number, bool) {
	if m.Water.Known {
		return m.Water.Value, true
	}
	sum := quantity.Number{}
	for _, c := range m.Composition {
		if isWater(c.INCI) || isWater(c.US) {
			sum = sum.Add(c.Percent)
		}
	}
	return sum, len(m.Composition) > 0
}

func isWater(inci string) bool { return Key(inci) == "aqua" || Key(inci) == "water" }

// BringsWater says whether the material brings water into a product: by what is stated of it, else as a water, or as
// water, a plant water or a juice by INCI name. What is nearly dry does not.
func (m *Material) BringsWater() bool {
	if m.Water.Known {
		return m.Water.Value.Cmp(dryAs) > 0
	}
	return m.Has("water") || slices.ContainsFunc(m.Composition, func(c Constituent) bool {
		return isWater(c.INCI) || isWater(c.US) || strings.HasSuffix(Key(c.INCI), " water") || strings.HasSuffix(Key(c.INCI), " juice")
	})
}

// dryAs is the percentage of water up to which a material counts as dry: what milk and fruit powders hold. Common practice, no source.
var dryAs = quantity.Int(5)

// IsFood says whether the material is a food or a milk.
func (m *Material) IsFood() bool { return m.Has("food", "milk") }

// IsFresh says whether the material is a food that brings its water along, and spoils for it. Vinegar and the like do not.
func (m *Material) IsFresh() bool { return m.IsFood() && m.BringsWater() && !m.Has("acid") }

// NeedsPreservative says whether a product with the material needs a preservative once water is in it or comes to it.
func (m *Material) NeedsPreservative() bool { return m.BringsWater() || m.IsFood() }

// LowestHeat gives the lower of the material's heat limit and the temperature below which to add it. It is not known where neither is.
func (m *Material) LowestHeat() Sourced[quantity.Temperature] {
	limit, below := m.HeatLimit, m.AddBelow
	if !limit.Known || below.Known && below.Value.Celsius().Cmp(limit.Value.Celsius()) < 0 {
		return below
	}
	return limit
}

// SaponificationValue gives the value to reckon with, in mg KOH per g: the usual one, else the middle of the range.
func (m *Material) SaponificationValue() (quantity.Number, bool) {
	if m.Typical.Known {
		return m.Typical.Value, true
	}
	v := m.Saponified.Value
	return v.Low.Add(v.High).Quo(quantity.Int(2)), m.Saponified.Known
}

// UsesFor gives the rates that hold for a product named from special to general, such as ("bar soap", "soap", "rinse-off"):
// those of law and of safety panels for any of the names and for all products, and of the rest those for the first
// name that has any, or else for all products.
func (m *Material) UsesFor(names ...string) []Use {
	names = append(names[:len(names):len(names)], "all")
	var binding, usual []Use
	for _, name := range names {
		var here []Use
		for _, u := range m.Uses {
			switch {
			case Key(u.For) != Key(name):
			case u.Basis == Law || u.Basis == SafetyPanel:
				binding = append(binding, u)
			default:
				here = append(here, u)
			}
		}
		if usual == nil {
			usual = here
		}
	}
	return append(binding, usual...)
}
