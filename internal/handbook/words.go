package handbook

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// fold takes the accents off letters, so that “crème” becomes “creme”.
func fold(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFKD.String(s))
}
