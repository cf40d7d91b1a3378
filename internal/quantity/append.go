package quantity

import (
	"math"
	"math/bits"
	"strconv"
	"strings"
)

// Numbers written at the end of a row of bytes. Pages and files have them by the thousand, and most are soon thrown away.

// AppendText appends what [Number.Text] writes.
func (n Number) AppendText(b []byte, places int) []byte {
	from := len(b)
	b = n.AppendFixed(b, places)
	if places == 0 {
		return b
	}
	end := len(b)
	for end > from && b[end-1] == '0' {
		end--
	}
	if end > from && b[end-1] == '.' {
		end--
	}
	return b[:end]
}

// AppendFixed appends what [Number.Fixed] writes.
func (n Number) AppendFixed(b []byte, places int) []byte {
	if n.big == nil && n.num >= 0 && places < len(powersOfTen) {
		if q, ok := roundedQuotient(uint64(n.num), powersOfTen[places], uint64(max(n.den, 1))); ok {
			return appendPoint(b, q, places)
		}
	}
	s := n.Rat().FloatString(places) // rounds half away from zero
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return append(b, s...)
}

// AppendFraction appends the number exactly, as a whole one or a fraction in lowest terms: "12", "7/20".
func (n Number) AppendFraction(b []byte) []byte {
	if n.big != nil {
		return append(b, n.big.RatString()...)
	}
	b = strconv.AppendInt(b, n.num, 10)
	if n.den > 1 {
		b = strconv.AppendInt(append(b, '/'), n.den, 10)
	}
	return b
}

// roundedQuotient gives a × by ÷ div rounded half away from zero, and false where that does not fit; div must not be 0.
func roundedQuotient(a, by, div uint64) (uint64, bool) {
	hi, lo := bits.Mul64(a, by)
	if hi >= div {
		return 0, false
	}
	q, r := bits.Div64(hi, lo, div)
	if q == math.MaxUint64 { // no room to round up
		return 0, false
	}
	if r > 0 && r >= div-r {
		q++
	}
	return q, true
}

// appendPoint appends a whole number with a decimal point so many places from its end.
func appendPoint(b []byte, n uint64, places int) []byte {
	var digits [24]byte // of 64 bits there are at most 20
	at := len(digits)
	for place := 0; n > 0 || place <= places; place++ { // one digit stands before the point
		if place == places && place > 0 {
			at--
			digits[at] = '.'
		}
		at--
		digits[at] = '0' + byte(n%10)
		n /= 10
	}
	return append(b, digits[at:]...)
}
