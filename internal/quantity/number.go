package quantity

import (
	"cmp"
	"math"
	"math/big"
	"math/bits"
)

// A Number is an exact fraction. It is a value: every method leaves its operands alone.
// Its zero value is 0. Two equal numbers need not be == once they are too large for
// 64 bits; compare with [Number.Cmp].
type Number struct {
	// num/den in lowest terms with den > 0, or 0/0 for zero; big takes over where they do not fit.
	num, den int64
	big      *big.Rat
}

// Int gives the whole number n.
func Int(n int64) Number {
	switch n {
	case 0:
		return Number{}
	case math.MinInt64: // has no opposite in 64 bits
		return fromRat(new(big.Rat).SetInt64(n))
	}
	return Number{num: n, den: 1}
}

// Fraction gives num/den; den must not be 0.
func Fraction(num, den int64) Number {
	if den == 0 {
		panic("quantity: fraction with denominator 0")
	}
	if den > 0 && num != math.MinInt64 {
		return reduced(num, den)
	}
	return fromRat(big.NewRat(num, den))
}

// FromRat gives the number equal to r.
func FromRat(r *big.Rat) Number { return fromRat(r) }

// reduced gives num/den in lowest terms, for den > 0 and num above the least int64.
func reduced(num, den int64) Number {
	if num == 0 {
		return Number{}
	}
	g := int64(gcd(abs(num), uint64(den)))
	return Number{num: num / g, den: den / g}
}

func fromRat(r *big.Rat) Number {
	if r.Sign() == 0 {
		return Number{}
	}
	if r.Num().IsInt64() && r.Denom().IsInt64() && r.Num().Int64() != -1<<63 {
		return Number{num: r.Num().Int64(), den: r.Denom().Int64()}
	}
	return Number{big: new(big.Rat).Set(r)}
}

// Rat gives the number as a new big.Rat.
func (n Number) Rat() *big.Rat {
	switch {
	case n.big != nil:
		return new(big.Rat).Set(n.big)
	case n.num == 0:
		return new(big.Rat)
	}
	return big.NewRat(n.num, n.den)
}

// Add gives n + m.
func (n Number) Add(m Number) Number {
	if n.isZero() {
		return m
	}
	if m.isZero() {
		return n
	}
	if n.big == nil && m.big == nil {
		g := n.den
		if n.den != m.den {
			g = int64(gcd(uint64(n.den), uint64(m.den)))
		}
		a, ok1 := mul64(n.num, m.den/g)
		b, ok2 := mul64(m.num, n.den/g)
		den, ok3 := mul64(n.den, m.den/g)
		sum := a + b
		if ok1 && ok2 && ok3 && (sum > a) == (b > 0) && sum != -1<<63 {
			return reduced(sum, den)
		}
	}
	return fromRat(new(big.Rat).Add(n.Rat(), m.Rat()))
}

// Neg gives -n.
func (n Number) Neg() Number {
	if n.big != nil {
		return fromRat(new(big.Rat).Neg(n.big))
	}
	return Number{num: -n.num, den: n.den}
}

// Sub gives n - m.
func (n Number) Sub(m Number) Number { return n.Add(m.Neg()) }

// Mul gives n × m.
func (n Number) Mul(m Number) Number {
	if n.isZero() || m.isZero() {
		return Number{}
	}
	if n.big == nil && m.big == nil {
		g := int64(gcd(abs(n.num), uint64(m.den)))
		h := int64(gcd(abs(m.num), uint64(n.den)))
		num, ok1 := mul64(n.num/g, m.num/h)
		den, ok2 := mul64(n.den/h, m.den/g)
		if ok1 && ok2 {
			return Number{num: num, den: den}
		}
	}
	return fromRat(new(big.Rat).Mul(n.Rat(), m.Rat()))
}

