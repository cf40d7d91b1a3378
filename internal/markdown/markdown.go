// Package markdown turns page bodies into HTML: CommonMark with tables, directives, and highlighted code.
package markdown

import (
	"cmp"
	"html/template"
	"slices"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// The parsers for raw HTML are left out on purpose: without them a tag is ordinary text, which is escaped like any
// other. What a page may hold is decided while it is parsed (everything that is wrong becomes an Issue); rendering
// only reads the tree, so that one Document serves many pages at once.

// A Converter reads page bodies. It keeps code that it has highlighted; it is safe for concurrent use.
type Converter struct {
	markdown goldmark.Markdown
	code     *highlighter
}

// New gives a Converter with an empty store of highlighted code.
func New() *Converter {
	code := newHighlighter()
	return &Converter{
		code: code,
		markdown: goldmark.New(
			goldmark.WithParser(newParser()),
			goldmark.WithRenderer(renderer.NewRenderer(renderer.WithNodeRenderers(
				util.Prioritized(html.NewRenderer(), 1000),
				util.Prioritized(extension.NewStrikethroughHTMLRenderer(), 500),
				util.Prioritized(extension.NewTableHTMLRenderer(), 500),
				util.Prioritized(&nodes{code: code}, 100),
			))),
		),
	}
}

func newParser() parser.Parser {
	return parser.NewParser(
		parser.WithBlockParsers(
			util.Prioritized(parser.NewSetextHeadingParser(), 100),
			util.Prioritized(parser.NewThematicBreakParser(), 200),
			util.Prioritized(shallow{parser.NewListParser()}, 300),
			util.Prioritized(parser.NewListItemParser(), 400),
			util.Prioritized(parser.NewCodeBlockParser(), 500),
			util.Prioritized(shortLine{parser.NewATXHeadingParser()}, 600),
			util.Prioritized(parser.NewFencedCodeBlockParser(), 700),
			util.Prioritized(shallow{parser.NewBlockquoteParser()}, 800),
			util.Prioritized(shallow{containerParser{}}, 900),
			util.Prioritized(parser.NewParagraphParser(), 1000),
		),
		parser.WithInlineParsers(
			util.Prioritized(parser.NewCodeSpanParser(), 100),
			util.Prioritized(linkParser{parser.NewLinkParser()}, 200),
			util.Prioritized(parser.NewAutoLinkParser(), 300),
			util.Prioritized(directiveParser{}, 400),
			util.Prioritized(bareLinkParser{}, 450),
			util.Prioritized(extension.NewStrikethroughParser(), 500),
			util.Prioritized(parser.NewEmphasisParser(), 500),
		),
		parser.WithParagraphTransformers(
			util.Prioritized(hugeBlock{}, 50),
			util.Prioritized(parser.LinkReferenceParagraphTransformer, 100),
			util.Prioritized(extension.NewTableParagraphTransformer(), 200),
			util.Prioritized(longParagraph{}, 300),
		),
		parser.WithASTTransformers(util.Prioritized(extension.NewTableASTTransformer(), 0)),
	)
}

// A Document is a parsed body. It does not change once made and is safe for concurrent use.
type Document struct {
	Amounts  []Reference // every :amount[…], in the order of the page; the place is that of the words in the brackets
	Links    []Reference // links that a Resolver is asked for: all but those to http, https, mailto and tel addresses
	Pictures []Reference // pictures that a Resolver is asked for
	Issues   []Issue     // what is wrong with the body, in the order of the page
	Headings []Heading   // in the order of the page

	converter *Converter
	source    []byte
	root      ast.Node
}

// A Reference is a name or an address in a body, with its place as byte offsets; End is past the last byte.
// Name is what stands there, trimmed and with backslash escapes undone (for addresses character references, too).
// A link by reference has the place of its own text, not of the definition.
type Reference struct {
	Name       string
	Start, End int
}

// An Issue is something wrong in a body: its place as byte offsets, what is wrong, and what to do about it.
type Issue struct {
	Start, End    int
	Message, Hint string
}

// A Heading is a heading of a body. Level is as shown: 2 to 6, as the page's title is 1. ID is unique in the body.
type Heading struct {
	Level    int
	ID, Text string
}

// A Resolver knows what a body's names stand for on the page that is being made.
type Resolver interface {
	// Amount gives finished, safe HTML for :amount[name].
	Amount(name string) (html string)
	// Link gives the final address for a link, or "" for one that leads nowhere: its text is then shown alone.
	Link(destination string) (href string)
	// Picture gives the final address of a picture, or "" to show its words alone, and its size in pixels or 0, 0.
	Picture(destination string) (href string, width, height int)
}

// A Namer is a [Resolver] that says in the page's language what a block of a kind (caution, note or tip) is called where it has no heading of its own.
type Namer interface {
	Block(kind string) string
}

// Parse reads a body, UTF-8 with lines ended by \n. It never fails: what is wrong is in the Document's Issues.
func (c *Converter) Parse(body string) *Document {
	d := &Document{converter: c, source: []byte(body)}
	d.Issues = controlCharacters(body)
	if len(body) > maxBody {
		d.Issues = append(d.Issues, Issue{
			Start: maxBody, End: len(body),
			Message: "the text is longer than a page can be",
			Hint:    "split it over several pages of at most 256 KB",
		})
		d.source = d.source[:maxBody]
	}
	findings := &findings{}
	context := parser.NewContext()
	context.Set(findingsKey, findings)
	d.root = c.markdown.Parser().Parse(text.NewReader(d.source), parser.WithContext(context))
	collector := collector{document: d, findings: findings, ids: idTable{}}
	collector.blocks(d.root)
	d.Issues = append(d.Issues, findings.issues...)
	d.fewAmounts()
	d.sortIssues()
	return d
}

// sortIssues puts the issues in the order of the page. A block that the parser tried twice is told once.
func (d *Document) sortIssues() {
	slices.SortStableFunc(d.Issues, func(a, b Issue) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.End, b.End))
	})
	d.Issues = slices.Compact(d.Issues)
}

// HTML gives the body as HTML for one page. It may be called many times, at once, with different resolvers.
func (d *Document) HTML(r Resolver) (template.HTML, error) {
	p := pages.Get().(*page)
	p.document, p.resolver = d, r
	if err := d.converter.markdown.Renderer().Render(p, d.source, d.root); err != nil {
		return "", err
	}
	made := template.HTML(showable(p.String()))
	p.putBack()
	return made, nil
}
