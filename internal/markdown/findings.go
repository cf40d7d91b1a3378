package markdown

import (
	"fmt"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
)

// findingsKey is where the parsers of one body find its findings.
var findingsKey = parser.NewContextKey()

// findings is what the parsers of one body note down beside the tree.
type findings struct {
	issues []Issue
	places map[ast.Node]place // where a link's or picture's address stands
}

type place struct{ start, end int }

func findingsOf(pc parser.Context) *findings { return pc.Get(findingsKey).(*findings) }

func (f *findings) issue(start, end int, hint, format string, args ...any) {
	f.issues = append(f.issues, Issue{Start: start, End: end, Hint: hint, Message: fmt.Sprintf(format, args...)})
}

func (f *findings) locate(n ast.Node, p place) {
	if f.places == nil {
		f.places = map[ast.Node]place{}
	}
	f.places[n] = p
}

// A collector walks a finished tree for what the Document tells of it.
type collector struct {
	document *Document
	findings *findings
	ids      idTable
}

func (c *collector) blocks(n ast.Node) {
	for ; n != nil; n = n.NextSibling() {
		switch n := n.(type) {
		case *ast.Heading:
			c.heading(n)
		case *ast.Link:
			c.link(n)
		case *ast.AutoLink:
			c.autoLink(n)
		case *ast.Image:
			c.picture(n)
			c.amountsInWords(n)
			continue // what stands in a picture's words is text
		case *directive:
			if n.name == "amount" {
				c.document.Amounts = append(c.document.Amounts, Reference{n.content, n.words.start, n.words.end})
			}
		}
		c.blocks(n.FirstChild())
	}
}

// amountsInWords reports amounts in a picture's words, which hold text alone.
func (c *collector) amountsInWords(n ast.Node) {
	for n := n.FirstChild(); n != nil; n = n.NextSibling() {
		if d, ok := n.(*directive); ok && d.name == "amount" {
			c.findings.issue(d.words.start, d.words.end, "name it in the text beside the picture",
				"an amount cannot stand in a picture's words")
		}
		c.amountsInWords(n)
	}
}
