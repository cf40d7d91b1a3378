package markdown

import (
	"html"
	"strings"

	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"
	markup "github.com/yuin/goldmark/renderer/html"
)

// Text gives the body's plain words, for search and descriptions: a line a block, without code blocks, and without
// amounts, which differ from batch to batch.
func (d *Document) Text() string {
	w := wordWriter{source: d.source}
	w.block(d.root)
	return showable(strings.TrimSpace(w.String()))
}

// plainWords gives the words of one block or of a picture.
func plainWords(n ast.Node, source []byte) string {
	w := wordWriter{source: source}
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		w.inline(c)
	}
	return strings.Join(strings.Fields(w.String()), " ")
}

type wordWriter struct {
	page
	source []byte
}

// block writes the words of a block and of those within it.
func (w *wordWriter) block(n ast.Node) {
	switch n := n.(type) {
	case *ast.FencedCodeBlock, *ast.CodeBlock, *ast.LinkReferenceDefinition:
		return
	case *plain:
		w.line(strings.TrimSpace(string(n.Lines().Value(w.source))))
		return
	case *container:
		w.line(n.title)
	case *extast.TableHeader, *extast.TableRow:
		var cells []string
		for c := n.FirstChild(); c != nil; c = c.NextSibling() {
			cells = append(cells, plainWords(c, w.source))
		}
		w.line(strings.TrimSpace(strings.Join(cells, " ")))
		return
	}
	first := n.FirstChild()
	if first != nil && first.Type() == ast.TypeInline {
		w.line(plainWords(n, w.source))
		return
	}
	for c := first; c != nil; c = c.NextSibling() {
		w.block(c)
	}
}

// line writes a line unless it is empty.
func (w *wordWriter) line(words string) {
	if words != "" {
		w.WriteString(words + "\n")
	}
}

// inline writes the words of running text.
func (w *wordWriter) inline(n ast.Node) {
	switch n := n.(type) {
	case *ast.Text:
		w.text(n)
	case *ast.AutoLink:
		w.Write(n.Label(w.source))
	case *directive:
		if n.name != "amount" {
			w.WriteString(n.content)
		}
	default:
		for c := n.FirstChild(); c != nil; c = c.NextSibling() {
			w.inline(c)
		}
	}
}

func (w *wordWriter) text(n *ast.Text) {
	if n.IsRaw() {
		w.Write(n.Value(w.source))
	} else {
		w.WriteString(unescape(n.Value(w.source)))
	}
	if n.SoftLineBreak() || n.HardLineBreak() {
		w.WriteByte('\n')
	}
}

// unescape resolves backslash escapes and character references, by way of the renderer that decides on them.
func unescape(value []byte) string {
	var p page
	markup.DefaultWriter.Write(&p, value)
	return html.UnescapeString(p.String())
}
