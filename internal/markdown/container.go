package markdown

import (
	"bytes"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"larkrow.example/stillroom/internal/spell"
)

var kindContainer = ast.NewNodeKind("Container")

// A container is a block between ::: name and ::: that stands apart from the text, such as a caution.
type container struct {
	ast.BaseBlock
	name    string // "" if not known
	title   string // what its first line says, else its name
	own     bool   // whether the title is the page's own
	fence   int    // colons in the opening line
	opening place
	closed  bool
}

// Kind says what the node is.
func (*container) Kind() ast.NodeKind { return kindContainer }

// Dump prints the node for debugging.
func (c *container) Dump(source []byte, level int) {
	ast.DumpHelper(c, source, level, map[string]string{"name": c.name, "title": c.title}, nil)
}

// containerNames are the blocks that a page may open with ::: and a name.
func containerNames() []string { return []string{"caution", "note", "tip"} }

type containerParser struct{}

// Trigger gives the character of a container's fence.
func (containerParser) Trigger() []byte { return []byte{':'} }

// Open reads an opening line. A lone fence here closes nothing, which is reported.
func (containerParser) Open(_ ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	line, at := reader.PeekLine()
	indent := pc.BlockOffset()
	if indent < 0 {
		return nil, parser.NoChildren
	}
	fence := countColons(line[indent:])
	if fence < 3 {
		return nil, parser.NoChildren
	}
	trimmed := bytes.TrimRight(line, " \t\r\n")
	rest := bytes.TrimLeft(trimmed[indent+fence:], " \t")
	start := max(0, at.Start+indent-at.Padding)
	opening := place{start, start + len(trimmed) - indent}
	if len(rest) == 0 {
		findingsOf(pc).issue(opening.start, opening.end,
			"begin a block with its name, like “::: caution”; use more colons outside where blocks stand in one another",
			"“%s” closes nothing", trimmed[indent:])
		return nil, parser.NoChildren
	}
	name := directiveName(rest)
	if name == "" {
		return nil, parser.NoChildren
	}
	node := &container{fence: fence, opening: opening}
	node.describe(name, rest[len(name):], findingsOf(pc))
	reader.AdvanceToEOL()
	return node, parser.HasChildren
}

// describe sets what the block is called, and reports what its opening line should not hold.
func (c *container) describe(name string, rest []byte, found *findings) {
	start := c.opening.end - len(rest)
	if slices.Contains(containerNames(), name) {
		c.name = name
		c.title = strings.ToUpper(name[:1]) + name[1:]
	} else {
		found.issue(start-len(name), start, spell.DidYouMean(name, containerNames(), "known are caution, note and tip"),
			"there is no block “%s”", name)
	}
	rest = bytes.TrimLeft(rest, " \t")
	if len(rest) > 0 && rest[0] == '[' {
		depth := 1
		if n, closed := labelEnd(rest[1:min(len(rest), maxLabel)], &depth); closed {
			if title := (label{raw: rest[1 : n+1]}).name(); title != "" {
				c.title, c.own = title, true
			}
			rest = bytes.TrimLeft(rest[n+2:], " \t")
		}
	}
	start = c.opening.end - len(rest)
	switch {
	case len(rest) == 0:
	case rest[0] == '{':
		found.issue(start, c.opening.end, "leave out “{…}”", "a block takes no attributes")
	default:
		found.issue(start, c.opening.end, "a heading of your own goes in brackets, like “::: caution [Hot wax]”; the text begins on the next line",
			"a block's first line holds its name and nothing more")
	}
}

// Continue closes the block at its fence. Of blocks that stand directly in one another a fence closes the innermost
// with as many colons, or else the innermost with fewer.
func (containerParser) Continue(node ast.Node, reader text.Reader, pc parser.Context) parser.State {
	line, _ := reader.PeekLine()
	width, indent := util.IndentWidth(line, reader.LineOffset())
	if width > 3 || indent >= len(line) || line[indent] != ':' || inFencedCode(pc) {
		return parser.Continue | parser.HasChildren
	}
	fence := countColons(line[indent:])
	if fence < 3 || !util.IsBlank(line[indent+fence:]) || closedBy(fence, node, pc.OpenedBlocks()) != node {
		return parser.Continue | parser.HasChildren
	}
	node.(*container).closed = true
	reader.AdvanceToEOL()
	return parser.Close
}

func countColons(line []byte) int { return len(line) - len(bytes.TrimLeft(line, ":")) }

func inFencedCode(pc parser.Context) bool {
	last := pc.LastOpenedBlock().Node
	return last != nil && last.Kind() == ast.KindFencedCodeBlock
}

// closedBy gives the container that a fence closes, from an outer one inwards, or nil.
func closedBy(fence int, outer ast.Node, open []parser.Block) ast.Node {
	var exact, shorter ast.Node
	first := slices.IndexFunc(open, func(b parser.Block) bool { return b.Node == outer })
	for _, b := range open[first:] {
		c, ok := b.Node.(*container)
		if !ok {
			break
		}
		switch {
		case c.fence == fence:
			exact = c
		case c.fence < fence:
			shorter = c
		}
	}
	if exact != nil {
		return exact
	}
	return shorter
}

// Close reports a block that the text ran out on.
func (containerParser) Close(node ast.Node, _ text.Reader, pc parser.Context) {
	c := node.(*container)
	if c.closed {
		return
	}
	findingsOf(pc).issue(c.opening.start, c.opening.end, "close it with a line of "+strings.Repeat(":", min(c.fence, maxNesting)),
		"this block is not closed")
}

// CanInterruptParagraph lets a block begin without a blank line before it.
func (containerParser) CanInterruptParagraph() bool { return true }

// CanAcceptIndentedLine leaves lines indented by four to code.
func (containerParser) CanAcceptIndentedLine() bool { return false }
