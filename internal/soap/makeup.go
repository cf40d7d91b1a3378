package soap

import "larkrow.example/stillroom/internal/quantity"

// FattyAcids lists the fatty acids of the table, in its order.
func FattyAcids() []string {
	return []string{"lauric", "myristic", "palmitic", "stearic", "ricinoleic", "oleic", "linoleic", "linolenic"}
}

// An AcidPart is a fatty acid's percent of a fat's fatty acids.
type AcidPart struct {
	Acid    string // of [FattyAcids]
	Percent quantity.Number
}

// A Part is a fatty acid's percent of a mixture's fatty acids, as far as they are stated: what the fats of which it is stated
// bring. The others count as bringing none, so where Stated is under 100 there may be more.
type Part struct {
	Acid    string
	Percent quantity.Number
	Stated  quantity.Number // percent of the mixture that states this acid
}

// MakeUp gives the fatty-acid make-up of fats as the mean weighted by their weights: all of [FattyAcids], nil where there is no fat.
func MakeUp(fats []Fat) []Part {
	whole := weigh(fats, func(f Fat) bool { return true })
	if whole.Sign() == 0 {
		return nil
	}
	var parts []Part
	for _, acid := range FattyAcids() {
		p := Part{Acid: acid}
		for _, f := range fats {
			for _, a := range f.Acids {
				if a.Acid == acid && !f.Acid {
					p.Percent = p.Percent.Add(f.Weight.Mul(a.Percent).Quo(whole))
					p.Stated = p.Stated.Add(hundred().Mul(f.Weight).Quo(whole))
				}
			}
		}
		parts = append(parts, p)
	}
	return parts
}

// An IodineValue is the mean over the fats of which one is known, in g iodine per 100 g. Where Stated is 0 there is none.
type IodineValue struct {
	Value  quantity.Interval
	Stated quantity.Number // percent of the mixture that has one
}

// Iodine gives the iodine value of fats as the mean weighted by their weights: at the low and at the high end of every range.
func Iodine(fats []Fat) IodineValue {
	known := func(f Fat) bool { return f.Iodine != nil }
	stated := weigh(fats, known)
	if stated.Sign() == 0 {
		return IodineValue{}
	}
	v := IodineValue{Stated: hundred().Mul(stated).Quo(weigh(fats, func(Fat) bool { return true }))}
	for _, f := range fats {
		if known(f) && !f.Acid {
			share := f.Weight.Quo(stated)
			v.Value.Low = v.Value.Low.Add(share.Mul(f.Iodine.Low))
			v.Value.High = v.Value.High.Add(share.Mul(f.Iodine.High))
		}
	}
	return v
}

// weigh gives the weight of the fats that are meant, acids such as citric left out.
func weigh(fats []Fat, meant func(Fat) bool) quantity.Number {
	sum := quantity.Number{}
	for _, f := range fats {
		if !f.Acid && meant(f) {
			sum = sum.Add(f.Weight)
		}
	}
	return sum
}
