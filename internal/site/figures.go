package site

import (
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// figures are many short texts in few allocations: each is a part of one long text.
type figures struct{ all strings.Builder }

// fixed writes a number with so many places, as [quantity.Number.Fixed] does.
func (f *figures) fixed(n quantity.Number, places int) string {
	var room [24]byte
	start := f.all.Len()
	f.all.Write(n.AppendFixed(room[:0], places))
	return f.all.String()[start:]
}

// grow makes room for so many figures.
func (f *figures) grow(n int) { f.all.Grow(6 * n) }

// weight writes a weight in grams, as the scale shows it, and in ounces.
func (f *figures) weight(r formula.Reading, oz quantity.Number) WeightView {
	places, _ := r.Step.Grams().Places()
	return WeightView{G: f.fixed(r.Mass.Grams(), places), Oz: f.fixed(oz, ouncePlaces(oz))}
}
