package emulsion_test

import (
	"fmt"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/emulsion"
	"larkrow.example/stillroom/internal/quantity"
)

// draw draws a number from low to high thousandths.
func draw(t *rapid.T, low, high int64, what string) quantity.Number {
	return quantity.Fraction(rapid.Int64Range(low, high).Draw(t, what), 1000)
}

func drawParts(t *rapid.T) []emulsion.Part {
	var parts []emulsion.Part
	for i := range rapid.IntRange(0, 6).Draw(t, "parts") {
		p := emulsion.Part{Name: fmt.Sprintf("part %d", i), Weight: draw(t, 0, 50_000, "weight")}
		if rapid.IntRange(0, 4).Draw(t, "known") > 0 {
			low := draw(t, 0, 18_000, "low")
			p.HLB = &quantity.Interval{Low: low, High: low.Add(draw(t, 0, 2000, "wide"))}
		}
		parts = append(parts, p)
	}
	return parts
}

func same(t *rapid.T, what string, want, got quantity.Number) {
	if want.Cmp(got) != 0 {
		t.Fatalf("%s: want %s, got %s", what, want, got)
	}
}

// splitMeets sees that the split of two emulsifiers has just the HLB that was wanted, and is refused just out of their range.
func splitMeets(t *rapid.T) {
	one, other, wanted := draw(t, 0, 20_000, "one"), draw(t, 0, 20_000, "other"), draw(t, 0, 20_000, "wanted")
	first, second, err := emulsion.Split(one, other, wanted)
	between := wanted.Sub(one).Sign()*wanted.Sub(other).Sign() <= 0 && one.Cmp(other) != 0
	if between != (err == nil) {
		t.Fatalf("%s and %s to %s: %v", one, other, wanted, err)
	}
	if err != nil {
		return
	}
	if first.Sign() < 0 || second.Sign() < 0 {
		t.Fatalf("shares %s and %s", first, second)
	}
	same(t, "shares", quantity.Int(100), first.Add(second))
	b := emulsion.Mix([]emulsion.Part{{"one", first, at(one)}, {"other", second, at(other)}})
	same(t, "HLB", wanted, b.HLB.Low)
	same(t, "HLB", wanted, b.HLB.High)
	again, _, err := emulsion.Split(other, one, wanted)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "the other way round", second, again)
}

// mixAgainstRationals compares means with the same in big.Rat.
func mixAgainstRationals(t *rapid.T) {
	parts := drawParts(t)
	b := emulsion.Mix(parts)
	weight, known, low, high := new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat)
	unknown := 0
	for _, p := range parts {
		w := p.Weight.Rat()
		weight.Add(weight, w)
		if p.HLB == nil {
			unknown += w.Sign()
			continue
		}
		known.Add(known, w)
		low.Add(low, new(big.Rat).Mul(w, p.HLB.Low.Rat()))
		high.Add(high, new(big.Rat).Mul(w, p.HLB.High.Rat()))
	}
	same(t, "weight", quantity.FromRat(weight), b.Weight)
	if len(b.Unknown) != unknown || b.Whole() != (weight.Sign() > 0 && unknown == 0) {
		t.Fatalf("%d parts are unknown, told of %v", unknown, b.Unknown)
	}
	if known.Sign() == 0 {
		same(t, "known", quantity.Number{}, b.Known)
		return
	}
	same(t, "low", quantity.FromRat(low.Quo(low, known)), b.HLB.Low)
	same(t, "high", quantity.FromRat(high.Quo(high, known)), b.HLB.High)
	same(t, "known", quantity.FromRat(known.Mul(known, big.NewRat(100, 1)).Quo(known, weight)), b.Known)
}

// mixInProportion scales the weights and turns their order: the means stay as they are.
func mixInProportion(t *rapid.T) {
	parts, k := drawParts(t), draw(t, 1, 1_000_000, "k")
	var turned []emulsion.Part
	for _, p := range parts {
		p.Weight = p.Weight.Mul(k)
		turned = append([]emulsion.Part{p}, turned...)
	}
	b, c := emulsion.Mix(parts), emulsion.Mix(turned)
	same(t, "weight", b.Weight.Mul(k), c.Weight)
	same(t, "low", b.HLB.Low, c.HLB.Low)
	same(t, "high", b.HLB.High, c.HLB.High)
	same(t, "known", b.Known, c.Known)
}

func TestProperties(t *testing.T) {
	t.Parallel()
	for name, holds := range map[string]func(*rapid.T){
		"the split meets what is wanted": splitMeets, "mix against rationals": mixAgainstRationals, "mix in proportion": mixInProportion,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, holds)
		})
	}
}

func FuzzSplit(f *testing.F) { f.Fuzz(rapid.MakeFuzz(splitMeets)) }
func FuzzMix(f *testing.F)   { f.Fuzz(rapid.MakeFuzz(mixAgainstRationals)) }
