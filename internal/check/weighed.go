package check

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// asWeighed gives a version as a batch of it is weighed: every percent is the rounded weight's; nil where nothing weighs anything.
func asWeighed(v *formula.Version, c formula.Column) *formula.Version {
	f := formula.Formula{Phases: slices.Clone(v.Phases)}
	i := 0
	for p := range f.Phases {
		f.Phases[p].Name = formula.Letter(p) // names of phases that a split adds may stand twice
		f.Phases[p].Lines = slices.Clone(f.Phases[p].Lines)
		for l := range f.Phases[p].Lines {
			f.Phases[p].Lines[l].Amount = quantity.Amount{Kind: quantity.Weight, Mass: c.Weights[i].Mass}
			i++
		}
	}
	weighed, _ := formula.Solve(f) // the only thing that can be wrong is that nothing weighs anything
	return weighed
}

// pastLimit gives the version that is past a limit: the exact one, else that of the worst batch as weighed, with the names of
// all batches that only their rounding takes past it; nil where none is. Excess says how far a version is past, 0 or less for not at all.
func (s *Subject) pastLimit(excess func(*formula.Version) quantity.Number) (worst *formula.Version, batches []string) {
	if excess(s.Version).Sign() > 0 {
		return s.Version, nil
	}
	most := quantity.Number{}
	for _, b := range s.Batches {
		if b.Missing != nil {
			continue
		}
		v := asWeighed(s.Version, b.Column)
		if v == nil {
			continue
		}
		if e := excess(v); e.Sign() > 0 {
			batches = append(batches, b.Written)
			if e.Cmp(most) > 0 {
				worst, most = v, e
			}
		}
	}
	return worst, batches
}

// byRounding says in which batches a limit is passed by their rounding alone; "" where it is passed in all of them.
func byRounding(batches []string) string {
	if batches == nil {
		return ""
	}
	return " This is so as weighed for the batch of " + and(batches) + ", by the rounding of the scale."
}

// A share gives what items come to together, in percent of the product.
type share func(items []int) quantity.Number

// exactly is for figures that are measured as they are weighed, without rounding them.
const exactly = -1

// worst gives a figure that is past a limit: the exact one, else the highest as weighed, rounded to so many places, with the names
// of all batches past it.
func (s *Subject) worst(figure func(share) quantity.Number, limit quantity.Number, places int) (value quantity.Number, batches []string, is bool) {
	value = figure(func(items []int) quantity.Number {
		sum := quantity.Number{}
		for _, i := range items {
			sum = sum.Add(s.Version.Percent(i))
		}
		return sum
	})
	if value.Cmp(limit) > 0 {
		return value, nil, true
	}
	value = limit
	for _, b := range s.Batches {
		if b.Missing != nil {
			continue
		}
		v := figure(func(items []int) quantity.Number { return weighedPercent(b.Column, items) })
		if places != exactly {
			v = to(v, places)
		}
		if v.Cmp(limit) > 0 {
			batches = append(batches, b.Written)
		}
		if v.Cmp(value) > 0 {
			value = v
		}
	}
	return value, batches, batches != nil
}

// to gives a number rounded half away from zero to so many places, to measure a figure of the trade by what it is written with.
func to(n quantity.Number, places int) quantity.Number {
	rounded, err := quantity.ParseNumber(strings.TrimPrefix(n.Text(places), "-"))
	if err != nil {
		panic("check: " + err.Error()) // Text writes what ParseNumber reads
	}
	if n.Sign() < 0 {
		return rounded.Neg()
	}
	return rounded
}

// outside gives how far a number is outside an interval, and the end that it is past; 0 inside.
func outside(n quantity.Number, v quantity.Interval) (by, end quantity.Number) {
	switch {
	case n.Cmp(v.Low) < 0:
		return v.Low.Sub(n), v.Low
	case n.Cmp(v.High) > 0:
		return n.Sub(v.High), v.High
	}
	return by, end
}

// minus writes a decimal with a true minus sign, for sentences.
func minus(decimal string) string { return strings.Replace(decimal, "-", "−", 1) }
