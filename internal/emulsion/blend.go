package emulsion

import "larkrow.example/stillroom/internal/quantity"

// A Part is one oil or emulsifier of a blend.
type Part struct {
	Name   string
	Weight quantity.Number    // at least 0, in one unit for all
	HLB    *quantity.Interval // an emulsifier's, or what an oil asks for; nil where not known
}

// A Blend is the parts together.
type Blend struct {
	Weight  quantity.Number
	HLB     quantity.Interval // mean over the parts that have one, at the low and at the high end; none where Known is 0
	Known   quantity.Number   // percent of the blend that has one
	Unknown []string          // the names of the parts that have none
}

// Mix gives the parts together: the means weighted by weight. Parts that weigh nothing are left out.
func Mix(parts []Part) Blend {
	var b Blend
	known := quantity.Number{}
	for _, p := range parts {
		switch {
		case p.Weight.Sign() <= 0:
			continue
		case p.HLB == nil:
			b.Unknown = append(b.Unknown, p.Name)
		default:
			known = known.Add(p.Weight)
			b.HLB.Low = b.HLB.Low.Add(p.Weight.Mul(p.HLB.Low))
			b.HLB.High = b.HLB.High.Add(p.Weight.Mul(p.HLB.High))
		}
		b.Weight = b.Weight.Add(p.Weight)
	}
	if known.Sign() == 0 {
		return b
	}
	b.HLB = quantity.Interval{Low: b.HLB.Low.Quo(known), High: b.HLB.High.Quo(known)}
	b.Known = quantity.Int(100).Mul(known).Quo(b.Weight)
	return b
}

// Whole says whether there is something and all of it has a figure.
func (b Blend) Whole() bool { return b.Weight.Sign() > 0 && len(b.Unknown) == 0 }

// Middle gives the middle of the HLB, and false where none is known.
func (b Blend) Middle() (quantity.Number, bool) {
	if b.Known.Sign() == 0 {
		return quantity.Number{}, false
	}
	return b.HLB.Low.Add(b.HLB.High).Quo(quantity.Int(2)), true
}
