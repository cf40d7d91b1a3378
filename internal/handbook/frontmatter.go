package handbook

import (
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/problem"
)

// A document is a YAML text inside a source, while it is read.
type document struct {
	source   *problem.Source
	start    int           // byte offset of the YAML text in the source
	lines    []int         // byte offset in the source of each YAML line
	stops    map[int][]int // byte offsets within long lines, by line
	problems *problem.List
	blanks   bool // the page begins as a form: a value of … is one that is not filled in
}

// splitPage parts a page into front matter and body. Without the opening line of dashes all is body.
func splitPage(text string) (yamlStart, yamlEnd, bodyStart int, fault string) {
	const fence = "---"
	first, _, _ := strings.Cut(text, "\n")
	if strings.TrimRight(first, " \t") != fence {
		return 0, 0, 0, "the page does not begin with a line of three dashes"
	}
	yamlStart = min(len(first)+1, len(text))
	for i := yamlStart; i < len(text); {
		line, _, _ := strings.Cut(text[i:], "\n")
		end := min(i+len(line)+1, len(text))
		if strings.TrimRight(line, " \t") == fence {
			return yamlStart, i, end, ""
		}
		i = end
	}
	return yamlStart, len(text), len(text), "the second line of three dashes, which ends the page's facts, is missing"
}

// parse reads YAML into its tree. On a fault it adds a problem and gives nil, as for a text with nothing in it.
func (d *document) parse(text string) *yaml.Node {
	d.lines = lineStarts(text, d.start)
	if len(text) > maxFacts {
		d.problems.Addf(d.whole(), "put what is no fact below the second line of dashes", "the facts are longer than the %d KB that they may have", maxFacts>>10)
		return nil
	}
	if root, plain := readPlain(text); plain {
		return d.bounded(root)
	}
	var root yaml.Node
	if err := yaml.Load([]byte(text), &root); err != nil {
		d.fault(text, err)
		return nil
	}
	if len(root.Content) == 0 {
		return nil
	}
	return d.bounded(root.Content[0])
}

// lineStarts gives where YAML sees lines begin: after \n, and after the line ends of Unicode.
func lineStarts(text string, start int) []int {
	lines := append(make([]int, 0, strings.Count(text, "\n")+1), start)
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case c == '\n':
			lines = append(lines, start+i+1)
		case c >= utf8.RuneSelf:
			r, n := utf8.DecodeRuneInString(text[i:])
			i += n - 1
			if r == '\u0085' || r == '\u2028' || r == '\u2029' {
				lines = append(lines, start+i+1)
			}
		}
	}
	return lines
}

// offset turns a 1-based YAML line and column (in characters) into a byte offset of the source.
func (d *document) offset(line, column int) int {
	if line < 1 || len(d.lines) == 0 {
		return d.start
	}
	line = min(line, len(d.lines))
	stops, counted := d.stops[line]
	if column > stopEvery && !counted {
		stops = d.countStops(d.lines[line-1])
		if d.stops == nil {
			d.stops = make(map[int][]int)
		}
		d.stops[line] = stops
	}
	at, left := d.lines[line-1], column-1
	if i := min(left/stopEvery, len(stops)-1); i > 0 {
		at, left = stops[i], left-i*stopEvery
	}
	for range left {
		r, n := utf8.DecodeRuneInString(d.source.Text[at:])
		if n == 0 || r == '\n' {
			break
		}
		at += n
	}
	return at
}

// stopEvery is after how many characters of a long line its offset is kept; without that, a list of many values on one
// line would be walked over once for each.
const stopEvery = 256

// countStops gives the offset of every so manyth character of a line.
func (d *document) countStops(start int) []int {
	var stops []int
	column := 0
	for i, r := range d.source.Text[start:] {
		if column%stopEvery == 0 {
			stops = append(stops, start+i)
		}
		if r == '\n' {
			break
		}
		column++
	}
	return stops
}

// span gives where a node stands: a scalar written on one line as far as it goes, anything else its first line.
func (d *document) span(n *yaml.Node) problem.Span {
	start := d.offset(n.Line, n.Column)
	rest := d.source.Text[start:]
	if n.Kind == yaml.ScalarNode {
		if quote := quoteOf(n); strings.HasPrefix(rest, quote+n.Value+quote) {
			return problem.Span{Source: d.source, Start: start, End: start + len(n.Value) + 2*len(quote)}
		}
	}
	line, _, _ := strings.Cut(rest, "\n")
	return d.at(start, start+max(len(line), 1))
}

// at gives a span that does not reach past the end of the source.
func (d *document) at(start, end int) problem.Span {
	return problem.Span{Source: d.source, Start: start, End: min(end, len(d.source.Text))}
}

func quoteOf(n *yaml.Node) string {
	switch {
	case n.Style&yaml.SingleQuotedStyle != 0:
		return "'"
	case n.Style&yaml.DoubleQuotedStyle != 0:
		return `"`
	}
	return ""
}

// inner gives the span of n bytes at an offset of a scalar's value, or the whole scalar where it is not written as it reads.
func (d *document) inner(node *yaml.Node, offset, n int) problem.Span {
	s := d.span(node)
	quote := quoteOf(node)
	if strings.HasPrefix(d.source.Text[s.Start:], quote+node.Value) {
		return s.Sub(len(quote)+offset, n)
	}
	return s
}

// char gives the span of the one character at a place.
func (d *document) char(start int) problem.Span { return charAt(d.source, start) }

func charAt(src *problem.Source, start int) problem.Span {
	_, n := utf8.DecodeRuneInString(src.Text[start:])
	return problem.Span{Source: src, Start: start, End: start + n}
}

// whole gives a span at the document's beginning.
func (d *document) whole() problem.Span {
	return d.char(d.start)
}
