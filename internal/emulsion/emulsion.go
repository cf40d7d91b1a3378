// Package emulsion works out what an emulsion asks of its emulsifiers.
package emulsion

import (
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// The rule of mixtures is Griffin's (Classification of surface-active agents by HLB, J. Soc. Cosmet. Chem. 1, 1949, 311–326; from
// memory): the HLB of a blend, and the HLB that an oil phase asks for, are the means weighted by weight.

// Usual figures, for the findings.
const (
	UsualPercent = 20 // emulsifiers in percent of the oil phase, at least: common practice, no source
	UsualOff     = 1  // how far the HLB of the emulsifiers may be from what the oil phase asks for: common practice, no source
)

// An Emulsion is what of a formula concerns an emulsion.
type Emulsion struct {
	Oil        Blend           // HLB: what it asks for
	Emulsifier Blend           // HLB: what it has
	Water      quantity.Number // percent of the formula: what is water outright
	Unknown    []string        // names of the ingredients of which no material is known: they may belong to either
}

// Read picks the oil phase and the emulsifiers out of a version's items, given the material of each (nil where none is known) and
// the percent that it comes to, exactly or as it is weighed: by what the materials are for and not by the phases that they are weighed in. The oil phase is the oils, butters, waxes,
// esters and fatty alcohols that are not emulsifiers as well; fragrance and essential oils are not counted.
func Read(items []formula.Item, materials []*material.Material, percent func(i int) quantity.Number) Emulsion {
	var e Emulsion
	oil, emulsifier := make([]Part, 0, 8), make([]Part, 0, 4) // more than most have
	for i, item := range items {
		var m *material.Material
		if i < len(materials) {
			m = materials[i]
		}
		switch {
		case m == nil:
			e.Unknown = append(e.Unknown, item.Name)
		case IsEmulsifier(m):
			emulsifier = append(emulsifier, Part{item.Name, percent(i), single(m.HLB)})
		case IsOil(m):
			oil = append(oil, Part{item.Name, percent(i), interval(&m.RequiredHLB)})
		case m.Has("water"):
			e.Water = e.Water.Add(percent(i))
		}
	}
	e.Oil, e.Emulsifier = Mix(oil), Mix(emulsifier)
	return e
}

// IsEmulsifier says whether a material binds oil and water. A fatty acid does so only as soap, where an alkali is there, and is none here.
func IsEmulsifier(m *material.Material) bool {
	return m.Has("emulsifying-wax") || m.Has("emulsifier") && !m.Has("acid")
}

// IsOil says whether a material belongs to the oil phase.
func IsOil(m *material.Material) bool {
	return m.Has("oil", "butter", "wax", "ester", "fatty-alcohol") && !IsEmulsifier(m)
}

func single(s material.Sourced[quantity.Number]) *quantity.Interval {
	if !s.Known {
		return nil
	}
	return &quantity.Interval{Low: s.Value, High: s.Value}
}

func interval(s *material.Sourced[quantity.Interval]) *quantity.Interval {
	if !s.Known {
		return nil
	}
	return &s.Value
}

// Share gives the emulsifiers in percent of the oil phase, and false where there is no oil phase. See [UsualPercent].
func (e Emulsion) Share() (quantity.Number, bool) {
	if e.Oil.Weight.Sign() == 0 {
		return quantity.Number{}, false
	}
	return quantity.Int(100).Mul(e.Emulsifier.Weight).Quo(e.Oil.Weight), true
}

// Off gives how far the HLB of the emulsifiers is outside what the oil phase asks for: above 0 too high, below 0 too low. Said only
// where every oil and every emulsifier has a figure and no ingredient is without material; else false. See [UsualOff].
func (e Emulsion) Off() (quantity.Number, bool) {
	if !e.Oil.Whole() || !e.Emulsifier.Whole() || len(e.Unknown) > 0 {
		return quantity.Number{}, false
	}
	if low := e.Emulsifier.HLB.High.Sub(e.Oil.HLB.Low); low.Sign() < 0 {
		return low, true
	}
	if high := e.Emulsifier.HLB.Low.Sub(e.Oil.HLB.High); high.Sign() > 0 {
		return high, true
	}
	return quantity.Number{}, true
}
