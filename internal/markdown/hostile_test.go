package markdown_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/markdown"
)

// hostile holds texts that drive a careless parser into the square of their length, or out of its stack.
func hostile(size int) map[string]string {
	fill := func(s string) string { return strings.Repeat(s, size/len(s)) }
	runs := func(s string) string {
		var b strings.Builder
		for i := 1; b.Len() < size; i++ {
			b.WriteString(strings.Repeat(s, i) + " ")
		}
		return b.String()
	}
	return map[string]string{
		"quotes in a line":        fill(">"),
		"quotes in many lines":    fill(strings.Repeat(">", 5000) + "\n"),
		"quotes, each deeper":     runs(">\n>"),
		"lists in a line":         fill("- "),
		"lists, each deeper":      runs("- x\n"),
		"numbers in a line":       fill("1. "),
		"items":                   fill("- a\n"),
		"loose items":             fill("- a\n\n"),
		"empty items":             fill("-\n\n"),
		"blocks":                  fill("::: note\n"),
		"blocks, longer fences":   runs(":"),
		"fences":                  fill(":::\n"),
		"blocks of a long fence":  strings.Repeat(":", size) + " note\n",
		"brackets":                fill("["),
		"brackets, closed":        strings.Repeat("[", size/2) + strings.Repeat("]", size/2),
		"links, open":             fill("[a]("),
		"links":                   fill("[a](b)"),
		"links in links":          strings.Repeat("[", size/8) + strings.Repeat("](a)", size/8),
		"links, open titles":      fill("[a](b \""),
		"pictures in pictures":    strings.Repeat("![", size/8) + strings.Repeat("](a)", size/8),
		"definitions":             fill("[a]: b\n"),
		"definitions, open":       fill("[a]: <b\n"),
		"references":              "[a]: b\n\n" + fill("[a]"),
		"stars":                   fill("*"),
		"stars and letters":       fill("*a "),
		"emphasis, crossed":       fill("*a_"),
		"emphasis, never closed":  fill("a**b"),
		"emphasis, closers":       fill("a* _b"),
		"strikes":                 fill("~~a"),
		"ticks":                   runs("`"),
		"ticks in pairs":          fill("`a``"),
		"angles":                  fill("<"),
		"autolinks, open":         fill("<https://a"),
		"bare addresses":          fill("https://a.b/( "),
		"one bare address":        "https://a.b/" + fill("("),
		"colons":                  fill(":"),
		"directives, open":        fill(":amount["),
		"directives, one closed":  strings.Repeat(":amount[", size/10) + strings.Repeat("]", size/10),
		"directives":              fill(":temp[1 °C]"),
		"wide table, short rows":  "|" + fill("a|") + "\n|" + fill("-|") + "\n" + fill("a\n"),
		"tables":                  fill("|a|\n|-|\n"),
		"one table":               "|a|b|\n|-|-|\n" + fill("|a|b|\n"),
		"pipes":                   fill("|"),
		"delimiter rows":          fill("-|-\n"),
		"headings":                fill("# a\n"),
		"equal headings, close":   fill("a\n-\n"),
		"a long heading":          "# " + fill("*a_ "),
		"setext lines":            fill("a\n") + "===",
		"a line":                  fill("a"),
		"a line of spaces":        fill(" ") + "a",
		"lines":                   fill("a\n"),
		"blank lines":             fill("\n"),
		"backslashes":             fill("\\"),
		"references to signs":     fill("&amp;&#65;&a"),
		"tabs":                    fill("\t>"),
		"code fences":             fill("```\n"),
		"code fences, all open":   runs("```\n"),
		"one code block":          "```yaml\n" + fill("a: {b: [c, \"d\n"),
		"code in many languages":  fill("```go\n/*\n```\n```html\n<!--\n```\n"),
		"a language without end":  "```" + fill("x"),
		"control characters":      fill("\x00\x1b"),
		"broken letters":          fill("\xff\xc3"),
		"quotes, then paragraphs": fill("> a\nb\n"),
		"mixed nesting":           fill("> - 1. ::: note\n"),
	}
}

// TestHostile shows that much of any of them is read, in a time that the test's own limit bounds.
func TestHostile(t *testing.T) {
	t.Parallel()
	size := 1 << 15
	if testing.Short() {
		size = 1 << 13
	}
	converter := markdown.New()
	bodies := hostile(size)
	for name, part := range hostile(7 << 10) { // short enough to be read in full
		bodies[name+", in many paragraphs"] = strings.Repeat(part+"\n\n", size/(len(part)+2)+1)
	}
	for name, body := range bodies {
		t.Run(name, func(t *testing.T) {
			d := converter.Parse(body)
			page, err := d.HTML(echo{})
			require.NoError(t, err)
			assertSafe(t, string(page))
			assertPlaces(t, body, d)
			assert.Less(t, len(page), 64*len(body), "the page grows beyond all bounds")
		})
	}
}
