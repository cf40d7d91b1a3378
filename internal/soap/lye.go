package soap

import (
	"fmt"

	"larkrow.example/stillroom/internal/quantity"
)

// WaterFor gives the water for 1 of alkali that makes a lye of so many percent of alkali. The strength must be above 0 and below 100.
func WaterFor(strength quantity.Number) (quantity.Number, error) {
	if strength.Sign() <= 0 || strength.Cmp(hundred()) >= 0 {
		return quantity.Number{}, fmt.Errorf("a lye of %s %% cannot be: write the alkali's percent of alkali and water, such as 33 %%", strength)
	}
	return hundred().Sub(strength).Quo(strength), nil
}

// StrengthOf gives the percent of alkali in a lye of so much water, at least 0, for 1 of alkali.
func StrengthOf(water quantity.Number) quantity.Number {
	return hundred().Quo(quantity.Int(1).Add(water))
}

// FromStock gives how much of a stock lye holds the alkali that is wanted, and how much water to add for a lye of the strength
// that is wanted; strengths are in percent. A stock weaker than what is wanted is refused.
func FromStock(alkali, stock, wanted quantity.Number) (lye, water quantity.Number, err error) {
	for _, strength := range []quantity.Number{stock, wanted} {
		if _, err := WaterFor(strength); err != nil {
			return lye, water, err
		}
	}
	if stock.Cmp(wanted) < 0 {
		return lye, water, fmt.Errorf("a stock lye of %s %% is too weak for a lye of %s %%: water cannot make it stronger", stock, wanted)
	}
	lye = hundred().Mul(alkali).Quo(stock)
	return lye, hundred().Mul(alkali).Quo(wanted).Sub(lye), nil
}
