package label

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// A Net is a declaration of net contents.
type Net struct {
	Container string // of the fill it is for, "" for none
	Text      string // the whole declaration
	Metric    string // its metric part: "96 g"
	Inch      string // its US part, "" in the EU: "3.4 oz"
	Basis     []Basis
	Notes     []string // what the maker has to see to; whole sentences
}

// usFluidOunce is the US fluid ounce in millilitres (NIST Handbook 44, Appendix C).
var usFluidOunce = quantity.Fraction(295735295625, 10000000000)

// NetWeight declares a weight, above 0: in grams, and in the US in pounds and ounces before them. Amounts are rounded
// down, so that a label never promises more than is in.
//
// Digits: metric amounts have three, of which two are enough below 100 g (16 CFR 500.19(b), read); the EU, which sets no
// number of digits, is given whole grams from 10 g. An amount in ounces that two decimals write exactly stands so (two are
// allowed, from memory); any other has one decimal, two below 1 oz and none from 100 oz.
func NetWeight(market string, m quantity.Mass) Net {
	n := Net{Metric: metric(market, m.Grams(), "g", "kg")}
	if market == EU {
		n.Text, n.Basis = n.Metric, []Basis{rule("eu-nominal-content")}
		return n
	}
	n.Basis = usBasis("us-net-quantity-unit-solid")
	oz := inchDigits(m.Ounces())
	lb, rest := whole(oz, 16)
	split := strings.TrimSpace(lb.Text(0) + " lb " + counted(rest, "oz"))
	switch {
	case lb.Sign() == 0:
		n.Inch = oz.Text(2) + " oz"
	case lb.Cmp(quantity.Int(4)) < 0:
		n.Inch = oz.Text(2) + " oz (" + split + ")"
		n.Basis = append(n.Basis, rule("us-large-package-double-statement"))
	default:
		n.Inch = split
	}
	n.Text = "Net Wt " + n.Inch + " " + beside(n.Metric, n.Inch)
	return n
}

// NetVolume declares a volume, above 0, as [NetWeight] does a weight.
func NetVolume(market string, v quantity.Volume) Net {
	n := Net{Metric: metric(market, v.Millilitres(), "ml", "l")}
	if market == EU {
		n.Text, n.Basis = n.Metric, []Basis{rule("eu-nominal-content")}
		return n
	}
	n.Basis = usBasis("us-net-quantity-unit-liquid", "us-net-quantity-volume-basis")
	oz := inchDigits(v.Millilitres().Quo(usFluidOunce))
	switch {
	case oz.Cmp(quantity.Int(16)) < 0:
		n.Inch = oz.Text(2) + " fl oz"
	case oz.Cmp(quantity.Int(128)) < 0:
		n.Inch = oz.Text(2) + " fl oz (" + fluid(oz) + ")"
		n.Basis = append(n.Basis, rule("us-large-package-double-statement"))
	default:
		n.Inch = fluid(oz)
	}
	n.Text = n.Inch + " " + beside(n.Metric, n.Inch)
	return n
}

// beside writes the metric part next to the other one: in brackets where that has none of its own.
func beside(metric, inch string) string {
	if strings.Contains(inch, "(") {
		return metric
	}
	return "(" + metric + ")"
}

func usBasis(ids ...string) []Basis {
	all := make([]Basis, 0, len(ids)+8)
	for _, id := range append(ids, "us-net-quantity-dual-units", "us-metric-digits", "us-metric-digits-below-100", "us-rounding-never-up", "us-net-quantity-decimals", "us-net-weight-words") {
		all = append(all, rule(id))
	}
	return all
}

