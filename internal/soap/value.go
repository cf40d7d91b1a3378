package soap

import (
	"errors"

	"larkrow.example/stillroom/internal/quantity"
)

// ValueOf gives the saponification value, in mg KOH per g, of a saponification equivalent: the grams of fat that one mole of
// alkali saponifies, which older books state, and which for a pure triglyceride is a third of its molar mass. It must be above 0.
func ValueOf(equivalent quantity.Number) (quantity.Number, error) {
	if equivalent.Sign() <= 0 {
		return quantity.Number{}, errors.New("a saponification equivalent is above 0: the grams of fat for one mole of alkali")
	}
	return quantity.Int(1000).Mul(Potassium.MolarMass()).Quo(equivalent), nil
}

// A Titration is a fat's saponification value being measured: the fat boiled in alkali, and the alkali left over titrated with acid.
type Titration struct {
	Fat       quantity.Number // grams
	Blank     quantity.Number // ml of acid for the same alkali without fat
	Back      quantity.Number // ml of acid for the alkali left over
	Normality quantity.Number // moles of acid per litre
}

// Equivalent gives the saponification equivalent that was measured, in grams per mole.
func (t Titration) Equivalent() (quantity.Number, error) {
	taken := t.Blank.Sub(t.Back).Mul(t.Normality) // mmol
	if t.Fat.Sign() <= 0 || taken.Sign() <= 0 || t.Normality.Sign() <= 0 || t.Back.Sign() < 0 {
		return quantity.Number{}, errors.New("a titration needs fat, and less acid for the alkali left over than for the blank")
	}
	return quantity.Int(1000).Mul(t.Fat).Quo(taken), nil
}
