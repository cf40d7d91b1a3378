package markdown

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"larkrow.example/stillroom/internal/spell"
)

// What the parser does with some texts grows with the square of their length. These limits keep any page quick;
// no page that was meant for readers comes near them.
const (
	maxBody      = 256 << 10 // bytes in a body
	maxNesting   = 100       // blocks in one another
	maxParagraph = 8 << 10   // bytes in a paragraph or a heading
	maxBlock     = 64 << 10  // bytes in a table
	maxLines     = 1000      // lines in a paragraph or a table
	maxAmounts   = 500       // amounts in a body: each is written out for every version and batch
)

// shallow keeps a block parser from nesting without end: what is too deep is read as plain text.
type shallow struct{ parser.BlockParser }

// Open opens the block unless it would be too deep.
func (s shallow) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	line, position := reader.Position()
	node, state := s.BlockParser.Open(parent, reader, pc)
	if node == nil || depth(parent) < maxNesting {
		return node, state
	}
	reader.SetPosition(line, position)
	findingsOf(pc).issue(position.Start, position.Stop, "use fewer lists, quotes and blocks within one another",
		"more than %d blocks stand in one another", maxNesting)
	return nil, parser.NoChildren
}

func depth(n ast.Node) int {
	d := 0
	for ; n != nil; n = n.Parent() {
		d++
	}
	return d
}

// shortLine keeps a block parser to lines that are quick to read.
type shortLine struct{ parser.BlockParser }

// Open opens the block unless its line is too long; then it is read as a paragraph, which reports it.
func (s shortLine) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	if line, _ := reader.PeekLine(); len(line) > maxParagraph {
		return nil, parser.NoChildren
	}
	return s.BlockParser.Open(parent, reader, pc)
}

var kindPlain = ast.NewNodeKind("Plain")

// plain is a paragraph shown as it was written.
type plain struct{ ast.BaseBlock }

// Kind says what the node is.
func (*plain) Kind() ast.NodeKind { return kindPlain }

// IsRaw keeps the text from being read for emphasis, links and the like.
func (*plain) IsRaw() bool { return true }

// Dump prints the node for debugging.
func (p *plain) Dump(source []byte, level int) { ast.DumpHelper(p, source, level, nil, nil) }

// makePlain puts a plain block in a paragraph's place and reports it.
func makePlain(n *ast.Paragraph, pc parser.Context, hint, message string) {
	lines := n.Lines()
	p := &plain{}
	p.SetLines(lines)
	n.Parent().ReplaceChild(n.Parent(), n, p)
	findingsOf(pc).issue(lines.At(0).Start, lines.At(lines.Len()-1).Stop, hint, "%s", message)
}

// hugeBlock takes paragraphs out of the way that are too much even for a table.
type hugeBlock struct{}

// Transform replaces the paragraph if it is too large.
func (hugeBlock) Transform(n *ast.Paragraph, reader text.Reader, pc parser.Context) {
	size, longest, pipes := measure(n, reader.Source())
	switch lines := n.Lines().Len(); {
	case lines > maxLines || size > maxBlock:
		makePlain(n, pc, "put blank lines between its parts", "this paragraph or table is too long")
	case longest > maxParagraph:
		makePlain(n, pc, "split it up", "this line is too long")
	case lines*(pipes+1) > size+maxLines:
		// A short row is filled up to the header's width: few bytes could ask for millions of cells.
		makePlain(n, pc, "fill the rows, or split the table", "this table has far more columns than its rows fill")
	}
}

// measure gives a paragraph's bytes, and the length and the number of pipes of the lines that have most.
func measure(n *ast.Paragraph, source []byte) (size, longest, pipes int) {
	for i := range n.Lines().Len() {
		line := n.Lines().At(i)
		size += line.Len()
		longest = max(longest, line.Len())
		pipes = max(pipes, bytes.Count(line.Value(source), []byte("|")))
	}
	return size, longest, pipes
}

// longParagraph takes out paragraphs that are too long, now that tables have been told apart.
type longParagraph struct{}

// Transform replaces the paragraph if it is too long.
func (longParagraph) Transform(n *ast.Paragraph, reader text.Reader, pc parser.Context) {
	if size, _, _ := measure(n, reader.Source()); size > maxParagraph {
		makePlain(n, pc, "put blank lines between its parts", "this paragraph is too long")
	}
}

// controlCharacters reports characters that have no place in a text: those that cannot be shown, and those that turn the reading direction, by which a
// weight could be read in another order of its digits than it is written in.
func controlCharacters(body string) []Issue {
	var issues []Issue
	for start := 0; ; {
		i := firstUnfit(body[start:])
		if i < 0 {
			return append(issues, piledMarks(body)...)
		}
		start += i
		issue := Issue{Start: start, Message: "a control character stands here", Hint: "delete it; it cannot be shown"}
		same := isControl
		if r, _ := utf8.DecodeRuneInString(body[start:]); spell.Turns(r) {
			issue.Message = "a character that does not show and turns the reading direction stands here (" + spell.Code(r) + ")"
			issue.Hint = "delete it; it often comes with pasted text, and writing the words anew leaves it behind"
			same = spell.Turns
		}
		issue.End = start + len(body[start:]) - len(strings.TrimLeftFunc(body[start:], same))
		issues = append(issues, issue)
		start = issue.End
	}
}

// piledMarks reports the first letter with so many accents that they would be drawn over the lines around.
func piledMarks(body string) []Issue {
	i, size := spell.Piled(body)
	if i < 0 {
		return nil
	}
	return []Issue{{i, i + size, fmt.Sprintf("%d accents stand on one letter here", utf8.RuneCountInString(body[i:i+size])), "take them out; they would be drawn over the lines around"}}
}

// firstUnfit finds the first character that has no place in a text, -1 where there is none.
func firstUnfit(s string) int {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c >= ' ' && c < 0x7f, c == '\n', c < utf8.RuneSelf && !isControl(rune(c)):
		case c < utf8.RuneSelf:
			return i
		case utf8.RuneStart(c):
			if r, _ := utf8.DecodeRuneInString(s[i:]); isUnfit(r) {
				return i
			}
		}
	}
	return -1
}

func isUnfit(r rune) bool { return isControl(r) || spell.Turns(r) }

// fewAmounts reports the amounts that are too many, and takes them off the document's list.
func (d *Document) fewAmounts() {
	if len(d.Amounts) <= maxAmounts {
		return
	}
	first, last := d.Amounts[maxAmounts], d.Amounts[len(d.Amounts)-1]
	d.Issues = append(d.Issues, Issue{
		Start: first.Start, End: last.End,
		Message: fmt.Sprintf("the text has %d amounts, and it can have %d", len(d.Amounts), maxAmounts),
		Hint:    "name an amount where it is weighed, and say “the rest” or “all of it” elsewhere",
	})
	d.Amounts = d.Amounts[:maxAmounts]
}

func isControl(r rune) bool {
	return r < ' ' && r != '\n' && r != '\t' && r != '\r' || r == 0x7f
}

// showable puts a sign in place of characters that have no place in a text, which may also come from references like &#1;.
func showable(s string) string {
	if firstUnfit(s) < 0 {
		return s
	}
	return strings.Map(func(r rune) rune {
		if isUnfit(r) {
			return '\ufffd'
		}
		return r
	}, s)
}
