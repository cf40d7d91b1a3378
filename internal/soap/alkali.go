package soap

import (
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// An Alkali is one that makes soap of fats.
type Alkali string

// The alkalis, by the names that a recipe writes.
const (
	Sodium    Alkali = "sodium hydroxide"
	Potassium Alkali = "potassium hydroxide"
)

// Alkalis lists the alkalis that are known.
func Alkalis() []Alkali { return []Alkali{Sodium, Potassium} }

// FindAlkali gives the alkali of a name, which is its INCI name too, whatever the case.
func FindAlkali(name string) (Alkali, bool) {
	for _, a := range Alkalis() {
		if strings.EqualFold(strings.Join(strings.Fields(name), " "), string(a)) {
			return a, true
		}
	}
	return "", false
}

// MolarMass gives grams per mole: NaOH 39.997, KOH 56.106, computed from the IUPAC conventional atomic weights
// (22.98977 + 15.9994 + 1.00794; 39.0983 + 15.9994 + 1.00794). An unknown alkali gives 0.
func (a Alkali) MolarMass() quantity.Number {
	switch a {
	case Sodium:
		return quantity.Fraction(39_997, 1000)
	case Potassium:
		return quantity.Fraction(56_106, 1000)
	}
	return quantity.Number{}
}

// perKOH gives how much of the alkali does the work of 1 of KOH.
func (a Alkali) perKOH() quantity.Number { return a.MolarMass().Quo(Potassium.MolarMass()) }
