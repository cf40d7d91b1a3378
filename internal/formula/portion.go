package formula

import (
	"larkrow.example/stillroom/internal/quantity"
)

// A PortionColumn says how one made batch of the base is divided among the splits.
type PortionColumn struct {
	Portions []PortionWeights
	Rest     int // the portion that is what the others leave in the pot, -1 where all share the rounding
}

// A PortionWeights is what one split takes of the base, what is added to it, and what it comes to.
type PortionWeights struct {
	Base  Reading
	Adds  []Reading // of the split's items that are not the base's, in order
	Total Reading
}

// DividePortions divides a weighed batch of the base among its splits. Each portion is rounded to what the scale reads; the
// largest is what the others leave, read in its own step (so that with one step throughout they add up to the batch exactly), or, in a
// batch so small that this would be less than nothing, all take up the rounding. What is added is worked out from the portion as weighed.
func DividePortions(c Column, splits []*Version, scale quantity.Scale) PortionColumn {
	if len(splits) == 0 {
		return PortionColumn{}
	}
	out := PortionColumn{Portions: make([]PortionWeights, len(splits))}
	sum := quantity.Number{}
	for i, s := range splits {
		out.Portions[i].Base = round(quantity.Grams(c.Total.Grams().Mul(s.Portion.Share)), scale)
		sum = sum.Add(out.Portions[i].Base.Mass.Grams())
		if s.Portion.Share.Cmp(splits[out.Rest].Portion.Share) > 0 {
			out.Rest = i
		}
	}
	rest := &out.Portions[out.Rest].Base
	left := c.Total.Grams().Sub(sum.Sub(rest.Mass.Grams()))
	if left.Sign() < 0 {
		out.share(c.Total, scale.Step(quantity.Mass{}), splits)
		out.Rest = -1
	} else {
		*rest = round(quantity.Grams(left), scale)
	}
	for i, s := range splits {
		out.Portions[i].finish(s, scale)
	}
	return out
}

// share divides a batch in such steps that no portion is below 0.
func (p PortionColumn) share(batch, step quantity.Mass, splits []*Version) {
	parts := partition(batch, step, len(splits), func(i int) quantity.Number { return splits[i].Portion.Share })
	for i, grams := range parts {
		p.Portions[i].Base = Reading{Mass: quantity.Grams(grams), Step: step}
	}
}

// finish works out what is added to a portion: each addition's share relative to the base's share of the finished split.
func (p *PortionWeights) finish(split *Version, scale quantity.Scale) {
	ofBase := quantity.Number{}
	for i := range split.Portion.Items {
		ofBase = ofBase.Add(split.Share(i))
	}
	total, step := p.Base.Mass.Grams(), p.Base.Step
	for i := split.Portion.Items; i < len(split.Items); i++ {
		r := round(quantity.Grams(p.Base.Mass.Grams().Mul(split.Share(i)).Quo(ofBase)), scale)
		p.Adds = append(p.Adds, r)
		if r.Step.Grams().Cmp(step.Grams()) < 0 {
			step = r.Step
		}
		total = total.Add(r.Mass.Grams())
	}
	p.Total = Reading{Mass: quantity.Grams(total), Step: step}
}
