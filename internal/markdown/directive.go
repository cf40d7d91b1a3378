package markdown

import (
	"bytes"
	"errors"
	"html"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// maxLabel is the longest text in a directive's brackets, in bytes, as for a link's label in CommonMark.
// It also bounds the search for a bracket that is never closed.
const maxLabel = 999

var kindDirective = ast.NewNodeKind("Directive")

// A directive is a known :name[content] in running text. What could not be read is shown as its content.
type directive struct {
	ast.BaseInline
	name    string
	content string // brackets' text, trimmed, escapes undone
	html    string // finished, for all but amounts
	words   place  // where content stands
}

// Kind says what the node is.
func (*directive) Kind() ast.NodeKind { return kindDirective }

// Dump prints the node for debugging.
func (d *directive) Dump(source []byte, level int) {
	ast.DumpHelper(d, source, level, map[string]string{"name": d.name, "content": d.content}, nil)
}

// inlineDirectives are the names that may stand before brackets in running text.
func inlineDirectives() []string { return []string{"amount", "temp", "time"} }

type directiveParser struct{}

// Trigger gives the character that opens a directive.
func (directiveParser) Trigger() []byte { return []byte{':'} }

// Parse reads :name[content] at the reader's place.
func (directiveParser) Parse(_ ast.Node, block text.Reader, pc parser.Context) ast.Node {
	line, at := block.PeekLine()
	name := directiveName(line[1:])
	after := 1 + len(name)
	if name == "" || after >= len(line) || line[after] != '[' || !opensDirective(block.PrecendingCharacter()) {
		return nil
	}
	found := findingsOf(pc)
	opening := place{at.Start, at.Start + after + 1}
	block.Advance(after + 1)
	label, ok := readLabel(block)
	if !knownDirective(name, opening, ok, found) {
		return nil
	}
	if !ok {
		found.issue(opening.start, opening.end, "close it with “]”", "the bracket after “:%s” is not closed", name)
		return nil
	}
	_, end := block.Position()
	node := &directive{name: name, content: label.name(), words: label.words}
	node.complete(place{at.Start, end.Start}, found)
	refuseAttributes(block, found)
	return node
}

// directiveName gives the name that a text begins with, or "". A name is a letter, then letters, digits, - and _.
func directiveName(line []byte) string {
	n := 0
	for n < len(line) && (isLetter(line[n]) || n > 0 && (util.IsNumeric(line[n]) || line[n] == '-' || line[n] == '_')) {
		n++
	}
	return string(line[:n])
}

func isLetter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }

// opensDirective tells whether a colon after this character may open a directive: "12:30[a]" and "::a[b]" do not.
func opensDirective(before rune) bool {
	return before != ':' && !unicode.IsLetter(before) && !unicode.IsDigit(before)
}

// knownDirective reports a name that is not known. One whose bracket stays open is taken for a mistake only when
// it is near a known name.
func knownDirective(name string, at place, closed bool, found *findings) bool {
	if slices.Contains(inlineDirectives(), name) {
		return true
	}
	hint := spell.DidYouMean(name, inlineDirectives(), "")
	if hint == "" && !closed {
		return false
	}
	if hint == "" {
		hint = `known are :amount[…], :temp[…] and :time[…]; a plain colon is written “\:”`
	}
	found.issue(at.start, at.end-1, hint, "there is no directive “:%s”", name)
	return false
}

// complete makes the HTML of a directive that needs no resolver, and reports what cannot be read.
func (d *directive) complete(whole place, found *findings) {
	switch {
	case d.content == "":
		found.issue(whole.start, whole.end, "put the words between the brackets", "“:%s[]” is empty", d.name)
		d.name = ""
	case d.name == "temp":
		shown, err := readTemperature(d.content)
		d.settle(shown, err, found)
	case d.name == "time":
		shown, err := readDuration(d.content)
		d.settle(shown, err, found)
	}
}

// settle keeps what was read, or reports the error and shows the words as they were written.
func (d *directive) settle(shown string, err error, found *findings) {
	d.html = shown
	if err == nil {
		return
	}
	hint := ""
	if syntax, ok := errors.AsType[*quantity.SyntaxError](err); ok {
		hint = syntax.Hint
		err = errors.New(syntax.Message)
	}
	found.issue(d.words.start, d.words.end, hint, "“%s”: %v", d.content, err)
	d.html = html.EscapeString(d.content)
}

// A label is the text between two brackets, which may go over several lines.
type label struct {
	raw   []byte
	words place
}

// name gives the label's words in one line, with escapes undone.
func (l label) name() string {
	return strings.Join(strings.Fields(string(util.UnescapePunctuations(l.raw))), " ")
}

// readLabel reads up to the bracket that closes the one before the reader's place, and past it.
func readLabel(block text.Reader) (label, bool) {
	_, start := block.Position()
	l := label{words: place{start.Start, start.Start}}
	depth := 1
	for len(l.raw) <= maxLabel {
		line, at := block.PeekLine()
		if line == nil {
			return l, false
		}
		n, closed := labelEnd(line[:min(len(line), maxLabel+1)], &depth)
		l.raw = append(l.raw, line[:n]...)
		if closed {
			l.words.end = at.Start + n - at.Padding
			l.words = l.words.trimmed(block.Source())
			block.Advance(n + 1)
			return l, true
		}
		if n < len(line) {
			return l, false
		}
		block.AdvanceLine()
	}
	return l, false
}

// labelEnd counts the bytes up to the closing bracket, or of the whole line.
func labelEnd(line []byte, depth *int) (n int, closed bool) {
	for n = 0; n < len(line); n++ {
		switch line[n] {
		case '\\':
			if n+1 < len(line) && util.IsPunct(line[n+1]) {
				n++
			}
		case '[':
			*depth++
		case ']':
			if *depth--; *depth == 0 {
				return n, true
			}
		}
	}
	return n, false
}

// trimmed leaves out the white space at both ends.
func (p place) trimmed(source []byte) place {
	s := bytes.TrimLeftFunc(source[p.start:p.end], unicode.IsSpace)
	p.start = p.end - len(s)
	p.end = p.start + len(bytes.TrimRightFunc(s, unicode.IsSpace))
	return p
}

// refuseAttributes reads past {…} at the reader's place and reports it.
func refuseAttributes(block text.Reader, found *findings) {
	line, at := block.PeekLine()
	if len(line) == 0 || line[0] != '{' {
		return
	}
	if end := bytes.IndexByte(line, '}'); end > 0 && utf8.RuneCount(line[:end]) <= maxLabel {
		found.issue(at.Start, at.Start+end+1, "leave out “{…}”", "a directive takes no attributes")
		block.Advance(end + 1)
	}
}
