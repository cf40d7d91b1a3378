package markdown

import (
	"html"
	"regexp"
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// rangeDash is a dash or "to" between two figures.
var rangeDash = regexp.MustCompile(`\s*[-‐‑‒–—−]\s*|\s+to\s+`)

// readDuration turns "3-5 min", "1½ hours" or "1 h 30 min" into HTML with tidy spaces and dashes.
func readDuration(words string) (string, error) {
	if err := quantity.CheckDurations(words); err != nil {
		return "", err
	}
	tidy := rangeDash.ReplaceAllString(strings.Join(strings.Fields(words), " "), "–")
	return `<span class="time">` + html.EscapeString(tidy) + "</span>", nil
}
