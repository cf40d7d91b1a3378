package formula

import (
	"cmp"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// A Variant is a version that a recipe writes as changes to its base.
type Variant struct {
	Name    string
	Note    string
	Changes []Change
	Adds    []Addition
	At      problem.Span
}

// A Change alters one ingredient of the base: exactly one of Out, Becomes and Amount is set.
type Change struct {
	Target  string // as written: a name, or "name in phase"
	Out     bool
	Becomes *Ingredient
	Amount  *quantity.Amount
	At      problem.Span // of the target
	ValueAt problem.Span // of what it changes to
}

// An Addition is a line that a variant or split adds. Phase may be "": then a variant's last phase, or a split's own.
type Addition struct {
	Line
	Phase string
}

// Vary gives the version that a variant makes of a base formula, solved anew as a whole.
func Vary(f Formula, variant Variant) (*Version, *problem.List) {
	e := &editor{phases: slices.Clone(f.Phases), own: make([]bool, len(f.Phases)), problems: &problem.List{}}
	// Targets are looked up in the base, so that the order of the changes does not matter.
	places := make([]place, len(variant.Changes))
	for i, c := range variant.Changes {
		places[i] = e.find(f.Phases, c)
		if first := slices.Index(places, places[i]); places[i].ok && first < i {
			e.problems.Add(&problem.Problem{
				Span: c.At, Message: "“" + c.Target + "” is changed already", Hint: "keep one of the two; for another ingredient in another amount, write out and put the new one under add:",
				Notes: []problem.Note{{Span: variant.Changes[first].At, Message: "the first change is here"}},
			})
		}
	}
	for i := range variant.Changes {
		if places[i].ok {
			e.apply(places[i], &variant.Changes[i])
		}
	}
	for i := range variant.Adds {
		e.add(&variant.Adds[i])
	}
	e.drop()
	e.twice()
	if e.problems.Len() > 0 {
		return nil, e.problems
	}
	v, problems := Solve(Formula{Phases: e.phases, Makes: f.Makes, At: variant.At})
	if v != nil {
		v.Name, v.Kind, v.Note, v.At = variant.Name, VariantKind, variant.Note, variant.At
	}
	return v, problems
}

// An editor makes a variant's phases from the base's. Lines that a variant leaves as they are stay the base's.
type editor struct {
	phases   []Phase
	own      []bool // phases whose lines are the variant's own
	out      []place
	problems *problem.List
}

type place struct {
	phase, line int
	ok          bool
}

// lines gives a phase's lines, to be changed; there is room for so many more.
func (e *editor) lines(phase, more int) []Line {
	p := &e.phases[phase]
	if !e.own[phase] {
		p.Lines, e.own[phase] = append(make([]Line, 0, len(p.Lines)+more), p.Lines...), true
	}
	return p.Lines
}

func (e *editor) find(phases []Phase, c Change) place {
	found := locate(phases, c.Target)
	switch len(found) {
	case 1:
		return found[0]
	case 0:
		e.problems.Addf(c.At, spell.DidYouMean(c.Target, lineNames(phases), "name an ingredient of the formula, or put a new one under add:"),
			"“%s” is not in the formula, so it cannot be changed", c.Target)
	default:
		e.problems.Addf(c.At, "say which, as in “"+c.Target+" in "+phases[found[0].phase].Name+"”", "“%s” stands in more than one phase", c.Target)
	}
	return place{}
}

// locate finds the lines that a name means: the ingredient's name, or "name in phase".
func locate(phases []Phase, name string) []place {
	var found []place
	for i := range phases {
		p := &phases[i]
		for j := range p.Lines {
			if p.Lines[j].means(name, p) {
				found = append(found, place{i, j, true})
			}
		}
	}
	return found
}

func lineNames(phases []Phase) []string {
	var names []string
	for _, p := range phases {
		for i := range p.Lines {
			names = append(names, p.Lines[i].Name)
		}
	}
	return names
}

// means says whether a written name means a line of a phase, by its name or by the one it stands for in a variant.
func (l *Line) means(name string, p *Phase) bool {
	return l.isNamed(name, p) || isCalled(l.Was, name, p)
}

// isNamed says whether a written name is a line's own.
func (l *Line) isNamed(name string, p *Phase) bool { return isCalled(l.Name, name, p) }

// isCalled says whether a written name means what is known by another in a phase: the same, or with " in PHASE".
func isCalled(known, name string, p *Phase) bool {
	n := len(known)
	switch {
	case n == 0:
		return false
	case strings.EqualFold(name, known):
		return true
	}
	if len(name) > n && strings.EqualFold(name[:n], known) {
		if rest, ok := strings.CutPrefix(name[n:], " in "); ok {
			return strings.EqualFold(phaseKey(rest), phaseKey(p.Name))
		}
	}
	return false
}

func (e *editor) apply(at place, c *Change) {
	if c.Out {
		e.out = append(e.out, at)
		return
	}
	l := &e.lines(at.phase, 0)[at.line]
	switch {
	case c.Becomes != nil:
		l.Was, l.Ingredient = l.Name, *c.Becomes
		l.At = c.ValueAt
	case c.Amount != nil:
		l.Amount, l.At = *c.Amount, c.ValueAt
	}
}

func (e *editor) add(a *Addition) {
	i := len(e.phases) - 1
	if a.Phase != "" {
		i = phaseIndex(e.phases, a.Phase)
	}
	if i < 0 {
		names := make([]string, len(e.phases))
		for j, p := range e.phases {
			names[j] = p.Name
		}
		e.problems.Addf(a.At, spell.DidYouMean(a.Phase, names, "the phases are "+strings.Join(names, ", ")), "there is no phase “%s” to add %s to", a.Phase, a.Name)
		return
	}
	e.phases[i].Lines = append(e.lines(i, 1), a.Line)
}

// drop takes out the lines that the variant leaves out.
func (e *editor) drop() {
	slices.SortFunc(e.out, func(a, b place) int { return cmp.Or(a.phase-b.phase, b.line-a.line) }) // from the last of each phase, so that the others keep their places
	for _, at := range slices.Compact(e.out) {
		e.phases[at.phase].Lines = slices.Delete(e.lines(at.phase, 0), at.line, at.line+1)
	}
}

// twice refuses a phase in which the changes have made two lines of one ingredient.
func (e *editor) twice() {
	var seen []string
	for i := range e.phases {
		seen = seen[:0]
		for j := range e.phases[i].Lines {
			l := &e.phases[i].Lines[j]
			key := strings.ToLower(cmp.Or(l.Material, l.Name)) // two names of one material are one ingredient
			if slices.Contains(seen, key) {
				e.problems.Addf(l.At, "change the amount of the one that is there already", "this puts %s into the phase %s a second time", l.Name, e.phases[i].Name)
			}
			seen = append(seen, key)
		}
	}
}
