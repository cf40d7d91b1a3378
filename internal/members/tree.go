package members

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"
)

// listRemark stands above a new list.
const listRemark = `# Who can open the members' pages, with what lets each of them in. Written by “stillroom members”, which keeps your remarks.
# It is never published. It has no access codes: those are told once, when they are made.
# door-key: counts the keys. Every removal makes a new one, and this list goes with that door.key alone: keep copies of both together.`

// A tree is the text of a list with its remarks, which stay when members come and go.
type tree struct {
	root *yaml.Node // the document; nil for a text of remarks alone
	list *yaml.Node // the value of members:, nil if it has none yet
	text string
}

func newTree(text string) *tree { return &tree{text: text} }

// add puts a member at the list's end.
func (t *tree) add(m Member) error {
	key, err := m.Key.MarshalText()
	if err != nil {
		return err
	}
	t.ensure()
	t.list.Style &^= yaml.FlowStyle
	row := &yaml.Node{Kind: yaml.MappingNode, Style: yaml.FlowStyle}
	row.Content = []*yaml.Node{
		word("name"), word(m.Name),
		word("since"),
		{Kind: yaml.ScalarNode, Tag: "!!timestamp", Value: m.Since.Format(time.DateOnly)},
		word("key"), word(string(key)),
	}
	t.list.Content = append(t.list.Content, row)
	return nil
}

func word(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s} }

// ensure makes what is missing of the list around its members.
func (t *tree) ensure() {
	if t.list != nil {
		return
	}
	if t.root == nil {
		remark := strings.TrimSpace(t.text)
		if remark == "" {
			remark = listRemark
		}
		t.root = &yaml.Node{Kind: yaml.DocumentNode, HeadComment: remark, Content: []*yaml.Node{{Kind: yaml.MappingNode}}}
	}
	t.list = &yaml.Node{Kind: yaml.SequenceNode}
	top := t.root.Content[0]
	if len(top.Content) == 0 {
		top.Style &^= yaml.FlowStyle
	}
	if i := t.field("members"); i >= 0 {
		top.Content[i] = t.list // it was null
		return
	}
	top.Content = append(top.Content, word("members"), t.list)
}

// field gives the place of a field's value among the nodes of the list's text, or -1.
func (t *tree) field(name string) int {
	top := t.root.Content[0]
	for i := 1; i < len(top.Content); i += 2 {
		if strings.TrimSpace(top.Content[i-1].Value) == name {
			return i
		}
	}
	return -1
}

// setEpoch says which of the door's keys the list goes with, in the first line if it did not say so yet.
func (t *tree) setEpoch(n uint32) {
	t.ensure()
	value := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!int", Value: strconv.FormatUint(uint64(n), 10)}
	top := t.root.Content[0]
	if i := t.field(epochField); i >= 0 {
		value.LineComment = top.Content[i].LineComment
		top.Content[i] = value
		return
	}
	key, first := word(epochField), top.Content[0]
	key.HeadComment, first.HeadComment = first.HeadComment, ""
	top.Content = slices.Insert(top.Content, 0, key, value)
}

// remove takes out the member at a place. Remarks on lines of their own stay where they are.
func (t *tree) remove(i int) {
	gone := t.list.Content[i]
	t.list.Content = slices.Delete(t.list.Content, i, i+1)
	rest := t.list.Content
	switch {
	case i < len(rest):
		rest[i].HeadComment = joinRemarks(gone.HeadComment, gone.FootComment, rest[i].HeadComment)
	case len(rest) > 0:
		last := rest[len(rest)-1]
		last.FootComment = joinRemarks(last.FootComment, gone.HeadComment, gone.FootComment)
	default:
		t.root.FootComment = joinRemarks(gone.HeadComment, gone.FootComment, t.root.FootComment)
	}
}

func joinRemarks(all ...string) string {
	return strings.Join(slices.DeleteFunc(all, func(s string) bool { return s == "" }), "\n")
}

// write gives the list's text.
func (t *tree) write() ([]byte, error) {
	t.ensure()
	var b bytes.Buffer
	d, err := yaml.NewDumper(&b, yaml.WithV4Defaults(), yaml.WithIndent(2), yaml.WithCompactSeqIndent(false), yaml.WithLineWidth(-1), yaml.WithUnicode(true))
	if err != nil {
		return nil, err
	}
	if err := d.Dump(t.root); err != nil {
		return nil, err
	}
	err = d.Close()
	return b.Bytes(), err
}
