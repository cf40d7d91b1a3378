package quantity_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/quantity"
)

// drawShares draws amounts as formulas have them: decimals, fractions, ounces, and some with terms past 64 bits.
func drawShares(t *rapid.T) []quantity.Number {
	amount := rapid.Custom(func(t *rapid.T) quantity.Number {
		whole := rapid.Int64Range(0, 100_000_000).Draw(t, "whole")
		switch rapid.IntRange(0, 3).Draw(t, "form") {
		case 0: // percent with up to four decimals
			return quantity.Fraction(whole, 10_000)
		case 1: // ounces
			return quantity.Int(whole).Mul(quantity.Fraction(45359237, 1600000))
		case 2: // fractions
			return quantity.Fraction(whole, rapid.Int64Range(1, 1000).Draw(t, "den"))
		}
		return quantity.Fraction(rapid.Int64Range(0, math.MaxInt64).Draw(t, "num"), rapid.Int64Range(1, math.MaxInt64).Draw(t, "den"))
	})
	return rapid.SliceOfN(amount, 1, 20).Filter(func(all []quantity.Number) bool {
		for _, a := range all {
			if a.Sign() > 0 {
				return true
			}
		}
		return false
	}).Draw(t, "amounts")
}

func drawBatch(t *rapid.T) quantity.Mass {
	n := quantity.Int(rapid.Int64Range(1, 5_000_000).Draw(t, "batch"))
	unit := rapid.SampledFrom([]quantity.Number{
		quantity.Int(1), quantity.Fraction(1, 1000), quantity.Fraction(45359237, 1600000), quantity.Fraction(45359237, 100000),
		quantity.Fraction(1, 7), quantity.Fraction(math.MaxInt64, 3),
	}).Draw(t, "unit")
	return quantity.Grams(n.Mul(unit))
}

func drawStep(t *rapid.T) quantity.Mass {
	return quantity.Grams(rapid.SampledFrom([]quantity.Number{
		quantity.Fraction(1, 1000), quantity.Fraction(1, 100), quantity.Fraction(1, 10), quantity.Int(1), quantity.Fraction(1, 2), quantity.Int(5),
		quantity.Fraction(1, 1_000_000),
	}).Draw(t, "step"))
}

func sharesAgree(t *rapid.T) {
	amounts := drawShares(t)
	batch, step := drawBatch(t), drawStep(t)
	shares := quantity.NewShares(amounts)
	if shares.Len() != len(amounts) {
		t.Fatalf("%d shares of %d amounts", shares.Len(), len(amounts))
	}
	whole, sum := new(big.Rat), quantity.Number{}
	for _, a := range amounts {
		whole.Add(whole, a.Rat())
	}
	rule := shares.Rule(batch, step)
	for i, a := range amounts {
		share := new(big.Rat).Quo(a.Rat(), whole)
		same(t, share, shares.At(i), "At")
		exact := new(big.Rat).Mul(share, batch.Grams().Rat())
		same(t, exact, shares.Of(i, batch).Grams(), "Of")
		steps := halfAway(new(big.Rat).Quo(exact, step.Grams().Rat()))
		same(t, new(big.Rat).SetInt(steps), rule.Steps(i), "Steps")
		sum = sum.Add(shares.At(i))
	}
	if sum.Cmp(quantity.Int(1)) != 0 {
		t.Fatalf("the shares add up to %s", sum)
	}
}

func TestSharesAgree(t *testing.T) { t.Parallel(); rapid.Check(t, sharesAgree) }

func FuzzShares(f *testing.F) { f.Fuzz(rapid.MakeFuzz(sharesAgree)) }

func TestShares(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name        string
		amounts     []string
		batch, step string
		want        []string // in steps
	}{
		{"halves round away from zero", []string{"1", "3"}, "10", "5", []string{"1", "2"}}, // 0.5 and 1.5 steps
		{"three thirds", []string{"33.33", "33.33", "33.34"}, "125", "0.1", []string{"417", "417", "417"}},
		{"a zero among them", []string{"0", "1"}, "1", "0.1", []string{"0", "10"}},
		{"one alone", []string{"0.001"}, "28.349523125", "0.01", []string{"2835"}},
		{"an ounce in thirds", []string{"1", "1", "1"}, "28.349523125", "0.001", []string{"9450", "9450", "9450"}},
		// 2^64 steps less 0.48 of one: rounds past what 64 bits hold
		{"past 64 bits", []string{"1"}, "18446744073709551615.52", "1", []string{"18446744073709551616"}},
		{"past 63 bits", []string{"1"}, "9223372036854775807.5", "1", []string{"9223372036854775808"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var amounts []quantity.Number
			for _, a := range row.amounts {
				amounts = append(amounts, num(t, a))
			}
			batch := grams(t, "0")
			if r, ok := new(big.Rat).SetString(row.batch); ok {
				batch = quantity.Grams(quantity.FromRat(r))
			}
			rule := quantity.NewShares(amounts).Rule(batch, grams(t, row.step))
			for i, want := range row.want {
				assert.Equal(t, want, rule.Steps(i).String())
			}
		})
	}
}

func TestSharesOfNothing(t *testing.T) {
	t.Parallel()
	assert.Panics(t, func() { quantity.NewShares(nil) })
	assert.Panics(t, func() { quantity.NewShares(make([]quantity.Number, 3)) })
}

// TestSharesWide makes sure that the drawn formulas do reach the path for terms past 64 bits.
func TestSharesWide(t *testing.T) {
	t.Parallel()
	wide := quantity.NewShares([]quantity.Number{quantity.Fraction(1, math.MaxInt64), quantity.Fraction(1, math.MaxInt64-1)})
	sum := wide.At(0).Add(wide.At(1))
	require.Equal(t, "1", sum.String())
	assert.Equal(t, 2, wide.Len())
	assert.Equal(t, "4612", wide.Rule(grams(t, "9223.372036854775807"), grams(t, "1")).Steps(0).String())
	assert.Equal(t, 1, wide.At(1).Cmp(wide.At(0)), "the larger amount has the larger share")
}
