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
	e := &editor{problems: &problem.List{}}
	for _, p := range f.Phases {
		p.Lines = append([]Line(nil), p.Lines...)
		e.phases = append(e.phases, p)
	}
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
	for i, c := range variant.Changes {
		if places[i].ok {
			e.apply(places[i], c)
		}
	}
	for _, a := range variant.Adds {
		e.add(a)
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

// An editor makes a variant's phases from the base's.
type editor struct {
	phases   []Phase
	out      map[place]bool
	problems *problem.List
}

type place struct {
	phase, line int
	ok          bool
}

func (e *editor) find(phases []Phase, c Change) place {
	found, names := locate(phases, c.Target)
	switch len(found) {
	case 1:
		return place{found[0][0], found[0][1], true}
	case 0:
		e.problems.Addf(c.At, spell.DidYouMean(c.Target, names, "name an ingredient of the formula, or put a new one under add:"),
			"“%s” is not in the formula, so it cannot be changed", c.Target)
	default:
		e.problems.Addf(c.At, "say which, as in “"+c.Target+" in "+phases[found[0][0]].Name+"”", "“%s” stands in more than one phase", c.Target)
	}
	return place{}
}

// locate finds the lines that a name means: the ingredient's name, or "name in phase". It gives all names too.
func locate(phases []Phase, name string) (found [][2]int, names []string) {
	for i, p := range phases {
		for j, l := range p.Lines {
			names = append(names, l.Name)
			if matches(l, p, name) {
				found = append(found, [2]int{i, j})
			}
		}
	}
	return found, names
}

// matches says whether a written name means a line, by its name or by the one it stands for in a variant.
func matches(l Line, p Phase, name string) bool {
	for _, known := range []string{l.Name, l.Was} {
		if known == "" {
			continue
		}
		if strings.EqualFold(name, known) {
			return true
		}
		n := len(known)
		if len(name) > n && strings.EqualFold(name[:n], known) {
			if rest, ok := strings.CutPrefix(name[n:], " in "); ok && strings.EqualFold(phaseKey(rest), phaseKey(p.Name)) {
				return true
			}
		}
	}
	return false
}

func (e *editor) apply(at place, c Change) {
	l := &e.phases[at.phase].Lines[at.line]
	switch {
	case c.Out:
		if e.out == nil {
			e.out = make(map[place]bool)
		}
		e.out[at] = true
	case c.Becomes != nil:
		l.Was, l.Ingredient = l.Name, *c.Becomes
		l.At = c.ValueAt
	case c.Amount != nil:
		l.Amount, l.At = *c.Amount, c.ValueAt
	}
}

func (e *editor) add(a Addition) {
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
	e.phases[i].Lines = append(e.phases[i].Lines, a.Line)
}

// drop takes out the lines that the variant leaves out.
func (e *editor) drop() {
	for i := range e.phases {
		kept := e.phases[i].Lines[:0]
		for j, l := range e.phases[i].Lines {
			if !e.out[place{i, j, true}] {
				kept = append(kept, l)
			}
		}
		e.phases[i].Lines = kept
	}
}

// twice refuses a phase in which the changes have made two lines of one ingredient.
func (e *editor) twice() {
	for _, p := range e.phases {
		seen := make(map[string]bool)
		for _, l := range p.Lines {
			key := strings.ToLower(cmp.Or(l.Material, l.Name)) // two names of one material are one ingredient
			if seen[key] {
				e.problems.Addf(l.At, "change the amount of the one that is there already", "this puts %s into the phase %s a second time", l.Name, p.Name)
			}
			seen[key] = true
		}
	}
}
