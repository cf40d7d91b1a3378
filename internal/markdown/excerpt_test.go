package markdown_test

import (
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/markdown"
)

func TestExcerpt(t *testing.T) {
	tests := []struct {
		name, language, code string
		from, to             int
		want                 []string
	}{
		{"plain", "", "one two\nthree", 4, 7, []string{"one <mark>two</mark>", "three"}},
		{"several tokens", "yaml", "glycerin: 3 %%", 10, 14, []string{`<span class="nt">glycerin</span><span class="p">:</span> <mark><span class="m">3</span> <span class="l">%%</span></mark>`}},
		{"a piece of a token", "yaml", "glycerin: x", 2, 4, []string{`<span class="nt">gl</span><mark><span class="nt">yc</span></mark><span class="nt">erin</span><span class="p">:</span> <span class="l">x</span>`}},
		{"over lines", "", "ab\ncd\nef", 1, 7, []string{"a<mark>b</mark>", "<mark>cd</mark>", "<mark>e</mark>f"}},
		{"a tag in the text", "", "a <script>alert(1)</script>", 2, 10, []string{"a <mark>&lt;script&gt;</mark>alert(1)&lt;/script&gt;"}},
		{"a line's end alone", "", "ab\ncd", 2, 3, []string{"ab", "cd"}},
		{"past the end", "", "ab", 1, 99, []string{"a<mark>b</mark>"}},
		{"none", "", "ab", 0, 0, []string{"ab"}},
		{"nothing at all", "yaml", "", 0, 0, []string{""}},
		{"control characters", "", "a\x1b[31m", 0, 1, []string{"<mark>a</mark>\ufffd[31m"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var got []string
			for _, l := range markdown.Excerpt(tt.language, tt.code, tt.from, tt.to) {
				got = append(got, string(l))
			}
			assert.Equal(t, tt.want, got)
		})
	}
}

var tags = regexp.MustCompile(`<[^>]*>`)

// Whatever the code, its lines come out letter by letter, each line's tags are closed in it, and the mark holds just what was asked for.
func FuzzExcerpt(f *testing.F) {
	f.Add("yaml", "title: Wren\n  - [a, \"b\n", 3, 12)
	f.Add("markdown", "# Head\n\n```\n<b>\n", 0, 7)
	f.Add("yaml", "a: |\n  é\n\tb", 1, 6)
	f.Fuzz(func(t *testing.T, language, code string, from, to int) {
		if strings.ToValidUTF8(code, "") != code || strings.ContainsFunc(code, func(r rune) bool { return r < ' ' && r != '\n' || r >= 0x7f && r < 0xa0 }) {
			t.Skip()
		}
		from, to = clampRune(code, from), clampRune(code, to)
		var lines, marked []string
		for _, l := range markdown.Excerpt(language, code, from, to) {
			require.Equal(t, strings.Count(string(l), "<span"), strings.Count(string(l), "</span>"))
			require.Equal(t, strings.Count(string(l), "<mark>"), strings.Count(string(l), "</mark>"))
			lines = append(lines, html.UnescapeString(tags.ReplaceAllString(string(l), "")))
			if _, rest, has := strings.Cut(string(l), "<mark>"); has {
				in, _, _ := strings.Cut(rest, "</mark>")
				marked = append(marked, html.UnescapeString(tags.ReplaceAllString(in, "")))
			}
		}
		assert.Equal(t, code, strings.Join(lines, "\n"))
		want := ""
		if from < to {
			want = code[from:to]
		}
		assert.Equal(t, strings.ReplaceAll(want, "\n", ""), strings.Join(marked, ""))
	})
}

// clampRune brings a number to the start of a letter of some code.
func clampRune(code string, n int) int {
	n = max(0, min(n, len(code)))
	for n > 0 && n < len(code) && code[n]&0xc0 == 0x80 {
		n--
	}
	return n
}
