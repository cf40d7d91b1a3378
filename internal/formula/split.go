package formula

import (
	"slices"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// A Split is a part of a made batch of the base that is finished in its own way.
type Split struct {
	Name  string
	Note  string
	Share quantity.Number // of the batch, as a fraction of 1
	Adds  []Addition
	At    problem.Span
}

// finishing is the name of the phase that holds what a split adds.
const finishing = "To finish"

// Divide gives the versions that splits make of a solved base. The shares must make up the whole batch.
//
// In a split the base stands like a balance: what is added as a percent counts inside the split's 100 %, what is measured
// on a phase is measured on the base's, and what goes on top is measured against all of these.
func Divide(base *Version, splits []Split) ([]*Version, *problem.List) {
	problems := &problem.List{}
	sum := quantity.Number{}
	var versions []*Version
	for _, s := range splits {
		sum = sum.Add(s.Share)
		if v := divide(base, s, problems); v != nil {
			versions = append(versions, v)
		}
	}
	if len(splits) > 0 && sum.Cmp(quantity.Int(1)) != 0 {
		problems.Addf(splits[0].At, "let the shares make 1 (or 100 %)", "the splits' shares make %s of the batch, not the whole of it", sum)
	}
	return versions, problems
}

func divide(base *Version, s Split, problems *problem.List) *Version {
	d := &dividing{base: base, problems: problems, weigher: newWeigher(base.Phases, problems)}
	adds := Phase{Name: finishing, At: s.At, Lines: make([]Line, len(s.Adds))}
	for i := range s.Adds {
		adds.Lines[i] = s.Adds[i].Line
		d.inside(&adds.Lines[i])
	}
	left := quantity.Int(100).Sub(d.percents)
	if left.Sign() <= 0 {
		problems.Addf(s.At, "lower the percents that are added", "what is added makes %s %% of the split, which leaves no room for the base", d.percents.Text(3))
		d.failed = true
	}
	if d.failed {
		return nil
	}
	// The base weighs 1; with what is measured on it and the percents, all inside weighs (1 + measured) ÷ (1 − percents).
	inside := quantity.Int(1).Add(d.measured).Mul(quantity.Int(100)).Quo(left)
	values := make([]quantity.Number, 0, len(base.Items)+len(s.Adds))
	for i := range base.Items {
		values = append(values, base.Share(i))
	}
	for i := range adds.Lines {
		values = append(values, d.value(&adds.Lines[i], inside))
	}
	v := &Version{Name: s.Name, Kind: SplitKind, Note: s.Note, At: s.At, Portion: &Portion{Share: s.Share, Items: len(base.Items)}, Remarks: base.Remarks, Written: base.Written}
	v.finish(slices.Concat(base.Phases, []Phase{adds}), values)
	return v
}

// dividing gathers what one split adds inside its 100 %.
type dividing struct {
	*weigher
	base     *Version
	problems *problem.List
	percents quantity.Number
	measured quantity.Number // against a base of 1
	failed   bool
}

func (d *dividing) inside(l *Line) {
	switch l.Amount.Kind {
	case quantity.Percent:
		d.percents = d.percents.Add(l.Amount.Number)
	case quantity.Share, quantity.Per:
		d.measured = d.measured.Add(d.onPhase(l))
	case quantity.OnTop:
		_, ok := d.ratio(l)
		d.failed = d.failed || !ok
	default:
		why := "it would be the same for every batch size"
		if l.Amount.Kind == quantity.Balance || l.Amount.Kind == quantity.Parts {
			why = "the base takes up the balance already"
		}
		d.problems.Addf(l.At, "write 1 per 10 or 1 oz per 10 oz, or a percent of the finished split", "“%s” cannot be added to a split: %s", l.Amount.Written, why)
		d.failed = true
	}
}

// onPhase gives what is measured on a phase of the base, the base weighing 1.
func (d *dividing) onPhase(l *Line) quantity.Number {
	target, ok := d.phaseNamed(l)
	ratio := hundredth(l.Amount.Number)
	if ok && l.Amount.Kind == quantity.Per {
		ratio, ok = d.ratio(l)
	}
	if !ok {
		d.failed = true
		return quantity.Number{}
	}
	phase := quantity.Number{}
	for i, item := range d.base.Items {
		if item.Phase == target {
			phase = phase.Add(d.base.Share(i))
		}
	}
	return phase.Mul(ratio)
}

// value gives what a line adds, the base weighing 1 and all inside weighing as given.
func (d *dividing) value(l *Line, inside quantity.Number) quantity.Number {
	switch l.Amount.Kind {
	case quantity.Percent:
		return hundredth(l.Amount.Number).Mul(inside)
	case quantity.OnTop:
		ratio, _ := d.ratio(l)
		return ratio.Mul(inside)
	}
	return d.onPhase(l)
}
