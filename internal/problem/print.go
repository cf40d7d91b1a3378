package problem

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/rivo/uniseg"
)

// excerptWidth is the longest piece of a line that is shown, in characters; a page may hold a line of any length.
const excerptWidth = 100

// most is how many problems are told in full: a page pasted from elsewhere can have thousands.
const most = 500

// Print writes the problems with the line in question, a mark under the place, and what to do; of very many, the first 500 and how
// many more there are.
func (l *List) Print(w io.Writer) error {
	all := l.All()
	for _, p := range all[:min(most, len(all))] {
		if _, err := io.WriteString(w, p.Text()); err != nil {
			return err
		}
	}
	if more := len(all) - most; more > 0 {
		_, err := fmt.Fprintf(w, "… and %d more; mend these first\n", more)
		return err
	}
	return nil
}

// Text gives the long form of a problem: place and message, excerpt, notes and hint, each line ended.
func (p *Problem) Text() string {
	var b strings.Builder
	b.WriteString(p.Error() + "\n")
	b.WriteString(p.Span.Excerpt())
	for _, n := range p.Notes {
		line, column := n.Span.Position()
		fmt.Fprintf(&b, "  %s:%d:%d: %s\n", visible(n.Span.File()), line, column, visible(n.Message))
	}
	if p.Hint != "" {
		fmt.Fprintf(&b, "  what to do: %s\n", visible(p.Hint))
	}
	return b.String()
}

// Excerpt gives the span's first line with its number and a line of carets beneath, or "" without a source or where the source has no text.
// Control characters are shown as a box, so that a page cannot drive the terminal; carets stand under
// characters of double width too.
func (s Span) Excerpt() string {
	if s.Source == nil || strings.TrimSpace(s.Source.Text) == "" {
		return ""
	}
	text := s.Source.Text
	start := clamp(s.Start, len(text))
	lineStart := strings.LastIndexByte(text[:start], '\n') + 1
	line := text[lineStart:]
	if i := strings.IndexByte(line, '\n'); i >= 0 {
		line = line[:i]
	}
	from := start - lineStart
	to := max(from, min(s.End-lineStart, len(line)))
	before, marked, after := window(line, from, to)
	number, _ := s.Position()
	gutter := fmt.Sprintf("  %d | ", number)
	pad := strings.Repeat(" ", len(gutter)-2) + "| " + strings.Repeat(" ", uniseg.StringWidth(before))
	carets := strings.Repeat("^", max(1, uniseg.StringWidth(marked)))
	return gutter + before + marked + after + "\n" + pad + carets + "\n"
}

// window cuts a line to what fits, keeping the start of the marked part in view.
func window(line string, from, to int) (before, marked, after string) {
	before, marked, after = visible(line[:from]), visible(line[from:to]), visible(line[to:])
	if n := utf8.RuneCountInString(before); n > excerptWidth/2 {
		before = "…" + string([]rune(before)[n-excerptWidth/2:])
	}
	room := excerptWidth - utf8.RuneCountInString(before)
	if utf8.RuneCountInString(marked) > room {
		return before, cut(marked, room), ""
	}
	return before, marked, cut(after, room-utf8.RuneCountInString(marked))
}

// cut gives at most the first n characters, n at least 0, with an ellipsis where some are left out.
func cut(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n]) + "…"
	}
	return s
}

// visible makes words harmless to print on one line: a box for each control and format character.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t':
			return ' '
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp):
			return '▯'
		}
		return r
	}, s)
}
