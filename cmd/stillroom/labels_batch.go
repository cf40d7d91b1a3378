package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/record"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/spell"
)

// Whoever reads a label holds what is in the jar and not the recipe: labels of a batch that was made are made from its record, and there are none
// where the record does not tell what was weighed.

// asWeighed says whether the labels are made from what was weighed.
func asWeighed(j *labelJob) bool { return j.batch != nil && j.batch.State != record.Planned }

// findBatch finds the batch record of the code. A handbook without records takes any code.
func (c *labelsCommand) findBatch(j *labelJob) error {
	if c.Batch == "" {
		return nil
	}
	var codes []string
	for _, r := range j.book.Records {
		if material.Key(r.Code) != material.Key(c.Batch) {
			if r.Recipe == j.recipe {
				codes = append(codes, r.Code)
			}
			continue
		}
		if r.Recipe != nil && r.Recipe != j.recipe {
			return hint(fmt.Errorf("batch %s is of %s, not of %s", r.Code, r.Recipe.Title, j.recipe.Title), "give the code of a batch of this recipe")
		}
		j.batch, c.Batch = record.Of(j.book.Handbook, r), r.Code
		return nil
	}
	if len(j.book.Records) == 0 {
		return nil
	}
	todo := "start its record: stillroom record " + j.recipe.Slug + " SIZE --code " + quoted(c.Batch) + "; or leave --batch out, which leaves room to write it by hand"
	return hint(fmt.Errorf("no batch record of %s has the code “%s”", j.recipe.Title, c.Batch), spell.DidYouMean(c.Batch, codes, todo))
}

// quoted puts quotes around what a command line would take apart.
func quoted(s string) string {
	if strings.ContainsAny(s, " \t") {
		return `"` + s + `"`
	}
	return s
}

// whole says whether the record of a batch is without a problem and, of one that was made, tells all that was weighed; else it tells what is wrong.
func (c *labelsCommand) whole(t *talk, j *labelJob, problems *problem.List) bool {
	if j.batch == nil {
		return true
	}
	mine := &problem.List{}
	for _, p := range problems.All() {
		if p.Span.File() == j.batch.File {
			mine.Add(p)
		}
	}
	switch {
	case mine.Len() > 0:
		t.problems(mine)
		return false
	case !asWeighed(j) || j.batch.Weighing != nil:
		return true
	}
	why, todo := c.unweighed(j.batch)
	t.fail(fmt.Errorf("no labels were written: %s", why), todo)
	t.code = held
	return false
}

// unweighed says why it is not known what a batch that was made holds, and what to do.
func (c *labelsCommand) unweighed(b *record.Batch) (why, todo string) {
	var names []string
	for _, l := range b.Lines {
		if l.Weighed == nil {
			names = append(names, l.Name)
		}
	}
	switch {
	case b.Version == nil:
		return "batch " + c.Batch + " is of a recipe or version that is not there now", "put it back, with access: maker for a recipe that is no longer made; labels of a batch are made by its recipe and its record"
	case names == nil:
		return "what was weighed of batch " + c.Batch + " makes no formula", "see that its weights are right; labels of a batch say what is in it"
	}
	return "batch " + c.Batch + " is not weighed to its end: " + strings.Join(names, ", "), "write down what was weighed; labels of a batch say what is in it"
}

// findFilled finds the container among those that were filled.
func (c *labelsCommand) findFilled(j *labelJob) error {
	var filled []string
	for _, f := range j.batch.Filled {
		if f.Count > 0 {
			filled = append(filled, f.Container)
		}
	}
	switch {
	case filled == nil:
	case c.Fill == "":
		c.Fill = filled[0]
	case !slices.ContainsFunc(filled, func(name string) bool { return material.Key(name) == material.Key(c.Fill) }):
		return hint(fmt.Errorf("batch %s filled no “%s”", c.Batch, c.Fill), spell.DidYouMean(c.Fill, filled, "it filled: "+strings.Join(filled, ", ")))
	}
	return nil
}

