package handbook

import (
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// lines reads the ingredients of a batch record.
func (r *recordDraft) lines(n *yaml.Node) {
	if n == nil {
		if r.closed() {
			r.problems.Addf(r.char(r.span(r.m.node).Start), "list the formula's ingredients under weighed:, each with its weight", "the record has no weighed:")
		}
		return
	}
	m, ok := r.mapping(n, "weighed:", nil)
	if !ok {
		return
	}
	first := make(map[int]problem.Span)
	for _, f := range m.fields {
		l, ok := r.line(f)
		if !ok {
			continue
		}
		if at, twice := first[l.Item]; twice && l.Item >= 0 {
			r.problems.Add(&problem.Problem{
				Span: l.At, Message: "“" + l.Name + "” is weighed a second time", Hint: "make one line of the two",
				Notes: []problem.Note{{Span: at, Message: "the first one is here"}},
			})
			continue
		}
		first[l.Item] = l.At
		r.record.Lines = append(r.record.Lines, l)
	}
}

// line reads one ingredient: name: {target, weighed, lot, note}.
func (r *recordDraft) line(f field) (RecordLine, bool) {
	l := RecordLine{Name: f.name, Item: -1, At: r.span(f.key), ValueAt: r.span(f.value)}
	m, ok := r.mapping(f.value, f.name, []string{"target", "weighed", "lot", "note"})
	if !ok || !r.ingredient(&l) {
		return l, false
	}
	if n := m.get("target"); n != nil {
		l.Target, l.ValueAt = optional(r.document, n, parseReading), r.span(n)
	}
	l.Weighed, l.Note = optional(r.document, m.get("weighed"), parseReading), m.words("note")
	if m.get("weighed") == nil && !m.slips["weighed"] && r.closed() {
		r.problems.Addf(l.At, "write what was weighed: {target: …, weighed: 7.52 g, lot: G-204}", "what came of the batch is told, and not what was weighed of %s", f.name)
	}
	if n := m.get("lot"); n != nil {
		r.lots(&l, n)
	}
	return l, true
}

// parseReading reads what a scale reads, which may be 0 g.
func parseReading(s string) (quantity.Mass, error) {
	if strings.Join(strings.Fields(s), " ") == "0 g" {
		return quantity.Mass{}, nil
	}
	return quantity.ParseMass(s)
}

// ingredient finds what a line weighs: an item of the version, or else a material of the handbook.
func (r *recordDraft) ingredient(l *RecordLine) bool {
	if v := r.record.Version; v != nil {
		found := v.FindWeighed(l.Name, r.materialID)
		switch len(found) {
		case 0:
		case 1:
			l.Item = found[0]
			if item := v.Items[found[0]]; item.Material != "" {
				l.Material = r.find(item.Name)
			}
			return true
		default:
			phase := v.Phases[v.Items[found[0]].Phase].Name
			r.problems.Addf(l.At, "say which, as in “"+l.Name+" in "+phase+"”", "“%s” stands in more than one phase", l.Name)
			return false
		}
	}
	if l.Material = r.find(l.Name); l.Material != nil || r.record.Version == nil {
		return true
	}
	if r.h.doubtful[""] {
		r.asked.doubt = true
		return true
	}
	r.problems.Addf(l.At, spell.DidYouMean(l.Name, ingredientNames(r.record.Version), "name an ingredient of the recipe, or one that has a page"),
		"neither the recipe nor the handbook has “%s”", l.Name)
	return false
}

func ingredientNames(v *formula.Version) []string {
	names := make([]string, len(v.Items))
	for i, item := range v.Items {
		names[i] = item.Name
	}
	return names
}

// materialID gives the id of a name's material, or "".
func (r *recordDraft) materialID(name string) string {
	if m := r.find(name); m != nil {
		return m.ID
	}
	return ""
}

// find gives the material of a name, or nil, and notes that the record depends on it.
func (r *recordDraft) find(name string) *material.Material {
	m := r.h.Materials.Find(name)
	if !slices.Contains(r.asked.materials, name) {
		r.asked.materials = append(r.asked.materials, name)
	}
	r.asked.everyName = r.asked.everyName || m == nil
	return m
}

// lots reads the lots that a line was weighed from: one, several, or several with what came from each.
func (r *recordDraft) lots(l *RecordLine, n *yaml.Node) {
	if n.Kind == yaml.MappingNode {
		r.lotShares(l, n)
		return
	}
	for _, item := range r.list(n) {
		if code, ok := r.text(item); ok {
			r.lot(l, LotUse{Code: code, At: r.span(item)})
		}
	}
}

// lotShares reads lots with what came from each, which makes what was weighed.
func (r *recordDraft) lotShares(l *RecordLine, n *yaml.Node) {
	before := r.problems.Len()
	m, ok := r.mapping(n, "lot:", nil)
	if !ok {
		return
	}
	sum := quantity.Number{}
	for _, f := range m.fields {
		if took, ok := read(r.document, f.value, quantity.ParseMass); ok {
			sum = sum.Add(took.Grams())
			r.lot(l, LotUse{Code: f.name, Took: &took, At: r.span(f.key)})
		}
	}
	if l.Weighed != nil && r.problems.Len() == before && sum.Cmp(l.Weighed.Grams()) != 0 {
		r.problems.Addf(r.span(n), "let what came from each lot make what was weighed", "the lots make %s g, and %s g were weighed", sum.Text(6), l.Weighed.Grams().Text(6))
	}
}

// lot finds a lot on its ingredient's page and sees that it can have been weighed from on that day.
func (r *recordDraft) lot(l *RecordLine, use LotUse) {
	if slices.ContainsFunc(l.Lots, func(u LotUse) bool { return strings.EqualFold(u.Code, use.Code) }) {
		r.problems.Addf(use.At, "name each lot once", "the lot %s stands here a second time", use.Code)
		return
	}
	defer func() { l.Lots = append(l.Lots, use) }()
	if l.Material == nil || len(l.Material.Lots) == 0 {
		return
	}
	codes := make([]string, len(l.Material.Lots))
	for i := range l.Material.Lots {
		codes[i] = l.Material.Lots[i].Code
		if strings.EqualFold(codes[i], use.Code) {
			use.Lot = &l.Material.Lots[i]
		}
	}
	switch {
	case use.Lot != nil:
		r.lotDates(l, use)
	case r.h.doubtful[l.Material.ID]:
		r.asked.doubt = true
	default:
		r.problems.Addf(use.At, spell.DidYouMean(use.Code, codes, "add it to lots: on the ingredient's page; lots stay there when they are used up, so that batches can be traced"),
			"%s has no lot “%s”", l.Material.Name, use.Code)
	}
}

// lotDates sees that a lot was there and in date when the batch was made. What was used past its date all the same has a note that says why.
func (r *recordDraft) lotDates(l *RecordLine, use LotUse) {
	if r.record.Made == nil {
		return
	}
	made := r.record.Made.Format(time.DateOnly) // dates so written stand in the order of time
	tell := func(hint, what, on string) {
		p := &problem.Problem{Span: use.At, Message: "the lot " + use.Code + " was " + what + " on " + on + ", and the batch was made on " + made, Hint: hint}
		if i := r.h.ingredients[l.Material.ID]; i != nil {
			p.Notes = []problem.Note{{Span: i.lots[use.Lot.Code], Message: "the lot is here"}}
		}
		r.problems.Add(p)
	}
	if use.Lot.Opened > made {
		tell("see which of the two days is right", "opened", use.Lot.Opened)
	}
	if use.Lot.Expires != "" && use.Lot.Expires < made && l.Note == "" {
		tell("see which of the two days is right; if it was used all the same, say why in the line's note:", "past its date", use.Lot.Expires)
	}
}
