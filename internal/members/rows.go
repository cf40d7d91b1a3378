package members

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/seal"
	"larkrow.example/stillroom/internal/spell"
)

// A rows is the members as they stand in a list's text.
type rows struct {
	tree     *tree
	members  []Member
	epoch    uint32         // of the door that the list goes with; 0 where it does not say
	epochAt  *yaml.Node     // where it says so
	nodes    []*yaml.Node   // each member's row
	first    map[string]int // place in members, by name and by key
	source   *problem.Source
	lines    []int // where each line begins
	problems *problem.List
}

const rowHint = "write a member as {name: Wren Hollis, since: 2026-05-03, key: …}, on one line; “stillroom members add NAME” makes the key"

// readRows reads the list's text.
func readRows(src *problem.Source, problems *problem.List) *rows {
	r := &rows{tree: newTree(src.Text), source: src, lines: lineStarts(src.Text), first: map[string]int{}, problems: problems}
	if isBlank(src.Text) {
		return r
	}
	var doc yaml.Node
	if err := yaml.Load([]byte(src.Text), &doc); err != nil {
		r.fault(err)
		return r
	}
	r.tree.root = &doc
	r.readList()
	return r
}

// offset turns a 1-based line and column, in characters, into a byte offset.
func (r *rows) offset(line, column int) int {
	text, at := r.source.Text, r.lines[min(max(line, 1), len(r.lines))-1]
	for ; column > 1 && at < len(text) && text[at] != '\n'; column-- {
		_, n := utf8.DecodeRuneInString(text[at:])
		at += n
	}
	return at
}

// lineStarts gives where YAML sees lines begin: after \n, and after the line ends of Unicode.
func lineStarts(text string) []int {
	lines := []int{0}
	for i, r := range text {
		if strings.ContainsRune("\n\u0085\u2028\u2029", r) {
			lines = append(lines, i+utf8.RuneLen(r))
		}
	}
	return lines
}

// isBlank says whether a text has nothing but remarks.
func isBlank(text string) bool {
	for line := range strings.Lines(text) {
		if !isRemark(line) {
			return false
		}
	}
	return true
}

// fault tells of a text that is no YAML.
func (r *rows) fault(err error) {
	at := problem.Span{Source: r.source}
	message := err.Error()
	if load, ok := errors.AsType[*yaml.LoadError](err); ok {
		at.Start, message = r.offset(load.Mark.Line, load.Mark.Column), load.Message
		at.End = at.Start
	}
	r.problems.Addf(at, "check the indentation, the brackets and the quotes around here; "+rowHint, "this is not readable (%s)", message)
}

// span gives where a node stands.
func (r *rows) span(n *yaml.Node) problem.Span {
	start := r.offset(n.Line, n.Column)
	line, _, _ := strings.Cut(r.source.Text[start:], "\n")
	s := problem.Span{Source: r.source, Start: start, End: start + len(line)}
	if n.Kind == yaml.ScalarNode && strings.HasPrefix(line, n.Value) {
		s.End = start + len(n.Value)
	}
	return s
}

// readList reads members: and everything in it.
func (r *rows) readList() {
	top := r.tree.root.Content[0]
	fields := r.fields(top, ListFile, "begin it with a line members:", "members", epochField)
	if r.epochAt = fields[epochField]; r.epochAt != nil {
		r.readEpoch()
	}
	list := fields["members"]
	switch {
	case list == nil || isNull(list):
	case list.Kind != yaml.SequenceNode || !r.plain(list):
		r.problems.Addf(r.span(list), "begin each member's line with “- ”; "+rowHint, "members: should be a list")
	default:
		r.tree.list = list
		before := r.problems.Len()
		for _, n := range list.Content {
			if r.problems.Len()-before < enough {
				r.member(n)
			}
		}
	}
}

// epochField names the field of a list that says which of the door's keys it goes with.
const epochField = "door-key"

// mostEpoch bounds that field: nobody removes members so often.
const mostEpoch = 1_000_000

// readEpoch reads which of the door's keys the list goes with.
func (r *rows) readEpoch() {
	if !r.scalar(r.epochAt) {
		return
	}
	n, err := strconv.ParseUint(r.epochAt.Value, 10, 32)
	if err != nil || n < 1 || n > mostEpoch {
		r.problems.Addf(r.span(r.epochAt), "put the line back from a copy; or delete it, and “stillroom members” writes it anew",
			"%s: should be a whole number from 1 to %d", epochField, mostEpoch)
	}
	r.epoch = uint32(n)
}

// age gives what is wrong where the list goes with an older or newer key than the door's.
func (r *rows) age(door seal.Door) *problem.Problem {
	const renew = "stillroom members renew, which makes a newer key and leaves the access codes as they are"
	switch {
	case r.epoch == 0 || r.epoch == door.Epoch():
		return nil
	case door.Epoch() < r.epoch:
		return &problem.Problem{
			Span:    r.span(r.epochAt),
			Message: fmt.Sprintf("%s is older than %s says (key %d, not %d): someone who was removed could open what you publish", KeyFile, ListFile, door.Epoch(), r.epoch),
			Hint:    "bring back the newest copy of " + KeyFile + "; if it is lost: " + renew,
		}
	}
	return &problem.Problem{
		Span:    r.span(r.epochAt),
		Message: fmt.Sprintf("%s is newer than %s says (key %d, not %d): someone who was removed may stand in the list again", KeyFile, ListFile, door.Epoch(), r.epoch),
		Hint: "bring back the newest copy of " + ListFile + "; if it is lost, or a removal was cut off half-way: " + renew +
			"; then look through the list, and remove again whoever is not to be in it",
	}
}

