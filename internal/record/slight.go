package record

import (
	"cmp"
	"slices"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// slight makes a note of a caution that a usual rate is passed by a twentieth of it at most, where the recipe keeps it and what was weighed is
// within the tolerance of what the recipe asks for. It never touches a stop, nor a rate that the law or a safety panel sets.
func (b *Batch) slight(h *handbook.Handbook, written []check.Finding) {
	lines, worstFirst := b.inOrder(), []check.Level{check.Stop, check.Caution, check.Note}
	for i := range b.Findings {
		f := &b.Findings[i]
		if f.Code != "above-usual-maximum" || f.Level != check.Caution || f.Market != "" || len(f.Items) == 0 || isIn(written, *f) || !nearly(*f) {
			continue
		}
		if !slices.ContainsFunc(f.Items, func(item int) bool {
			l := &b.Lines[lines[item]]
			return !l.asTheRecipe(h) || sternly(l.Material, f.Limit)
		}) {
			f.Level = check.Note
			f.Message += " It was weighed within the tolerance."
		}
	}
	slices.SortStableFunc(b.Findings, func(x, y check.Finding) int {
		return cmp.Compare(slices.Index(worstFirst, x.Level), slices.Index(worstFirst, y.Level))
	})
}

// nearly says whether a finding's value is at most a twentieth above its limit. What else went in, or did not, moves the part of a material too.
func nearly(f check.Finding) bool {
	value, known := figure(f.Value)
	limit, bound := figure(f.Limit)
	return known && bound && value.Cmp(limit.Mul(quantity.Fraction(21, 20))) <= 0
}

// asTheRecipe says whether a line is weighed as the recipe asks for, whatever target the record has.
func (l *Line) asTheRecipe(h *handbook.Handbook) bool {
	if l.Now == nil || l.Weighed == nil {
		return false
	}
	off := abs(l.Weighed.Grams().Sub(l.Now.Mass.Grams()))
	return off.Cmp(Allowed(h, l.Now.Mass).Grams()) <= 0
}

// isIn says whether the recipe as written has the like of a finding.
func isIn(written []check.Finding, f check.Finding) bool {
	return slices.ContainsFunc(written, func(w check.Finding) bool { return w.Code == f.Code && w.Level == f.Level && w.Subject == f.Subject })
}

// sternly says whether a maximum is more than a habit.
func sternly(m *material.Material, limit string) bool {
	return m == nil || slices.ContainsFunc(m.Uses, func(u material.Use) bool {
		return (u.Basis == material.Law || u.Basis == material.SafetyPanel) && u.To != nil && u.To.String() == limit
	})
}