// Quo gives n ÷ m; m must not be 0.
func (n Number) Quo(m Number) Number {
	switch {
	case m.isZero():
		panic("quantity: division by zero")
	case m.big != nil:
		return n.Mul(fromRat(new(big.Rat).Inv(m.big)))
	case m.num < 0:
		return n.Mul(Number{num: -m.den, den: -m.num})
	}
	return n.Mul(Number{num: m.den, den: m.num})
}

// Cmp gives -1, 0 or 1 as n is less than, equal to or more than m.
func (n Number) Cmp(m Number) int {
	if n.big == nil && m.big == nil && n.num >= 0 && m.num >= 0 {
		if n.den == m.den {
			return cmp.Compare(n.num, m.num)
		}
		nHi, nLo := bits.Mul64(uint64(n.num), uint64(max(m.den, 1)))
		mHi, mLo := bits.Mul64(uint64(m.num), uint64(max(n.den, 1)))
		switch {
		case nHi == mHi && nLo == mLo:
			return 0
		case nHi < mHi || nHi == mHi && nLo < mLo:
			return -1
		}
		return 1
	}
	return n.Rat().Cmp(m.Rat())
}

// Sign gives -1, 0 or 1 as n is below, equal to or above 0.
func (n Number) Sign() int {
	switch {
	case n.big != nil:
		return n.big.Sign()
	case n.num < 0:
		return -1
	case n.num > 0:
		return 1
	}
	return 0
}

func (n Number) isZero() bool { return n.big == nil && n.num == 0 }

// Floor gives the largest whole number not above n, and false where it does not fit an int64.
func (n Number) Floor() (int64, bool) {
	if n.big == nil {
		q := n.num / max(n.den, 1)
		if n.num < 0 && n.num%max(n.den, 1) != 0 {
			q--
		}
		return q, true
	}
	q := new(big.Int).Div(n.big.Num(), n.big.Denom()) // Euclidean: the floor for a positive divisor
	return q.Int64(), q.IsInt64()
}

// Text writes the number as a decimal rounded half away from zero to so many places, 0 to 18,
// without trailing zeros: "180.375", "33.333333", "0".
func (n Number) Text(places int) string { return string(n.AppendText(make([]byte, 0, 32), places)) }

// Fixed writes the number as a decimal rounded half away from zero with exactly so many places, 0 to 18.
func (n Number) Fixed(places int) string { return string(n.AppendFixed(make([]byte, 0, 32), places)) }

// Places gives how many decimal places write n exactly, and false where none do (as for 1/3) or more than 18 would.
func (n Number) Places() (int, bool) {
	if n.big != nil {
		p, exact := n.big.FloatPrec()
		return p, exact && p < len(powersOfTen)
	}
	den := uint64(max(n.den, 1))
	for p, ten := range powersOfTen {
		if ten%den == 0 {
			return p, true
		}
	}
	return 0, false
}

// String writes the number exactly: as a decimal where one of at most 18 places does, else as a fraction "1/3".
// [ParseNumber] reads it back where it is not below zero and no row of its digits is longer than 19.
func (n Number) String() string {
	if p, ok := n.Places(); ok {
		return n.Text(p)
	}
	return n.Rat().RatString()
}

var powersOfTen = [19]uint64{
	1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18,
}

func abs(n int64) uint64 {
	if n < 0 {
		return uint64(-n)
	}
	return uint64(n)
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// mul64 multiplies, and says whether the product fits (the least int64 counts as not fitting).
func mul64(a, b int64) (int64, bool) {
	hi, lo := bits.Mul64(abs(a), abs(b))
	if hi != 0 || lo > 1<<63-1 {
		return 0, false
	}
	if (a < 0) != (b < 0) {
		return -int64(lo), true
	}
	return int64(lo), true
}

// floor gives the largest whole number not above n.
func (n Number) floor() Number {
	if q, ok := n.Floor(); ok {
		return Int(q)
	}
	q := new(big.Int).Div(n.big.Num(), n.big.Denom())
	return fromRat(new(big.Rat).SetInt(q))
}
