package record

import (
	"slices"
	"time"

	"larkrow.example/stillroom/internal/cost"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
)

// A Stock is what there is of a material beside what is needed of it.
type Stock struct {
	*Material
	There  *quantity.Mass // left in its lots, at least; those past their date left out; nil where no lot says what it held
	Needed quantity.Mass  // by planned batches and those on the bench
	Short  quantity.Mass  // to be bought: needed and not there
	Price  *cost.Line     // what that costs; nil where nothing is short
}

// Day gives the latest day that is told of: on which a batch was made or judged, or a lot was opened; the zero day where there is none. What
// must not hang on the day on which it is worked out, such as a page, counts lots by it.
func (k *Ledger) Day(h *handbook.Handbook) time.Time {
	latest := time.Time{}
	later := func(t *time.Time) {
		if t != nil && t.After(latest) {
			latest = *t
		}
	}
	for _, r := range h.Records {
		later(r.Made)
		if r.Checked != nil {
			later(&r.Checked.On)
		}
	}
	for _, m := range k.Materials {
		for _, l := range m.Lots {
			if opened, err := time.Parse(time.DateOnly, l.Opened); err == nil {
				later(&opened)
			}
		}
	}
	return latest
}

// Stock gives what there is of each material and what has to be bought. Lots past their date on a day are not counted; on the zero day none is.
func (k *Ledger) Stock(day time.Time) []Stock {
	all := make([]Stock, len(k.Materials))
	for i, m := range k.Materials {
		all[i] = m.stock(day)
	}
	return all
}

// together gives what came from several lots in shares that are not told, as far as it may have come from one that is not past its date.
func (m *Material) together(day time.Time) quantity.Number {
	sum := quantity.Number{}
	for _, u := range m.Together {
		if slices.ContainsFunc(u.Among, func(code string) bool { return !m.lot(code).PastOn(day) }) {
			sum = sum.Add(u.Weight.Grams())
		}
	}
	return sum
}

func (m *Material) stock(day time.Time) Stock {
	s := Stock{Material: m}
	there, known := quantity.Number{}, false
	for _, l := range m.Lots {
		if left := l.Left(); left != nil {
			known = true
			if !l.PastOn(day) {
				there = there.Add(most(left.Grams(), quantity.Number{}))
			}
		}
	}
	there = most(there.Sub(m.together(day)), quantity.Number{})
	if known {
		mass := quantity.Grams(there)
		s.There = &mass
	}
	needed := quantity.Number{}
	for _, n := range m.Needs {
		needed = needed.Add(n.Weight.Grams())
	}
	s.Needed = quantity.Grams(needed)
	if short := needed.Sub(there); short.Sign() > 0 {
		s.Short = quantity.Grams(short)
		price := cost.Bought(m.Material, s.Short)
		s.Price = &price
	}
	return s
}
