// Package cost works out what batches cost from what materials, containers and working time are bought for.
package cost

import (
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// Rates are what beside the materials costs money. All money is in one currency, in units such as pounds.
type Rates struct {
	Labour     *quantity.Number           // for an hour of work, nil where none is reckoned
	Containers map[string]quantity.Number // for one container, by its name
}

// A Line is what one item of a batch costs.
type Line struct {
	Item    int
	PerKilo quantity.Number // money for a kilogram
	Money   quantity.Number // exact
	Unknown string          // why it is not known, "" where it is
}

// A Batch is what a weighed batch costs. Its sums leave out what is not known, which Unknown names.
type Batch struct {
	Lines      []Line
	Materials  quantity.Number
	Containers quantity.Number
	Labour     quantity.Number
	Unknown    []string // what the sums leave out, each once
	Filled     int64    // containers, 0 where none are filled
}

// Total gives what the batch costs in all, as far as it is known.
func (b Batch) Total() quantity.Number { return b.Materials.Add(b.Containers).Add(b.Labour) }

// PerContainer gives what one filled container costs, all that is made being carried by the containers filled; false where none is.
func (b Batch) PerContainer() (quantity.Number, bool) {
	if b.Filled == 0 {
		return quantity.Number{}, false
	}
	return b.Total().Quo(quantity.Int(b.Filled)), true
}

// Share gives what part of the materials' cost a line is, in percent; 0 where nothing costs anything.
func (b Batch) Share(l Line) quantity.Number {
	if b.Materials.Sign() == 0 {
		return quantity.Number{}
	}
	return l.Money.Mul(quantity.Int(100)).Quo(b.Materials)
}

// Dearer gives what the batch costs more when one line's price rises by so many percent.
func (b Batch) Dearer(l Line, percent quantity.Number) quantity.Number {
	return l.Money.Mul(percent).Quo(quantity.Int(100))
}

// Of works out a weighed batch. Materials stand beside the version's items; filled and hours may be nil.
func Of(v *formula.Version, c formula.Column, materials []*material.Material, filled *formula.Filled, hours *quantity.Duration, rates Rates) Batch {
	b := Batch{}
	unknown := make(map[string]bool)
	miss := func(what string) {
		if !unknown[what] {
			unknown[what] = true
			b.Unknown = append(b.Unknown, what)
		}
	}
	for i, item := range v.Items {
		l := line(i, materials[i], c.Weights[i].Mass)
		if l.Unknown != "" {
			miss(item.Name)
		}
		b.Materials = b.Materials.Add(l.Money)
		b.Lines = append(b.Lines, l)
	}
	if filled != nil && filled.Count > 0 {
		b.Filled = filled.Count
		if each, ok := rates.Containers[filled.Container]; ok {
			b.Containers = each.Mul(quantity.Int(filled.Count))
		} else {
			miss(filled.Container)
		}
	}
	if rates.Labour != nil && hours != nil {
		b.Labour = rates.Labour.Mul(hours.Minutes()).Quo(quantity.Int(60))
	} else if rates.Labour != nil {
		miss("working time")
	}
	return b
}

// Bought gives what so much of a material costs; the line's Item is 0. The material may be nil.
func Bought(m *material.Material, weight quantity.Mass) Line { return line(0, m, weight) }

// line works out one item.
func line(i int, m *material.Material, weight quantity.Mass) Line {
	l := Line{Item: i}
	switch {
	case m == nil || m.Price == nil:
		l.Unknown = "no price is given"
		return l
	case m.Price.Per.Kind == quantity.Weight:
		l.PerKilo = perKilo(m.Price.Money, m.Price.Per.Mass)
	case !m.Density.Known:
		l.Unknown = "it is bought by volume, and its density is not known"
		return l
	default:
		l.PerKilo = perKilo(m.Price.Money, m.Price.Per.Volume.Weigh(m.Density.Value))
	}
	l.Money = l.PerKilo.Mul(weight.Grams()).Quo(quantity.Int(1000))
	return l
}

func perKilo(money quantity.Number, pack quantity.Mass) quantity.Number {
	return money.Mul(quantity.Int(1000)).Quo(pack.Grams())
}
