package spell

import (
	"fmt"
	"unicode"
	"unicode/utf8"
)

// Text that is pasted or written to deceive can hold characters that do not show but change what is read: two names that look
// the same and are not, or a weight whose digits stand in another order than they were written ("Trojan Source", Boucher and Anderson,
// 2021). What is needed to write a script or a picture sign rightly is none of them.

// Turns says whether a character turns the direction in which what follows it is read, so that digits and names can show in another
// order than they are written: the embeddings, overrides and isolates of Unicode's bidirectional algorithm (UAX #9, 2.1 to 2.5).
func Turns(r rune) bool { return '\u202A' <= r && r <= '\u202E' || '\u2066' <= r && r <= '\u2069' }

// Unseen gives the place of the first character of a text that does not show and is not needed to write it, with its length in bytes, or -1.
// Control characters are none of its business.
func Unseen(text string) (at, size int) {
	for i := 0; i < len(text); i++ {
		if text[i] >= utf8.RuneSelf {
			return unseenFrom(text, i)
		}
	}
	return -1, 0
}

func unseenFrom(text string, start int) (at, size int) {
	for i, r := range text[start:] {
		if hides(r) && !needed(text, start+i, r) {
			return start + i, utf8.RuneLen(r)
		}
	}
	return -1, 0
}

// hides says whether a character leaves no mark on the page: format characters, fillers, and the blank of Braille. Spaces are seen.
func hides(r rune) bool {
	switch r {
	case '\u115F', '\u1160', '\u3164', '\uFFA0', '\u2800', '\u034F':
		return true
	}
	return r >= utf8.RuneSelf && unicode.Is(unicode.Cf, r)
}

// needed says whether a character that hides is needed where it stands: joiners within words of scripts that join and within picture
// signs, the tags of a flag, and the marks of direction beside letters that are read from the right. Signs that stand
// for a number of a script (as ARABIC NUMBER SIGN does) are seen.
func needed(text string, at int, r rune) bool {
	before, _ := utf8.DecodeLastRuneInString(text[:at])
	after, _ := utf8.DecodeRuneInString(text[at+utf8.RuneLen(r):])
	switch {
	case r == '\u200C' || r == '\u200D':
		return joins(before) && joins(after) || r == '\u200D' && pictures(before) && unicode.Is(unicode.So, after)
	case r == '\u200E' || r == '\u200F' || r == '\u061C':
		return hasRightToLeft(text)
	case '\U000E0020' <= r && r <= '\U000E007F':
		return before == '\U0001F3F4' || '\U000E0020' <= before && before < '\U000E007F'
	}
	return unicode.Is(unicode.Prepended_Concatenation_Mark, r)
}

// joins says whether a character is of a script whose letters are written together or reshape one another.
func joins(r rune) bool {
	return (unicode.IsLetter(r) || unicode.IsMark(r)) &&
		!unicode.In(r, unicode.Latin, unicode.Greek, unicode.Cyrillic, unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana, unicode.Common, unicode.Inherited)
}

// pictures says whether a picture sign can end with a character.
func pictures(r rune) bool {
	return unicode.Is(unicode.So, r) || r == '\uFE0F' || '\U0001F3FB' <= r && r <= '\U0001F3FF'
}

// hasRightToLeft says whether a text has letters that are read from right to left.
func hasRightToLeft(text string) bool {
	for _, r := range text {
		if unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko) && unicode.IsLetter(r) {
			return true
		}
	}
	return false
}

// Mixed gives the place of the first letter in a name that is of another alphabet than the rest of its word and looks like one of that
// alphabet, with its length in bytes, or -1: a Cyrillic е in Glycerin. Such a name looks like that of a material and is not found as one.
func Mixed(name string) (at, size int) {
	latin, other, otherSize := false, -1, 0
	for i, r := range name + " " {
		switch {
		case unicode.IsMark(r):
		case !unicode.IsLetter(r): // a word ends
			if latin && other >= 0 {
				return other, otherSize
			}
			latin, other = false, -1
		case r < utf8.RuneSelf || unicode.Is(unicode.Latin, r):
			latin = true
		case other < 0 && (unicode.Is(unicode.Cyrillic, r) || looksLatin[r]):
			other, otherSize = i, utf8.RuneLen(r)
		}
	}
	return -1, 0
}

// looksLatin are the Greek letters that cannot be told from Latin ones, of Unicode's table of confusables (UTS #39, from memory). Others, as in
// μm and ΔT, are written into Latin words.
var looksLatin = map[rune]bool{
	'Α': true, 'Β': true, 'Ε': true, 'Ζ': true, 'Η': true, 'Ι': true, 'Κ': true, 'Μ': true, 'Ν': true, 'Ο': true, 'Ρ': true, 'Τ': true, 'Υ': true, 'Χ': true,
	'ο': true, 'ν': true,
}

// maxMarks is how many accents and signs are put on one letter in any script's ordinary writing; pointed and sung Hebrew comes near it (from memory).
const maxMarks = 6

// Piled gives the place of the marks that are too many on one letter of a text, with their length in bytes, or -1: they would be drawn over the lines
// above and below.
func Piled(text string) (at, size int) {
	count, start := 0, 0
	for i, r := range text {
		switch {
		case r < utf8.RuneSelf || !unicode.In(r, unicode.Mn, unicode.Me):
			if count > maxMarks {
				return start, i - start
			}
			count = 0
		case !unicode.Is(unicode.Variation_Selector, r):
			if count++; count == 1 {
				start = i
			}
		}
	}
	if count > maxMarks {
		return start, len(text) - start
	}
	return -1, 0
}

// Code gives the name by which a character is known that is not seen, or not told from another: U+202E.
func Code(r rune) string { return fmt.Sprintf("U+%04X", r) }
