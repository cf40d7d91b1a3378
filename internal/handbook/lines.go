package handbook

import (
	"errors"
	"slices"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

var (
	phaseFields    = []string{"phase", "heat", "below", "note", "weigh"}
	lineFields     = []string{"amount", "note"}
	additionFields = []string{"amount", "note", "phase"}
)

// phases reads the list of phases.
func (r *recipeDraft) phases(n *yaml.Node) []formula.Phase {
	items := r.list(n)
	if len(items) == 0 {
		return nil
	}
	all := make([]formula.Phase, 0, len(items))
	lines := 0
	for _, item := range items {
		m, ok := r.mapping(item, "a phase", phaseFields)
		if !ok {
			continue
		}
		name, ok := r.text(m.need("phase", "a phase", "name it: phase: Water"))
		p := formula.Phase{Name: name, Note: m.words("note"), At: r.span(item)}
		if ok {
			p.At = r.span(m.get("phase"))
		}
		p.Heat = optional(r.document, m.get("heat"), quantity.ParseTemperature)
		p.Below = optional(r.document, m.get("below"), quantity.ParseTemperature)
		if weigh := m.need("weigh", "a phase", "list the ingredients under weigh:, each with its amount"); weigh != nil {
			p.Lines = r.lines(weigh)
		}
		lines += len(p.Lines)
		all = append(all, p)
	}
	if lines > maxLines {
		r.problems.Addf(r.keySpan("formula"), "make recipes of their own of some phases", "a formula can have %d ingredients, and this one has %d", maxLines, lines)
	}
	return all
}

// maxLines bounds a formula; the longest that one can weigh out is far shorter.
const maxLines = 200

// lines reads ingredients with their amounts. Two names of one material in a phase are one ingredient twice.
func (r *recipeDraft) lines(n *yaml.Node) []formula.Line {
	m, ok := r.mapping(n, "weigh:", nil)
	if !ok {
		return nil
	}
	all := make([]formula.Line, 0, len(m.fields))
	read := make([]field, 0, len(m.fields)) // of each line
	for _, f := range m.fields {
		l, ok := r.line(f)
		if !ok {
			continue
		}
		for i := len(all) - 1; i >= 0 && l.Material != ""; i-- {
			if other := read[i]; all[i].Material == l.Material {
				r.problems.Add(&problem.Problem{
					Span: r.span(f.key), Message: "“" + f.name + "” and “" + other.name + "” are the same ingredient", Hint: "make one line of the two",
					Notes: []problem.Note{{Span: r.span(other.key), Message: "the first one is here"}},
				})
				break
			}
		}
		all, read = append(all, l), append(read, f)
	}
	if len(n.Content) == 0 {
		r.problems.Addf(r.span(n), "list the ingredients under weigh:, each with its amount", "the phase has no ingredients")
	}
	return all
}

// line reads one ingredient: name: amount, or name: {amount: …, note: …}.
func (r *recipeDraft) line(f field) (formula.Line, bool) {
	a, ok := r.addition(f, lineFields)
	return a.Line, ok
}

// addition reads one ingredient as line does; known names what may stand beside its amount.
func (r *recipeDraft) addition(f field, known []string) (formula.Addition, bool) {
	a := formula.Addition{Line: formula.Line{Ingredient: r.ingredient(f.name), At: r.span(f.value)}}
	value := f.value
	if value.Kind == yaml.MappingNode {
		m, ok := r.mapping(value, f.name, known)
		if !ok {
			return a, false
		}
		a.Note, a.Phase = m.words("note"), m.words("phase")
		if value = m.need("amount", f.name, "write it as {amount: 3 %, note: …}"); value == nil {
			return a, false
		}
		a.At = r.span(value)
	}
	var ok bool
	a.Amount, ok = read(r.document, value, quantity.ParseAmount)
	if a.Amount.NeedsDensity() && !a.Density.Known() {
		r.doubt = r.doubt || r.h.doubtful[a.Material]
	}
	return a, ok
}

// ingredient finds what is known of a name.
func (r *recipeDraft) ingredient(name string) formula.Ingredient {
	i := formula.Ingredient{Name: name}
	if m := r.find(name); m != nil {
		i.Material, i.Density, i.Fixed = m.ID, m.Density.Value, m.Fixed()
	}
	return i
}

// find gives the material of a name, or nil. It notes that the page depends on what the name means, and on what other names there are
// where it means nothing.
func (r *recipeDraft) find(name string) *material.Material {
	m := r.h.Materials.Find(name)
	if !slices.Contains(r.asked.materials, name) {
		r.asked.materials = append(r.asked.materials, name)
	}
	r.asked.everyName = r.asked.everyName || m == nil
	return m
}

// variants reads the versions that are written as changes.
func (r *recipeDraft) variants() []formula.Variant {
	var all []formula.Variant
	for _, n := range r.list(r.m.get("variants")) {
		before := r.problems.Len()
		m, ok := r.mapping(n, "a variant", []string{"name", "note", "change", "add"})
		if !ok {
			continue
		}
		v := formula.Variant{Note: m.words("note"), Adds: r.additions(m.get("add"), true), At: r.span(n)}
		v.Name = r.versionName(m, "a variant")
		if n := m.get("change"); n != nil {
			v.Changes = r.changes(n)
		}
		if r.problems.Len() > before {
			continue // and is not solved
		}
		if len(v.Changes) == 0 && len(v.Adds) == 0 {
			r.problems.Addf(r.span(n), "say what is different under change: or add:", "the variant changes nothing")
		}
		all = append(all, v)
	}
	return all
}

// versionName reads a version's name, which no other version of the recipe may have.
func (r *recipeDraft) versionName(m *mapping, what string) string {
	name, ok := r.text(m.need("name", what, "give it a name, such as name: Night version"))
	if !ok {
		return ""
	}
	at := r.span(m.get("name"))
	if material.Key(name) == string(formula.Base) {
		r.problems.Addf(at, "give it another name", "the formula itself is called base, so no other version can be")
	}
	if r.names == nil {
		r.names = make(map[string]problem.Span)
	}
	if first, taken := r.names[material.Key(name)]; taken {
		r.problems.Add(&problem.Problem{
			Span: at, Message: "two versions are named “" + name + "”", Hint: "give each a name of its own",
			Notes: []problem.Note{{Span: first, Message: "the first one is here"}},
		})
	}
	r.names[material.Key(name)] = at
	if len(r.names) == maxVersions {
		r.problems.Addf(at, "make recipes of their own of some", "a page can show %d versions with the base, and here are more", maxVersions)
	}
	return name
}

// changes reads what a variant changes.
func (r *recipeDraft) changes(n *yaml.Node) []formula.Change {
	m, ok := r.mapping(n, "change:", nil)
	if !ok {
		return nil
	}
	var all []formula.Change
	for _, f := range m.fields {
		s, ok := r.text(f.value)
		if !ok {
			continue
		}
		c := formula.Change{Target: f.name, At: r.span(f.key), ValueAt: r.span(f.value)}
		if name, found := cutWord(s, "becomes"); found {
			if name == "" {
				r.problems.Addf(r.span(f.value), "write it as becomes Cocoa butter", "what it becomes is missing")
				continue
			}
			i := r.ingredient(name)
			r.doubt = r.doubt || r.h.doubtful[i.Material] && !i.Density.Known()
			c.Becomes = &i
		} else if strings.EqualFold(s, "out") {
			c.Out = true
		} else if a, ok := read(r.document, f.value, parseChange); ok {
			c.Amount = &a
		} else {
			continue
		}
		all = append(all, c)
	}
	return all
}

// parseChange reads the amount that an ingredient is changed to. What is no amount at all is told what else can stand there.
func parseChange(s string) (quantity.Amount, error) {
	a, err := quantity.ParseAmount(s)
	if syntax, ok := errors.AsType[*quantity.SyntaxError](err); ok && !strings.ContainsFunc(s, unicode.IsNumber) {
		syntax.Hint = "write an amount (3 %), out, or becomes with an ingredient's name"
	}
	return a, err
}

// cutWord takes a word off the front.
func cutWord(s, word string) (rest string, found bool) {
	first, rest, _ := strings.Cut(s, " ") // spaces are tidied
	return rest, strings.EqualFold(first, word)
}

// additions reads what a version adds; phases says whether a line may name one.
func (r *recipeDraft) additions(n *yaml.Node, phases bool) []formula.Addition {
	if n == nil {
		return nil
	}
	m, ok := r.mapping(n, "add:", nil)
	if !ok {
		return nil
	}
	known := lineFields
	if phases {
		known = additionFields
	}
	all := make([]formula.Addition, 0, len(m.fields))
	for _, f := range m.fields {
		if a, ok := r.addition(f, known); ok {
			all = append(all, a)
		}
	}
	return all
}

// splits reads the parts that a batch is divided into: all of them, or none where one has a problem.
func (r *recipeDraft) splits() []formula.Split {
	before := r.problems.Len()
	var all []formula.Split
	for _, n := range r.list(r.m.get("splits")) {
		m, ok := r.mapping(n, "a split", []string{"name", "share", "note", "add"})
		if !ok {
			continue
		}
		s := formula.Split{Note: m.words("note"), Adds: r.additions(m.get("add"), false), At: r.span(n)}
		s.Name = r.versionName(m, "a split")
		share, ok := read(r.document, m.need("share", "a split", "write it as share: 1/2"), parseShare)
		s.Share = share
		if ok {
			s.At = r.span(m.get("share"))
			all = append(all, s)
		}
	}
	if r.problems.Len() > before {
		return nil // since the shares are of one whole
	}
	return all
}

// parseShare reads a share of the whole: 1/2 or 50 %.
func parseShare(s string) (quantity.Number, error) {
	n, err := quantity.ParsePercent(s)
	if err == nil {
		n = n.Quo(quantity.Int(100))
	} else if n, err = quantity.ParseNumber(s); err != nil {
		return n, err
	}
	if n.Sign() <= 0 || n.Cmp(quantity.Int(1)) > 0 {
		return n, &quantity.SyntaxError{Length: len(s), Message: "a share lies above 0 and is at most the whole", Hint: "write it as 1/2 or 50 %"}
	}
	return n, nil
}
