package site

import (
	"fmt"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/record"
)

const recordsPath = "batches/index.html"

func recordPath(r *handbook.Record) string { return "batches/" + r.Slug + "/index.html" }

// record is the page of one batch.
func (s *Build) record(r *handbook.Record) (any, error) {
	b := record.Of(s.Handbook, r)
	v := &RecordView{
		Frame: s.frame("batch", recordPath(r), r.Title, "", Link{Text: s.Title, Href: homePath}, Link{Text: "Batches", Href: recordsPath}),
		Name:  r.Title, State: string(b.State), Size: r.Size.Written, Checked: b.Tested, Caution: closing,
		Sources: record.ClauseSources,
	}
	if r.Recipe != nil {
		v.Recipe = Link{Text: r.Recipe.Title}
		if s.has(&r.Recipe.Page) {
			v.Recipe.Href = v.Root + recipePath(r.Recipe)
		}
	}
	if r.Version != nil && r.Version.Kind != formula.Base {
		v.Version = r.Version.Name
	}
	v.Facts = recordFacts(b)
	s.recordRows(v, b)
	for _, m := range b.Remarks {
		v.Remarks = append(v.Remarks, RemarkView{string(m.Level), m.Message, m.Mend})
	}
	for i, f := range b.Findings {
		if f.Code != "allergen-to-declare" { // a matter of the label, which the recipe's page tells
			view := FindingView{Code: f.Code, Level: string(f.Level), Subject: f.Subject, Message: f.Message, Mend: f.Mend, Source: f.Source, Market: f.Market, Accepted: f.Accepted}
			v.Findings = append(v.Findings, RecordFinding{view, b.New[i]})
		}
	}
	s.recordCosts(v, b)
	for _, c := range record.Clauses() {
		v.Clauses = append(v.Clauses, ClauseView(c))
	}
	body, err := s.body(&r.Page, nil)
	v.Body = body
	return v, err
}

// recordFacts gives what came of a batch.
func recordFacts(b *record.Batch) []Fact {
	var facts []Fact
	if b.Made != nil {
		facts = fact(facts, "Made", day(b.Made), "")
	}
	facts = fact(facts, "By", b.By, "")
	if b.Yield != nil {
		words := b.Yield.Grams().Text(6) + " g"
		if b.YieldPercent != nil {
			words += ", " + b.YieldPercent.Fixed(1) + " % of what was weighed"
		}
		facts = fact(facts, "Yield", words, "")
	}
	facts = fact(facts, "Filled", filledWords(b.Record), "")
	if b.PH != nil {
		facts = fact(facts, "pH", phText(*b.PH), "")
	}
	if c := b.Checked; c != nil {
		verdict := "Released"
		if !c.Passed {
			verdict = "Refused"
		}
		facts = fact(facts, verdict, "by "+c.By+" on "+day(&c.On), "")
	}
	if b.Expires != nil {
		facts = fact(facts, "Good until", day(b.Expires), b.ExpiresBy)
	}
	return facts
}

func filledWords(r *handbook.Record) string {
	var words []string
	for _, f := range r.Filled {
		words = append(words, fmt.Sprintf("%d × %s", f.Count, f.Container))
	}
	return strings.Join(words, ", ")
}

// recordRows lays out what was to be weighed beside what was.
func (s *Build) recordRows(v *RecordView, b *record.Batch) {
	for _, l := range b.Lines {
		row := RecordRow{Name: l.Name, Note: l.Note, Off: !l.Within}
		if l.Material != nil && l.Item >= 0 {
			row.Href = s.materialHref(l.Material.ID, v.Root)
		}
		if l.Asked != nil {
			row.Target = l.Asked.Text()
		}
		if l.Reading != nil {
			row.Weighed = l.Reading.Text()
			if l.Asked != nil {
				row.Difference = l.DifferenceText()
			}
		}
		for _, use := range l.Lots {
			words := use.Code
			if use.Took != nil {
				words += " (" + use.Took.Grams().Text(6) + " g)"
			}
			row.Lots = append(row.Lots, words)
		}
		v.Rows = append(v.Rows, row)
	}
	v.Target = b.Target.Grams().Text(6)
	if b.Weighed.Grams().Sign() > 0 {
		v.Weighed = b.Weighed.Grams().Text(6)
	}
}

// recordCosts gives what a batch cost as made; the sum is of the amounts shown.
func (s *Build) recordCosts(v *RecordView, b *record.Batch) {
	c := b.Cost
	if c == nil || c.Materials.Sign() == 0 {
		return
	}
	money := func(name, amount string) {
		v.Costs = append(v.Costs, Fact{Name: name, Value: strings.TrimSpace(amount + " " + s.Currency)})
	}
	materials, containers, labour := hundredths(c.Materials), hundredths(c.Containers), hundredths(c.Labour)
	money("Materials", materials.Fixed(2))
	if containers.Sign() > 0 {
		money("Containers", containers.Fixed(2))
	}
	if labour.Sign() > 0 {
		money("Labour", labour.Fixed(2))
	}
	money("In all", materials.Add(containers).Add(labour).Fixed(2))
	if each, ok := c.PerContainer(); ok {
		money("For one container", each.Fixed(2))
	}
	v.Missing = c.Unknown
}

// recordList is the list of all batches.
func (s *Build) recordList() (any, error) {
	v := &RecordsView{Frame: s.frame("batches", recordsPath, "Batches", "", Link{Text: s.Title, Href: homePath})}
	for _, state := range []record.State{record.Begun, record.Planned, record.Made} {
		g := RecordGroup{Name: groupName(state)}
		for _, r := range record.InOrder(s.records) {
			if record.StateOf(r) == state {
				g.Records = append([]RecordEntry{s.recordEntry(r, v.Root)}, g.Records...)
			}
		}
		if g.Records != nil {
			v.Groups = append(v.Groups, g)
		}
	}
	return v, nil
}

// groupName heads the batches of one state.
func groupName(s record.State) string { return strings.ToUpper(string(s[:1])) + string(s[1:]) }

func (s *Build) recordEntry(r *handbook.Record, root string) RecordEntry {
	e := RecordEntry{Code: r.Title, Href: root + recordPath(r), Size: r.Size.Written}
	if r.Recipe != nil {
		e.Recipe = r.Recipe.Title
	}
	if r.Version != nil && r.Version.Kind != formula.Base {
		e.Recipe += ", " + r.Version.Name
	}
	if r.Made == nil {
		return e
	}
	e.Made = r.Made.Format(time.DateOnly)
	if until, _ := record.Until(s.Handbook, r); until != nil {
		e.Until = until.Format(time.DateOnly)
	}
	if r.Yield != nil {
		e.Yield = r.Yield.Grams().Text(6) + " g"
	}
	switch {
	case r.Checked == nil:
		e.Released = "not released"
	case r.Checked.Passed:
		e.Released = "released"
	default:
		e.Released = "refused"
	}
	return e
}
