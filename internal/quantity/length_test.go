package quantity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

// An inch is 25.4 mm, a centimetre 10 (NIST Handbook 44, Appendix C).
func TestParseLength(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"38.1 mm": "38.1 mm", "38,1mm": "38.1 mm", "0 mm": "0 mm", "4 cm": "40 mm", "1 in": "25.4 mm", "1 in.": "25.4 mm", "2 5/8 in": "66.675 mm",
		"½ inch": "12.7 mm", "8.5\"": "215.9 mm", " 3 inches ": "76.2 mm", "1/3 mm": "1/3 mm", "12 Millimetres": "12 mm", "1 centimeter": "10 mm",
	} {
		got, err := quantity.ParseLength(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got.String(), text)
	}
	l := quantity.Inches(quantity.Fraction(1, 16)) // 21 CFR 701.3(b)
	assert.Equal(t, "1.5875 mm", l.String())
	assert.Equal(t, "0.0625", l.Inches().String())
}

func TestParseLengthRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text, message string
		offset        int
	}{
		{"", "a length should stand here", 0},
		{"wide", "a length should stand here", 0},
		{"-3 mm", "a length should stand here", 0},
		{"38.1", "the unit of length is missing", 0},
		{"38.1 g", "“g” is not a unit of length", 5},
		{"38.1 mn", "“mn” is not a unit of length", 5},
		{"38.1 mm wide", "“wide” does not belong to a length", 8},
		{"1,000 mm", "is ambiguous", 0},
		{"1/0 mm", "0 below its line", 0},
	} {
		_, err := quantity.ParseLength(c.text)
		var syntax *quantity.SyntaxError
		require.ErrorAs(t, err, &syntax, "%q", c.text)
		assert.Contains(t, syntax.Message, c.message, "%q", c.text)
		assert.Equal(t, c.offset, syntax.Offset, "%q", c.text)
		assert.NotEmpty(t, syntax.Hint, "%q", c.text)
	}
}

func TestParseSize(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"63.5 mm × 38.1 mm": "63.5 mm × 38.1 mm", "63.5 x 38.1 mm": "63.5 mm × 38.1 mm", "2.5mm×0mm": "2.5 mm × 0 mm",
		"2 5/8 in X 1 in": "66.675 mm × 25.4 mm", "4 cm * 30 mm": "40 mm × 30 mm", "8½ × 11\"": "215.9 mm × 279.4 mm",
	} {
		got, err := quantity.ParseSize(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got.String(), text)
	}
	for text, message := range map[string]string{
		"": "a width and a height", "big": "a width and a height", "40 mm": "a width and a height", "40 mm ×": "the height is missing",
		"40 × 30": "the unit of length is missing", "40 mm × 30 g": "“g” is not a unit of length", "40 mm × 30 mm × 2 mm": "does not belong to a width and a height",
	} {
		_, err := quantity.ParseSize(text)
		var syntax *quantity.SyntaxError
		require.ErrorAs(t, err, &syntax, "%q", text)
		assert.Contains(t, syntax.Message, message, "%q", text)
	}
}

// What is read and written is read again as the same; what is refused has its place inside the text.
func FuzzParseSize(f *testing.F) {
	for _, text := range []string{"63.5 mm × 38.1 mm", "2 5/8 x 1 in", "40 mm", "×", "1/3 × 1 cm", "8½ × 11\""} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := quantity.ParseSize(text)
		if err != nil {
			var syntax *quantity.SyntaxError
			require.ErrorAs(t, err, &syntax)
			assert.LessOrEqual(t, syntax.Offset, len(text))
			assert.NotEmpty(t, syntax.Message)
			return
		}
		if len(text) > 40 { // sums of many digits may need more than are read
			return
		}
		again, err := quantity.ParseSize(got.String())
		if err != nil { // a number that no row of 19 digits writes
			assert.Greater(t, len(got.String()), 38, got.String())
			return
		}
		assert.Zero(t, again.Width.Cmp(got.Width))
		assert.Zero(t, again.Height.Cmp(got.Height))
	})
}
