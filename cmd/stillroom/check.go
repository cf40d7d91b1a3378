package main

import (
	"io"
	"slices"
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/site"
)

// checkCommand tells problems and findings and writes nothing.
type checkCommand struct {
	Dir   string `arg:"" optional:"" default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
	Notes bool   `help:"Show the notes too: handling, and what is to be named on a label. The pages always show them."`
	JSON  bool   `help:"Print problems and findings as JSON, the notes among them."`
}

// Help gives the long help.
func (checkCommand) Help() string {
	return `Problems keep a page from being read; findings say that a formula is unsafe (stop), can go wrong (caution) or has something
worth knowing (note). All of them are told at once, those on batches as they were weighed too.

Examples:
  stillroom check
  stillroom check --notes
  stillroom check my-handbook --json

Exit code: 0 clean; 1 a stop finding that is not accepted; 2 a problem.`
}

// checked is the shape of the JSON.
type checked struct {
	Problems []checkedProblem `json:"problems"`
	Findings []checkedFinding `json:"findings"`
}

type checkedProblem struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Message string `json:"message"`
}

type checkedFinding struct {
	Recipe string `json:"recipe"`
	site.FindingFile
	Version string `json:"version"`
	Batch   string `json:"batch,omitempty"` // of a finding on a batch as it was weighed
}

// Run checks the handbook.
func (c *checkCommand) Run(t *talk) error {
	book, root, problems, err := openBook(c.Dir)
	if err != nil {
		return err
	}
	defer root.Close()
	readDoor(book, root, c.Dir, problems)
	report := checked{Problems: []checkedProblem{}, Findings: []checkedFinding{}}
	stops := 0
	for _, r := range book.Recipes {
		var found []check.Finding
		for _, w := range book.Worked(r) {
			found = append(found, w.Findings...)
		}
		for _, f := range found {
			if f.Stops() {
				stops++
			}
			report.Findings = append(report.Findings, checkedFinding{Recipe: r.Slug, FindingFile: site.NewFindingFile(f), Version: f.Version})
		}
		if !c.JSON {
			t.findings(t.out, slices.DeleteFunc(found, func(f check.Finding) bool { return !c.Notes && f.Level == check.Note && f.Code != "accept-unused" }))
		}
	}
	told := t.out
	if c.JSON {
		told = io.Discard
	}
	batches, remarks := t.batches(told, book, c.Notes, time.Now())
	for _, f := range batches {
		if f.Stops() {
			stops++
		}
		report.Findings = append(report.Findings, checkedFinding{f.recipe, site.NewFindingFile(f.Finding), f.Version, f.batch})
	}
	if stops > 0 {
		t.code = held
	}
	if c.JSON {
		return c.printJSON(t, report, problems)
	}
	t.problems(problems)
	c.sum(t, report, len(book.Recipes), remarks)
	return nil
}

func (c *checkCommand) printJSON(t *talk, report checked, problems *problem.List) error {
	for _, p := range problems.All() {
		line, column := p.Span.Position()
		report.Problems = append(report.Problems, checkedProblem{p.Span.File(), line, column, p.Message})
		t.code = unreadable
	}
	raw, err := site.EncodeJSON(report)
	if err == nil {
		_, err = t.out.Write(raw)
	}
	return err
}

// sum says how much was looked at and found: what is told once of several versions counts once.
func (c *checkCommand) sum(t *talk, report checked, recipes, remarks int) {
	type line struct{ recipe, batch, code, accepted, message string }
	counts, seen := map[string]int{}, map[line]bool{}
	for _, f := range report.Findings {
		told := line{f.Recipe, f.Batch, f.Code, f.Accepted, f.Message}
		if f.Code == declare {
			told.message = ""
		}
		if seen[told] {
			continue
		}
		seen[told] = true
		if f.Accepted != "" {
			counts["accepted"]++
			continue
		}
		counts[f.Level]++
	}
	more := ""
	if remarks > 0 {
		more = ", " + counted(remarks, "remark") + " on batches"
	}
	if counts[string(check.Note)] > 0 && !c.Notes {
		more += " (--notes shows the notes)"
	}
	t.say("%s checked: %s, %s, %s, %d accepted%s", counted(recipes, "recipe"), counted(counts[string(check.Stop)], "stop"),
		counted(counts[string(check.Caution)], "caution"), counted(counts[string(check.Note)], "note"), counts["accepted"], more)
}
