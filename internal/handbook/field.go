package handbook

import (
	"errors"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// A mapping is a group of named values, checked for names that are unknown or stand twice.
type mapping struct {
	*document
	node   *yaml.Node
	fields []field
	slips  map[string]bool // known names that an unknown one was most likely meant for; nil where there are none
}

// A field is one named value.
type field struct {
	name, folded string // folded as material.Key gives it
	key, value   *yaml.Node
}

// mapping reads a node as a group of named values whose names are among those known; nil known allows any name.
// It adds the problems it finds and gives false where the node is no group at all.
func (d *document) mapping(n *yaml.Node, what string, known []string) (*mapping, bool) {
	switch {
	case n != nil && (!d.plain(n) || !d.present(n)):
		return nil, false
	case n == nil || n.Kind != yaml.MappingNode:
		at, hint := d.whole(), "write it as name: value lines"
		if n != nil {
			at = d.span(n)
		}
		if n != nil && n.Kind == yaml.SequenceNode {
			hint += " without dashes or brackets"
		}
		if known != nil {
			hint += "; the names are " + strings.Join(known, ", ")
		}
		d.problems.Addf(at, hint, "%s should be a group of names with values", what)
		return nil, false
	}
	m := &mapping{document: d, node: n, fields: make([]field, 0, len(n.Content)/2)}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if m.cutNumber(i) {
			i += 2 // both pieces are told of
			continue
		}
		m.take(n.Content[i], n.Content[i+1], what, known)
	}
	return m, true
}

// cutNumber tells of a figure in curly brackets that its decimal comma has cut in two: {weighed: 1,29 g}.
func (m *mapping) cutNumber(i int) bool {
	c := m.node.Content
	if m.node.Style&yaml.FlowStyle == 0 || i+3 >= len(c) || c[i+1].Kind != yaml.ScalarNode || c[i+2].Kind != yaml.ScalarNode || c[i+3].Tag != "!!null" || c[i+3].Value != "" {
		return false
	}
	whole, rest := m.span(c[i+1]), m.span(c[i+2])
	if whole.End+1 != rest.Start || !digit(whole.Source.Text, whole.End-1) || !digit(whole.Source.Text, rest.Start) {
		return false
	}
	whole.End = rest.End
	m.slip(spell.Tidy(c[i].Value))
	m.problems.Addf(whole, "put quotes around it: \""+whole.Text()+"\"", "inside curly brackets a comma parts two values, and this is one")
	return true
}

// slip notes a name that is not missing, though it has no value.
func (m *mapping) slip(name string) {
	if m.slips == nil {
		m.slips = make(map[string]bool)
	}
	m.slips[name] = true
}

// digit says whether there is one at a place of a text.
func digit(text string, i int) bool {
	return i >= 0 && i < len(text) && '0' <= text[i] && text[i] <= '9'
}

// take adds one field, unless its name cannot be used.
func (m *mapping) take(key, value *yaml.Node, what string, known []string) {
	name := spell.Tidy(key.Value)
	switch {
	case key.Tag == "!!merge" || key.Kind != yaml.ScalarNode && key.Kind != yaml.AliasNode || key.Tag == "!!null" || name == "":
		m.problems.Addf(m.span(key), "write it as name: value", "this is no name")
		return
	case !m.plain(key) || !m.legible(key, maxName):
		return
	case m.node.Style&yaml.FlowStyle != 0 && value.Tag == "!!null" && (known == nil || !slices.Contains(known, name)):
		m.problems.Addf(m.span(key), "inside curly brackets a comma parts two values: put quotes around a name or text that has one", "“%s” has no value", name)
		return
	case known != nil && !slices.Contains(known, name):
		m.slip(spell.Nearest(name, known))
		m.problems.Addf(m.span(key), spell.DidYouMean(name, known, "it can have: "+strings.Join(known, ", ")), "%s has no “%s”", what, name)
		return
	}
	if m.blanks && blank(value) {
		m.slip(name)
		m.problems.Addf(m.span(value), "write it in the place of the …, or put # in front of the line until it is known", "%s is not filled in yet", name)
		return
	}
	folded := material.Key(name)
	if first := m.field(folded); first != nil {
		m.problems.Add(&problem.Problem{
			Span: m.span(key), Message: "“" + name + "” stands here a second time", Hint: "keep one of the two",
			Notes: []problem.Note{{Span: m.span(first.key), Message: "the first one is here"}},
		})
		return
	}
	m.fields = append(m.fields, field{name, folded, key, value})
}

// field finds the field of a name in its folded form; nil where there is none. No group has so many that a look at each takes long.
func (m *mapping) field(folded string) *field {
	for i := range m.fields {
		if m.fields[i].folded == folded {
			return &m.fields[i]
		}
	}
	return nil
}

// blank says whether a value is the … of a form, with or without a unit.
func blank(value *yaml.Node) bool {
	rest, is := strings.CutPrefix(strings.TrimSpace(value.Value), "…")
	return is && value.Kind == yaml.ScalarNode && len(strings.Fields(rest)) <= 1
}

