package quantity

import "strings"

// A Temperature is exact, in degrees Celsius. Its zero value is 0 °C; where none is given a pointer is nil.
type Temperature struct{ celsius Number }

// Celsius gives the temperature of n degrees Celsius.
func Celsius(n Number) Temperature { return Temperature{celsius: n} }

// Celsius gives the temperature in degrees Celsius.
func (t Temperature) Celsius() Number { return t.celsius }

// Fahrenheit gives the temperature in degrees Fahrenheit: C × 9/5 + 32 (NIST SP 811, section B.9).
func (t Temperature) Fahrenheit() Number { return t.celsius.Mul(Fraction(9, 5)).Add(Int(32)) }

// String writes the temperature in whole degrees: "75 °C".
func (t Temperature) String() string { return t.celsius.Text(0) + " °C" }

// Both writes the temperature in whole degrees of both scales: "75 °C / 167 °F".
func (t Temperature) Both() string { return t.String() + " / " + t.Fahrenheit().Text(0) + " °F" }

// Temperatures are one temperature or a range of them, as written in one of the two scales.
type Temperatures struct {
	Low, High    Temperature // equal for a single one
	inFahrenheit bool        // as written
}

// Written gives the temperatures in the scale that they were written in, exactly: "70–75 °C".
func (t Temperatures) Written() string {
	return t.in(t.inFahrenheit, func(n Number) string { return n.Text(3) })
}

// Converted gives the temperatures in whole degrees of the other scale: "158–167 °F".
func (t Temperatures) Converted() string {
	return t.in(!t.inFahrenheit, func(n Number) string { return n.Text(0) })
}

// in writes the temperatures in one scale, with a true minus sign; ends that are written alike are one.
func (t Temperatures) in(fahrenheit bool, write func(Number) string) string {
	low, high, unit := t.Low.celsius, t.High.celsius, " °C"
	if fahrenheit {
		low, high, unit = t.Low.Fahrenheit(), t.High.Fahrenheit(), " °F"
	}
	words := write(low)
	if other := write(high); other != words {
		words += "–" + other
	}
	return strings.ReplaceAll(words, "-", "−") + unit
}

// ParseTemperatures reads one temperature or a range of them: 63 °C, 62–65 °C, 62 °C–65 °C, 144–149 °F. The error is a [*SyntaxError].
func ParseTemperatures(text string) (Temperatures, error) {
	s := &scanner{text: text}
	low, err := s.signedNumber()
	if err != nil {
		return Temperatures{}, err
	}
	first := s.pos
	unit := strings.TrimSpace(s.rest())
	high := low
	if s.rangeMark() {
		between := strings.TrimSpace(s.text[first:s.pos])
		if high, err = s.signedNumber(); err != nil {
			return Temperatures{}, err
		}
		unit = strings.TrimSpace(s.rest())
		if own := strings.TrimSpace(strings.TrimRight(between, dashes+"to")); own != "" && scaleOf(own) != scaleOf(unit) {
			return Temperatures{}, wholly(text, "the two ends are in different scales", "write both in °C or both in °F")
		}
	}
	if high.Cmp(low) < 0 {
		return Temperatures{}, wholly(text, "the range runs backwards", "write the lower figure first")
	}
	t := Temperatures{inFahrenheit: scaleOf(unit) == "F"}
	if t.Low, err = degrees(text, low, unit); err != nil {
		return Temperatures{}, err
	}
	if t.High, err = degrees(text, high, unit); err != nil {
		return Temperatures{}, err
	}
	return t, nil
}

// rangeMark moves past a dash or "to" between two figures; a scale may stand before it.
func (s *scanner) rangeMark() bool {
	ahead := *s
	ahead.spaces()
	for ahead.take("°º˚℃℉CFcf ") {
	}
	ahead.spaces()
	if !ahead.take(dashes) && !ahead.takeWord("to") {
		return false
	}
	*s = ahead
	return true
}

// scaleOf gives the letter of a written scale: C or F, or what stands there.
func scaleOf(unit string) string {
	letter := strings.ToUpper(strings.TrimLeft(strings.Join(strings.Fields(unit), ""), "°º˚"))
	switch letter {
	case "℃":
		return "C"
	case "℉":
		return "F"
	}
	return letter
}

// ParseTemperature reads 75 °C, 75 C or 167 °F. The error is a [*SyntaxError].
func ParseTemperature(text string) (Temperature, error) {
	s := &scanner{text: text}
	start := s.pos
	n, err := s.signedNumber()
	if err == nil {
		err = s.refuseRange(start)
	}
	if err != nil {
		return Temperature{}, err
	}
	t, err := degrees(text, n, s.rest())
	if err != nil {
		return Temperature{}, err
	}
	return t, nil
}

// signedNumber reads a number that may have a minus before it.
func (s *scanner) signedNumber() (Number, *SyntaxError) {
	s.spaces()
	below := s.take("-−–")
	n, err := s.number()
	if below {
		n = n.Neg()
	}
	return n, err
}

// degrees gives the temperature of a number and the unit after it; text is the whole, for the error.
func degrees(text string, n Number, unit string) (Temperature, *SyntaxError) {
	switch scaleOf(unit) {
	case "C":
		return plausible(text, Temperature{celsius: n})
	case "F":
		return plausible(text, Temperature{celsius: n.Sub(Int(32)).Mul(Fraction(5, 9))})
	}
	return Temperature{}, wholly(text, "a temperature should stand here", "write it as 75 °C or 167 °F")
}

// plausible refuses what no workroom reaches.
func plausible(text string, t Temperature) (Temperature, *SyntaxError) {
	if t.celsius.Cmp(Int(-60)) < 0 || t.celsius.Cmp(Int(400)) > 0 {
		return Temperature{}, wholly(text, "no workroom is as cold or hot as that", "write it as 75 °C or 167 °F")
	}
	return t, nil
}
