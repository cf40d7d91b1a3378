package markdown

import (
	"html"

	"larkrow.example/stillroom/internal/quantity"
)

// readTemperature turns "75 °C", "70–75 °C" or either in °F into HTML with both scales; the given one comes first.
func readTemperature(words string) (string, error) {
	t, err := quantity.ParseTemperatures(words)
	if err != nil {
		return "", err
	}
	return `<span class="temp">` + html.EscapeString(t.Written()) + " <small>" + html.EscapeString(t.Converted()) + "</small></span>", nil
}
