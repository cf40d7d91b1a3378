package site

import (
	"fmt"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/record"
)

const recordsPath = "batches/index.html"

func recordPath(r *handbook.Record) string { return "batches/" + r.Slug + "/index.html" }

// record is the page of one batch.
func (s *Build) record(r *handbook.Record) (any, error) {
	b := s.batch(r)
	v := &RecordView{
		Frame: s.frame("batch", recordPath(r), r.Title, "", Link{Text: s.Title, Href: homePath}, Link{Text: s.words.Say("menu.batches"), Href: recordsPath}),
		Name:  r.Title, State: s.state(r), Size: r.Size.Written, Checked: b.Tested, Caution: s.words.Say("recipe.closing"),
		Sources: record.ClauseSources,
	}
	v.Recipe.Text = r.RecipeName
	if r.Recipe != nil {
		v.Recipe.Text = r.Recipe.Title
		if s.has(&r.Recipe.Page) {
			v.Recipe.Href = v.Root + recipePath(r.Recipe)
		}
	}
	v.Version = recordVersion(r)
	v.Facts = s.recordFacts(b)
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

// state says how far a batch is.
func (s *Build) state(r *handbook.Record) string {
	return s.words.Say("batch.state." + string(record.StateOf(r)))
}

// recordFacts gives what came of a batch.
func (s *Build) recordFacts(b *record.Batch) []Fact {
	l := s.words
	var facts []Fact
	if b.Made != nil {
		facts = fact(facts, l.Say("batch.made"), l.Date(*b.Made), "")
	}
	facts = fact(facts, l.Say("batch.by"), b.By, "")
	if b.Yield != nil {
		weight := s.weight(b.Yield.Grams())
		if b.YieldPercent != nil {
			weight = l.Say("batch.yield-of", "weight", weight, "percent", l.Number(b.YieldPercent.Fixed(1)))
		}
		facts = fact(facts, l.Say("batch.yield"), weight, "")
	}
	facts = fact(facts, l.Say("batch.filled"), filledWords(b.Record), "")
	if b.PH != nil {
		facts = fact(facts, l.Say("recipe.ph"), l.Figures(phText(*b.PH)), "")
	}
	if c := b.Checked; c != nil {
		verdict := "batch.released"
		if !c.Passed {
			verdict = "batch.refused"
		}
		facts = fact(facts, l.Say(verdict), l.Say("batch.judged", "who", c.By, "day", l.Date(c.On)), "")
	}
	if b.Expires != nil {
		facts = fact(facts, l.Say("batch.until"), l.Date(*b.Expires), s.untilBy(b))
	}
	return facts
}

// weight writes grams, up to three decimals of them.
func (s *Build) weight(grams quantity.Number) string { return s.words.Number(grams.Text(3)) + " g" }

// untilBy says what sets the day until which a batch is good: how long its recipe keeps, or the first of the lots that end on it.
func (s *Build) untilBy(b *record.Batch) string {
	if b.Recipe != nil && b.Recipe.Keeps != nil && record.After(*b.Made, *b.Recipe.Keeps).Equal(*b.Expires) {
		return s.words.Say("batch.keeps", "time", lasting(s.words, *b.Recipe.Keeps))
	}
	for _, l := range b.Lines {
		for _, use := range l.Lots {
			if use.Lot != nil && use.Lot.Expires == b.Expires.Format(time.DateOnly) {
				return s.words.Say("batch.lot", "name", l.Name, "lot", use.Code)
			}
		}
	}
	return ""
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
			row.Target = s.words.Number(l.Asked.Text())
		}
		if l.Reading != nil {
			row.Weighed = s.words.Number(l.WeighedText())
			if l.Asked != nil {
				row.Difference = s.words.Number(l.DifferenceText())
			}
		}
		for _, use := range l.Lots {
			words := use.Code
			if use.Took != nil {
				words += " (" + s.weight(use.Took.Grams()) + ")"
			}
			row.Lots = append(row.Lots, words)
		}
		v.Rows = append(v.Rows, row)
	}
	v.Target = s.words.Number(b.Target.Grams().Text(3))
	if b.Weighed.Grams().Sign() > 0 {
		v.Weighed = s.words.Number(b.Weighed.Grams().Text(3))
	}
}

// recordCosts gives what a batch cost as made; the sum is of the amounts shown.
func (s *Build) recordCosts(v *RecordView, b *record.Batch) {
	c := b.Cost
	if c == nil || c.Materials.Sign() == 0 {
		return
	}
	money := func(key, amount string) {
		v.Costs = append(v.Costs, Fact{Name: s.words.Say(key), Value: strings.TrimSpace(s.words.Number(amount) + " " + s.Currency)})
	}
	materials, containers, labour := hundredths(c.Materials), hundredths(c.Containers), hundredths(c.Labour)
	money("cost.materials", materials.Fixed(2))
	if containers.Sign() > 0 {
		money("cost.containers", containers.Fixed(2))
	}
	if labour.Sign() > 0 {
		money("cost.labour", labour.Fixed(2))
	}
	money("cost.all", materials.Add(containers).Add(labour).Fixed(2))
	if each, ok := c.PerContainer(); ok {
		money("cost.each", each.Fixed(2))
	}
	v.Missing = c.Unknown
}

// recordList is the list of all batches.
func (s *Build) recordList() (any, error) {
	v := &RecordsView{Frame: s.frame("batches", recordsPath, s.words.Say("menu.batches"), "", Link{Text: s.Title, Href: homePath})}
	for _, state := range []record.State{record.Begun, record.Planned, record.Made} {
		g := RecordGroup{Name: s.words.Say("batches." + string(state))}
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

// recordVersion gives the version of a batch as it is now, or as the record writes it where it is gone; "" for the base.
func recordVersion(r *handbook.Record) string {
	switch {
	case r.Version == nil:
		return r.VersionName
	case r.Version.Kind == formula.Base:
		return ""
	}
	return r.Version.Name
}

func (s *Build) recordEntry(r *handbook.Record, root string) RecordEntry {
	e := RecordEntry{Code: r.Title, Href: root + recordPath(r), Recipe: r.RecipeName, Size: r.Size.Written}
	if r.Recipe != nil {
		e.Recipe = r.Recipe.Title
	}
	if version := recordVersion(r); version != "" {
		e.Recipe += ", " + version
	}
	if r.Made == nil {
		return e
	}
	e.Made = r.Made.Format(time.DateOnly)
	b := s.batch(r)
	if b.Expires != nil {
		e.Until, e.Past = b.Expires.Format(time.DateOnly), b.Expires.Before(*r.Made)
	}
	e.Stops = len(b.Stops())
	if r.Yield != nil {
		e.Yield = s.weight(r.Yield.Grams())
	}
	switch {
	case r.Checked == nil:
		e.Released = s.words.Say("batch.is.unreleased")
	case r.Checked.Passed:
		e.Released = s.words.Say("batch.is.released")
	default:
		e.Released = s.words.Say("batch.is.refused")
	}
	return e
}
