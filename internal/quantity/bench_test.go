package quantity_test

import (
	"math/big"
	"testing"

	"larkrow.example/stillroom/internal/quantity"
)

func BenchmarkParseAmount(b *testing.B) {
	for _, text := range []string{"3 %", "q.s.", "120 g", "2 lb 4 1/2 oz", "8 fl oz", "1 per 4 of Oil", "1 oz per 10 oz"} {
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := quantity.ParseAmount(text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A lotion of fifteen ingredients and four batches, one of them in ounces: about the longest formula a maker writes.
var (
	benchPercents = []string{"62.35", "4", "2", "0.2", "12", "5", "3.5", "4.25", "2", "1.5", "1", "0.6", "0.5", "0.8", "0.3"}
	benchBatches  = []string{"250 g", "1 kg", "32 oz", "5 lb"}
)

func benchFormula(b *testing.B) (percents []quantity.Number, batches []quantity.Mass) {
	b.Helper()
	for _, p := range benchPercents {
		percents = append(percents, num(b, p))
	}
	for _, text := range benchBatches {
		m, err := quantity.ParseMass(text)
		if err != nil {
			b.Fatal(err)
		}
		batches = append(batches, m)
	}
	return percents, batches
}

func BenchmarkSteps(b *testing.B) {
	percents, batches := benchFormula(b)
	step := quantity.Grams(quantity.Fraction(1, 10))
	b.Run("shares", func(b *testing.B) {
		shares := quantity.NewShares(percents)
		b.ReportAllocs()
		for b.Loop() {
			for _, batch := range batches {
				rule := shares.Rule(batch, step)
				for i := range percents {
					rule.Steps(i)
				}
			}
		}
	})
	b.Run("with NewShares", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			shares := quantity.NewShares(percents)
			for _, batch := range batches {
				rule := shares.Rule(batch, step)
				for i := range percents {
					rule.Steps(i)
				}
			}
		}
	})
	b.Run("big.Rat", func(b *testing.B) {
		shares := make([]*big.Rat, len(percents))
		whole := new(big.Rat)
		for i, p := range percents {
			shares[i] = p.Rat()
			whole.Add(whole, shares[i])
		}
		grid := step.Grams().Rat()
		b.ReportAllocs()
		for b.Loop() {
			for _, batch := range batches {
				steps := new(big.Rat).Quo(batch.Grams().Rat(), grid)
				steps.Quo(steps, whole)
				for _, share := range shares {
					halfAway(new(big.Rat).Mul(share, steps))
				}
			}
		}
	})
}
