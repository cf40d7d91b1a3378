package law

import (
	"math/big"

	"larkrow.example/stillroom/internal/quantity"
)

// Undissociated gives the percentage of the acid that keeps all its protons at a pH, rounded to 12 decimal places:
// 100 ÷ (1 + 10^(pH−pKa)) for an acid of one step, with a further term 10^(k·pH−pKa₁−…−pKaₖ) for each step k.
// It is false for a pH below 0 or above 14. The powers are worked out in fixed-point arithmetic of 50 digits.
func (a Acid) Undissociated(pH quantity.Number) (quantity.Number, bool) {
	if pH.Sign() < 0 || pH.Cmp(quantity.Int(14)) > 0 || len(a.PKa) == 0 {
		return quantity.Number{}, false
	}
	sum, exponent := big.NewRat(1, 1), quantity.Number{}
	for _, pKa := range a.PKa {
		exponent = exponent.Add(pH).Sub(pKa)
		sum.Add(sum, tenTo(exponent.Rat()))
	}
	share := sum.Quo(big.NewRat(100, 1), sum)
	rounded, ok := new(big.Rat).SetString(share.FloatString(12))
	return quantity.FromRat(rounded), ok
}

const digits = 50

// one is 1 in fixed-point arithmetic.
func one() *big.Int { return new(big.Int).Exp(big.NewInt(10), big.NewInt(digits), nil) }

// lnTen is the natural logarithm of 10 to 50 places (OEIS A002392, from memory; the tests work it out).
const lnTen = "230258509299404568401799145468436420760110148862877"

// tenTo gives 10^x, with a relative error below 10^-45 for x between -50 and 50: ten to the whole part of x is exact, and
// ten to the rest is the series of e^(rest·ln 10), whose terms fall below the last digit within a hundred steps.
func tenTo(x *big.Rat) *big.Rat {
	whole := new(big.Int).Div(x.Num(), x.Denom())
	rest := new(big.Rat).Sub(x, new(big.Rat).SetInt(whole))
	power := new(big.Rat).SetFrac(expFixed(rest), one())
	ten := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), new(big.Int).Abs(whole), nil))
	if whole.Sign() < 0 {
		return power.Quo(power, ten)
	}
	return power.Mul(power, ten)
}

// expFixed gives e^(rest·ln 10) in fixed point, for rest from 0 to 1.
func expFixed(rest *big.Rat) *big.Int {
	ln, _ := new(big.Int).SetString(lnTen, 10)
	y := new(big.Int).Mul(ln, rest.Num())
	y.Quo(y, rest.Denom())
	sum, term := one(), one()
	for n := int64(1); term.Sign() > 0; n++ {
		term.Mul(term, y)
		term.Quo(term, one())
		term.Quo(term, big.NewInt(n))
		sum.Add(sum, term)
	}
	return sum
}
