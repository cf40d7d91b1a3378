package markdown

import (
	"html"
	"regexp"
	"strconv"
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// rangeDash is a dash or "to" between two figures.
var rangeDash = regexp.MustCompile(`\s*[-‐‑‒–—−]\s*|\s+to\s+`)

// readDuration turns "3-5 min", "1½ hours" or "1 h 30 min" into HTML with tidy spaces and dashes. The element tells a script how many
// seconds it is at least, and at most where that is more.
func readDuration(words string) (string, error) {
	low, high, err := quantity.ParseDurations(words)
	if err != nil {
		return "", err
	}
	tidy := rangeDash.ReplaceAllString(strings.Join(strings.Fields(words), " "), "–")
	return `<span class="time"` + secondsOf(low, high) + `>` + html.EscapeString(tidy) + "</span>", nil
}

// secondsOf gives the attributes for a time, none where it is too long to count.
func secondsOf(low, high quantity.Duration) string {
	from, countable := low.Seconds()
	to, also := high.Seconds()
	if !countable || !also {
		return ""
	}
	attributes := ` data-seconds="` + strconv.FormatInt(from, 10) + `"`
	if to > from {
		attributes += ` data-to="` + strconv.FormatInt(to, 10) + `"`
	}
	return attributes
}