// metric writes an amount in its digits, in the larger unit from 1000.
func metric(market string, n quantity.Number, unit, larger string) string {
	switch {
	case n.Cmp(quantity.Int(1000)) >= 0 && market == EU:
		return down(n.Quo(quantity.Int(1000)), 3).Text(3) + " " + larger
	case n.Cmp(quantity.Int(1000)) >= 0:
		return threeDigits(n.Quo(quantity.Int(1000))).Text(2) + " " + larger
	case n.Cmp(quantity.Int(10)) >= 0:
		return down(n, 0).Text(0) + " " + unit
	case n.Cmp(quantity.Int(1)) >= 0:
		return down(n, 1).Text(1) + " " + unit
	}
	return down(n, 2).Text(2) + " " + unit
}

// threeDigits rounds a number from 1 up down to three digits; one above 999 keeps all its whole ones.
func threeDigits(n quantity.Number) quantity.Number {
	switch {
	case n.Cmp(quantity.Int(10)) < 0:
		return down(n, 2)
	case n.Cmp(hundred) < 0:
		return down(n, 1)
	}
	return down(n, 0)
}

// inchDigits rounds ounces down to the digits in which they are told.
func inchDigits(oz quantity.Number) quantity.Number {
	switch places, exact := oz.Places(); {
	case oz.Cmp(hundred) >= 0:
		return down(oz, 0)
	case exact && places <= 2:
		return oz
	case oz.Cmp(quantity.Int(1)) < 0:
		return down(oz, 2)
	}
	return down(oz, 1)
}

// down rounds a number down to so many places.
func down(n quantity.Number, places int) quantity.Number {
	step := quantity.Int(1)
	for range places {
		step = step.Quo(quantity.Int(10))
	}
	return quantity.RoundDown(quantity.Grams(n), quantity.Grams(step)).Grams()
}

// whole gives how many whole units of so many are in a number, and the rest.
func whole(n quantity.Number, of int64) (units, rest quantity.Number) {
	units = down(n.Quo(quantity.Int(of)), 0)
	return units, n.Sub(units.Mul(quantity.Int(of)))
}

// fluid writes fluid ounces in the largest whole units and what is left: 1 qt 1 pt 4 fl oz.
func fluid(oz quantity.Number) string {
	var words []string
	for _, u := range []struct {
		name string
		oz   int64
	}{{"gal", 128}, {"qt", 32}, {"pt", 16}} {
		var n quantity.Number
		n, oz = whole(oz, u.oz)
		words = append(words, counted(n, u.name))
	}
	words = append(words, counted(oz, "fl oz"))
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), " ")
}

// counted writes a number of units, or nothing for none.
func counted(n quantity.Number, unit string) string {
	if n.Sign() == 0 {
		return ""
	}
	return n.Text(2) + " " + unit
}

// liquids are the product types that pour and so are declared by fluid measure in the US (which types pour: common practice,
// no source). A shampoo or a wash can be thick or thin, and is left to the maker.
var liquids = []string{
	"toner", "perfume", "body mist", "room spray", "reed diffuser", "massage oil", "body oil", "face oil", "beard oil", "hair oil", "bath oil", "hand sanitiser", "liquid soap",
}

// contents declares what each container of a recipe takes.
func contents(s *Subject, market string) []Net {
	var all []Net
	for _, f := range s.Fills {
		if f.Takes.Grams().Sign() <= 0 {
			continue
		}
		n := NetWeight(market, f.Takes)
		n.Container = f.Container
		if market == EU && f.Takes.Grams().Cmp(quantity.Int(5)) < 0 {
			n.Basis = append(n.Basis, rule("eu-nominal-content-exempt-small"))
		}
		if market == US && slices.Contains(liquids, s.Product.Name) {
			n.Basis = append(n.Basis, rule("us-net-quantity-unit-liquid"))
			n.Notes = append(n.Notes, "A liquid is declared by fluid measure in the US: measure what the container holds.")
		}
		if s.Product.Name == "bar soap" || s.Product.Name == "shaving soap" {
			n.Notes = append(n.Notes, "A cured bar weighs less than was poured: weigh the cured bars, and declare no more than the lightest.")
		}
		all = append(all, n)
	}
	return all
}
