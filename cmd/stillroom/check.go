package main

import (
	"slices"

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
worth knowing (note). All of them are told at once.

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
			report.Findings = append(report.Findings, checkedFinding{r.Slug, site.NewFindingFile(f), f.Version})
		}
		if !c.JSON {
			t.findings(t.out, slices.DeleteFunc(found, func(f check.Finding) bool { return !c.Notes && f.Level == check.Note && f.Code != "accept-unused" }))
		}
	}
	if stops > 0 {
		t.code = held
	}
	if c.JSON {
		return c.printJSON(t, report, problems)
	}
	remarks(t.out, book, c.Notes)
	t.problems(problems)
	c.sum(t, report, len(book.Recipes))
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

// sum says how much was looked at and found.
func (c *checkCommand) sum(t *talk, report checked, recipes int) {
	counts := map[string]int{}
	for _, f := range report.Findings {
		if f.Accepted != "" {
			counts["accepted"]++
			continue
		}
		counts[f.Level]++
	}
	more := ""
	if counts[string(check.Note)] > 0 && !c.Notes {
		more = " (--notes shows the notes)"
	}
	t.say("%s checked: %s, %s, %s, %d accepted%s", counted(recipes, "recipe"), counted(counts[string(check.Stop)], "stop"),
		counted(counts[string(check.Caution)], "caution"), counted(counts[string(check.Note)], "note"), counts["accepted"], more)
}
