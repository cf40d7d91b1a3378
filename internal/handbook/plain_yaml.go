package handbook

import (
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// Nearly all facts are written in a small part of YAML: names with values on one line each, lists and groups by indentation or in brackets.
// That part is read here, ten times as fast as by the library, into the library's own tree. Whatever is not surely of that part, and so whatever
// has a fault in it, is left to the library: a fuzz target holds the two trees against each other.

// A plainYAML is a text of plain YAML while it is read. Its functions that give a node give nil where the text is not plain.
type plainYAML struct {
	text    string
	at      int // offset of the next character
	line    int // that at is on, from 1
	indent  int // of the line, in spaces; -1 past the last one
	counted int // offset on the line up to which characters are counted
	columns int // how many they are
	depth   int

	open  []*yaml.Node // the contents of the lists and groups that are not read to their ends
	nodes []yaml.Node  // room for the next nodes
	refs  []*yaml.Node // room for the next contents
}

// Limits of what is plain.
const (
	plainDepth = 16  // of lists and groups
	plainKey   = 500 // bytes of a name
)

// readPlain reads a text of plain YAML that is a group or a list. It gives false where the text is not plain. A node has all that the library
// gives it but for its comments and for the kind of a value, which is a text or nothing.
func readPlain(text string) (*yaml.Node, bool) {
	if doubtful(text) {
		return nil, false
	}
	p := &plainYAML{text: text}
	if !p.next() || p.indent != 0 {
		return nil, false
	}
	root := p.block()
	return root, root != nil && p.indent < 0
}

// doubtful says whether a text has tabs, or other characters that end lines or that YAML does not take.
func doubtful(text string) bool {
	for i := 0; i < len(text); i++ {
		c := text[i]
		if c >= ' ' && c < 0x7F || c == '\n' {
			continue
		}
		if c < utf8.RuneSelf {
			return true
		}
		r, n := utf8.DecodeRuneInString(text[i:])
		if r == utf8.RuneError || r < '\u00A0' || r == '\u2028' || r == '\u2029' || r == '\uFEFF' || r > '\uFFFD' && r <= '\uFFFF' {
			return true
		}
		i += n - 1
	}
	return false
}

// next goes to the first character of the next line that has more than a remark. It says false where a remark is none to pass over.
func (p *plainYAML) next() bool {
	for p.at < len(p.text) {
		start := p.at
		for p.at < len(p.text) && p.text[p.at] == ' ' {
			p.at++
		}
		p.line++
		p.indent, p.counted, p.columns = p.at-start, start, 0
		switch {
		case p.at == len(p.text):
		case p.text[p.at] == '\n':
			p.at++
		case p.text[p.at] == '#':
			if !p.remark() {
				return false
			}
		default:
			return true
		}
	}
	p.indent = -1
	return true
}

// remark passes over a remark and the end of its line. One that begins with a digit may be a value cut off, as in Red #40.
func (p *plainYAML) remark() bool {
	if digit(p.text, p.at+1) {
		return false
	}
	end := strings.IndexByte(p.text[p.at:], '\n')
	if end < 0 {
		p.at = len(p.text)
		return true
	}
	p.at += end + 1
	return true
}

// endLine goes from the end of a value to the next line. It says false where more than a remark stands between.
func (p *plainYAML) endLine() bool {
	end := p.at
	p.spaces()
	switch {
	case p.at == len(p.text):
	case p.text[p.at] == '\n':
		p.at++
	case p.text[p.at] != '#' || p.at == end || !p.remark():
		return false
	}
	return p.next()
}

func (p *plainYAML) spaces() {
	for p.is(' ') {
		p.at++
	}
}

// is says whether a character comes next.
func (p *plainYAML) is(c byte) bool { return p.at < len(p.text) && p.text[p.at] == c }

// ends says whether a place is at a space or at the end of a line.
func (p *plainYAML) ends(at int) bool {
	return at >= len(p.text) || p.text[at] == ' ' || p.text[at] == '\n'
}

// dash says whether an item of a list begins here.
func (p *plainYAML) dash() bool { return p.is('-') && p.ends(p.at+1) }

// node makes a node that begins at a place of the line; places are asked for from left to right.
func (p *plainYAML) node(at int, kind yaml.Kind, tag string) *yaml.Node {
	p.columns += utf8.RuneCountInString(p.text[p.counted:at])
	p.counted = at
	if len(p.nodes) == 0 {
		p.nodes = make([]yaml.Node, 32)
	}
	n := &p.nodes[0]
	p.nodes = p.nodes[1:]
	n.Kind, n.Tag, n.Line, n.Column = kind, tag, p.line, p.columns+1
	return n
}

// word makes the node of a text.
func (p *plainYAML) word(at int, style yaml.Style, value string) *yaml.Node {
	n := p.node(at, yaml.ScalarNode, "!!str")
	n.Style, n.Value = style, value
	return n
}

// close gives a node what was gathered for it since there were so many open.
func (p *plainYAML) close(n *yaml.Node, from int) {
	found := p.open[from:]
	if len(found) > len(p.refs) {
		p.refs = make([]*yaml.Node, max(128, len(found)))
	}
	n.Content = p.refs[:copy(p.refs, found):len(found)]
	p.refs = p.refs[len(found):]
	p.open = p.open[:from]
}

// block reads the list or group that begins with this line.
func (p *plainYAML) block() *yaml.Node {
	if p.dash() {
		return p.list(false)
	}
	key := p.key(false)
	if key == nil {
		return nil
	}
	return p.group(key, p.indent)
}

// list reads items that begin with dashes. Below a name they may stand no deeper than it.
func (p *plainYAML) list(level bool) *yaml.Node {
	if p.depth++; p.depth > plainDepth {
		return nil
	}
	n := p.node(p.at, yaml.SequenceNode, "!!seq")
	indent, from := p.indent, len(p.open)
	for p.indent == indent && p.dash() {
		start := p.at
		p.at++
		p.spaces()
		item := p.item(p.at - start)
		if item == nil {
			return nil
		}
		p.open = append(p.open, item)
	}
	if p.indent > indent || p.indent == indent && !level {
		return nil
	}
	p.depth--
	p.close(n, from)
	return n
}

// item reads what stands after a dash: a value, or a group that begins so much further in.
func (p *plainYAML) item(in int) *yaml.Node {
	if p.at == len(p.text) || p.dash() {
		return nil
	}
	at, counted, columns := p.at, p.counted, p.columns
	if key := p.key(false); key != nil {
		return p.group(key, p.indent+in)
	}
	p.at, p.counted, p.columns = at, counted, columns
	return p.value()
}

// group reads names with values that stand so far in; the first name is read already.
func (p *plainYAML) group(key *yaml.Node, indent int) *yaml.Node {
	if p.depth++; p.depth > plainDepth {
		return nil
	}
	n := p.node(p.counted, yaml.MappingNode, "!!map")
	n.Line, n.Column = key.Line, key.Column
	from := len(p.open)
	for {
		value := p.valueOf(indent)
		if value == nil || p.indent > indent {
			return nil
		}
		p.open = append(p.open, key, value)
		if p.indent < indent {
			break
		}
		if key = p.key(false); key == nil {
			return nil
		}
	}
	p.depth--
	p.close(n, from)
	return n
}

// key reads a name and the colon after it, which a space or the end of the line follows.
func (p *plainYAML) key(inside bool) *yaml.Node {
	start := p.at
	n := p.scalar(inside)
	if n == nil || !p.is(':') || !p.ends(p.at+1) || p.at-start > plainKey {
		return nil
	}
	p.at++
	return n
}

// valueOf reads what comes after a name and its colon: a value, or what stands on the lines below, or nothing.
func (p *plainYAML) valueOf(indent int) *yaml.Node {
	colon := p.at
	p.spaces()
	if p.at < len(p.text) && p.text[p.at] != '\n' && p.text[p.at] != '#' {
		return p.value()
	}
	nothing := p.node(colon, yaml.ScalarNode, "!!null")
	p.at = colon
	switch {
	case !p.endLine():
		return nil
	case p.indent > indent:
		return p.block()
	case p.indent == indent && p.dash():
		return p.list(true)
	}
	return nothing
}

// value reads a value that ends with its line.
func (p *plainYAML) value() *yaml.Node {
	n := p.inLine(false)
	if n == nil || !p.endLine() {
		return nil
	}
	return n
}

// inLine reads a value, or a list or group in brackets. Inside brackets a comma ends a value.
func (p *plainYAML) inLine(inside bool) *yaml.Node {
	switch {
	case p.is('['):
		return p.brackets(']', yaml.SequenceNode, "!!seq")
	case p.is('{'):
		return p.brackets('}', yaml.MappingNode, "!!map")
	}
	return p.scalar(inside)
}

// brackets reads a list or group that is closed on its line.
func (p *plainYAML) brackets(closing byte, kind yaml.Kind, tag string) *yaml.Node {
	if p.depth++; p.depth > plainDepth {
		return nil
	}
	n := p.node(p.at, kind, tag)
	n.Style = yaml.FlowStyle
	from := len(p.open)
	p.at++
	for p.spaces(); !p.is(closing); p.spaces() {
		if len(p.open) > from && !p.comma() || !p.entry(n.Kind) {
			return nil
		}
	}
	p.at++
	p.depth--
	p.close(n, from)
	return n
}

func (p *plainYAML) comma() bool {
	if !p.is(',') {
		return false
	}
	p.at++
	p.spaces()
	return true
}

// entry reads one value inside brackets, with its name in a group.
func (p *plainYAML) entry(kind yaml.Kind) bool {
	if kind == yaml.MappingNode {
		key := p.key(true)
		if key == nil {
			return false
		}
		p.open = append(p.open, key)
		p.spaces()
	}
	n := p.inLine(true)
	p.open = append(p.open, n)
	return n != nil
}

// scalar reads a text, in quotes or without. Inside brackets a comma ends one without.
func (p *plainYAML) scalar(inside bool) *yaml.Node {
	switch {
	case p.is('\''):
		return p.singleQuoted()
	case p.is('"'):
		return p.doubleQuoted()
	case p.at == len(p.text) || strings.IndexByte(notPlain, p.text[p.at]) >= 0:
		return nil
	}
	start := p.at
	p.at = p.plainEnd(inside)
	n := p.word(start, 0, p.text[start:p.at])
	switch n.Value {
	case "~", "null", "Null", "NULL":
		n.Tag = "!!null"
	}
	return n
}

// notPlain are the characters with which a text without quotes does not begin, or may be something else.
const notPlain = "-?:,[]{}#&*!|><'\"%@`. \n"

// plainEnd gives the end of a text without quotes, the spaces after it left out.
func (p *plainYAML) plainEnd(inside bool) int {
	i := p.at
scan:
	for ; i < len(p.text); i++ {
		switch p.text[i] {
		case '\n':
			break scan
		case ':':
			if p.ends(i+1) || inside && strings.IndexByte(",[]{}", p.text[i+1]) >= 0 {
				break scan
			}
		case '#':
			if p.text[i-1] == ' ' {
				break scan
			}
		case ',', '[', ']', '{', '}':
			if inside {
				break scan
			}
		}
	}
	return len(strings.TrimRight(p.text[:i], " "))
}

// singleQuoted reads a text in single quotes, in which a quote is written twice.
func (p *plainYAML) singleQuoted() *yaml.Node {
	start := p.at + 1
	for i := start; i < len(p.text) && p.text[i] != '\n'; i++ {
		if p.text[i] != '\'' {
			continue
		}
		if i+1 < len(p.text) && p.text[i+1] == '\'' {
			i++
			continue
		}
		p.at = i + 1
		return p.word(start-1, yaml.SingleQuotedStyle, strings.ReplaceAll(p.text[start:i], "''", "'"))
	}
	return nil
}

// doubleQuoted reads a text in double quotes that has no codes in it.
func (p *plainYAML) doubleQuoted() *yaml.Node {
	start := p.at + 1
	n := strings.IndexAny(p.text[start:], "\"\\\n")
	if n < 0 || p.text[start+n] != '"' {
		return nil
	}
	p.at = start + n + 1
	return p.word(start-1, yaml.DoubleQuotedStyle, p.text[start:start+n])
}
