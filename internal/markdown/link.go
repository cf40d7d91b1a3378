package markdown

import (
	"bytes"
	"html"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	markup "github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// linkParser reads links and pictures and notes where their addresses stand.
type linkParser struct{ parser.InlineParser }

// Parse reads a bracket; at the closing one of a link it notes the address's place.
func (l linkParser) Parse(parent ast.Node, block text.Reader, pc parser.Context) ast.Node {
	first := block.Peek()
	line, position := block.Position()
	node := l.InlineParser.Parse(parent, block, pc)
	if node == nil || first != ']' {
		return node
	}
	endLine, end := block.Position()
	p := place{node.Pos(), end.Start}
	if destination, reference := target(node); reference == nil {
		block.SetPosition(line, position)
		block.Advance(2) // the brackets "]("
		block.SkipSpaces()
		if block.Peek() == '<' {
			block.Advance(1)
		}
		_, at := block.Position()
		p = place{at.Start, at.Start + len(destination)}
	}
	block.SetPosition(endLine, end)
	findingsOf(pc).locate(node, p)
	return node
}

// CloseBlock turns brackets left over at the end of a block back into text.
func (l linkParser) CloseBlock(parent ast.Node, block text.Reader, pc parser.Context) {
	l.InlineParser.(parser.CloseBlocker).CloseBlock(parent, block, pc)
}

func target(n ast.Node) ([]byte, *ast.ReferenceLink) {
	if picture, ok := n.(*ast.Image); ok {
		return picture.Destination, picture.Reference
	}
	link := n.(*ast.Link)
	return link.Destination, link.Reference
}

// address gives a destination as it is meant: escapes and character references resolved, white space at the ends and
// line breaks left out, which browsers pass over.
func address(destination []byte) string {
	d := util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(destination)))
	d = bytes.TrimFunc(d, func(r rune) bool { return r <= ' ' })
	return strings.Map(func(r rune) rune {
		if r == '\t' || r == '\n' || r == '\r' {
			return -1
		}
		return r
	}, string(d))
}

// scheme gives what stands before an address's colon in lower case, or "" for a relative one.
func scheme(address string) string {
	name, _, ok := strings.Cut(address, ":")
	if !ok || name == "" || !isLetter(name[0]) {
		return ""
	}
	for i := range len(name) {
		if c := name[i]; !isLetter(c) && !util.IsNumeric(c) && c != '+' && c != '-' && c != '.' {
			return ""
		}
	}
	return strings.ToLower(name)
}

// A reach tells where an address leads.
type reach int

const (
	within   reach = iota // to the handbook itself
	abroad                // to another site
	contact               // to a mailbox or a telephone
	unlawful              // to anything else, which a page may not do
)

func reachOf(address string) reach {
	switch scheme(address) {
	case "":
		if strings.HasPrefix(address, "//") {
			return abroad
		}
		return within
	case "http", "https":
		return abroad
	case "mailto", "tel":
		return contact
	}
	return unlawful
}

// link notes a link for the resolver, or reports it.
func (c *collector) link(n *ast.Link) {
	to, at := address(n.Destination), c.findings.places[n]
	switch reachOf(to) {
	case unlawful:
		c.unlawful(to, at)
	case within:
		c.document.Links = append(c.document.Links, Reference{to, at.start, at.end})
	}
}

func (c *collector) autoLink(n *ast.AutoLink) {
	if n.AutoLinkType == ast.AutoLinkEmail {
		return
	}
	label := n.Label(c.document.source)
	if to := address(label); reachOf(to) == unlawful {
		start := n.Pos() + bytes.Index(c.document.source[n.Pos():], label)
		c.unlawful(to, place{start, start + len(label)})
	}
}

func (c *collector) unlawful(to string, at place) {
	c.findings.issue(at.start, at.end, "link to a page of the handbook, or to an http, https, mailto or tel address",
		"a link may not lead to a “%s:” address", scheme(to))
}

// picture notes a picture for the resolver. It must be the handbook's own, and have words for those who cannot see it.
func (c *collector) picture(n *ast.Image) {
	to, at := address(n.Destination), c.findings.places[n]
	if reachOf(to) == within {
		c.document.Pictures = append(c.document.Pictures, Reference{to, at.start, at.end})
	} else {
		c.findings.issue(at.start, at.end, "keep a copy with the handbook and give its path",
			"a picture may not come from elsewhere")
	}
	if plainWords(n, c.document.source) == "" {
		c.findings.issue(at.start, at.end, "say in the square brackets what the picture shows, for those who cannot see it",
			"the picture has no words")
	}
}

func renderLink(p *page, n *ast.Link, entering bool) ast.WalkStatus {
	if !entering {
		p.closeLink()
		return ast.WalkContinue
	}
	p.openLink(address(n.Destination), n.Title)
	return ast.WalkContinue
}

