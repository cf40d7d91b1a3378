package quantity

import "strings"

// An Interval is a pair of bounds that belong to it, such as a pH range; both are equal for a single value.
type Interval struct{ Low, High Number }

// String writes the interval with an en dash: "5–5.5".
func (v Interval) String() string {
	if v.Low.Cmp(v.High) == 0 {
		return v.Low.String()
	}
	return v.Low.String() + "–" + v.High.String()
}

// ParseInterval reads one number or two with a dash or "to" between, followed by nothing: 5.5, 5.0–5.5.
// The error is a [*SyntaxError].
func ParseInterval(text string) (Interval, error) {
	v, rest, err := readInterval(text, (*scanner).number)
	if err != nil {
		return Interval{}, err
	}
	if rest != "" {
		return Interval{}, wholly(text, "“"+rest+"” does not belong to a figure or range", "write it as 5.5 or 5.0–5.5")
	}
	return v, nil
}

// readInterval reads one number or two, and gives what comes after.
func readInterval(text string, number func(*scanner) (Number, *SyntaxError)) (Interval, string, *SyntaxError) {
	s := &scanner{text: text}
	low, err := number(s)
	if err != nil {
		return Interval{}, "", err
	}
	v := Interval{Low: low, High: low}
	s.spaces()
	if s.take(dashes) || s.takeWord("to") {
		if v.High, err = number(s); err != nil {
			return Interval{}, "", err
		}
	}
	if v.High.Cmp(v.Low) < 0 {
		return Interval{}, "", wholly(text, "the range runs backwards", "write the lower figure first")
	}
	return v, strings.TrimSpace(s.rest()), nil
}
