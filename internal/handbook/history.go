package handbook

import (
	"errors"
	"slices"
	"strings"
	"time"
	"unicode"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// A Change is a day on which a recipe's formula was changed.
type Change struct {
	On    time.Time
	Lines []ChangeLine
	Note  string // why; "" if not given
}

// A ChangeLine is one ingredient that a change altered: its amounts before and after, as they are written. Before is "" of one that was not
// in the formula until then, After of one that was taken out.
type ChangeLine struct {
	Name          string // as the change writes it
	Before, After string
	Material      string // id of the material, "" where none is known
}

// A pastChange is a change while it is read.
type pastChange struct {
	on    time.Time
	at    problem.Span // of the day
	note  string
	lines []*pastLine
}

// A pastLine is one of its lines. What came after it is found once all changes are read.
type pastLine struct {
	ChangeLine
	of     pastOf
	before *quantity.Amount // nil where it was not in the formula
	at     problem.Span     // of the name
}

// A pastOf tells ingredients apart, whatever they are called: by the formula's item, else by the material, else by the name.
type pastOf struct {
	item           int // -1 where it is not in the formula now
	material, name string
}

// maxChanged bounds how many changed amounts a recipe can tell of.
const maxChanged = 200

// history reads how the formula came to be as it is, newest first: all of it, or none where something of it has a problem.
func (r *recipeDraft) history() []Change {
	before := r.problems.Len()
	var past []*pastChange
	lines := 0
	for _, n := range r.list(r.m.get("changes")) {
		m, ok := r.mapping(n, "a change", []string{"on", "before", "note"})
		if !ok {
			continue
		}
		c := r.pastChange(m)
		if lines += len(c.lines); lines > maxChanged {
			r.problems.Addf(r.span(n), "take the oldest changes out", "a page can tell of %d changed amounts, and here are more", maxChanged)
			break
		}
		past = append(past, c)
	}
	slices.SortStableFunc(past, func(a, b *pastChange) int { return b.on.Compare(a.on) })
	if r.problems.Len() == before && len(past) > 0 {
		r.upToDate(past[0])
		r.trace(past)
	}
	if r.problems.Len() > before {
		return nil
	}
	var all []Change
	for _, c := range past {
		change := Change{On: c.on, Note: c.note}
		for _, l := range c.lines {
			change.Lines = append(change.Lines, l.ChangeLine)
		}
		all = append(all, change)
	}
	return all
}

// pastChange reads one change: its day, and what each of its lines was before it.
func (r *recipeDraft) pastChange(m *mapping) *pastChange {
	const hint = "write it as {on: 2026-05-03, before: {Glycerin: 3 %}}"
	c := &pastChange{note: m.words("note")}
	if on := m.need("on", "a change", hint); on != nil {
		c.on, _ = read(r.document, on, parseDate)
		c.at = r.span(on)
	}
	n := m.need("before", "a change", hint)
	if n == nil {
		return c
	}
	was, ok := r.mapping(n, "before:", nil)
	if !ok {
		return c
	}
	if len(n.Content) == 0 {
		r.problems.Addf(r.span(n), "name what was changed, with what it was until then: {Glycerin: 3 %}", "the change names no ingredient")
	}
	for _, f := range was.fields[:min(len(was.fields), maxChanged+1)] {
		c.lines = append(c.lines, r.pastLine(f))
	}
	return c
}

// pastLine reads what one ingredient was: name: amount, or name: out.
func (r *recipeDraft) pastLine(f field) *pastLine {
	l := &pastLine{ChangeLine: ChangeLine{Name: f.name}, of: pastOf{item: -1, name: material.Key(f.name)}, at: r.span(f.key)}
	l.before, _ = read(r.document, f.value, parseBefore)
	if l.before != nil {
		l.Before = l.before.Written
	}
	if len(r.recipe.Versions) > 0 { // else the formula has a problem of its own, or hangs on a page that has one
		r.place(l, r.recipe.Versions[0])
	}
	return l
}

// parseBefore reads an amount; nil for one that was not there.
func parseBefore(s string) (*quantity.Amount, error) {
	if strings.EqualFold(strings.TrimSpace(s), "out") {
		return nil, nil
	}
	a, err := quantity.ParseAmount(s)
	if syntax, ok := errors.AsType[*quantity.SyntaxError](err); ok && !strings.ContainsFunc(s, func(r rune) bool { return unicode.IsNumber(r) && r != '0' }) {
		syntax.Hint = "write what it was (3 %), or out where it was not in the formula"
	}
	return &a, err
}

// place finds the ingredient that a line names: in the formula as it is now, by its name or another name of its material, or among all that are known.
func (r *recipeDraft) place(l *pastLine, base *formula.Version) {
	found := base.Find(l.Name)
	if len(found) == 0 {
		if m := r.find(l.Name); m != nil {
			l.Material, l.of = m.ID, pastOf{item: -1, material: m.ID}
			found = withMaterial(base, m.ID)
		}
	}
	switch len(found) {
	case 1:
		l.Material, l.of = base.Items[found[0]].Material, pastOf{item: found[0]}
	case 0:
		if l.Material == "" && r.unheard(l.Name) {
			r.problems.Addf(l.at, spell.DidYouMean(l.Name, slices.Concat(itemNames(base), r.h.Materials.Names()),
				"write the name that the formula or an ingredient's page has; one that is no longer used can have a page too"),
				"“%s” is neither in the formula nor a known ingredient", l.Name)
		}
	default:
		first := base.Items[found[0]]
		r.problems.Addf(l.at, "say which, as in “"+first.Name+" in "+base.Phases[first.Phase].Name+"”", "“%s” stands in more than one phase", l.Name)
	}
}

// itemNames lists the names of a version's ingredients.
func itemNames(v *formula.Version) []string {
	names := make([]string, len(v.Items))
	for i, item := range v.Items {
		names[i] = item.Name
	}
	return names
}

// withMaterial lists the items of a version that are of a material.
func withMaterial(v *formula.Version, id string) []int {
	var found []int
	for i, item := range v.Items {
		if item.Material == id {
			found = append(found, i)
		}
	}
	return found
}

// unheard says whether a name means nothing: in no version of the recipe, and to no ingredient's page, of which all can be read.
func (r *recipeDraft) unheard(name string) bool {
	return !r.h.doubtful[""] && len(r.h.Materials.Candidates(name)) == 0 &&
		!slices.ContainsFunc(r.recipe.Versions, func(v *formula.Version) bool { return len(v.Find(name)) > 0 })
}

// upToDate refuses a newest change that is later than the page says it was last changed.
func (r *recipeDraft) upToDate(newest *pastChange) {
	if r.page.Updated != nil && newest.on.After(*r.page.Updated) {
		day := newest.on.Format(time.DateOnly)
		r.problems.Addf(newest.at, "write updated: "+day+", or the day on which the formula was changed", "the formula was changed on %s, which is after the page's updated:", day)
	}
}

// A state is what an ingredient was at some time, and where that is written.
type state struct {
	amount *quantity.Amount // nil where it was not in the formula
	on     time.Time        // of the change that says so, zero where the formula itself does
	at     problem.Span
	faulty bool // whether the change has a problem: then nothing is told of earlier ones
}

// trace goes back from the formula as it is now, and finds what each line was after its change. It tells of changes that change nothing.
func (r *recipeDraft) trace(past []*pastChange) {
	if len(r.recipe.Versions) == 0 {
		return
	}
	then := make(map[pastOf]state)
	for _, c := range past {
		for _, l := range c.lines {
			after, later := then[l.of]
			if !later && l.of.item >= 0 {
				item := &r.recipe.Versions[0].Items[l.of.item]
				after = state{amount: &item.Amount, at: item.At}
			}
			if after.amount != nil {
				l.After = after.amount.Written
			}
			fault := r.unaltered(c, l, after, later)
			if fault != nil && !after.faulty {
				r.problems.Add(fault)
			}
			then[l.of] = state{amount: l.before, on: c.on, at: l.at, faulty: fault != nil || after.faulty}
		}
	}
}

// unaltered gives the problem of a line that its change leaves as it was, or that is changed twice in a day; else nil. Later says whether a later
// change tells what came after it.
func (r *recipeDraft) unaltered(c *pastChange, l *pastLine, after state, later bool) *problem.Problem {
	day := c.on.Format(time.DateOnly)
	switch {
	case later && after.on.Equal(c.on):
		return &problem.Problem{
			Span: l.at, Message: l.Name + " is changed a second time on " + day, Hint: "keep one of the two: what it was before that day",
			Notes: []problem.Note{{Span: after.at, Message: "the other one is here"}},
		}
	case l.before == nil && after.amount == nil && !later:
		return &problem.Problem{
			Span: l.at, Message: l.Name + " was not in the formula before " + day + ", and is not in it now",
			Hint: spell.DidYouMean(l.Name, itemNames(r.recipe.Versions[0]), "take it out; one that was taken out again needs a later change that says what it was"),
		}
	case sameAmount(l.before, after.amount):
		return &problem.Problem{
			Span: l.at, Message: l.Name + " was the same before and after " + day, Hint: "write what it was before that day, or take it out",
			Notes: []problem.Note{{Span: after.at, Message: "what it was after that day is here"}},
		}
	}
	return nil
}

// sameAmount says whether two amounts are alike, whatever their spelling; nil is none.
func sameAmount(a, b *quantity.Amount) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Kind == b.Kind && a.Number.Cmp(b.Number) == 0 && a.Mass.Grams().Cmp(b.Mass.Grams()) == 0 &&
		a.Volume.Millilitres().Cmp(b.Volume.Millilitres()) == 0 && strings.EqualFold(a.Phase, b.Phase)
}
