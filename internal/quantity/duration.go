package quantity

import (
	"errors"
	"strings"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/spell"
)

// A Duration is a span of time in the unit it was written in: working time, or how long a product keeps. A sum such as
// 1 h 10 min is in its last unit.
type Duration struct {
	Count Number
	Unit  string // second, minute, hour, day, week, month or year
}

// minutesPer gives how long each unit is; a month is taken as a twelfth of 365 1/4 days (common practice, no source).
var minutesPer = map[string]Number{
	"second": Fraction(1, 60), "minute": Int(1), "hour": Int(60), "day": Int(1440), "week": Int(10080), "month": Int(43830), "year": Int(525960),
}

var durationUnits = map[string]string{
	"s": "second", "sec": "second", "secs": "second", "second": "second", "seconds": "second", "min": "minute", "mins": "minute", "minute": "minute", "minutes": "minute", "h": "hour", "hr": "hour", "hrs": "hour",
	"hour": "hour", "hours": "hour", "day": "day", "days": "day", "week": "week", "weeks": "week", "month": "month",
	"months": "month", "year": "year", "years": "year",
}

// Seconds gives the length in whole seconds, rounded down, and false where it is too long to count.
func (d Duration) Seconds() (int64, bool) { return d.Minutes().Mul(Int(60)).Floor() }

// Minutes gives the length in minutes.
func (d Duration) Minutes() Number { return d.Count.Mul(minutesPer[d.Unit]) }

// String writes the duration: "45 minutes", "1 hour 10 minutes".
func (d Duration) String() string {
	var words []string
	for _, part := range d.Parts() {
		words = append(words, counted(part.Count, part.Unit))
	}
	return strings.Join(words, " ")
}

// Parts gives the duration as it is read out: minutes from an hour up as hours and the minutes that are left, anything else as it is.
func (d Duration) Parts() []Duration {
	hours, ok := d.Count.Quo(Int(60)).Floor()
	if !ok || d.Unit != "minute" || hours <= 0 {
		return []Duration{d}
	}
	parts := []Duration{{Int(hours), "hour"}}
	if rest := d.Count.Sub(Int(hours).Mul(Int(60))); rest.Sign() != 0 {
		parts = append(parts, Duration{rest, "minute"})
	}
	return parts
}

func counted(n Number, unit string) string {
	if n.Cmp(Int(1)) != 0 {
		unit += "s"
	}
	return n.Text(2) + " " + unit
}

// ParseDuration reads 45 min, 1 1/2 hours, 1 h 10 min, 6 months. The error is a [*SyntaxError].
func ParseDuration(text string) (Duration, error) {
	s := &scanner{text: text}
	if s.done() || !s.startsNumber() {
		return Duration{}, wholly(text, "a length of time should stand here", durationHint)
	}
	total := Duration{}
	for s.startsNumber() {
		part, err := s.stretch()
		if err != nil {
			return Duration{}, err
		}
		if total.Unit != "" && minutesPer[part.Unit].Cmp(minutesPer[total.Unit]) >= 0 {
			return Duration{}, wholly(text, "the parts of a length of time stand in the wrong order", "write the longer unit first, as in 1 h 10 min")
		}
		if total.Unit != "" {
			part.Count = part.Count.Add(total.Minutes().Quo(minutesPer[part.Unit]))
		}
		total = part
	}
	if !s.done() {
		return Duration{}, s.failRest(s.pos, "“"+strings.TrimSpace(s.rest())+"” does not belong to a length of time", durationHint)
	}
	if total.Count.Sign() == 0 {
		return Duration{}, wholly(text, "no time at all", durationHint)
	}
	return total, nil
}

// ParseDurations reads a length of time or a range of them, as a method gives it: 45 min, 3–5 min, 1 h 10 min, 10 min to 1 h. Both are
// equal for a single one. The error is a [*SyntaxError].
func ParseDurations(text string) (low, high Duration, err error) {
	from, to, isRange := cutRange(text)
	high, err = ParseDuration(to)
	if !isRange || err != nil {
		return high, high, inWhole(text, err)
	}
	if _, err := ParseNumber(from); err == nil {
		from += " " + high.Unit // 3–5 min
	}
	low, err = ParseDuration(from)
	if err == nil && low.Minutes().Cmp(high.Minutes()) > 0 {
		err = wholly(text, "the range runs backwards", "write the shorter time first")
	}
	return low, high, inWhole(text, err)
}

// cutRange parts words at their dash or "to"; without one, all of them are the second part.
func cutRange(text string) (from, to string, isRange bool) {
	if i := strings.IndexAny(text, dashes); i > 0 {
		_, n := utf8.DecodeRuneInString(text[i:])
		return text[:i], text[i+n:], true
	}
	if from, to, isRange = strings.Cut(text, " to "); isRange {
		return from, to, true
	}
	return "", text, false
}

// inWhole makes the error about a part of a text one about all of it.
func inWhole(text string, err error) error {
	if syntax, ok := errors.AsType[*SyntaxError](err); ok {
		return wholly(text, syntax.Message, syntax.Hint)
	}
	return err
}

// stretch reads a number with a unit of time.
func (s *scanner) stretch() (Duration, *SyntaxError) {
	n, err := s.numberNoRange()
	if err != nil {
		return Duration{}, err
	}
	word, end := s.peekWord()
	s.spaces()
	start := s.pos
	s.pos = end
	unit, ok := durationUnits[word]
	switch {
	case word == "":
		return Duration{}, s.failRest(start, "the unit of time is missing", durationHint)
	case !ok:
		known := []string{"minutes", "hours", "days", "weeks", "months", "years"}
		return Duration{}, s.fail(start, "“"+word+"” is not a unit of time", spell.DidYouMean(word, known, durationHint))
	}
	return Duration{Count: n, Unit: unit}, nil
}

const durationHint = "write it as 45 min, 2 hours or 6 months"