// held says whether there may be no labels: by the law of the day of making, what was weighed has a stop finding, or where nothing is weighed yet
// the recipe; or the batch was not passed.
func (c *labelsCommand) held(t *talk, j *labelJob, made time.Time) bool {
	findings := slices.Clone(j.worked.Findings)
	if !asWeighed(j) {
		subject := *j.worked.Subject
		subject.On = made
		findings = check.Run(&subject)
		check.MarkAccepted(findings, j.recipe.Accepts)
	}
	stops := slices.DeleteFunc(findings, func(f check.Finding) bool { return !f.Stops() })
	if len(stops) > 0 {
		t.findings(t.err, stops)
		t.say("no labels were written: %s is not to be made or sold like this", j.recipe.Title)
		t.code = held
	}
	if j.batch != nil && j.batch.Checked != nil && !j.batch.Checked.Passed {
		t.say("no labels were written: batch %s was checked and not passed", j.batch.Code)
		t.code = held
	}
	return t.code == held
}

// past says whether the day until which the batch is good is behind: a label that is out of date when it is printed would go on what is not to be
// sold, and there is no asking for it, since the day of making, how long the recipe keeps and the dates of lots are the maker's to mend.
func (c *labelsCommand) past(t *talk, j *labelJob, made time.Time) bool {
	best := c.best(j, made)
	if best.IsZero() || day(best) >= day(j.today) && !best.Before(made) {
		return false
	}
	when := "that day is past"
	if best.Before(made) {
		when = "it was made later, on " + day(made)
	}
	if j.batch != nil && j.batch.ExpiresBy != "" {
		when += " (" + j.batch.ExpiresBy + ")"
	}
	t.fail(fmt.Errorf("no labels were written: it is good until %s, and %s", day(best), when), "see that the day of making, keeps: and the dates of the lots are right; else set the batch aside")
	t.code = held
	return true
}

// day writes a day so that days stand in the order of time.
func day(t time.Time) string { return t.Format(time.DateOnly) }

// doubts tells what is to be seen to before labels go on a batch.
func (c *labelsCommand) doubts(t *talk, j *labelJob, made time.Time) {
	if day(made) > day(j.today) {
		t.say("see to: the day of making, %s, is still to come.", day(made))
	}
	c.unsure(t, j, made)
	if j.batch == nil {
		return
	}
	if !asWeighed(j) {
		t.say("see to: batch %s is not made yet; these labels say what the recipe says. Print them anew from its record once it is made.", c.Batch)
		return
	}
	for _, m := range j.batch.Remarks {
		if m.Level != check.Note {
			t.say("see to: batch %s: %s", c.Batch, m.Message)
		}
	}
	if j.batch.Checked == nil {
		t.say("see to: batch %s is not released: keep it apart, and its labels off what is sold, until somebody has judged it.", c.Batch)
	}
}

// unsure tells what is not known of the names in the ingredient list, such as which allergens a fragrance brings.
func (c *labelsCommand) unsure(t *talk, j *labelJob, made time.Time) {
	if j.worked.Product.Category == "not on skin" {
		return // it has no ingredient list
	}
	var flags []string
	names := make(map[string][]string)
	for _, e := range label.Ingredients(site.LabelSubject(j.worked.Subject, made), c.Market).Entries {
		for _, f := range e.Flags {
			if names[f] == nil {
				flags = append(flags, f)
			}
			names[f] = append(names[f], e.Name)
		}
	}
	for _, f := range flags {
		t.say("see to: %s: %s.", strings.Join(names[f], ", "), f)
	}
}

// made gives the day of making, the zero time where nothing says it. A label follows the law of that day, or the latest.
func (c *labelsCommand) made(j *labelJob) (time.Time, error) {
	made, err := time.Time{}, error(nil)
	if c.Made != "" {
		if made, err = time.Parse(time.DateOnly, c.Made); err != nil {
			return made, hint(fmt.Errorf("--made %s is no date", c.Made), "write it as 2026-05-03")
		}
	}
	if j.batch == nil || j.batch.Made == nil {
		return made, nil
	}
	if !made.IsZero() && !made.Equal(*j.batch.Made) {
		return made, hint(fmt.Errorf("the record of batch %s says that it was made on %s", c.Batch, day(*j.batch.Made)), "leave --made out, or mend the record")
	}
	return *j.batch.Made, nil
}

// best gives the last day on which the batch is good, the zero time where nothing says when it was made or how long it keeps. A batch
// record knows its lots, of which one may be past its date before.
func (c *labelsCommand) best(j *labelJob, made time.Time) time.Time {
	switch {
	case j.batch != nil && j.batch.Expires != nil:
		return *j.batch.Expires
	case made.IsZero() || j.recipe.Keeps == nil:
		return time.Time{}
	}
	return record.After(made, *j.recipe.Keeps)
}
