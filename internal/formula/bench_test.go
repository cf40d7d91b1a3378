package formula_test

import (
	"testing"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// winter is a formula of the size that a rich cream has: 15 lines in four phases.
const winter = `Water:
  Distilled water: q.s.
  Glycerin: 3 %
  Sodium lactate: 2 %
  Aloe juice: 10 %
Oil:
  Sunflower oil: 8 %
  Jojoba oil: 4 %
  Shea butter, refined: 5 %
  Cetyl alcohol: 1.5 %
  Emulsifying wax: 1 per 4 of Oil
Thickener:
  Gum: 1 % of Water
  Oat starch: 0.5 %
Cool-down:
  Preservative blend: 1 % | fixed
  Vitamin E: 0.5 % | fixed
  Cedarwood fragrance: 0.6 % | fixed
  Honey: 1 per 50
`

func BenchmarkSolve(b *testing.B) {
	f := read(b, winter)
	b.ReportAllocs()
	for b.Loop() {
		if v, _ := formula.Solve(f); v == nil {
			b.Fatal("refused")
		}
	}
}

func BenchmarkWeigh(b *testing.B) {
	v := solve(b, winter)
	fill := formula.Fill{Container: "4 fl oz jar", Takes: mass(b, "3.4 oz"), Loss: quantity.Int(3)}
	var sizes []formula.Sized
	for _, text := range []string{"250 g", "32 oz", "12 × 4 fl oz jar", "from 340 g Shea butter, refined"} {
		sizes = append(sizes, size(b, v, text, fill))
	}
	s := scale(b, "0.01 g to 200 g, 1 g")
	b.ReportAllocs()
	for b.Loop() {
		for _, sized := range sizes {
			if c := v.Weigh(sized, s); len(c.Weights) != 15 {
				b.Fatal(c.Weights)
			}
		}
	}
}
