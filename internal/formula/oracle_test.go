package formula_test

import (
	"math/big"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// The oracle writes a whole formula down as linear equations and solves them by elimination. It shares nothing with the
// package's own way but the reading of amounts.
//
// Unknown are the weight of every line, the total T before anything goes on top, the weight of a part and the balance.

// oracle gives the lines' shares of the whole, or nil where the formula has no solution, more than one, or one below 0.
func oracle(f formula.Formula) []*big.Rat {
	o := &equations{formula: f}
	for p, phase := range f.Phases {
		for _, l := range phase.Lines {
			o.lines, o.phase = append(o.lines, l), append(o.phase, p)
		}
	}
	o.total = len(o.lines)
	o.part, o.balance = o.total+1, o.total+2
	o.write()
	x := o.eliminate()
	if x == nil {
		return nil
	}
	sum := new(big.Rat)
	for i, l := range o.lines {
		if x[i].Sign() < 0 || x[i].Sign() == 0 && l.Amount.Kind == quantity.Parts {
			return nil
		}
		sum.Add(sum, x[i])
	}
	if sum.Sign() <= 0 {
		return nil
	}
	var all []*big.Rat
	for i := range o.lines {
		all = append(all, new(big.Rat).Quo(x[i], sum))
	}
	return all
}

type equations struct {
	formula              formula.Formula
	lines                []formula.Line
	phase                []int
	total, part, balance int // columns; the lines' own come first, the right-hand side last
	rows                 [][]*big.Rat
}

// row begins an equation: all factors 0.
func (o *equations) row() []*big.Rat {
	row := make([]*big.Rat, o.balance+2)
	for i := range row {
		row[i] = new(big.Rat)
	}
	o.rows = append(o.rows, row)
	return row
}

func (o *equations) write() {
	weights, open, parts, balances := false, false, false, false
	for i, l := range o.lines {
		o.line(i, l)
		switch l.Amount.Kind {
		case quantity.Weight, quantity.Measure:
			weights = true
		case quantity.Parts:
			parts, open = true, true
		case quantity.Balance:
			balances, open = true, true
		}
	}
	if makes := o.formula.Makes.Grams().Rat(); !weights {
		o.fix(o.total, big.NewRat(100, 1)) // no size of its own
	} else if makes.Sign() > 0 {
		o.fix(o.total, makes)
	}
	if weights || open { // else the percents may make what they will
		whole := o.row()
		for i, l := range o.lines {
			if l.Amount.Kind != quantity.OnTop {
				whole[i].SetInt64(1)
			}
		}
		whole[o.total].SetInt64(-1)
	}
	if !parts {
		o.fix(o.part, new(big.Rat))
	}
	if !balances {
		o.fix(o.balance, new(big.Rat))
	}
}

// fix says that an unknown has a value.
func (o *equations) fix(column int, value *big.Rat) {
	row := o.row()
	row[column].SetInt64(1)
	row[len(row)-1].Set(value)
}

// line writes a line's own equation: its weight less what it is measured on makes what is weighed out.
func (o *equations) line(i int, l formula.Line) {
	row := o.row()
	row[i].SetInt64(1)
	a := l.Amount
	number := a.Number.Rat()
	if a.NeedsDensity() && a.Kind != quantity.Measure {
		number.Mul(a.Volume.Millilitres().Rat(), l.Density.GramsPerMillilitre().Rat())
		number.Quo(number, a.Mass.Grams().Rat())
	}
	switch a.Kind {
	case quantity.Percent:
		row[o.total].Quo(number, big.NewRat(-100, 1))
	case quantity.Balance:
		row[o.balance].SetInt64(-1)
	case quantity.Weight:
		row[len(row)-1].Set(a.Mass.Grams().Rat())
	case quantity.Measure:
		row[len(row)-1].Mul(a.Volume.Millilitres().Rat(), l.Density.GramsPerMillilitre().Rat())
	case quantity.Parts:
		row[o.part].Neg(number)
	case quantity.Share:
		o.measure(row, i, number.Quo(number, big.NewRat(100, 1)), func(j int) bool { return o.named(j, a.Phase) })
	case quantity.Per:
		o.measure(row, i, number, func(j int) bool { return o.named(j, a.Phase) })
	case quantity.OnTop:
		o.measure(row, i, number, func(int) bool { return true })
	}
}

func (o *equations) named(j int, phase string) bool {
	return strings.EqualFold(o.formula.Phases[o.phase[j]].Name, phase)
}

// measure takes a ratio of all lines that are meant, but for the line itself and what goes on top.
func (o *equations) measure(row []*big.Rat, i int, ratio *big.Rat, meant func(int) bool) {
	for j, l := range o.lines {
		if j != i && l.Amount.Kind != quantity.OnTop && meant(j) {
			row[j].Neg(ratio)
		}
	}
}

// eliminate solves the equations, or gives nil where they have no solution or more than one.
func (o *equations) eliminate() []*big.Rat {
	unknowns := o.balance + 1
	for column := range unknowns {
		pivot := column
		for pivot < len(o.rows) && o.rows[pivot][column].Sign() == 0 {
			pivot++
		}
		if pivot == len(o.rows) {
			return nil
		}
		o.rows[column], o.rows[pivot] = o.rows[pivot], o.rows[column]
		for r := range o.rows {
			if r != column {
				o.subtract(r, column)
			}
		}
	}
	for _, row := range o.rows[unknowns:] { // all factors are 0 by now
		if row[unknowns].Sign() != 0 {
			return nil
		}
	}
	x := make([]*big.Rat, unknowns)
	for i := range x {
		x[i] = new(big.Rat).Quo(o.rows[i][unknowns], o.rows[i][i])
	}
	return x
}

// subtract takes from row r as much of the column's row as clears the column.
func (o *equations) subtract(r, column int) {
	from := o.rows[column]
	times := new(big.Rat).Quo(o.rows[r][column], from[column])
	if times.Sign() == 0 {
		return
	}
	for c := range o.rows[r] {
		o.rows[r][c].Sub(o.rows[r][c], new(big.Rat).Mul(times, from[c]))
	}
}
