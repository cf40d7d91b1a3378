package markdown_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/markdown"
)

// Each limit lets through what just fits, and tells of one more in one issue.
func TestLimits(t *testing.T) {
	t.Parallel()
	nested := func(n int) string { return strings.Repeat("> ", n) + "a\n" }
	for _, row := range []struct{ name, fits, not, tells string }{
		{"a body", strings.Repeat("a\n\n", 87381) + "a", strings.Repeat("a\n\n", 87381) + "ab", "the text is longer than a page can be"},
		{"nesting", nested(99), nested(100), "more than 100 blocks stand in one another"},
		{"a paragraph", strings.Repeat("abc\n", 999) + "a", strings.Repeat("abc\n", 1001), "this paragraph or table is too long"},
		{"a line", strings.Repeat("a", 8<<10), strings.Repeat("a", 8<<10+1), "this line is too long"},
		{"accents", "cre" + strings.Repeat("\u0301", 6) + "me", "cre" + strings.Repeat("\u0301", 7) + "me", "7 accents stand on one letter here"},
		{"amounts", strings.Repeat(":amount[Oil]\n\n", 500), strings.Repeat(":amount[Oil]\n\n", 501), "the text has 501 amounts, and it can have 500"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.Empty(t, markdown.New().Parse(row.fits).Issues)
			d := markdown.New().Parse(row.not)
			require.NotEmpty(t, d.Issues)
			assert.Contains(t, d.Issues[0].Message, row.tells)
			assert.Len(t, d.Issues, 1)
			assertPlaces(t, row.not, d)
		})
	}
}

// Nothing turns the reading direction of a body, however it is written; marks beside letters that are read from the right stay.
func TestNothingTurns(t *testing.T) {
	t.Parallel()
	for name, body := range map[string]string{
		"written": "Take \u202e5.1\u202c g.\n", "isolates": "Take \u2066\u20675.1 g.\n", "a reference": "Take &#8238;5.1 g and &#x2067;.\n",
		"code": "`\u202e5.1`\n\n```yaml\na: \u202e5.1\n```\n", "a heading": "# a&#8238;b\n", "a table": "|a&#8238;|\n|-|\n|\u202eb|\n",
		"a picture": "![a&#8238;b](jar.jpg \"t\u202et\")\n", "a link": "[a\u202e](https://example.org/\u202eb)\n", "a box": "::: note \u202eTurned\nx\n:::\n",
		"a time": ":time[\u202e5 min]\n",
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := markdown.New().Parse(body)
			page, err := d.HTML(echo{})
			require.NoError(t, err)
			shown := string(page) + d.Text()
			for _, h := range d.Headings {
				shown += h.Text
			}
			assert.NotContains(t, shown, "\u202e")
			assert.NotContains(t, shown, "\u2066")
			assert.NotContains(t, shown, "\u2067")
			if strings.ContainsAny(body, "\u202e\u2066") {
				require.NotEmpty(t, d.Issues)
				assert.Contains(t, d.Issues[0].Message, "turns the reading direction")
				assert.Contains(t, d.Issues[0].Message, "U+20")
			}
			assertPlaces(t, body, d)
		})
	}
	assert.Empty(t, markdown.New().Parse("קרם\u200f 5 % Feuchtigkeits\u00adcreme 👩\u200d🔬\n").Issues)
}
