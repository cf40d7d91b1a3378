// Package quantity reads, holds and writes exact amounts: weights, volumes, percents, parts and ratios.
//
// No value here is a binary floating-point number and nothing is rounded until a value is written ([Number.Fixed]) or read off
// a scale ([Rule.Steps], [RoundTo]): half away from zero, but for [RoundDown], which says so.
package quantity

import (
	"math"
	"math/bits"
)

// A Mass is an exact weight. Its zero value is no weight.
type Mass struct{ g Number }

// Grams gives a weight of n grams.
func Grams(n Number) Mass { return Mass{g: n} }

// Grams gives the weight as a number of grams.
func (m Mass) Grams() Number { return m.g }

// Ounces gives the weight as a number of avoirdupois ounces of 28.349523125 g (NIST Handbook 44, Appendix C).
func (m Mass) Ounces() Number { return m.g.Quo(ounce.factor) }

// String writes the weight in grams, exactly.
func (m Mass) String() string { return m.g.String() + " g" }

// A Volume is an exact volume. Its zero value is no volume.
type Volume struct{ ml Number }

// Millilitres gives a volume of n millilitres.
func Millilitres(n Number) Volume { return Volume{ml: n} }

// Millilitres gives the volume as a number of millilitres.
func (v Volume) Millilitres() Number { return v.ml }

// Weigh gives what the volume weighs at a density: there is no other way from a volume to a weight.
func (v Volume) Weigh(d Density) Mass { return Mass{g: v.ml.Mul(d.gPerML)} }

// String writes the volume in millilitres, exactly.
func (v Volume) String() string { return v.ml.String() + " ml" }

// A Density is an exact weight per volume, in grams per millilitre. Its zero value means that none is known.
type Density struct{ gPerML Number }

// GramsPerMillilitre gives the density as a number.
func (d Density) GramsPerMillilitre() Number { return d.gPerML }

// Known says whether there is a density.
func (d Density) Known() bool { return d.gPerML.Sign() > 0 }

// String writes the density in grams per millilitre, exactly.
func (d Density) String() string { return d.gPerML.String() + " g/ml" }

// ReadOunces gives the weight in ounces as it is shown beside grams: rounded half away from zero to 2 places from
// one ounce up and to 3 below, where 0.01 oz would hide a third of a gram.
func (m Mass) ReadOunces() Number {
	if m.g.big == nil && m.g.num >= 0 {
		over, num := bits.Mul64(uint64(m.g.num), uint64(ounce.factor.den))
		under, den := bits.Mul64(uint64(max(m.g.den, 1)), uint64(ounce.factor.num))
		if over == 0 && under == 0 {
			step := powersOfTen[2]
			if num < den {
				step = powersOfTen[3]
			}
			if steps, ok := roundedQuotient(num, step, den); ok && steps <= math.MaxInt64 {
				return reduced(int64(steps), int64(step))
			}
		}
	}
	exact := m.Ounces()
	places := 2
	if exact.Cmp(Int(1)) < 0 {
		places = 3
	}
	step := Fraction(1, int64(powersOfTen[places]))
	return RoundTo(Mass{g: exact}, Mass{g: step}).g
}
