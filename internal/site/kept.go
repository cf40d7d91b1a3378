package site

import (
	"strings"
	"unicode/utf8"
)

// noBreak is a space at which no line ends.
const noBreak = "\u00a0"

// unitSigns are what stays on a line with the figure before it. One of letters is a whole word.
var unitSigns = []string{"%", "°C", "°F", "mg", "kg", "g", "oz", "lb", "ml", "min", "h"}

// kept keeps figures and their units on one line: a no-break space stands between them.
func kept(s string) string {
	at := spaceBeforeUnit(s)
	if at < 0 {
		return s
	}
	var b strings.Builder
	b.Grow(len(s) + 8)
	for ; at >= 0; at = spaceBeforeUnit(s) {
		b.WriteString(s[:at])
		b.WriteString(noBreak)
		s = s[at+1:]
	}
	b.WriteString(s)
	return b.String()
}

// spaceBeforeUnit finds the first space between a figure and its unit, -1 where there is none.
func spaceBeforeUnit(s string) int {
	for at := 0; ; at++ {
		next := strings.IndexByte(s[at:], ' ')
		if next < 0 {
			return -1
		}
		if at += next; endsInFigure(s[:at]) && beginsWithUnit(s[at+1:]) {
			return at
		}
	}
}

func endsInFigure(s string) bool {
	if s == "" {
		return false
	}
	last := s[len(s)-1]
	return '0' <= last && last <= '9' || strings.HasSuffix(s, "½") || strings.HasSuffix(s, "¼") || strings.HasSuffix(s, "¾")
}

func beginsWithUnit(s string) bool {
	for _, unit := range unitSigns {
		if rest, has := strings.CutPrefix(s, unit); has && (!isWordByte(unit[0]) || rest == "" || !isWordByte(rest[0])) {
			return true
		}
	}
	return false
}

// isWordByte says whether a byte is an ASCII letter, a digit or an underscore.
func isWordByte(c byte) bool {
	return 'a' <= c|0x20 && c|0x20 <= 'z' || '0' <= c && c <= '9' || c == '_'
}

// longWord is how many letters a word has that may not fit into a narrow column.
const longWord = 13

// soft is a hyphen that shows only where a line ends at it.
const soft = "\u00ad"

// joints are the parts of chemical names after which a word may end a line. None begins with another.
var joints = []string{"phenoxy", "hydroxy", "methyl", "ethyl", "hexyl", "propyl", "butyl", "amido", "glyceryl", "hydrogen", "potassium", "sodium", "capryl", "poly"}

// hyphenated lets long words of a name end a line at a joint with a hyphen.
func hyphenated(name string) string {
	if len(name) < longWord {
		return name
	}
	var b strings.Builder // empty until there is a hyphen
	done := 0             // how much of the name is in it
	for at := 0; at < len(name); {
		end := at + len(name[at:])
		if next := strings.IndexByte(name[at:], ' '); next >= 0 {
			end = at + next
		}
		if utf8.RuneCountInString(name[at:end]) >= longWord {
			for at < end {
				n := jointAt(name[at:end])
				if n > 0 && at+n < end {
					b.WriteString(name[done : at+n])
					b.WriteString(soft)
					done = at + n
				}
				at += max(n, 1)
			}
		}
		at = end + 1
	}
	if done == 0 {
		return name
	}
	b.WriteString(name[done:])
	return b.String()
}

// jointAt gives the length of the joint that a word begins with, 0 where it begins with none.
func jointAt(word string) int {
	for _, joint := range joints {
		if word[0]|0x20 == joint[0] && len(word) >= len(joint) && strings.EqualFold(word[:len(joint)], joint) {
			return len(joint)
		}
	}
	return 0
}
