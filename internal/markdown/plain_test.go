package markdown_test

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"

	"larkrow.example/stillroom/internal/markdown"
)

// TestPlainCommonMark shows that bodies without directives come out as goldmark alone makes them, but for what the
// pages want otherwise: headings a level down with ids, framed tables, a class for code.
func TestPlainCommonMark(t *testing.T) {
	t.Parallel()
	tests := map[string]string{
		"paragraphs":        "One\ntwo\n\nthree  \nfour\\\nfive\n",
		"emphasis":          "*a* **b** ***c*** _d_ __e__ a_b_c *a **b** c* **a *b***\n",
		"code spans":        "`a` ``b ` c`` ` d ` `` ` `` `e\nf`\n",
		"links":             "[a](b) [c](d \"e\") [f](<g h>) [i][j] [j] [k](l(m))\n\n[j]: n 'o'\n",
		"tight list":        "- a\n- b\n  - c\n    1. d\n    2. e\n- f\n",
		"loose list":        "3. a\n\n   b\n\n4. c\n",
		"lists that change": "- a\n+ b\n* c\n",
		"list, lazy":        "- a\nb\n\n  c\n",
		"quotes":            "> a\n> > b\nc\n\n> - d\n>   e\n",
		"rules":             "a\n\n---\n\n***\n\n- - -\n",
		"headings":          "# One\n\nTwo\n===\n\nThree\n---\n\n### Four ###\n\n###### Five\n\n#not\n",
		"fenced code":       "```\na\n  b <c>\n```\n\n~~~ text\nd\n~~~\n\n- ```\n  e\n  ```\n",
		"indented code":     "    a\n\n      b\n\nc\n    d\n",
		"tables":            "| a | b |\n|---|---|\n| c `d` | *e* |\n| f \\| g |\n\nh | i\n- | -\nj | k\n",
		"strikethrough":     "~~a~~ ~b~ ~~c\n",
		"escapes":           "\\*a\\* \\# \\[b\\] \\\\ \\: &amp; &lt; &#65; &nope; 5 < 6 & 7 > 3 \"q\"\n",
		"colons":            "a: b:c 12:30 :: ::: d :e: f:\n\n:- :)\n\n:x\n",
		"definitions":       "[a]: b\n[c]: d \"e\"\n\n[a] and [c][] and [not]\n",
		"brackets":          "[a] [b [c] d] ![ e ] ] [ (f)\n",
		"autolinks":         "<https://larkrow.example/a?b=c> <maker@larkrow.example>\n",
		"letters":           "Ölsäure – “quoted” … ½ °C 日本 🧴\n",
		"tabs":              "\ta\n\n-\tb\n\n>\tc\n",
		"a recipe":          plainRecipe,
	}
	theirs := goldmark.New(goldmark.WithExtensions(
		extension.NewTable(extension.WithTableCellAlignMethod(extension.TableCellAlignNone)), extension.Strikethrough))
	ours := markdown.New()
	for name, body := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var want bytes.Buffer
			require.NoError(t, theirs.Convert([]byte(body), &want))
			d := ours.Parse(body)
			got, err := d.HTML(same{})
			require.NoError(t, err)
			assert.Equal(t, adapted(want.String()), stripped(string(got)))
			assert.Empty(t, d.Issues)
		})
	}
}

// same leaves every address as it is.
type same struct{ nowhere }

func (same) Link(destination string) string { return destination }

const plainRecipe = `Melt the wax first.

1. Weigh the oils, *then* the wax.
2. Heat them together:

   - in a water bath,
   - never on the flame.

3. Stir until it thickens.

> It sets overnight.
`

// adapted does to goldmark's page what ours does to its headings, tables and code.
func adapted(page string) string {
	page = regexp.MustCompile(`(</?h)([1-6])>`).ReplaceAllStringFunc(page, func(tag string) string {
		level, _ := strconv.Atoi(tag[len(tag)-2 : len(tag)-1])
		return tag[:len(tag)-2] + strconv.Itoa(min(level+1, 6)) + ">"
	})
	return strings.NewReplacer(`<code class="language-text">`, "<code>", "&quot;", `"`).Replace(page)
}

// stripped takes away what ours adds.
func stripped(page string) string {
	page = regexp.MustCompile(`(<h[2-6]) id="[^"]*"`).ReplaceAllString(page, "$1")
	return strings.NewReplacer(
		"<div class=\"table\">\n", "", "</table>\n</div>", "</table>", `<pre class="code">`, "<pre>",
		` rel="noopener"`, "", "&quot;", `"`, "&#34;", `"`,
	).Replace(page)
}
