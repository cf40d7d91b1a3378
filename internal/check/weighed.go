package check

import (
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// A mixture is what a version holds of each item, in percent: exactly, or as a batch of it is weighed.
type mixture struct {
	percents []quantity.Number
	exact    bool
	batch    int // whose weights they are, unless they are exact
}

func (m mixture) percent(i int) quantity.Number { return m.percents[i] }

func (m mixture) of(items []int) quantity.Number {
	sum := quantity.Number{}
	for _, i := range items {
		sum = sum.Add(m.percents[i])
	}
	return sum
}

func (s *inspection) exactly() mixture { return mixture{percents: s.percents, exact: true} }

// weighedIn gives what a batch holds as it will be weighed, each item in percent of the total: nothing where that is nothing or the batch is not weighed.
func (s *inspection) weighedIn(batch int) mixture {
	if s.columns == nil {
		s.columns = make([][]quantity.Number, len(s.Batches))
	}
	if s.columns[batch] == nil {
		c := &s.Batches[batch].Column
		s.columns[batch] = percentsOf(c, c.Total.Grams(), len(s.percents))
	}
	return mixture{percents: s.columns[batch], batch: batch}
}

func percentsOf(c *formula.Column, total quantity.Number, n int) []quantity.Number {
	all := make([]quantity.Number, n)
	if total.Sign() > 0 {
		percent := quantity.Int(100).Quo(total)
		for i := range all {
			all[i] = c.Weights[i].Mass.Grams().Mul(percent)
		}
	}
	return all
}

// asWeighed gives a batch as a version of its own: every percent is the rounded weight's, of all of them together; false where nothing weighs anything.
func (s *inspection) asWeighed(batch int) (mixture, bool) {
	c, sum := &s.Batches[batch].Column, quantity.Number{}
	for _, w := range c.Weights {
		sum = sum.Add(w.Mass.Grams())
	}
	switch {
	case sum.Sign() <= 0:
		return mixture{}, false
	case sum.Cmp(c.Total.Grams()) == 0:
		return s.weighedIn(batch), true
	}
	return mixture{percents: percentsOf(c, sum, len(s.percents)), batch: batch}, true
}

// pastLimit gives the mixture that is past a limit: the exact one, else that of the worst batch as weighed, with the names of
// all batches that only their rounding takes past it; false where none is. Excess says how far a mixture is past, 0 or less for not at all.
func (s *inspection) pastLimit(excess func(mixture) quantity.Number) (worst mixture, batches []string, is bool) {
	if exact := s.exactly(); excess(exact).Sign() > 0 {
		return exact, nil, true
	}
	most := quantity.Number{}
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Missing != nil {
			continue
		}
		m, ok := s.asWeighed(i)
		if !ok {
			continue
		}
		if e := excess(m); e.Sign() > 0 {
			batches = append(batches, b.Written)
			if e.Cmp(most) > 0 {
				worst, most = m, e
			}
		}
	}
	return worst, batches, batches != nil
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
func (s *inspection) worst(figure func(share) quantity.Number, limit quantity.Number, places int) (value quantity.Number, batches []string, is bool) {
	value = figure(s.exactly().of)
	if value.Sub(limit).Sign() > 0 {
		return value, nil, true
	}
	value = limit
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Missing != nil {
			continue
		}
		v := figure(s.weighedIn(i).of)
		if places != exactly {
			v = to(v, places)
		}
		if v.Sub(limit).Sign() > 0 {
			batches = append(batches, b.Written)
			if v.Cmp(value) > 0 {
				value = v
			}
		}
	}
	return value, batches, batches != nil
}

// to gives a number rounded half away from zero to so many places, to measure a figure of the trade by what it is written with.
func to(n quantity.Number, places int) quantity.Number {
	step := quantity.Int(1)
	for range places {
		step = step.Quo(quantity.Int(10))
	}
	return quantity.RoundTo(quantity.Grams(n), quantity.Grams(step)).Grams()
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
