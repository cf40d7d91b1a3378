package formula

import (
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// A Fill says what a container takes and how much of a batch is lost on the way into it.
type Fill struct {
	Container string
	Takes     quantity.Mass   // no weight where it is not known
	Loss      quantity.Number // percent of what is filled
	Unknown   string          // why Takes is not known, "" where it is
}

// perContainer gives what one container uses up of a batch: takes × (1 + loss).
func (f Fill) perContainer() quantity.Number {
	return f.Takes.Grams().Mul(quantity.Int(1).Add(hundredth(f.Loss)))
}

// A Filled is what a batch fills: whole containers, and what is then left in the pot (the loss taken off).
type Filled struct {
	Container string
	Count     int64
	Each      quantity.Mass
	Left      quantity.Mass
}

// Fills works out how many containers a batch fills, or gives nil where the fill is not known.
func (f Fill) Fills(batch quantity.Mass) *Filled {
	if f.Takes.Grams().Sign() <= 0 {
		return nil
	}
	count, ok := batch.Grams().Quo(f.perContainer()).Floor()
	if !ok {
		return nil
	}
	usable := batch.Grams().Quo(quantity.Int(1).Add(hundredth(f.Loss)))
	left := usable.Sub(f.Takes.Grams().Mul(quantity.Int(count)))
	return &Filled{Container: f.Container, Count: count, Each: f.Takes, Left: quantity.Grams(left)}
}

// findFill gives the fill of a container's name; spaces and case do not matter, nor whether there are several of it.
func findFill(fills []Fill, container string) (Fill, bool) {
	for _, ending := range []string{"", "s", "es"} {
		for _, f := range fills {
			if strings.EqualFold(unspaced(f.Container)+ending, unspaced(container)) {
				return f, true
			}
		}
	}
	return Fill{}, false
}

// unspaced takes the spaces out of a name: "60ml tin" is a 60 ml tin.
func unspaced(name string) string { return strings.Join(strings.Fields(name), "") }
