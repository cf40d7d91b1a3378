package quantity

import (
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxDigits bounds a row of digits to what 64 bits may take: longer ones are slips, and would only cost time.
const maxDigits = 19

// A scanner walks over written words; spaces of every kind part them.
type scanner struct {
	text string
	pos  int
}

func (s *scanner) rest() string { return s.text[s.pos:] }

func (s *scanner) done() bool {
	s.spaces()
	return s.pos >= len(s.text)
}

func (s *scanner) spaces() {
	for s.pos < len(s.text) {
		r, n := utf8.DecodeRuneInString(s.rest())
		if !unicode.IsSpace(r) {
			return
		}
		s.pos += n
	}
}

// fail makes an error that covers the text from a place to where the scanner stands, at least one character.
func (s *scanner) fail(from int, message, hint string) *SyntaxError {
	to := s.pos
	if to <= from {
		_, n := utf8.DecodeRuneInString(s.text[min(from, len(s.text)):])
		to = from + n
	}
	return &SyntaxError{Offset: from, Length: to - from, Message: message, Hint: hint}
}

// failRest makes an error that covers everything from a place to the end.
func (s *scanner) failRest(from int, message, hint string) *SyntaxError {
	s.pos = len(s.text)
	return s.fail(from, message, hint)
}

// take moves past any one of the given characters and says whether there was one.
func (s *scanner) take(chars string) bool {
	r, n := utf8.DecodeRuneInString(s.rest())
	if n == 0 || r == utf8.RuneError || !strings.ContainsRune(chars, r) {
		return false
	}
	s.pos += n
	return true
}

// peekWord gives the next run of letters in lower case (full stops inside and after it left out,
// the 3 of cm3 kept) and where it ends.
func (s *scanner) peekWord() (word string, end int) {
	s.spaces()
	if word := s.smallLetters(); word != "" {
		return word, s.pos + len(word)
	}
	var b strings.Builder
	i := s.pos
	for i < len(s.text) {
		r, n := utf8.DecodeRuneInString(s.text[i:])
		letter := unicode.IsLetter(r) || (r == '3' || r == '³') && b.String() == "cm"
		if !letter && (r != '.' || b.Len() == 0) {
			break
		}
		if letter {
			b.WriteRune(unicode.ToLower(r))
		}
		i += n
	}
	return b.String(), i
}

// smallLetters gives the next word where it is of small letters alone and a space, or nothing, comes after it: as nearly all are.
func (s *scanner) smallLetters() string {
	tail := s.rest()
	for i := range len(tail) {
		if c := tail[i]; c == ' ' {
			return tail[:i]
		} else if c < 'a' || c > 'z' {
			return ""
		}
	}
	return tail
}

// takeWord moves past the word if it comes next.
func (s *scanner) takeWord(word string) bool {
	if w, end := s.peekWord(); w == word {
		s.pos = end
		return true
	}
	return false
}

var vulgar = map[rune]Number{
	'½': Fraction(1, 2), '⅓': Fraction(1, 3), '⅔': Fraction(2, 3), '¼': Fraction(1, 4), '¾': Fraction(3, 4),
	'⅕': Fraction(1, 5), '⅖': Fraction(2, 5), '⅗': Fraction(3, 5), '⅘': Fraction(4, 5), '⅙': Fraction(1, 6),
	'⅚': Fraction(5, 6), '⅐': Fraction(1, 7), '⅛': Fraction(1, 8), '⅜': Fraction(3, 8), '⅝': Fraction(5, 8),
	'⅞': Fraction(7, 8), '⅑': Fraction(1, 9), '⅒': Fraction(1, 10),
}

// vulgarOf gives the fraction that a character is.
func vulgarOf(r rune) (Number, bool) {
	if r < utf8.RuneSelf {
		return Number{}, false
	}
	n, ok := vulgar[r]
	return n, ok
}

// startsNumber says whether a number comes next.
func (s *scanner) startsNumber() bool {
	s.spaces()
	r, _ := utf8.DecodeRuneInString(s.rest())
	if _, ok := vulgarOf(r); ok || isDigit(r) {
		return true
	}
	tail := s.rest()
	return len(tail) > 1 && (tail[0] == '.' || tail[0] == ',') && isDigit(rune(tail[1]))
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func (s *scanner) digits() string {
	start := s.pos
	for s.pos < len(s.text) && isDigit(rune(s.text[s.pos])) {
		s.pos++
	}
	return s.text[start:s.pos]
}

// number reads 12, 1.5, 1,5, .5, 1/2, ½, 1 1/2 and 1½. A sign, a grouping comma or an exponent is refused.
func (s *scanner) number() (Number, *SyntaxError) {
	s.spaces()
	start := s.pos
	n, whole, err := s.plainNumber(start)
	if err != nil {
		return Number{}, err
	}
	if !whole {
		return n, nil
	}
	if s.pos == start { // no digits: a vulgar fraction stands alone
		return s.vulgarFraction(start)
	}
	if s.take("/⁄∕") {
		return s.over(start, n)
	}
	return s.mixed(start, n)
}

// plainNumber reads digits with an optional decimal part; whole says that a fraction may follow.
func (s *scanner) plainNumber(start int) (n Number, whole bool, err *SyntaxError) {
	integer := s.digits()
	mark, fraction := "", ""
	if tail := s.rest(); len(tail) > 1 && (tail[0] == '.' || tail[0] == ',') && isDigit(rune(tail[1])) {
		mark = tail[:1]
		s.pos++
		fraction = s.digits()
	}
	if len(integer) > maxDigits || len(fraction) > maxDigits {
		return Number{}, false, s.fail(start, "this number has too many digits", "write at most 19 digits on either side of the point")
	}
	if err := s.grouping(start, integer, mark, fraction); err != nil {
		return Number{}, false, err
	}
	return decimal(integer, fraction), mark == "", nil
}

// decimal gives the number of a row of digits before the point and one after it.
func decimal(integer, fraction string) Number {
	if len(integer)+len(fraction) < len(powersOfTen) {
		n := int64(0)
		for _, c := range []byte(integer) {
			n = 10*n + int64(c-'0')
		}
		for _, c := range []byte(fraction) {
			n = 10*n + int64(c-'0')
		}
		return reduced(n, int64(powersOfTen[len(fraction)]))
	}
	r, ok := new(big.Rat).SetString("0" + integer + "." + fraction + "0")
	if !ok {
		panic("quantity: no digits: " + integer + "." + fraction)
	}
	return fromRat(r)
}

// grouping refuses commas, points and spaces that may be thousands marks: 1,000 and 1,000.5 and 1.000,5 and 1 000.
func (s *scanner) grouping(start int, integer, mark, fraction string) *SyntaxError {
	again := false
	for tail := s.rest(); mark != "" && len(tail) > 1 && (tail[0] == '.' || tail[0] == ',') && isDigit(rune(tail[1])); tail = s.rest() {
		again = true
		s.pos++
		s.digits()
	}
	written := s.text[start:s.pos]
	if again {
		return s.fail(start, "“"+written+"” has more than one mark in it", "write thousands without a mark, and one point or comma before the decimals")
	}
	if mark == "," && len(fraction) == 3 && strings.Trim(integer, "0") != "" {
		return s.fail(start, "“"+written+"” is ambiguous: it may mean "+integer+fraction+" or "+integer+"."+fraction,
			"write "+integer+fraction+" or "+integer+"."+fraction)
	}
	if mark == "" && len(integer) > 0 && len(integer) <= 3 {
		return s.spacedThousands(start, integer)
	}
	return nil
}

// spacedThousands refuses 1 000, where the second group could be a slip as well as a thousands mark.
func (s *scanner) spacedThousands(start int, integer string) *SyntaxError {
	ahead := *s
	ahead.spaces()
	if ahead.pos == s.pos {
		return nil
	}
	group := ahead.digits()
	if len(group) != 3 || ahead.take("/⁄∕") {
		return nil
	}
	s.pos = ahead.pos
	return s.fail(start, "“"+s.text[start:s.pos]+"” is ambiguous", "write "+integer+group+" without a space if that is meant")
}

func (s *scanner) vulgarFraction(start int) (Number, *SyntaxError) {
	r, n := utf8.DecodeRuneInString(s.rest())
	if v, ok := vulgarOf(r); ok {
		s.pos += n
		return v, nil
	}
	return Number{}, s.fail(start, "a number should stand here", "write it as 12, 1.5, 1/2 or 1 1/2")
}

// over reads what stands under a fraction's line.
func (s *scanner) over(start int, numerator Number) (Number, *SyntaxError) {
	under := s.digits()
	if under == "" || len(under) > maxDigits {
		return Number{}, s.fail(start, "a fraction needs whole numbers above and below its line", "write it as 1/2")
	}
	d := decimal(under, "")
	if d.isZero() {
		return Number{}, s.fail(start, "a fraction cannot have 0 below its line", "write it as 1/2")
	}
	return numerator.Quo(d), nil
}

// mixed reads a fraction that follows a whole number: 1 1/2, 1½.
func (s *scanner) mixed(start int, whole Number) (Number, *SyntaxError) {
	ahead := *s
	ahead.spaces()
	r, n := utf8.DecodeRuneInString(ahead.rest())
	if v, ok := vulgarOf(r); ok {
		s.pos = ahead.pos + n
		return whole.Add(v), nil
	}
	if ahead.pos == s.pos { // "11/2" is eleven halves; a mixed number has a space
		return whole, nil
	}
	above := ahead.digits()
	if above == "" || len(above) > maxDigits || !ahead.take("/⁄∕") {
		return whole, nil
	}
	s.pos = ahead.pos
	part, err := s.over(start, decimal(above, ""))
	if err != nil {
		return Number{}, err
	}
	if part.Cmp(Int(1)) >= 0 {
		return Number{}, s.fail(start, "the fraction after a whole number must be below 1", "write it as 1 1/2, or as a decimal")
	}
	return whole.Add(part), nil
}

// ParseNumber reads a number that stands alone, at least 0: 12, 1.5, 1,5, 1/2, ½, 1 1/2, 1½.
// The error is a [*SyntaxError].
func ParseNumber(text string) (Number, error) {
	s := &scanner{text: text}
	n, err := s.number()
	if err != nil {
		return Number{}, err
	}
	if !s.done() {
		return Number{}, s.failRest(s.pos, "“"+strings.TrimSpace(s.rest())+"” does not belong to a number", "write the number alone")
	}
	return n, nil
}
