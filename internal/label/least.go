package label

import "larkrow.example/stillroom/internal/quantity"

// foodLaw is what lettering is held to where the law on cosmetics asks for legible words and sets no size: the size that EU law sets
// for food, taken over here as a measure of legible.
var foodLaw = Basis{
	ID: "legible-as-food-law", Citation: "size of Regulation (EU) No 1169/2011, Art. 13(2) and (3), which is for food, taken as a measure of legible", Status: "memory",
	Words: "Small letters at least 1.2 mm high, or 0.9 mm where the largest surface is below 80 square centimetres.",
}

// legible gives the least height of small letters on a label that no other rule sets a size for.
func legible(label quantity.Size) TypeSize {
	height := quantity.Fraction(12, 10)
	if area := label.Width.Millimetres().Mul(label.Height.Millimetres()); area.Cmp(quantity.Int(8000)) < 0 {
		height = quantity.Fraction(9, 10)
	}
	return TypeSize{Height: height, Unit: "millimetre", Basis: foodLaw}
}

// Length gives the height of the letters.
func (t TypeSize) Length() quantity.Length {
	if t.Unit == "inch" {
		return quantity.Inches(t.Height)
	}
	return quantity.Millimetres(t.Height)
}

// Least gives the least height of the lettering of a kind of part, and whether it is that of figures: of all other lettering it is
// that of small letters (21 CFR 701.13, from memory).
func (w *Wording) Least(s *Sheet, kind string) (size TypeSize, figures bool) {
	switch {
	case kind == ContentsPart && w.Market == EU:
		return ContentsTypeSizeEU(w.Content), true
	case kind == ContentsPart:
		area, _ := s.PanelArea()
		return ContentsTypeSizeUS(area), false
	case kind == WarningPart && w.Market == US:
		return WarningTypeSizeUS(), false
	case kind == IngredientsPart && w.Market == US:
		if area, known := s.surface(); known {
			return IngredientsTypeSizeUS(area), false
		}
		return typeSize("us-ingredient-type-size"), false
	}
	return legible(s.Label), false
}
