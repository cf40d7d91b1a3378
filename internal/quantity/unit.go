package quantity

import "strings"

// A unit turns a written measure into grams or millilitres by an exact factor.
type unit struct {
	factor Number
	volume bool
}

// The factors are exact. Pound, grain and the US customary volumes: NIST Handbook 44, Appendix C
// (1 lb = 453.59237 g; 1 gal = 231 cubic inches of 2.54 cm); imperial volumes: NIST SP 811,
// Appendix B (1 gal = 4.54609 L), from memory. Prefixes are the SI's.
var (
	gram       = unit{factor: Int(1)}
	ounce      = unit{factor: Fraction(45359237, 1600000)}
	millilitre = unit{factor: Int(1), volume: true}
	usGallon   = Fraction(473176473, 125000)
	impGallon  = Fraction(454609, 100)
)

// units has every spelling, in lower case without full stops.
var units = spellings([]struct {
	unit  unit
	names string
}{
	{gram, "g gram grams gramme grammes"},
	{unit{factor: Int(1000)}, "kg kilo kilos kilogram kilograms kilogramme kilogrammes"},
	{unit{factor: Fraction(1, 1000)}, "mg milligram milligrams"},
	{unit{factor: Fraction(1, 1000000)}, "µg μg mcg microgram micrograms"},
	{ounce, "oz ounce ounces"},
	{unit{factor: Fraction(45359237, 100000)}, "lb lbs pound pounds"},
	{unit{factor: Fraction(6479891, 100000000)}, "grain grains"},
	{millilitre, "ml millilitre millilitres milliliter milliliters cc cm3 cm³"},
	{unit{Int(10), true}, "cl centilitre centilitres"},
	{unit{Int(100), true}, "dl decilitre decilitres"},
	{unit{Int(1000), true}, "l litre litres liter liters"},
	{unit{usGallon, true}, "gal gallon gallons"},
	{unit{usGallon.Quo(Int(4)), true}, "qt quart quarts"},
	{unit{usGallon.Quo(Int(8)), true}, "pt pint pints"},
	{unit{usGallon.Quo(Int(16)), true}, "cup cups"},
	{unit{usGallon.Quo(Int(128)), true}, "fl_oz fluid_ounce fluid_ounces fl_ounce fl_ounces floz"},
	{unit{usGallon.Quo(Int(256)), true}, "tbsp tablespoon tablespoons"},
	{unit{usGallon.Quo(Int(768)), true}, "tsp teaspoon teaspoons"},
	{unit{impGallon, true}, "imp_gal imp_gallon imp_gallons imperial_gallon imperial_gallons"},
	{unit{impGallon.Quo(Int(8)), true}, "imp_pt imp_pint imp_pints imperial_pint imperial_pints"},
	{unit{impGallon.Quo(Int(160)), true}, "imp_fl_oz imperial_fl_oz imp_fluid_ounce imp_fluid_ounces imperial_fluid_ounce imperial_fluid_ounces"},
})

func spellings(rows []struct {
	unit  unit
	names string
},
) map[string]unit {
	all := make(map[string]unit)
	for _, row := range rows {
		for name := range strings.FieldsSeq(row.names) {
			all[strings.ReplaceAll(name, "_", " ")] = row.unit
		}
	}
	return all
}

// refusedUnits are words that stand where a unit should and cannot be weighed, with what to write instead.
var refusedUnits = map[string]string{
	"drop":     "drops differ from one dropper and liquid to the next: weigh them once and write the weight, such as 0.5 g",
	"pinch":    "weigh a pinch once and write the weight, such as 0.3 g",
	"dash":     "weigh it once and write the weight, such as 0.5 g",
	"smidgen":  "weigh it once and write the weight, such as 0.1 g",
	"handful":  "weigh a handful once and write the weight, such as 20 g",
	"dollop":   "weigh it once and write the weight, such as 15 g",
	"squirt":   "weigh it once and write the weight, such as 2 g",
	"capful":   "weigh a capful once and write the weight, such as 5 g",
	"scoop":    "weigh a scoop once and write the weight, such as 30 g",
	"spoon":    "say which spoon (tsp or tbsp), or better, write the weight",
	"spoonful": "say which spoon (tsp or tbsp), or better, write the weight",
	"gr":       "gr can be read as gram or as grain: write g or grains",
	"dram":     "a dram is 1.77 g or 3.89 g according to the system: write grams",
	"dr":       "a dram is 1.77 g or 3.89 g according to the system: write grams",
	"scruple":  "write grams (a scruple is 1.296 g)",
	"stick":    "weigh a stick once and write the weight",
	"jar":      "write the weight; containers belong under batches, as in 12 × 60 ml jar",
	"tin":      "write the weight; containers belong under batches, as in 12 × 60 ml tin",
}

// refusal finds what is known of a word that is no unit, in the singular or plural.
func refusal(word string) (hint string, ok bool) {
	for _, w := range []string{word, strings.TrimSuffix(word, "s"), strings.TrimSuffix(word, "es")} {
		if hint, ok = refusedUnits[w]; ok {
			return hint, true
		}
	}
	return "", false
}
