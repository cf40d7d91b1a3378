package emulsion

import (
	"fmt"

	"larkrow.example/stillroom/internal/quantity"
)

// Split gives how much of each of two emulsifiers, in percent of the two, makes a blend of the HLB that is wanted: the first's
// share is (wanted − other) ÷ (one − other). An HLB that no mixture of the two has is refused, and two that have the same.
func Split(one, other, wanted quantity.Number) (first, second quantity.Number, err error) {
	low, high := one, other
	if low.Cmp(high) > 0 {
		low, high = high, low
	}
	switch {
	case low.Cmp(high) == 0:
		return first, second, fmt.Errorf("both emulsifiers have HLB %s, so every mixture of them has: take one of another HLB", low.Text(6))
	case wanted.Cmp(low) < 0 || wanted.Cmp(high) > 0:
		return first, second, fmt.Errorf("no mixture of these emulsifiers has HLB %s: theirs reach from %s to %s", wanted.Text(6), low.Text(6), high.Text(6))
	}
	hundred := quantity.Int(100)
	first = hundred.Mul(wanted.Sub(other)).Quo(one.Sub(other))
	return first, hundred.Sub(first), nil
}

// FromValues gives the HLB of an ester from its saponification value and the acid value of its fatty acid, both in mg KOH per g:
// 20 × (1 − S ÷ A) (Griffin, 1954; from memory). S must be from 0 to A, and A above 0.
func FromValues(saponification, acid quantity.Number) (quantity.Number, error) {
	if acid.Sign() <= 0 || saponification.Sign() < 0 || saponification.Cmp(acid) > 0 {
		return quantity.Number{}, fmt.Errorf("a saponification value of %s and an acid value of %s give no HLB: the first lies between 0 and the second",
			saponification.Text(6), acid.Text(6))
	}
	return quantity.Int(20).Mul(quantity.Int(1).Sub(saponification.Quo(acid))), nil
}
