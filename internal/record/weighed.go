package record

import (
	"slices"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
)

// The formula as weighed is made of the real weights alone, by the same solver as any formula, so that the checks see what is in the pot and not
// what was meant to be.

// inOrder gives the indexes of the lines that were weighed, in the order of the formula as weighed.
func (b *Batch) inOrder() []int {
	var all []int
	for i, l := range b.Lines { // the formula's first, phase by phase
		if l.Weighed != nil {
			all = append(all, i)
		}
	}
	return all
}

// asWeighed gives the formula that was weighed and its column; nil where nothing was, or the recipe is not known.
func (b *Batch) asWeighed(h *handbook.Handbook) (*formula.Version, formula.Column) {
	column := formula.Column{Nominal: b.Weighed, Total: b.Weighed, Balance: -1}
	if b.Version == nil || b.Weighed.Grams().Sign() <= 0 {
		return nil, column
	}
	f := formula.Formula{At: b.Version.At}
	for _, p := range b.Version.Phases {
		p.Lines = nil
		f.Phases = append(f.Phases, p)
	}
	f.Phases = append(f.Phases, formula.Phase{Name: "Not in the recipe"})
	for i := range f.Phases { // a split's phases may share a name, which a formula's may not
		if slices.ContainsFunc(f.Phases[:i], func(p formula.Phase) bool { return p.Name == f.Phases[i].Name }) {
			f.Phases[i].Name += " " + formula.Letter(i)
		}
	}
	for _, i := range b.inOrder() {
		l := &b.Lines[i]
		phase := &f.Phases[len(f.Phases)-1]
		line := formula.Line{Ingredient: ingredient(l)}
		if l.Item >= 0 {
			item := b.Version.Items[l.Item]
			line, phase = *item.Line, &f.Phases[item.Phase]
		}
		line.At = l.ValueAt
		line.Amount = quantity.Amount{Kind: quantity.Weight, Mass: *l.Weighed, Written: l.Reading.Text() + " g"}
		phase.Lines = append(phase.Lines, line)
		column.Weights = append(column.Weights, *l.Reading)
	}
	v, problems := formula.Solve(f)
	if v == nil || problems.Len() > 0 {
		return nil, column
	}
	v.Name, v.Kind, v.At = b.Version.Name, b.Version.Kind, b.codeSpan()
	return v, column
}

// ingredient gives what a line that the recipe does not have takes.
func ingredient(l *Line) formula.Ingredient {
	i := formula.Ingredient{Name: l.Name}
	if m := l.Material; m != nil {
		i.Material, i.Density, i.Fixed = m.ID, m.Density.Value, m.Fixed()
	}
	return i
}

// check runs the checks on the formula as it was weighed, on the day on which it was, at the pH that was measured.
func (b *Batch) check(h *handbook.Handbook, v *formula.Version, column formula.Column) {
	if !b.Whole || b.Made == nil { // without its day it is a page with a problem
		return
	}
	s := h.Weigh(b.Recipe, v, nil)
	s.Materials, s.On = b.materials(v), *b.Made
	if b.PH != nil {
		s.PH = b.PH
	}
	s.Batches = []check.Batch{{Written: b.Size.Written, Sized: formula.Sized{Batch: b.Size, Weight: column.Total}, Column: column}}
	b.Weighing, b.Findings, b.Tested = s, check.Run(s), true
	written := check.Run(h.Weigh(b.Recipe, b.Version, []quantity.Batch{b.Size}))
	b.accept(written)
	b.madeAlready()
	b.slight(h, written)
	for _, f := range b.Findings {
		b.New = append(b.New, !asBad(written, f))
	}
}
