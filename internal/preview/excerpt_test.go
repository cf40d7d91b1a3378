package preview

import (
	"fmt"
	"html"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
)

// span gives the span of the first occurrence of a piece of a text, in a file of that name.
func span(t *testing.T, name, text, piece string) problem.Span {
	t.Helper()
	i := strings.Index(text, piece)
	require.GreaterOrEqual(t, i, 0)
	return problem.Span{Source: &problem.Source{Name: name, Text: text}, Start: i, End: i + len(piece)}
}

var anyTag = regexp.MustCompile(`</?(?:span|mark)[^>]*>`)

// drawn writes an excerpt as plain words, with what is marked between » and «.
func drawn(lines []excerptLine) string {
	var b strings.Builder
	for _, l := range lines {
		words := strings.NewReplacer("<mark>", "»", "</mark>", "«").Replace(string(l.HTML))
		fmt.Fprintf(&b, "%d|%s\n", l.Number, html.UnescapeString(anyTag.ReplaceAllString(words, "")))
	}
	return b.String()
}

func TestExcerpt(t *testing.T) {
	long := strings.Repeat("wax ", 400)
	tests := []struct{ name, text, piece, want string }{
		{"two lines before and after", "a\nb\nc\nfault\nd\ne\nf\n", "fault", "2|b\n3|c\n4|»fault«\n5|d\n6|e\n"},
		{"the first line", "fault\nb\n", "fault", "1|»fault«\n2|b\n"},
		{"the last line, without an end", "a\nfault", "fault", "1|a\n2|»fault«\n"},
		{"over two lines", "a\nbad\nworse\nb", "bad\nworse", "1|a\n2|»bad«\n3|»worse«\n4|b\n"},
		{"with its line's end", "a\nbad\nb", "bad\n", "1|a\n2|»bad«\n3|b\n"},
		{"empty, before a letter", "ab\ncd", "", "1|»a«b\n2|cd\n"},
		{"a tab", "\tx: 1\n", "x", "1|    »x«: 1\n"},
		{"wide characters", "水: 三 %%\n", "三 %%", "1|水: »三 %%«\n"},
		{"a tag", "<b>&amp;<script>alert(1)</script>\n", "<script>", "1|<b>&amp;»<script>«alert(1)</script>\n"},
		{"what drives a terminal or turns the text about", "a\x1b[2J \u202eb\u200b\n", "b", "1|a▯[2J ▯»b«▯\n"},
		{"a long line", long + "fault" + long, "fault", "1|…" + long[len(long)-80:] + "»fault«" + long[:74] + "…\n"},
		{"a long line nearby", "fault\n" + long, "fault", "1|»fault«\n2|" + long[:160] + "…\n"},
		{"a long fault", "a\n" + strings.Repeat("x\n", 30), strings.Repeat("x\n", 30), "1|a\n" + numbered(2, 9, "»x«") + "10|x\n11|x\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, drawn(excerptOf(span(t, "notes/x.md", tt.text, tt.piece))))
		})
	}
	t.Run("at the end of a line", func(t *testing.T) {
		s := span(t, "notes/x.md", "ab\ncd", "ab")
		s.Start = s.End
		assert.Equal(t, "1|ab» «\n2|cd\n", drawn(excerptOf(s)))
	})
	t.Run("past the end of the text", func(t *testing.T) {
		s := span(t, "notes/x.md", "ab", "ab")
		s.Start, s.End = 90, 99
		assert.Equal(t, "1|ab» «\n", drawn(excerptOf(s)))
	})
	t.Run("no text", func(t *testing.T) {
		assert.Empty(t, excerptOf(problem.Span{}))
		assert.Empty(t, excerptOf(problem.Span{Source: &problem.Source{Name: "x.md"}}))
	})
}

func numbered(from, to int, words string) string {
	var b strings.Builder
	for i := from; i <= to; i++ {
		fmt.Fprintf(&b, "%d|%s\n", i, words)
	}
	return b.String()
}

// A tag in a faulty text never reaches the page as one.
func TestExcerptEscapes(t *testing.T) {
	for _, name := range []string{"notes/x.md", "handbook.yaml"} {
		text := "---\ntitle: <script>alert(1)</script>\n---\n<img src=x onerror=alert(1)>\n"
		for _, piece := range []string{"<script>", "alert(1)", "<img", "pt>"} {
			for _, l := range excerptOf(span(t, name, text, piece)) {
				assert.NotContains(t, anyTag.ReplaceAllString(string(l.HTML), ""), "<")
			}
		}
	}
}

func TestExcerptLanguage(t *testing.T) {
	page := "---\ntitle: Wren\nn: 3\n---\n\n# Method\n"
	tests := []struct{ file, piece, want string }{
		{"recipes/x.md", "title", `<span class="nt">title</span>`},
		{"recipes/x.md", "# Method", `<span class="gh"># Method</span>`},
		{"handbook.yaml", "title", `<span class="nt">title</span>`},
	}
	for _, tt := range tests {
		var all string
		for _, l := range excerptOf(span(t, tt.file, page, tt.piece)) {
			all += strings.NewReplacer("<mark>", "", "</mark>", "").Replace(string(l.HTML)) + "\n"
		}
		assert.Contains(t, all, tt.want, "%s: %s", tt.file, tt.piece)
	}
}

// Line ends of other systems and a byte order mark are gone when a page is read, so that places hold.
func TestExcerptOfWindowsText(t *testing.T) {
	page := "\uFEFF" + strings.ReplaceAll("---\ntitle: Wren\nupdated: soon\n---\nText.\n", "\n", "\r\n")
	_, problems := handbook.Load(fstest.MapFS{"handbook.yaml": {Data: []byte(settings)}, "notes/wren.md": {Data: []byte(page)}})
	require.Equal(t, 1, problems.Len())
	assert.Equal(t, "1|---\n2|title: Wren\n3|updated: »soon«\n4|---\n5|Text.\n", drawn(excerptOf(problems.All()[0].Span)))
}

// Any span of any text gives lines with one mark in a faulty one, of bounded length, and no tags but ours.
func FuzzExcerptOf(f *testing.F) {
	f.Add("---\ntitle: Wren\n---\n# Method\n", 4, 9)
	f.Add("水\t<b>\n\n", 0, 40)
	f.Add(strings.Repeat("long ", 900)+"\nx", 2000, 2010)
	f.Fuzz(func(t *testing.T, text string, start, end int) {
		text = strings.ToValidUTF8(text, "")
		src := &problem.Source{Name: "notes/x.md", Text: text}
		start, end = runeStart(text, start), runeStart(text, end)
		lines := excerptOf(problem.Span{Source: src, Start: start, End: end})
		require.LessOrEqual(t, len(lines), mostLines+2*around)
		marks := 0
		for _, l := range lines {
			words := string(l.HTML)
			marks += strings.Count(words, "<mark>")
			require.True(t, utf8.ValidString(words))
			require.Equal(t, strings.Count(words, "<mark>"), strings.Count(words, "</mark>"))
			plain := anyTag.ReplaceAllString(words, "")
			require.NotContains(t, plain, "<")
			assert.LessOrEqual(t, utf8.RuneCountInString(html.UnescapeString(plain)), 2*widestLine)
		}
		if text != "" {
			assert.Positive(t, marks)
		}
	})
}

func runeStart(text string, n int) int {
	n = max(0, min(n, len(text)))
	for n < len(text) && n > 0 && !utf8.RuneStart(text[n]) {
		n--
	}
	return n
}