// get gives the value of a name, or nil.
func (m *mapping) get(name string) *yaml.Node {
	if f := m.field(name); f != nil {
		return f.value
	}
	return nil
}

// need gives the value of a name and adds a problem where it is missing, unless a slip of its name is told already.
func (m *mapping) need(name, what, hint string) *yaml.Node {
	n := m.get(name)
	if n == nil && !m.slips[name] {
		m.problems.Addf(m.char(m.span(m.node).Start), hint, "%s has no %s:", what, name)
	}
	return n
}

// text reads a node as words on one line. It adds a problem and gives false where there are none.
func (d *document) text(n *yaml.Node) (string, bool) {
	switch {
	case n == nil || !d.plain(n):
		return "", false
	case n.Kind != yaml.ScalarNode:
		d.problems.Addf(d.span(n), "write a single value", "a single value should stand here, not a list or a group")
		return "", false
	case !d.present(n) || !d.legible(n, maxValue) || !d.wholeLine(n):
		return "", false
	}
	return spell.Tidy(n.Value), true
}

// plain refuses what YAML can do beside values: references to other places, and tags.
func (d *document) plain(n *yaml.Node) bool {
	switch {
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		d.problems.Addf(d.span(n), "write the value out; put quotes around one that begins with & or *", "references (& and *) are not used in a handbook")
		return false
	case n.Style&yaml.TaggedStyle != 0 || n.Tag == "!":
		d.problems.Addf(d.span(n), "put quotes around a value that begins with !", "tags (!) are not used in a handbook")
		return false
	}
	return true
}

// present refuses a value that is not there.
func (d *document) present(n *yaml.Node) bool {
	if n.Kind != yaml.ScalarNode || n.Tag != "!!null" && strings.TrimSpace(n.Value) != "" {
		return true
	}
	d.problems.Addf(d.span(n), "give it a value, or take the line out", "the value is missing")
	return false
}

// wholeLine refuses a number sign that would cut a value off, as in Red #40.
func (d *document) wholeLine(n *yaml.Node) bool {
	if len(n.LineComment) < 2 || n.LineComment[1] < '0' || n.LineComment[1] > '9' || quoteOf(n) != "" {
		return true
	}
	d.problems.Addf(d.span(n), "put quotes around the value; a remark has a space after its #", "“%s” would be passed over as a remark", n.LineComment)
	return false
}

// words reads the text of a name, or "" where the name is missing.
func (m *mapping) words(name string) string {
	s, _ := m.text(m.get(name))
	return s
}

// list reads a node as a list; a single value stands for a list of one.
func (d *document) list(n *yaml.Node) []*yaml.Node {
	switch {
	case n == nil:
		return nil
	case n.Kind == yaml.SequenceNode:
		if !d.plain(n) {
			return nil
		}
		return n.Content
	}
	return []*yaml.Node{n}
}

// texts reads a node as a list of words.
func (d *document) texts(n *yaml.Node) []string {
	items := d.list(n)
	if len(items) == 0 {
		return nil
	}
	all := make([]string, 0, len(items))
	for _, item := range items {
		if s, ok := d.text(item); ok {
			all = append(all, s)
		}
	}
	return all
}

// oneOf reads a node as one of some known words.
func (d *document) oneOf(n *yaml.Node, what string, known []string) (string, bool) {
	s, ok := d.text(n)
	if !ok {
		return "", false
	}
	if i := slices.IndexFunc(known, func(k string) bool { return strings.EqualFold(k, s) }); i >= 0 {
		return known[i], true
	}
	d.problems.Addf(d.span(n), spell.DidYouMean(s, known, "it can be: "+strings.Join(known, ", ")), "“%s” is no %s", s, what)
	return "", false
}

// read reads a node by one of the parsers of package quantity; its errors are placed inside the value.
func read[T any](d *document, n *yaml.Node, parse func(string) (T, error)) (T, bool) {
	var zero T
	if _, ok := d.text(n); !ok {
		return zero, false
	}
	v, err := parse(n.Value)
	if err == nil {
		return v, true
	}
	d.refuse(n, err)
	return zero, false
}

// refuse adds the problem that a parser found in a node's value.
func (d *document) refuse(n *yaml.Node, err error) {
	var syntax *quantity.SyntaxError
	if errors.As(err, &syntax) {
		d.problems.Addf(d.inner(n, syntax.Offset, syntax.Length), syntax.Hint, "%s", syntax.Message)
		return
	}
	d.problems.Addf(d.span(n), "see how the other pages write it", "%v", err)
}

// optional reads a node that may be missing, as a pointer.
func optional[T any](d *document, n *yaml.Node, parse func(string) (T, error)) *T {
	if n == nil {
		return nil
	}
	if v, ok := read(d, n, parse); ok {
		return &v
	}
	return nil
}