// enough is after how many problems no more members are looked at: the file is another one, or was damaged as a whole.
const enough = 100

// fields reads a group of named values, none but those known.
func (r *rows) fields(n *yaml.Node, what, hint string, known ...string) map[string]*yaml.Node {
	if n.Kind != yaml.MappingNode || !r.plain(n) {
		r.problems.Addf(r.span(n), hint, "%s should be a group of names with values", what)
		return nil
	}
	found := make(map[string]*yaml.Node, len(known))
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		name := strings.TrimSpace(key.Value)
		switch {
		case key.Kind != yaml.ScalarNode || !slices.Contains(known, name):
			r.problems.Addf(r.span(key), spell.DidYouMean(name, known, "it can have: "+strings.Join(known, ", ")), "%s has no “%s”", what, name)
		case found[name] != nil:
			r.problems.Addf(r.span(key), "keep one of the two", "“%s” stands here a second time", name)
		default:
			found[name] = value
		}
	}
	return found
}

// plain refuses what YAML can do beside values.
func (r *rows) plain(n *yaml.Node) bool {
	return n.Kind != yaml.AliasNode && n.Anchor == "" && n.Style&yaml.TaggedStyle == 0
}

func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// member reads one member.
func (r *rows) member(n *yaml.Node) {
	before := r.problems.Len()
	f := r.fields(n, "a member", rowHint, "name", "since", "key")
	if f == nil {
		return
	}
	m := Member{}
	m.Name = r.name(n, f["name"])
	if since := f["since"]; since != nil && r.scalar(since) {
		day, err := time.Parse(time.DateOnly, since.Value)
		if err != nil {
			r.problems.Addf(r.span(since), "write it as 2026-05-03: year, month, day", "this is no day")
		}
		m.Since = day
	}
	switch key := f["key"]; {
	case key == nil:
		r.problems.Addf(r.span(n), "remove the line and add the member with “stillroom members add NAME”, which makes a key", "a member has no key:")
	case r.scalar(key):
		if err := m.Key.UnmarshalText([]byte(key.Value)); err != nil {
			r.problems.Addf(r.span(key), "put the line back from a copy; or delete it and add the member again, with a new access code", "%v", err)
		}
	}
	if r.problems.Len() == before {
		r.add(n, m)
	}
}

func (r *rows) name(row, n *yaml.Node) string {
	if n == nil {
		r.problems.Addf(r.span(row), rowHint, "a member has no name:")
		return ""
	}
	if !r.scalar(n) {
		return ""
	}
	name, err := ParseName(n.Value)
	if err != nil {
		r.problems.Addf(r.span(n), "write the name as it is spoken, in quotes if it has a comma or colon", "%v", err)
	}
	return name
}

// scalar refuses anything but a single value.
func (r *rows) scalar(n *yaml.Node) bool {
	if n.Kind == yaml.ScalarNode && r.plain(n) && !isNull(n) {
		return true
	}
	r.problems.Addf(r.span(n), "write one value, in quotes if it begins with a sign", "a single value should stand here")
	return false
}

// add takes a member, unless it stands in the list already.
func (r *rows) add(n *yaml.Node, m Member) {
	name, key := "name "+Key(m.Name), "key "+m.Key.Locator()
	i, twice := r.first[name]
	what := "“" + m.Name + "” is a member already"
	if !twice {
		i, twice = r.first[key]
		what = "this is the key of another member"
	}
	if twice {
		r.problems.Add(&problem.Problem{
			Span: r.span(n), Message: what, Hint: "keep one of the two; two people of one name need something to tell them apart, such as Wren Hollis (Oban)",
			Notes: []problem.Note{{Span: r.span(r.nodes[i]), Message: "the first one is here"}},
		})
		return
	}
	r.first[name], r.first[key] = len(r.members), len(r.members)
	r.members, r.nodes = append(r.members, m), append(r.nodes, n)
}

// match sees that the keys belong to the door.
func (r *rows) match(door seal.Door, problems *problem.List) {
	if len(r.members) > Most {
		problems.Addf(r.span(r.nodes[Most]), "remove some, or guard the members' pages in another way", "there are %d members, and a handbook can have %d", len(r.members), Most)
		return
	}
	keys := make([]seal.Member, len(r.members))
	for i, m := range r.members {
		keys[i] = m.Key
	}
	if _, err := door.Ring(keys); err == nil {
		return
	}
	for i, m := range r.members {
		if _, err := door.Ring([]seal.Member{m.Key}); err != nil {
			problems.Addf(r.span(r.nodes[i]), "put the line or "+KeyFile+" back from a copy; or delete the line and add the member again, with a new access code",
				"the key of “%s” does not belong to this door", m.Name)
		}
	}
}
