package spell

import "strings"

// Tidy gives words with one space between them and none around them. Words that are tidy come back as they are.
func Tidy(words string) string {
	if tidy(words) {
		return words
	}
	return strings.Join(strings.Fields(words), " ")
}

// tidy says whether words are surely tidy: of ordinary characters, with single spaces between.
func tidy(words string) bool {
	space := true // as it were before the first
	for i := range len(words) {
		switch c := words[i]; {
		case c == ' ':
			if space {
				return false
			}
			space = true
		case c < ' ', c >= 0x7F:
			return false
		default:
			space = false
		}
	}
	return !space || words == ""
}
