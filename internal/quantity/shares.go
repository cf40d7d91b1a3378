package quantity

import (
	"math/big"
	"math/bits"
)

// Shares are the parts of a whole as whole numbers over their sum: nothing is lost to rounding, and a weight is
// one multiplication and one rounding away.
type Shares struct {
	parts []uint64 // nil where they do not fit 64 bits
	whole uint64
	wide  []*big.Int
	sum   *big.Int
}

// NewShares gives the shares that amounts have in their sum. None may be below 0 and the sum must be above 0.
func NewShares(amounts []Number) Shares {
	if s, ok := narrowShares(amounts); ok {
		return s
	}
	common := big.NewInt(1)
	rats := make([]*big.Rat, len(amounts))
	for i, a := range amounts {
		rats[i] = a.Rat()
		common = lcm(common, rats[i].Denom())
	}
	s := Shares{wide: make([]*big.Int, len(amounts)), sum: new(big.Int)}
	divisor := new(big.Int)
	for i, r := range rats {
		s.wide[i] = new(big.Int).Mul(r.Num(), new(big.Int).Quo(common, r.Denom()))
		s.sum.Add(s.sum, s.wide[i])
		divisor.GCD(nil, nil, divisor, s.wide[i])
	}
	if s.sum.Sign() <= 0 {
		panic("quantity: shares of nothing")
	}
	for _, w := range s.wide {
		w.Quo(w, divisor)
	}
	s.sum.Quo(s.sum, divisor)
	s.narrow()
	return s
}

// narrowShares gives the shares where all of the working out fits machine words.
func narrowShares(amounts []Number) (Shares, bool) {
	common := uint64(1)
	for _, a := range amounts {
		if a.big != nil || a.num < 0 {
			return Shares{}, false
		}
		den := uint64(max(a.den, 1))
		over, product := bits.Mul64(common/gcd(common, den), den)
		if over != 0 {
			return Shares{}, false
		}
		common = product
	}
	s := Shares{parts: make([]uint64, len(amounts))}
	divisor := uint64(0)
	for i, a := range amounts {
		over, part := bits.Mul64(uint64(a.num), common/uint64(max(a.den, 1)))
		sum, carry := bits.Add64(s.whole, part, 0)
		if over != 0 || carry != 0 {
			return Shares{}, false
		}
		s.parts[i], s.whole, divisor = part, sum, gcd(part, divisor)
	}
	if s.whole == 0 {
		return Shares{}, false
	}
	for i := range s.parts {
		s.parts[i] /= divisor
	}
	s.whole /= divisor
	return s, true
}

// narrow keeps the shares in machine words where they fit.
func (s *Shares) narrow() {
	if !s.sum.IsUint64() {
		return
	}
	s.whole = s.sum.Uint64()
	s.parts = make([]uint64, len(s.wide))
	for i, w := range s.wide {
		s.parts[i] = w.Uint64()
	}
	s.wide, s.sum = nil, nil
}

func lcm(a, b *big.Int) *big.Int {
	g := new(big.Int).GCD(nil, nil, a, b)
	return g.Mul(new(big.Int).Quo(a, g), b)
}

// Len gives how many shares there are.
func (s Shares) Len() int { return max(len(s.parts), len(s.wide)) }

// At gives the i-th share as a fraction of 1.
func (s Shares) At(i int) Number {
	if s.parts == nil {
		return fromRat(new(big.Rat).SetFrac(s.wide[i], s.sum))
	}
	if s.whole <= 1<<63-1 {
		return reduced(int64(s.parts[i]), int64(s.whole))
	}
	return fromRat(new(big.Rat).SetFrac(new(big.Int).SetUint64(s.parts[i]), new(big.Int).SetUint64(s.whole)))
}

// Of gives the exact weight of the i-th share in a batch.
func (s Shares) Of(i int, batch Mass) Mass { return Mass{g: s.At(i).Mul(batch.g)} }

// A Rule works out what each share of one batch weighs in whole steps of a scale.
type Rule struct {
	shares   Shares
	mul, div uint64 // steps = part × mul / div; 0 where they do not fit
	ratio    *big.Rat
}

// Rule gives the rule for a batch and a step, both above 0.
func (s Shares) Rule(batch, step Mass) Rule {
	steps := batch.g.Quo(step.g)
	r := Rule{shares: s}
	if s.parts != nil && steps.big == nil && steps.num > 0 {
		g := gcd(uint64(steps.num), s.whole)
		hi, div := bits.Mul64(s.whole/g, uint64(steps.den))
		if hi == 0 {
			r.mul, r.div = uint64(steps.num)/g, div
			return r
		}
	}
	r.ratio = steps.Rat()
	return r
}

// Steps gives the i-th share as the nearest whole number of steps, half away from zero.
func (r Rule) Steps(i int) Number {
	if r.div != 0 {
		hi, lo := bits.Mul64(r.shares.parts[i], r.mul)
		if hi < r.div {
			q, rem := bits.Div64(hi, lo, r.div)
			if q < 1<<63-1 { // room to round up
				if rem > 0 && rem >= r.div-rem {
					q++
				}
				return Int(int64(q))
			}
		}
	}
	ratio := r.ratio
	if ratio == nil {
		ratio = new(big.Rat).SetFrac(new(big.Int).Mul(new(big.Int).SetUint64(r.mul), new(big.Int).SetUint64(r.shares.whole)), new(big.Int).SetUint64(r.div))
	}
	exact := fromRat(new(big.Rat).Mul(r.shares.At(i).Rat(), ratio))
	return exact.Add(Fraction(1, 2)).floor()
}
