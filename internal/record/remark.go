package record

import (
	"fmt"
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// A Remark is something to know of a batch record that is no fault of the page: it is what happened, or what is still to be done.
type Remark struct {
	Level   check.Level
	Message string // one sentence
	Mend    string // what to do, or ""
	At      problem.Span
}

func (b *Batch) remark(level check.Level, at problem.Span, mend, format string, args ...any) {
	b.Remarks = append(b.Remarks, Remark{level, fmt.Sprintf(format, args...), mend, at})
}

// codeSpan is where a remark on the whole batch stands.
func (b *Batch) codeSpan() problem.Span { return b.CodeAt }

// remarks gathers what is to be known of the lines, then of the whole.
func (b *Batch) remarks() {
	for i := range b.Lines {
		b.lineRemarks(&b.Lines[i])
	}
	b.outcome()
	b.release()
}

func (b *Batch) lineRemarks(l *Line) {
	switch {
	case l.Missing && b.State == Made:
		b.remark(check.Caution, b.codeSpan(), "", "The recipe has %s now and this record does not: it was left out, or the recipe changed since.", l.Name)
		return
	case l.Missing:
		return // it is still to be weighed, and the recipe says how much
	case l.Item < 0 && b.Version != nil:
		b.remark(check.Caution, l.At, "", "%s is not in the recipe now: it was put in on the day, or the recipe changed since.", l.Name)
	case l.Target != nil && l.Now != nil && l.Target.Grams().Cmp(l.Now.Mass.Grams()) != 0:
		level, mend := check.Note, ""
		if b.State != Made {
			level, mend = check.Caution, "see which of the two is meant; to weigh by the recipe as it is now, take the target out or write it anew"
		}
		b.remark(level, l.ValueAt, mend, "The target of %s is %s g here and %s g in the recipe now: the recipe changed since.", l.Name, l.Asked.Text(), l.Now.Text())
	}
	if l.Weighed == nil {
		if b.State == Begun {
			b.remark(check.Note, l.At, "", "%s is not weighed yet.", l.Name)
		}
		return
	}
	if !l.Within {
		b.remark(check.Caution, l.At, because(l.Note, "say why in a note: on the line"), "%s is off its target of %s g by %s g, and ±%s g is allowed.",
			l.Name, l.Asked.Text(), l.DifferenceText(), l.Allowed.Grams().Text(6))
	}
	b.lotRemarks(l)
}

// because gives the maker's own reason, or else what to do.
func because(note, mend string) string {
	if note != "" {
		return "noted: " + note
	}
	return mend
}

func (b *Batch) lotRemarks(l *Line) {
	if len(l.Lots) == 0 && l.Material != nil && len(l.Material.Lots) > 0 {
		b.remark(check.Caution, l.At, "name the lot on the line: lot: …", "No lot is named for %s, so this batch cannot be traced by it.", l.Name)
	}
	for _, use := range l.Lots {
		if b.Made != nil && use.Lot != nil && use.Lot.Expires != "" && use.Lot.Expires < b.Made.Format(time.DateOnly) {
			b.remark(check.Caution, use.At, because(l.Note, ""), "The lot %s of %s was past its date on the day, %s.", use.Code, l.Name, use.Lot.Expires)
		}
	}
}

// outcome looks at what came out.
func (b *Batch) outcome() {
	if b.YieldPercent != nil && b.YieldPercent.Cmp(quantity.Int(100)) > 0 {
		b.remark(check.Caution, b.codeSpan(), "weigh the pot again, or see that every weight is written down", "More came out (%s g) than went in (%s g).", b.Yield.Grams().Text(6), b.Weighed.Grams().Text(6))
	}
	filled := b.InContainers()
	if b.Yield != nil && filled.Grams().Cmp(b.Yield.Grams()) > 0 {
		b.remark(check.Caution, b.codeSpan(), "count the containers again, or see what each takes", "The containers hold %s g, more than the yield of %s g.", filled.Grams().Text(1), b.Yield.Grams().Text(6))
	}
	for _, f := range b.Filled {
		if f.Fill == nil && b.Recipe != nil {
			b.remark(check.Note, f.At, "", "The recipe does not say what a %s takes.", f.Container)
		}
	}
	if b.PH == nil || b.Recipe == nil || b.Recipe.PH == nil {
		return
	}
	if b.PH.Low.Cmp(b.Recipe.PH.Low) < 0 || b.PH.High.Cmp(b.Recipe.PH.High) > 0 {
		b.remark(check.Caution, b.codeSpan(), "bring it into the range, or say in the remarks why it was let pass", "The pH of %s is outside the recipe's %s.", b.PH.String(), b.Recipe.PH.String())
	}
}

// InContainers gives what the filled containers hold by what each takes, as far as that is known.
func (b *Batch) InContainers() quantity.Mass {
	sum := quantity.Number{}
	for _, f := range b.Filled {
		if f.Fill != nil {
			sum = sum.Add(f.Fill.Takes.Grams().Mul(quantity.Int(f.Count)))
		}
	}
	return quantity.Grams(sum)
}

// release looks at the judgement.
func (b *Batch) release() {
	switch c := b.Checked; {
	case c == nil && b.State == Made:
		b.remark(check.Note, b.codeSpan(), "keep it apart until it is judged: checked: {by: …, on: …, passed: …}", "The batch is not released yet.")
	case c != nil && !c.Passed:
		b.remark(check.Stop, b.codeSpan(), "do not sell it or give it away; say in the remarks what becomes of it", "%s refused the batch on %s.", c.By, c.On.Format(time.DateOnly))
	case c != nil && b.By != "" && c.By == b.By:
		b.remark(check.Note, b.codeSpan(), "let a second person look where you can", "%s both made the batch and released it.", c.By)
	}
}

// DifferenceText writes a line's difference in grams with its sign and as many decimals as the scale shows, or more where it needs them: "+0.02", "−1.5".
func (l *Line) DifferenceText() string {
	places, _ := l.Reading.Step.Grams().Places()
	if needed, finite := l.Difference.Places(); finite && needed > places {
		places = min(needed, 6)
	}
	switch l.Difference.Sign() {
	case 1:
		return "+" + l.Difference.Fixed(places)
	case -1:
		return "−" + l.Difference.Neg().Fixed(places)
	}
	return l.Difference.Fixed(places)
}
