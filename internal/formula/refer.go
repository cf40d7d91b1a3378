package formula

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// A weigher works out each line of a formula as a linear weight, following references from phase to phase.
type weigher struct {
	phases   []Phase
	lines    []weighed
	problems *problem.List
}

// A weighed is a line while it is worked out.
type weighed struct {
	*Line
	phase int
	state visit
	value linear
}

type visit int

const (
	unseen visit = iota
	underway
	known
	failed // and already told
)

func newWeigher(phases []Phase, problems *problem.List) *weigher {
	n := 0
	for i := range phases {
		n += len(phases[i].Lines)
	}
	w := &weigher{phases: phases, lines: make([]weighed, 0, n), problems: problems}
	for p := range phases {
		for l := range phases[p].Lines {
			w.lines = append(w.lines, weighed{Line: &phases[p].Lines[l], phase: p})
		}
	}
	return w
}

// weight gives line i as a linear weight. What goes on top weighs nothing here. On a fault it adds a problem and says false.
func (w *weigher) weight(i int) (linear, bool) {
	l := &w.lines[i]
	switch l.state {
	case known:
		return l.value, true
	case underway, failed:
		return linear{}, false
	}
	l.state = underway
	v, ok := w.read(i)
	if !ok {
		l.state = failed
		return linear{}, false
	}
	l.value, l.state = v, known
	return v, true
}

func (w *weigher) read(i int) (linear, bool) {
	l := w.lines[i].Line
	switch a := &l.Amount; a.Kind {
	case quantity.Percent:
		return linear{total: hundredth(a.Number)}, true
	case quantity.Balance:
		return linear{balance: quantity.Int(1)}, true
	case quantity.Weight:
		return linear{grams: a.Mass.Grams()}, true
	case quantity.Measure:
		m, ok := w.volume(l)
		return linear{grams: m.Grams()}, ok
	case quantity.Parts:
		return linear{part: a.Number}, true
	case quantity.Share:
		return w.measured(i, hundredth(a.Number))
	case quantity.Per:
		r, ok := w.ratio(l)
		if !ok {
			return linear{}, false
		}
		return w.measured(i, r)
	}
	_, ok := w.ratio(l) // on top: weighs nothing here, but must be known
	return linear{}, ok
}

func hundredth(percent quantity.Number) quantity.Number { return percent.Quo(quantity.Int(100)) }

// volume turns the volume of an amount into a weight by the material's density.
func (w *weigher) volume(l *Line) (quantity.Mass, bool) {
	if !l.Density.Known() {
		w.problems.Addf(l.At, "write a weight, or add density: to the ingredient's page, such as density: 0.92 g/ml",
			"“%s” is a volume, and the density of %s is not known (volume-without-density)", l.Amount.Written, l.Name)
		return quantity.Mass{}, false
	}
	return l.Amount.Volume.Weigh(l.Density), true
}

// ratio gives how much a line takes for each gram that it is measured against.
func (w *weigher) ratio(l *Line) (quantity.Number, bool) {
	if !l.Amount.NeedsDensity() {
		return l.Amount.Number, true
	}
	m, ok := w.volume(l)
	if !ok {
		return quantity.Number{}, false
	}
	return m.Grams().Quo(l.Amount.Mass.Grams()), true
}

// measured gives ratio × the phase that line i is measured on, without the line itself.
func (w *weigher) measured(i int, ratio quantity.Number) (linear, bool) {
	l := w.lines[i].Line
	target, ok := w.phaseNamed(l)
	if !ok {
		return linear{}, false
	}
	if l.Amount.Kind == quantity.Share && target == w.lines[i].phase {
		w.problems.Addf(l.At, "measure it on the phase's other ingredients, as in 1 per 4 of "+w.phases[target].Name,
			"“%s” stands in the phase that it is a share of, and so would be a share of itself", l.Amount.Written)
		return linear{}, false
	}
	sum, others := linear{}, 0
	for j := range w.lines {
		if w.lines[j].phase != target || j == i || w.lines[j].Amount.Kind == quantity.OnTop {
			continue
		}
		if w.lines[j].state == underway {
			w.circle(i, j)
			return linear{}, false
		}
		v, ok := w.weight(j)
		if !ok {
			return linear{}, false
		}
		sum, others = sum.plus(v), others+1
	}
	if others == 0 {
		w.problems.Addf(l.At, "name a phase that has other ingredients", "the phase %s has nothing else to measure %s on", w.phases[target].Name, l.Name)
		return linear{}, false
	}
	return sum.times(ratio), true
}

// circle explains that two lines wait for each other.
func (w *weigher) circle(i, j int) {
	a, b := w.lines[i].Line, w.lines[j].Line
	w.problems.Add(&problem.Problem{
		Span:    a.At,
		Message: a.Name + " (" + a.Amount.Written + ") and " + b.Name + " (" + b.Amount.Written + ") are measured on each other, in a circle",
		Hint:    "give one of them as a percent or a weight",
		Notes:   []problem.Note{{Span: b.At, Message: "the other one is here"}},
	})
}

// phaseNamed finds the phase that a line is measured on.
func (w *weigher) phaseNamed(l *Line) (int, bool) {
	if i := phaseIndex(w.phases, l.Amount.Phase); i >= 0 {
		return i, true
	}
	names := make([]string, len(w.phases))
	for i, p := range w.phases {
		names[i] = p.Name
	}
	w.problems.Addf(l.At, spell.DidYouMean(l.Amount.Phase, names, "the phases are "+strings.Join(names, ", ")),
		"there is no phase “%s” to measure %s on", l.Amount.Phase, l.Name)
	return 0, false
}

// phaseIndex finds a phase by name, with or without the word "phase" and whatever the case; -1 if there is none.
func phaseIndex(phases []Phase, name string) int {
	key := phaseKey(name)
	return slices.IndexFunc(phases, func(p Phase) bool { return strings.EqualFold(phaseKey(p.Name), key) })
}

func phaseKey(name string) string {
	name = strings.TrimSpace(name)
	if n := len(name) - len(" phase"); n > 0 && strings.EqualFold(name[n:], " phase") {
		return name[:n]
	}
	return name
}