// openLink begins a link if its address leads anywhere; its text is shown in any case.
func (p *page) openLink(to string, title []byte) {
	from := reachOf(to)
	if from == within {
		to = p.resolver.Link(to)
	}
	if p.linked = to != "" && reachOf(to) != unlawful; !p.linked {
		return
	}
	p.WriteString(`<a href="`)
	p.writeAddress(to)
	p.WriteByte('"')
	if from == abroad {
		p.WriteString(` rel="noopener"`)
	}
	p.writeTitle(title)
	p.WriteByte('>')
}

func (p *page) closeLink() {
	if p.linked {
		p.WriteString("</a>")
	}
	p.linked = false
}

func (p *page) writeAddress(to string) {
	p.Write(util.EscapeHTML(util.URLEscape([]byte(to), false)))
}

func (p *page) writeTitle(title []byte) {
	if len(title) == 0 {
		return
	}
	p.WriteString(` title="`)
	markup.DefaultWriter.Write(p, title)
	p.WriteByte('"')
}

func renderAutoLink(p *page, n *ast.AutoLink, entering bool) ast.WalkStatus {
	if !entering {
		return ast.WalkSkipChildren
	}
	label := n.Label(p.document.source)
	to := address(label)
	if n.AutoLinkType == ast.AutoLinkEmail {
		to = "mailto:" + to
	}
	p.openLink(to, nil)
	p.Write(util.EscapeHTML(label))
	p.closeLink()
	return ast.WalkSkipChildren
}

func renderPicture(p *page, n *ast.Image, entering bool) ast.WalkStatus {
	if !entering {
		return ast.WalkSkipChildren
	}
	words := html.EscapeString(plainWords(n, p.document.source))
	to, width, height := address(n.Destination), 0, 0
	if reachOf(to) == within {
		to, width, height = p.resolver.Picture(to)
	}
	if to == "" || reachOf(to) != within {
		p.WriteString(words)
		return ast.WalkSkipChildren
	}
	p.WriteString(`<img src="`)
	p.writeAddress(to)
	p.WriteString(`" alt="` + words + `"`)
	if width > 0 && height > 0 {
		p.WriteString(` width="` + strconv.Itoa(width) + `" height="` + strconv.Itoa(height) + `"`)
	}
	p.writeTitle(n.Title)
	p.WriteString(` loading="lazy">`)
	return ast.WalkSkipChildren
}

// bareLinkParser makes links of addresses that stand in the text and begin with https://.
type bareLinkParser struct{}

// Trigger gives the character by which an address is noticed.
func (bareLinkParser) Trigger() []byte { return []byte{':'} }

// Parse takes "https" off the end of the text before the colon, and the address after it.
func (bareLinkParser) Parse(parent ast.Node, block text.Reader, pc parser.Context) ast.Node {
	line, at := block.PeekLine()
	before, ok := parent.LastChild().(*ast.Text)
	if !ok || !bytes.HasPrefix(line, []byte("://")) || pc.IsInLinkLabel() {
		return nil
	}
	known := before.Segment.Value(block.Source())
	ahead, isSecure := bytes.CutSuffix(known, []byte("https"))
	n := addressEnd(line[3:])
	if !isSecure || before.Segment.Stop != at.Start || n == 0 || !opensAddress(ahead) {
		return nil
	}
	block.Advance(3 + n)
	start := at.Start - len("https")
	before.Segment = before.Segment.WithStop(start)
	if len(ahead) == 0 {
		parent.RemoveChild(parent, before)
	}
	node := ast.NewAutoLink(ast.AutoLinkURL, ast.NewTextSegment(text.NewSegment(start, at.Start+3+n)))
	node.SetPos(start)
	return node
}

// opensAddress tells whether an address may begin after this text: at a line's start, after a space, or after (*_~.
func opensAddress(ahead []byte) bool {
	return len(ahead) == 0 || strings.IndexByte(" \t(*_~", ahead[len(ahead)-1]) >= 0
}

// addressEnd counts the bytes of a bare address after its "://", or 0. The host has a dot; what closes a sentence or
// a bracket that the address did not open is not part of it.
func addressEnd(line []byte) int {
	n := bytes.IndexAny(line, " \t\r\n<")
	if n < 0 {
		n = len(line)
	}
	opened := bytes.Count(line[:n], []byte("(")) - bytes.Count(line[:n], []byte(")"))
	for n > 0 {
		c := line[n-1]
		if c == ')' && opened < 0 {
			opened++
		} else if strings.IndexByte(`?!.,:;*_~'"`, c) < 0 {
			break
		}
		n--
	}
	host, _, _ := bytes.Cut(line[:n], []byte("/"))
	if len(host) == 0 || !isLetter(host[0]) && !util.IsNumeric(host[0]) || !bytes.Contains(host, []byte(".")) {
		return 0
	}
	return n
}
