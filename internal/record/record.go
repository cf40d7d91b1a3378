// Package record works out what a batch really was: how far its weights are from their targets, what it yielded and cost, how long it keeps,
// what the checks say of the formula as it was weighed, and which lots went into it; and from all batches, what is left of each lot.
//
// What each part of a batch record answers (from memory; the texts themselves were not looked up again, and your own quality system comes first):
//
//	batch record                     ISO 22716:2007            FDA, Draft Guidance for Industry: Cosmetic GMP (June 2013)
//	batch (the code)                 7.2.3                     Records: a batch or lot number
//	recipe, version, size, targets   7.2.1, 17                 Documentation: a master formula
//	made, by                         7.2.4, 17                 Records: production
//	weighed, tolerance, note         7.2.2, 7.2.5, 13          Production: weights checked and recorded
//	lot                              6.4, 6.5, 7.2.2           Raw materials: lots identified and traceable
//	expiry of lots                   6.6, 6.7                  Raw materials: re-tested or replaced when past their date
//	yield, filled                    7.2.5, 7.3                Records: quantities made and filled
//	ph                               9.3, 9.4                  Laboratory controls: in-process results
//	checked (by, on, passed)         8.2, 9.4                  Records: release or refusal, signed and dated
//	lot → batches (facts --lot)      14.3                      Complaints, adverse events and recalls
//	remarks (the page's text)        10, 13                    Records: deviations and what was done
//	stock and needs                  6.6, 7.2.7                Raw materials: storage and stock
//
// The FDA's text is a draft that binds nobody; 21 CFR Parts 210 and 211 are for drugs and do not apply to cosmetics.
package record

