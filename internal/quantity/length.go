package quantity

import (
	"strings"

	"larkrow.example/stillroom/internal/spell"
)

// A Length is an exact length. Its zero value is no length.
type Length struct{ mm Number }

// Millimetres gives a length of n millimetres.
func Millimetres(n Number) Length { return Length{mm: n} }

// Inches gives a length of n inches of 25.4 mm (NIST Handbook 44, Appendix C).
func Inches(n Number) Length { return Length{mm: n.Mul(inch)} }

// Millimetres gives the length as a number of millimetres.
func (l Length) Millimetres() Number { return l.mm }

// Inches gives the length as a number of inches of 25.4 mm (NIST Handbook 44, Appendix C).
func (l Length) Inches() Number { return l.mm.Quo(inch) }

// Add gives both lengths end to end.
func (l Length) Add(m Length) Length { return Length{l.mm.Add(m.mm)} }

// Sub gives what is left of a length without another; below 0 where that is the longer one.
func (l Length) Sub(m Length) Length { return Length{l.mm.Sub(m.mm)} }

// Times gives so many of a length end to end.
func (l Length) Times(n Number) Length { return Length{l.mm.Mul(n)} }

// Cmp gives -1, 0 or 1 as l is shorter than, as long as or longer than m.
func (l Length) Cmp(m Length) int { return l.mm.Cmp(m.mm) }

// Sign gives -1, 0 or 1 as the length is below, equal to or above 0.
func (l Length) Sign() int { return l.mm.Sign() }

// String writes the length in millimetres, exactly.
func (l Length) String() string { return l.mm.String() + " mm" }

// A Size is a width and a height.
type Size struct{ Width, Height Length }

// String writes the size in millimetres, exactly, width first: "63.5 mm × 38.1 mm".
func (s Size) String() string { return s.Width.String() + " × " + s.Height.String() }

var inch = Fraction(254, 10)

var lengthUnits = map[string]Number{
	"mm": Int(1), "millimetre": Int(1), "millimetres": Int(1), "millimeter": Int(1), "millimeters": Int(1),
	"cm": Int(10), "centimetre": Int(10), "centimetres": Int(10), "centimeter": Int(10), "centimeters": Int(10),
	"in": inch, "inch": inch, "inches": inch,
}

const (
	lengthHint = "write it as 38.1 mm, 4 cm or 2 5/8 in"
	sizeHint   = "write it as 63.5 mm × 38.1 mm, the width first"
)

// ParseLength reads 38.1 mm, 4 cm, 2 5/8 in, 0 mm. The error is a [*SyntaxError].
func ParseLength(text string) (Length, error) {
	s := &scanner{text: text}
	if s.done() || !s.startsNumber() {
		return Length{}, wholly(text, "a length should stand here", lengthHint)
	}
	n, err := s.number()
	if err != nil {
		return Length{}, err
	}
	unit, err := s.lengthUnit()
	switch {
	case err != nil:
		return Length{}, err
	case !s.done():
		return Length{}, s.failRest(s.pos, "“"+strings.TrimSpace(s.rest())+"” does not belong to a length", lengthHint)
	}
	return Length{n.Mul(unit)}, nil
}

// ParseSize reads a width and a height: 63.5 mm × 38.1 mm, 2 5/8 x 1 in; a unit at the end counts for both. The error is a
// [*SyntaxError].
func ParseSize(text string) (Size, error) {
	s := &scanner{text: text}
	if s.done() || !s.startsNumber() {
		return Size{}, wholly(text, "a width and a height should stand here", sizeHint)
	}
	width, err := s.number()
	if err != nil {
		return Size{}, err
	}
	across := Number{}
	if !s.cross() {
		if across, err = s.lengthUnit(); err != nil {
			return Size{}, err
		}
		if !s.cross() {
			return Size{}, wholly(text, "a width and a height should stand here", sizeHint)
		}
	}
	if !s.startsNumber() {
		return Size{}, s.failRest(s.pos, "the height is missing", sizeHint)
	}
	height, err := s.number()
	if err != nil {
		return Size{}, err
	}
	down, err := s.lengthUnit()
	switch {
	case err != nil:
		return Size{}, err
	case !s.done():
		return Size{}, s.failRest(s.pos, "“"+strings.TrimSpace(s.rest())+"” does not belong to a width and a height", sizeHint)
	case across.isZero():
		across = down
	}
	return Size{Length{width.Mul(across)}, Length{height.Mul(down)}}, nil
}

// cross moves past the sign between a width and a height.
func (s *scanner) cross() bool {
	s.spaces()
	return s.take("×xX✕*")
}

// lengthUnit reads a unit of length.
func (s *scanner) lengthUnit() (Number, *SyntaxError) {
	s.spaces()
	start := s.pos
	if s.take("\"″”") {
		return inch, nil
	}
	word, end := s.peekWord()
	s.pos = end
	unit, ok := lengthUnits[word]
	switch {
	case word == "":
		return Number{}, wholly(s.text, "the unit of length is missing", lengthHint)
	case !ok:
		return Number{}, s.fail(start, "“"+word+"” is not a unit of length", spell.DidYouMean(word, []string{"mm", "cm", "inches"}, lengthHint))
	}
	return unit, nil
}
