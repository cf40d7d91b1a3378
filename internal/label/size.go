package label

import (
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

// A TypeSize is how high letters or digits have to be at least.
type TypeSize struct {
	Height quantity.Number
	Unit   string // inch or millimetre
	Basis  Basis
}

// A step is a rule of type size and the measure up to which it holds; 0 is without end.
type step struct {
	upTo int64
	id   string
}

// ContentsTypeSizeUS gives the least height of the letters of net contents on a US label, by the area of its principal
// display panel in square inches (21 CFR 701.13; all steps but the first from memory).
func ContentsTypeSizeUS(area quantity.Number) TypeSize {
	return sizeIn(area, []step{
		{5, "us-net-quantity-type-size-0-5"},
		{25, "us-net-quantity-type-size-5-25"},
		{100, "us-net-quantity-type-size-25-100"},
		{400, "us-net-quantity-type-size-100-400"},
		{0, "us-net-quantity-type-size-400-up"},
	})
}

// ContentsTypeSizeEU gives the least height of the digits of the nominal content on an EU label, by that content in grams or
// millilitres (Directive 76/211/EEC, from memory).
func ContentsTypeSizeEU(content quantity.Number) TypeSize {
	return sizeIn(content, []step{
		{50, "eu-metrology-type-size-50"}, {200, "eu-metrology-type-size-200"}, {1000, "eu-metrology-type-size-1000"}, {0, "eu-metrology-type-size-over-1000"},
	})
}

// IngredientsTypeSizeUS gives the least height of the letters of a US ingredient list, by the whole area that there is for
// labelling in square inches: 21 CFR 701.3(b), and for under 12 square inches (p), from memory.
func IngredientsTypeSizeUS(area quantity.Number) TypeSize {
	small, _ := law.LabelRule("us-ingredient-area-small-package")
	if area.Cmp(*small.Value) < 0 {
		return typeSize("us-ingredient-type-size-small-package")
	}
	return typeSize("us-ingredient-type-size")
}

// WarningTypeSizeUS gives the least height of the letters of a US warning (21 CFR 740.2, from memory).
func WarningTypeSizeUS() TypeSize { return typeSize("us-warning-type-size") }

// PanelUS gives the area of a principal display panel: of a box from height and width, of a cylinder from height and
// circumference (21 CFR 701.10).
func PanelUS(height, across quantity.Number, cylinder bool) quantity.Number {
	id := "us-pdp-area-rectangular"
	if cylinder {
		id = "us-pdp-area-cylindrical"
	}
	l, _ := law.LabelRule(id)
	return height.Mul(across).Mul(*l.Value)
}

func sizeIn(measure quantity.Number, steps []step) TypeSize {
	for _, s := range steps {
		if s.upTo == 0 || measure.Cmp(quantity.Int(s.upTo)) <= 0 {
			return typeSize(s.id)
		}
	}
	return TypeSize{}
}

func typeSize(id string) TypeSize {
	l, _ := law.LabelRule(id)
	return TypeSize{Height: *l.Value, Unit: l.Unit, Basis: rule(id)}
}
