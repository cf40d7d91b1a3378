// Package soap works out lye and water from the fats of a formula, and from a lye the superfat that it leaves.
package soap

import "larkrow.example/stillroom/internal/quantity"

// The sum: a fat takes up its weight × its saponification value of potassium hydroxide (ISO 3657 defines the value: mg of KOH
// for 1 g of fat). What the superfat leaves out is taken off, each alkali gets its share of the rest, molar masses turn KOH into
// the alkali, and the purity turns pure alkali into what is weighed. Weights may be in any one unit: grams, or percent of a formula.
//
// A saponification value is a range. The sum is done at its middle; the lowest superfat is that at the low end of every range.

// A Fat is a fat of a soap, or an acid that takes up alkali beside the fats.
type Fat struct {
	Name       string             // as the recipe writes it
	INCI       string             // "" where not known
	Weight     quantity.Number    // in one unit for all
	Saponified *quantity.Interval // mg KOH per g; nil where not known
	Iodine     *quantity.Interval // g iodine per 100 g; nil where not known
	Acids      []AcidPart         // fatty acids that are stated; nil where none are
	Acid       bool               // no fat but an acid, as citric acid: takes its alkali whole before any fat does, whatever the superfat
}

// A Block is what a recipe asks of its lye.
type Block struct {
	Alkalis  []Use
	Superfat quantity.Number // percent of the fats' alkali demand that is left out
	Water    quantity.Number // for 1 of alkali as weighed; see [WaterFor] for a lye strength
}

// A Use is an alkali, the percent of the fat that it saponifies, and the percent of it that is alkali.
type Use struct {
	Alkali        Alkali
	Share, Purity quantity.Number
}

// A Weighed is an alkali that a formula lists: how much of it, and the percent of that which is alkali.
type Weighed struct {
	Alkali         Alkali
	Weight, Purity quantity.Number
	Water          quantity.Number // the weight of the water in it, where it is a lye already; else 0
}

// A Result is a soap worked out, from a [Block] by [Solve] or from its lye by [Backwards]. Weights are in the unit of the fats.
type Result struct {
	Fats     []Demand        // the sum fat by fat, acids with them
	Fat      quantity.Number // weight of the fats, without acids
	Demand   quantity.Number // the fats' alkali demand, as KOH
	Acid     quantity.Number // the acids' alkali demand, as KOH
	Alkalis  []Dose
	Lye      quantity.Number   // weight of all alkalis as weighed
	Water    quantity.Number   // weight of the water, without that in a bought lye
	Strength quantity.Number   // percent: alkali as weighed in alkali and water; the water in a bought lye is water here
	Total    quantity.Number   // weight of fats, acids, alkalis and water
	Superfat quantity.Number   // percent of the fats' alkali demand that is left out; negative is free alkali
	Range    quantity.Interval // the superfat at the low and at the high end of every fat's range
	Free     quantity.Number   // weight of fat that stays fat, of the mixture's own make-up; 0 where alkali is left over
}

// A Demand is what one fat takes up: its alkali demand as KOH, and the range of that.
type Demand struct {
	Fat     Fat
	KOH     quantity.Number
	Between quantity.Interval
}

// A Dose is one alkali of a soap.
type Dose struct {
	Alkali  Alkali
	Share   quantity.Number // percent of the alkali demand that it meets
	Purity  quantity.Number // percent of it that is alkali
	Pure    quantity.Number // weight of alkali
	Weighed quantity.Number // weight of what is put on the scale
	Water   quantity.Number // weight of the water in that, where it is a lye already; else 0
}

// Excess says whether alkali may be left over: whether the lowest plausible superfat is below zero.
func (r Result) Excess() bool { return r.Range.Low.Sign() < 0 }

func hundred() quantity.Number { return quantity.Int(100) }

// percentOf gives a percent of n.
func percentOf(n, percent quantity.Number) quantity.Number { return n.Mul(percent).Quo(hundred()) }
