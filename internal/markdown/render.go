package markdown

import (
	"bytes"
	"html"
	"strconv"
	"sync"

	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	markup "github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"
)

// A page is the output of one rendering with what its nodes need to know. goldmark hands it, as the writer, to every
// node's function, which is how one renderer serves many pages with different resolvers.
type page struct {
	bytes.Buffer
	document *Document
	resolver Resolver
	headings int  // written so far
	linked   bool // an <a> is open
}

// pages are those that are to be written over.
var pages = sync.Pool{New: func() any { return new(page) }}

// maxRoom is the longest page whose room is kept for others.
const maxRoom = 1 << 20

// putBack gives the page's room to others.
func (p *page) putBack() {
	if p.Cap() > maxRoom {
		return
	}
	p.Reset()
	*p = page{Buffer: p.Buffer}
	pages.Put(p)
}

// Buffered says that nothing is held back.
func (p *page) Buffered() int { return 0 }

// Flush has nothing to do.
func (p *page) Flush() error { return nil }

// nodes renders what differs from plain CommonMark.
type nodes struct{ code *highlighter }

// RegisterFuncs names the function for each kind of node.
func (r *nodes) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(ast.KindHeading, onPage(renderHeading))
	reg.Register(ast.KindCodeBlock, onPage(r.renderIndentedCode))
	reg.Register(ast.KindFencedCodeBlock, onPage(r.renderFencedCode))
	reg.Register(ast.KindLink, onPage(renderLink))
	reg.Register(ast.KindAutoLink, onPage(renderAutoLink))
	reg.Register(ast.KindImage, onPage(renderPicture))
	reg.Register(extast.KindTable, onPage(renderTable))
	reg.Register(extast.KindTableCell, onPage(renderCell))
	reg.Register(kindDirective, onPage(renderDirective))
	reg.Register(kindContainer, onPage(renderContainer))
	reg.Register(kindPlain, onPage(renderPlain))
}

// onPage adapts a function on a page and a node of one type to the renderer's form.
func onPage[N ast.Node](f func(p *page, n N, entering bool) ast.WalkStatus) renderer.NodeRendererFunc {
	return func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		return f(w.(*page), n.(N), entering), nil
	}
}

func renderHeading(p *page, _ *ast.Heading, entering bool) ast.WalkStatus {
	if !entering {
		p.WriteString("</h" + strconv.Itoa(p.document.Headings[p.headings].Level) + ">\n")
		p.headings++
		return ast.WalkContinue
	}
	h := p.document.Headings[p.headings]
	p.WriteString("<h" + strconv.Itoa(h.Level) + ` id="` + h.ID + `">`)
	return ast.WalkContinue
}

func (r *nodes) renderFencedCode(p *page, n *ast.FencedCodeBlock, entering bool) ast.WalkStatus {
	if entering {
		r.writeCode(p, string(n.Language(p.document.source)), n)
	}
	return ast.WalkSkipChildren
}

func (r *nodes) renderIndentedCode(p *page, n *ast.CodeBlock, entering bool) ast.WalkStatus {
	if entering {
		r.writeCode(p, "", n)
	}
	return ast.WalkSkipChildren
}

func (r *nodes) writeCode(p *page, language string, n ast.Node) {
	p.WriteString(string(r.code.highlight(language, string(n.Lines().Value(p.document.source)))))
}

// renderTable puts a table in a frame that can be scrolled sideways on a narrow screen.
func renderTable(p *page, _ *extast.Table, entering bool) ast.WalkStatus {
	if entering {
		p.WriteString("<div class=\"table\">\n<table>\n")
	} else {
		p.WriteString("</table>\n</div>\n")
	}
	return ast.WalkContinue
}

func renderCell(p *page, n *extast.TableCell, entering bool) ast.WalkStatus {
	tag := "td"
	if n.Parent().Kind() == extast.KindTableHeader {
		tag = "th"
	}
	if !entering {
		p.WriteString("</" + tag + ">\n")
		return ast.WalkContinue
	}
	p.WriteString("<" + tag)
	if n.Alignment != extast.AlignNone {
		p.WriteString(` class="` + n.Alignment.String() + `"`)
	}
	p.WriteByte('>')
	return ast.WalkContinue
}

func renderDirective(p *page, d *directive, entering bool) ast.WalkStatus {
	switch {
	case !entering:
	case d.name == "amount":
		p.WriteString(p.resolver.Amount(d.content))
	default:
		p.WriteString(d.html)
	}
	return ast.WalkSkipChildren
}

func renderContainer(p *page, c *container, entering bool) ast.WalkStatus {
	if !entering {
		p.WriteString("</aside>\n")
		return ast.WalkContinue
	}
	class := "block"
	if c.name != "" {
		class += " " + c.name
	}
	p.WriteString(`<aside class="` + class + `" role="note">` + "\n")
	title := c.title
	if namer, ok := p.resolver.(Namer); ok && !c.own && c.name != "" {
		title = namer.Block(c.name)
	}
	if title != "" {
		p.WriteString(`<p class="block-name">` + html.EscapeString(title) + "</p>\n")
	}
	return ast.WalkContinue
}

func renderPlain(p *page, n *plain, entering bool) ast.WalkStatus {
	if entering {
		p.WriteString("<p>")
		markup.DefaultWriter.RawWrite(p, n.Lines().Value(p.document.source))
		p.WriteString("</p>\n")
	}
	return ast.WalkSkipChildren
}
