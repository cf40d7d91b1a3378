package site

import (
	"io/fs"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/themes/linen"
)

// TestLinenContrast holds the theme's colours against WCAG 2.2, success criteria 1.4.3 (text, 4.5 to 1) and
// 1.4.11 (the edges of controls, 3 to 1), in light and in dark.
func TestLinenContrast(t *testing.T) {
	css, err := fs.ReadFile(linen.FS, "assets/linen.css")
	require.NoError(t, err)
	light, rest, ok := strings.Cut(string(css), "prefers-color-scheme: dark")
	require.True(t, ok)
	colours := palette(light)
	pairs := []struct {
		fore, back string
		least      float64
	}{
		{"ink", "paper", 7},
		{"ink", "tint", 7},
		{"ink", "code", 7},
		{"soft", "paper", 4.5},
		{"soft", "tint", 4.5},
		{"soft", "code", 4.5},
		{"sloe", "paper", 4.5},
		{"sloe", "tint", 4.5},
		{"sloe", "code", 4.5},
		{"on-sloe", "sloe", 4.5},
		{"string", "code", 4.5},
		{"number", "code", 4.5},
		{"rule", "paper", 3},
	}
	for _, scheme := range []string{"light", "dark"} {
		if scheme == "dark" {
			dark, _, _ := strings.Cut(rest, "}")
			for name, colour := range palette(dark) {
				colours[name] = colour
			}
		}
		for _, p := range pairs {
			require.Contains(t, colours, p.fore)
			require.Contains(t, colours, p.back)
			got := contrast(t, colours[p.fore], colours[p.back])
			assert.GreaterOrEqual(t, got, p.least, "%s: %s on %s", scheme, p.fore, p.back)
		}
	}
}

// The formula's published ends: black on white is 21 to 1, a colour on itself 1 to 1.
func TestContrastFormula(t *testing.T) {
	assert.InDelta(t, 21, contrast(t, "000000", "ffffff"), 1e-9)
	assert.InDelta(t, 1, contrast(t, "7a2e4d", "7a2e4d"), 1e-9)
}

// palette reads the custom properties that hold a colour.
func palette(css string) map[string]string {
	colours := map[string]string{}
	for _, m := range regexp.MustCompile(`--([a-z-]+): #([0-9a-f]{6})\b`).FindAllStringSubmatch(css, -1) {
		colours[m[1]] = m[2]
	}
	return colours
}

// contrast is WCAG's contrast ratio of two colours.
func contrast(t *testing.T, a, b string) float64 {
	la, lb := luminance(t, a), luminance(t, b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// luminance is WCAG's relative luminance of a colour of six hex digits.
func luminance(t *testing.T, colour string) float64 {
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(colour[2*i:2*i+2], 16, 8)
		require.NoError(t, err)
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}