import (
	"slices"
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/cost"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A State says how far a batch is.
type State string

// The states of a batch.
const (
	Planned State = "planned"      // no day on which it was made
	Begun   State = "on the bench" // made, and what came of it is not told yet
	Made    State = "made"
)

// StateOf gives how far a record's batch is.
func StateOf(r *handbook.Record) State {
	switch {
	case r.Made == nil:
		return Planned
	case r.Finished():
		return Made
	}
	return Begun
}

// A Batch is a batch record worked out.
type Batch struct {
	*handbook.Record
	State State
	Lines []Line // the formula's in its order, then what the recipe does not have now

	Target  quantity.Mass // of all lines whose target is known
	Weighed quantity.Mass // of all lines weighed
	Whole   bool          // whether every line is weighed

	YieldPercent *quantity.Number // yield in percent of what was weighed; nil where either is not known
	Expires      *time.Time       // nil where nothing says
	ExpiresBy    string           // what sets the day: a lot, or how long the recipe keeps
	Cost         *cost.Batch      // as made; nil where nothing is weighed
	Weighing     *check.Subject   // the formula as it was weighed, with what the checks and a label look at; nil until every line is weighed
	Findings     []check.Finding  // on the formula as it was weighed, worst first; none until every line is weighed
	Tested       bool             // whether the checks were run on it
	New          []bool           // beside Findings: the recipe as written has no such finding, or a milder one
	Remarks      []Remark
}

// A Line is one ingredient of a batch.
type Line struct {
	handbook.RecordLine
	Asked      *formula.Reading // the target: the record's, else the recipe's; nil where neither is known
	Now        *formula.Reading // what the recipe gives now, nil where it has no such line or batch
	Reading    *formula.Reading // what was weighed
	Difference quantity.Number  // grams weighed above the target; 0 where either is not known
	Allowed    quantity.Mass    // how far it may be off
	Within     bool             // whether it is no further off; true where nothing is weighed
	Missing    bool             // the record does not have the line at all
}

// Of works a batch record out.
func Of(h *handbook.Handbook, r *handbook.Record) *Batch {
	b := &Batch{Record: r, State: StateOf(r)}
	b.lines(h)
	b.sums()
	b.expiry()
	if v, column := b.asWeighed(h); v != nil {
		b.costs(h, v, column)
		b.check(h, v, column)
	}
	b.remarks(h)
	return b
}

// lines lays the record's lines beside the recipe's.
func (b *Batch) lines(h *handbook.Handbook) {
	now := Sheet(h, b.Record)
	at := make(map[int]int, len(b.Record.Lines)) // index into the record's lines, by item
	for i, l := range b.Record.Lines {
		if l.Item >= 0 {
			at[l.Item] = i
		}
	}
	if b.Version != nil {
		for i, item := range b.Version.Items {
			line := Line{Missing: true}
			if j, has := at[i]; has {
				line = Line{RecordLine: b.Record.Lines[j]}
			} else {
				line.Name, line.Item = LineName(b.Version, i), i
				if item.Material != "" {
					line.Material = h.Materials.Find(item.Name)
				}
			}
			if now != nil {
				line.Now = &now.Weights[i]
			}
			b.Lines = append(b.Lines, line)
		}
	}
	for _, l := range b.Record.Lines {
		if l.Item < 0 {
			b.Lines = append(b.Lines, Line{RecordLine: l})
		}
	}
	for i := range b.Lines {
		b.Lines[i].measure(h)
	}
}

// measure works out a line's difference.
func (l *Line) measure(h *handbook.Handbook) {
	read := func(m *quantity.Mass) *formula.Reading { return &formula.Reading{Mass: *m, Step: h.Scale.Step(*m)} }
	l.Within = true
	if l.Asked = l.Now; l.Target != nil {
		l.Asked = read(l.Target)
	}
	if l.Weighed == nil {
		return
	}
	l.Reading = read(l.Weighed)
	if l.Asked == nil {
		return
	}
	l.Difference = l.Weighed.Grams().Sub(l.Asked.Mass.Grams())
	l.Allowed = Allowed(h, l.Asked.Mass)
	l.Within = abs(l.Difference).Cmp(l.Allowed.Grams()) <= 0
}

// Allowed gives how far a weight may be from its target: the handbook's tolerance, and at least one step of the scale.
func Allowed(h *handbook.Handbook, target quantity.Mass) quantity.Mass {
	part := target.Grams().Mul(h.Tolerance).Quo(quantity.Int(100))
	if step := h.Scale.Step(target); part.Cmp(step.Grams()) < 0 {
		return step
	}
	return quantity.Grams(part)
}

func abs(n quantity.Number) quantity.Number {
	if n.Sign() < 0 {
		return n.Neg()
	}
	return n
}

// Sheet gives the weights of a record's batch as its recipe gives them now; nil where it gives none.
func Sheet(h *handbook.Handbook, r *handbook.Record) *formula.Column {
	if r.Version == nil || r.Sized == nil {
		return nil
	}
	c := r.Version.Weigh(*r.Sized, h.Scale)
	return &c
}

// LineName gives the name by which a batch record has an item of a version: the ingredient's, with its phase where the name stands in several.
func LineName(v *formula.Version, i int) string {
	item := v.Items[i]
	if len(v.Find(item.Name)) < 2 {
		return item.Name
	}
	return item.Name + " in " + v.Phases[item.Phase].Name
}

// sums adds up what was to be weighed, what was, and what came out.
func (b *Batch) sums() {
	target, weighed := quantity.Number{}, quantity.Number{}
	b.Whole = len(b.Lines) > 0
	for _, l := range b.Lines {
		if l.Asked != nil {
			target = target.Add(l.Asked.Mass.Grams())
		}
		if l.Weighed != nil {
			weighed = weighed.Add(l.Weighed.Grams())
		}
		b.Whole = b.Whole && (l.Weighed != nil || l.Missing && b.State == Made)
	}
	b.Target, b.Weighed = quantity.Grams(target), quantity.Grams(weighed)
	if b.Yield != nil && weighed.Sign() > 0 {
		p := b.Yield.Grams().Mul(quantity.Int(100)).Quo(weighed)
		b.YieldPercent = &p
	}
}

// costs works out what the batch cost: the weights as weighed, the containers that were filled, and the recipe's working time.
func (b *Batch) costs(h *handbook.Handbook, v *formula.Version, column formula.Column) {
	hours := b.Recipe.Time
	c := cost.Of(v, column, b.materials(v), nil, hours, cost.Rates{Labour: h.Labour})
	for _, f := range b.Filled {
		each, known := b.containerCost(f.Container)
		if !known && f.Count > 0 {
			c.Unknown = append(c.Unknown, f.Container)
		}
		c.Containers = c.Containers.Add(each.Mul(quantity.Int(f.Count)))
		c.Filled += f.Count
	}
	b.Cost = &c
}

func (b *Batch) containerCost(name string) (quantity.Number, bool) {
	for container, each := range b.Recipe.ContainerCosts {
		if material.Key(container) == material.Key(name) {
			return each, true
		}
	}
	return quantity.Number{}, false
}

// materials gives the material of each item of the version as weighed.
func (b *Batch) materials(v *formula.Version) []*material.Material {
	all := make([]*material.Material, 0, len(v.Items))
	for _, i := range b.inOrder() {
		all = append(all, b.Lines[i].Material)
	}
	return slices.Clip(all)
}
