package formula

import "larkrow.example/stillroom/internal/quantity"

// A linear is a weight that still depends on what is to be found: so many grams, and so much of the
// total, of one part, and of the balance.
type linear struct {
	grams, total, part, balance quantity.Number
}

func (a linear) plus(b linear) linear {
	return linear{a.grams.Add(b.grams), a.total.Add(b.total), a.part.Add(b.part), a.balance.Add(b.balance)}
}

func (a linear) times(n quantity.Number) linear {
	return linear{a.grams.Mul(n), a.total.Mul(n), a.part.Mul(n), a.balance.Mul(n)}
}

// at gives the weight once the unknowns are found.
func (a linear) at(total, part, balance quantity.Number) quantity.Number {
	return a.grams.Add(a.total.Mul(total)).Add(a.part.Mul(part)).Add(a.balance.Mul(balance))
}
