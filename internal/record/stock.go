package record

import (
	"time"

	"larkrow.example/stillroom/internal/cost"
	"larkrow.example/stillroom/internal/quantity"
)

// A Stock is what there is of a material beside what is needed of it.
type Stock struct {
	*Material
	There  *quantity.Mass // left in its lots, those past their date left out; nil where no lot says what it held
	Needed quantity.Mass  // by planned batches and those on the bench
	Short  quantity.Mass  // to be bought: needed and not there
	Price  *cost.Line     // what that costs; nil where nothing is short
}

// Stock gives what there is of each material and what has to be bought. Lots past their date on a day are not counted; on the zero day none is.
func (k *Ledger) Stock(day time.Time) []Stock {
	all := make([]Stock, len(k.Materials))
	for i, m := range k.Materials {
		all[i] = m.stock(day)
	}
	return all
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
