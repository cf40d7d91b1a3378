package record

import (
	"fmt"
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// A Remark is something to know of a batch record that is no fault of the page: it is what happened, or what is still to be done.
type Remark struct {
	Level   check.Level
	Message string // one sentence
	Mend    string // what to do, or ""
	At      problem.Span
	Open    bool // it can be mended on the page at any time, also when the batch is long made
}

func (b *Batch) remark(level check.Level, at problem.Span, mend, format string, args ...any) {
	b.Remarks = append(b.Remarks, Remark{Level: level, Message: fmt.Sprintf(format, args...), Mend: mend, At: at})
}

// open adds a caution on what the page leaves open.
func (b *Batch) open(at problem.Span, mend, format string, args ...any) {
	b.remark(check.Caution, at, mend, format, args...)
	b.Remarks[len(b.Remarks)-1].Open = true
}

// codeSpan is where a remark on the whole batch stands.
func (b *Batch) codeSpan() problem.Span { return b.CodeAt }

// remarks gathers what is to be known of the lines, then of the whole.
func (b *Batch) remarks(h *handbook.Handbook) {
	b.origin(h)
	for i := range b.Lines {
		b.lineRemarks(h, &b.Lines[i])
	}
	b.outcome()
	b.release()
}

func (b *Batch) lineRemarks(h *handbook.Handbook, l *Line) {
	switch {
	case l.Missing && b.State == Made:
		b.remark(check.Caution, b.codeSpan(), "", "The recipe has %s now and this record does not: it was left out, or the recipe changed since.", l.Name)
		return
	case l.Missing:
		return // it is still to be weighed, and the recipe says how much
	case l.Item < 0 && b.Version != nil:
		b.remark(check.Caution, l.At, "", "%s is not in the recipe now: it was put in on the day, or the recipe changed since.", l.Name)
	case l.Target != nil && l.Now != nil && l.Target.Grams().Cmp(l.Now.Mass.Grams()) != 0:
		b.otherTarget(l)
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
		b.Remarks[len(b.Remarks)-1].Open = l.Note == ""
	}
	b.lotRemarks(h, l)
}

// otherTarget tells of a target that the recipe does not give now.
func (b *Batch) otherTarget(l *Line) {
	why := "it differs from the recipe as it is now"
	if b.changedSince() {
		why = "the recipe changed since"
	}
	const words = "The target of %s is %s g here and %s g in the recipe now: %s."
	switch {
	case grossly(l.Target.Grams(), l.Now.Mass.Grams()):
		b.open(l.ValueAt, "see whether the decimal point is in its place", words, l.Name, l.Asked.Text(), l.Now.Text(), "one is at least five times the other")
	case b.State != Made:
		b.remark(check.Caution, l.ValueAt, "see which of the two is meant; to weigh by the recipe as it is now, take the target out or write it anew", words, l.Name, l.Asked.Text(), l.Now.Text(), why)
	default:
		b.remark(check.Note, l.ValueAt, "", words, l.Name, l.Asked.Text(), l.Now.Text(), why)
	}
}

// changedSince says whether the recipe's page tells that it was changed after the batch was made, or after a day on which it is not made yet.
func (b *Batch) changedSince() bool {
	return b.Made != nil && b.Recipe != nil && b.Recipe.Updated != nil && b.Recipe.Updated.After(*b.Made)
}

// grossly says whether one weight is five times the other or more, as by a decimal point in the wrong place.
func grossly(a, b quantity.Number) bool {
	return a.Cmp(b.Mul(quantity.Int(5))) >= 0 || b.Cmp(a.Mul(quantity.Int(5))) >= 0
}

// because gives the maker's own reason, or else what to do.
func because(note, mend string) string {
	if note != "" {
		return "noted: " + note
	}
	return mend
}

// outcome looks at what came out.
func (b *Batch) outcome() {
	if b.Expires != nil && b.Expires.Before(*b.Made) {
		b.open(b.codeSpan(), "see which day is right; if it is so, set the batch aside and do not sell it or give it away",
			"The batch was past its date on the day on which it was made: good until %s (%s).", b.Expires.Format(time.DateOnly), b.ExpiresBy)
	}
	if b.YieldPercent != nil && b.YieldPercent.Cmp(quantity.Int(100)) > 0 {
		b.remark(check.Caution, b.codeSpan(), "weigh the pot again, or see that every weight is written down", "More came out (%s g) than went in (%s g).", b.Yield.Grams().Text(3), b.Weighed.Grams().Text(3))
	}
	filled := b.InContainers()
	if b.Yield != nil && filled.Grams().Cmp(b.Yield.Grams()) > 0 {
		b.remark(check.Caution, b.codeSpan(), "count the containers again, or see what each takes", "The containers hold %s g, more than the yield of %s g.", filled.Grams().Text(1), b.Yield.Grams().Text(3))
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
	if b.By == "" && b.State == Made {
		b.open(b.codeSpan(), "write who made it: by: AB", "The record does not tell who made the batch.")
	}
	switch c := b.Checked; {
	case c == nil && b.State == Made:
		b.remark(check.Note, b.codeSpan(), "keep it apart until it is judged: checked: {by: …, on: …, passed: …}", "The batch is not released yet.")
	case c != nil && !c.Passed:
		b.remark(check.Stop, b.codeSpan(), "do not sell it or give it away; say in the remarks what becomes of it", "%s refused the batch on %s.", c.By, c.On.Format(time.DateOnly))
	case c != nil && b.By != "" && c.By == b.By:
		b.remark(check.Note, b.codeSpan(), "let a second person look where you can", "%s both made the batch and released it.", c.By)
	}
}

// places gives the decimals with which a line's weights are shown: as many as the scale shows, or up to three where a weight has more, as one
// that was written in ounces.
func (l *Line) places(exact quantity.Number) int {
	places, _ := l.Reading.Step.Grams().Places()
	if needed, finite := exact.Places(); !finite || needed > places {
		return max(places, min(needed, 3))
	}
	return places
}

// WeighedText writes what was weighed in grams.
func (l *Line) WeighedText() string { return l.Weighed.Grams().Fixed(l.places(l.Weighed.Grams())) }

// DifferenceText writes a line's difference in grams with its sign: "+0.02", "−1.5".
func (l *Line) DifferenceText() string {
	places := max(l.places(l.Difference), l.places(l.Weighed.Grams()))
	switch l.Difference.Sign() {
	case 1:
		return "+" + l.Difference.Fixed(places)
	case -1:
		return "−" + l.Difference.Neg().Fixed(places)
	}
	return l.Difference.Fixed(places)
}
