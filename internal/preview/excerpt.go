package preview

import (
	"html/template"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/markdown"
	"larkrow.example/stillroom/internal/problem"
)

const (
	around     = 2       // lines shown before and after a fault
	mostLines  = 8       // of a fault that is long, how many lines are shown
	widestLine = 160     // characters of a line that are shown
	nearby     = 1 << 10 // bytes beside a fault that are looked at for these
)

// An excerptLine is a numbered line of a source. Faulty lines hold a piece that is marked.
type excerptLine struct {
	Number int
	Faulty bool
	HTML   template.HTML
}

// excerptOf gives the lines about a span, coloured, with the span marked; none without a text.
func excerptOf(s problem.Span) []excerptLine {
	if s.Source == nil || s.Source.Text == "" {
		return nil
	}
	text := s.Source.Text
	start := max(0, min(s.Start, len(text)))
	end := start + len(shortened(text[start:max(start, min(s.End, len(text)))]))
	first := strings.Count(text[:start], "\n")
	last := first + strings.Count(text[start:end], "\n")
	lines := strings.Split(text, "\n")
	from, to := max(0, first-around), min(len(lines)-1, last+around)
	if to == len(lines)-1 && lines[to] == "" && to > last {
		to-- // what follows the last line's end is no line
	}
	c := &clipping{}
	at := start - lineStart(text, start)
	for i := from; i <= to; i++ {
		switch {
		case i == first && i == last:
			c.add(lines[i], at, min(len(lines[i]), max(at, at+end-start)))
		case i == first:
			c.add(lines[i], at, len(lines[i]))
		case i == last:
			c.add(lines[i], 0, min(len(lines[i]), end-lineStart(text, end)))
		case i > first && i < last:
			c.add(lines[i], 0, len(lines[i]))
		default:
			c.add(lines[i], -1, -1)
		}
	}
	out := make([]excerptLine, 0, to-from+1)
	for i, html := range markdown.Excerpt(languageAt(s.Source, start), strings.Join(c.lines, "\n"), c.from, c.to) {
		out = append(out, excerptLine{Number: from + i + 1, Faulty: from+i >= first && from+i <= last, HTML: html})
	}
	return out
}

// shortened cuts a faulty piece to as many lines as are shown, without the end of the last.
func shortened(piece string) string {
	lines := strings.SplitAfterN(piece, "\n", mostLines+1)
	return strings.TrimRight(strings.Join(lines[:min(mostLines, len(lines))], ""), "\n")
}

// lineStart gives where the line of a place begins.
func lineStart(text string, at int) int { return strings.LastIndexByte(text[:at], '\n') + 1 }

// languageAt names what a source is written in at a place: YAML between a page's two lines of dashes, else Markdown.
func languageAt(src *problem.Source, at int) string {
	if ext := strings.ToLower(path.Ext(src.Name)); ext == ".yaml" || ext == ".yml" {
		return "yaml"
	}
	const fence = "---"
	first, rest, _ := strings.Cut(src.Text, "\n")
	if strings.TrimSpace(first) != fence {
		return "markdown"
	}
	end := len(first) + 1
	for line := range strings.Lines(rest) {
		if end += len(line); strings.TrimSpace(line) == fence {
			break
		}
	}
	if at < end {
		return "yaml"
	}
	return "markdown"
}

// A clipping is lines as they are shown, and what is marked in them as byte offsets when they are joined.
type clipping struct {
	lines    []string
	size     int
	from, to int
	begun    bool
}

// add takes in a line of which the bytes from up to to are marked, or none if from is below 0. Of a long line it shows a piece in which
// the mark begins; an empty mark takes the next character, or a space at the line's end.
func (c *clipping) add(line string, from, to int) {
	if from < 0 {
		c.line(clip(shown(head(line)), widestLine))
		return
	}
	if from == to && from < len(line) {
		_, n := utf8.DecodeRuneInString(line[from:])
		to = from + n
	}
	before, marked, after := shown(tail(line[:from])), shown(head(line[from:to])), shown(head(line[to:]))
	if marked == "" && !c.begun {
		marked = " "
	}
	if n := utf8.RuneCountInString(before); n > widestLine/2 {
		before = "…" + string([]rune(before)[n-widestLine/2:])
	}
	marked = clip(marked, widestLine-widestLine/4)
	after = clip(after, max(0, widestLine-utf8.RuneCountInString(before+marked)))
	if !c.begun {
		c.from, c.begun = c.size+len(before), true
	}
	c.to = c.size + len(before) + len(marked)
	c.line(before + marked + after)
}

func (c *clipping) line(words string) {
	c.lines = append(c.lines, words)
	c.size += len(words) + 1
}

// clip gives at most the first n characters, with an ellipsis where some are left out.
func clip(words string, n int) string {
	if utf8.RuneCountInString(words) > n {
		return string([]rune(words)[:n]) + "…"
	}
	return words
}

// head gives the beginning of a piece of text, and tail its end: of a line of any length, no more is shown than lies in these.
func head(words string) string {
	if len(words) <= nearby {
		return words
	}
	n := nearby
	for n > 0 && !utf8.RuneStart(words[n]) {
		n--
	}
	return words[:n]
}

func tail(words string) string {
	if len(words) <= nearby {
		return words
	}
	words = words[len(words)-nearby:]
	for words != "" && !utf8.RuneStart(words[0]) {
		words = words[1:]
	}
	return words
}

// shown writes a piece of a source so that all of it is seen: tabs as spaces, a box for control and format characters.
func shown(words string) string {
	var b strings.Builder
	for _, r := range words {
		switch {
		case r == '\t':
			b.WriteString("    ")
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) || r == utf8.RuneError:
			b.WriteRune('▯')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
