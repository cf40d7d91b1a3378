package members

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// maxName bounds a name, in characters.
const maxName = 100

// ParseName brings a member's name into the one form in which it is kept: words parted by single spaces, letters and accents put together
// (NFC), without invisible characters. What is no name is an error, and so is what a spreadsheet would take for a sum.
func ParseName(s string) (string, error) {
	name := norm.NFC.String(strings.Join(strings.Fields(strings.Map(visible, s)), " "))
	switch {
	case name == "":
		return "", errors.New("there is no name")
	case !utf8.ValidString(s) || strings.ContainsRune(name, utf8.RuneError):
		return "", fmt.Errorf("a character of the name “%s” was lost", name)
	case strings.ContainsFunc(name, unicode.IsControl):
		return "", fmt.Errorf("there is a control character in the name %q", name)
	case utf8.RuneCountInString(name) > maxName:
		return "", fmt.Errorf("the name “%.40s…” is longer than %d characters", name, maxName)
	case strings.ContainsRune("=+-@", rune(name[0])):
		return "", fmt.Errorf("the name “%s” begins with a sign that a spreadsheet would work out as a sum", name)
	case !strings.ContainsFunc(name, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }):
		return "", fmt.Errorf("the name “%s” has no letter", name)
	}
	return name, nil
}

// The joiners are invisible too, but in some scripts a name is not rightly written without them.
const zeroWidthNonJoiner, zeroWidthJoiner = '\u200c', '\u200d'

func isJoiner(r rune) bool { return r == zeroWidthNonJoiner || r == zeroWidthJoiner }

// visible drops a character that does not show: marks of direction, soft hyphens, byte order marks within a text.
func visible(r rune) rune {
	if unicode.Is(unicode.Cf, r) && !isJoiner(r) {
		return -1
	}
	return r
}

// Key gives what two spellings of a name have in common that differ only in small and capital letters, spaces and invisible characters.
func Key(name string) string {
	name = strings.Map(func(r rune) rune {
		if isJoiner(r) {
			return -1
		}
		return visible(r)
	}, name)
	return norm.NFC.String(cases.Fold().String(norm.NFD.String(strings.Join(strings.Fields(name), " "))))
}
