package quantity

import (
	"fmt"
	"slices"
)

// A Scale says in what steps a maker's scales read, by how heavy the load is. Its zero value reads 0.1 g throughout.
type Scale struct {
	ranges []ScaleRange
}

// A ScaleRange is the step that is read for loads up to a weight; the last range of a scale has UpTo 0 and no end.
type ScaleRange struct {
	Reads, UpTo Mass
}

// defaultStep is what a common bench scale reads.
var defaultStep = Grams(Fraction(1, 10))

// maxStepPlaces is how many decimals of a gram a scale may read.
const maxStepPlaces = 6

// NewScale gives the scale with the given ranges, in rising order, only the last without an end.
// A step must be a whole number of micrograms.
func NewScale(ranges []ScaleRange) (Scale, error) {
	for i, r := range ranges {
		places, finite := r.Reads.g.Places()
		switch {
		case r.Reads.g.Sign() <= 0 || !finite || places > maxStepPlaces:
			return Scale{}, fmt.Errorf("range %d: a scale reads in steps such as 0.01 g, 0.1 g or 1 g", i+1)
		case i < len(ranges)-1 && r.UpTo.g.Sign() <= 0:
			return Scale{}, fmt.Errorf("range %d: only the last range has no end", i+1)
		case i == len(ranges)-1 && r.UpTo.g.Sign() != 0:
			return Scale{}, fmt.Errorf("range %d: the last range has no end", i+1)
		case i > 0 && i < len(ranges)-1 && r.UpTo.g.Cmp(ranges[i-1].UpTo.g) <= 0:
			return Scale{}, fmt.Errorf("range %d: ranges stand in rising order", i+1)
		case i > 0 && r.Reads.g.Cmp(ranges[i-1].Reads.g) < 0:
			return Scale{}, fmt.Errorf("range %d: a heavier load is not read more finely than a lighter one", i+1)
		}
	}
	return Scale{ranges: slices.Clone(ranges)}, nil
}

// Ranges gives the scale's ranges in rising order, at least one; only the last has no end.
func (s Scale) Ranges() []ScaleRange {
	if len(s.ranges) == 0 {
		return []ScaleRange{{Reads: defaultStep}}
	}
	return slices.Clone(s.ranges)
}

// Step gives what the scale reads for a load: the step of the first range that reaches as far.
func (s Scale) Step(load Mass) Mass {
	for _, r := range s.ranges {
		if r.UpTo.g.Sign() == 0 || load.g.Cmp(r.UpTo.g) <= 0 {
			return r.Reads
		}
	}
	return defaultStep
}

// Round gives the weight that the scale can read nearest to an exact one, half away from zero.
func (s Scale) Round(exact Mass) Mass { return RoundTo(exact, s.Step(exact)) }

// RoundTo gives the multiple of a step nearest to an exact weight, half away from zero; step must be above 0.
func RoundTo(exact, step Mass) Mass {
	whole := exact.g.Quo(step.g)
	half := Fraction(1, 2)
	if whole.Sign() < 0 {
		return Mass{g: RoundTo(Mass{g: exact.g.Neg()}, step).g.Neg()}
	}
	return Mass{g: whole.Add(half).floor().Mul(step.g)}
}

// RoundDown gives the greatest multiple of a step not above an exact weight; step must be above 0.
func RoundDown(exact, step Mass) Mass {
	return Mass{g: exact.g.Quo(step.g).floor().Mul(step.g)}
}
