package soap

import "larkrow.example/stillroom/internal/quantity"

// UsualSource is where the usual superfats and lye strengths are from: no published source states them.
const UsualSource = "common practice, no source"

// What is usual, in percent. All of it is common practice, without a published source.
const (
	barSuperfatLow, barSuperfatHigh         = 3, 8   // bar soap, of sodium hydroxide
	coconutSuperfatLow, coconutSuperfatHigh = 15, 20 // bar soap of coconut oil alone
	liquidSuperfatLow, liquidSuperfatHigh   = 0, 5   // soft and liquid soap, of potassium hydroxide
	barLyeLow, barLyeHigh                   = 25, 40 // sodium hydroxide in its lye
	liquidLyeLow, liquidLyeHigh             = 25, 35 // potassium hydroxide in its lye
	coconutINCI                             = "Cocos Nucifera Oil"
)

func percents(low, high int64) quantity.Interval {
	return quantity.Interval{Low: quantity.Int(low), High: quantity.Int(high)}
}

// UsualSuperfat gives the superfats that are usual for such a soap, in percent: bar soap 3–8, of coconut oil alone 15–20, soft and
// liquid soap 0–5, and with both alkalis from the least to the most of the two. Common practice, no source.
func (r Result) UsualSuperfat() quantity.Interval {
	bar := percents(barSuperfatLow, barSuperfatHigh)
	if r.onlyCoconut() {
		bar = percents(coconutSuperfatLow, coconutSuperfatHigh)
	}
	return r.byAlkali(bar, percents(liquidSuperfatLow, liquidSuperfatHigh))
}

// UsualStrength gives the lye strengths that are usual for the alkalis, in percent of alkali as weighed in alkali and water:
// sodium hydroxide 25–40, potassium hydroxide 25–35, both 25–40. Common practice, no source.
func (r Result) UsualStrength() quantity.Interval {
	return r.byAlkali(percents(barLyeLow, barLyeHigh), percents(liquidLyeLow, liquidLyeHigh))
}

// LiquidMargin is how far, in percent, the lowest plausible superfat of a liquid soap may lie below zero: it is made that lean to be clear, and
// tested and neutralised when it is thinned. Common practice, no source.
const LiquidMargin = 3

// SuperfatUnusual says whether the superfat is outside [Result.UsualSuperfat].
func (r Result) SuperfatUnusual() bool { return outside(r.Superfat, r.UsualSuperfat()) }

// StrengthUnusual says whether the lye strength is outside [Result.UsualStrength].
func (r Result) StrengthUnusual() bool { return outside(r.Strength, r.UsualStrength()) }

func outside(n quantity.Number, v quantity.Interval) bool {
	return n.Cmp(v.Low) < 0 || n.Cmp(v.High) > 0
}

// byAlkali gives what is usual for the alkalis of a soap, or the span of both.
func (r Result) byAlkali(sodium, potassium quantity.Interval) quantity.Interval {
	has := make(map[Alkali]bool)
	for _, d := range r.Alkalis {
		has[d.Alkali] = has[d.Alkali] || d.Pure.Sign() > 0
	}
	switch {
	case !has[Potassium]:
		return sodium
	case !has[Sodium]:
		return potassium
	}
	return quantity.Interval{Low: potassium.Low, High: sodium.High} // of the two ranges, potassium's begins and ends no higher
}

func (r Result) onlyCoconut() bool {
	coconut := quantity.Number{}
	for _, d := range r.Fats {
		if facts, ok := FindFat(d.Fat.INCI); ok && facts.INCI == coconutINCI && !d.Fat.Acid {
			coconut = coconut.Add(d.Fat.Weight)
		}
	}
	return coconut.Cmp(r.Fat) == 0
}
