package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/browser"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/pdf"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/record"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/spell"
	"larkrow.example/stillroom/themes/linen"
)

// labelsCommand prints a recipe's labels on a sheet.
type labelsCommand struct {
	Recipe  string `arg:"" help:"The recipe: its address, title or file."`
	As      string `placeholder:"VERSION" help:"A variant or split of the recipe."`
	Fill    string `placeholder:"CONTAINER" help:"The container that the labels are for, as the recipe's fill: calls it. If left out: the first."`
	Sheet   string `placeholder:"NAME" help:"The sheet of labels, as label-sheets: in handbook.yaml calls it. If left out: the first."`
	Batch   string `placeholder:"CODE" help:"The batch's code. If left out: room to write it by hand. A batch record of that code gives version and dates."`
	Made    string `placeholder:"DATE" help:"The day of making, as 2026-05-03, from which the best-before date counts."`
	On      string `placeholder:"DATE" help:"The day on which the labels are printed, as 2026-05-04. If left out: today."`
	Opened  string `placeholder:"TIME" help:"How long it is good once opened, as 12 months, for what keeps longer than 30 months (EU)."`
	Market  string `default:"EU" enum:"EU,US" placeholder:"EU|US" help:"Whose rules the label follows."`
	Count   int    `placeholder:"N" help:"How many labels. If left out: what is left of the first sheet."`
	StartAt int    `default:"1" placeholder:"N" help:"The first free place on the sheet, counted along the rows."`
	In      string `default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
	Theme   string `placeholder:"FOLDER" help:"A folder whose files replace those of the same name in the default theme; labels have print/labels.html and print/labels.css."`
	To      string `placeholder:"FILE" help:"Where to write the page, an .html file; a PDF goes beside it. If left out: the recipe's address with -labels.html, here."`
}

// Help gives the long help.
func (labelsCommand) Help() string {
	return `Each label has the product's name, ingredients, warnings, batch, date, who is responsible, and the net contents, set as large as
there is room and never below what the law asks for. A sheet is described in handbook.yaml:

  label-sheets:
    - {name: tins, page: A4, rows: 7, columns: 3, label: 63.5 mm × 38.1 mm, top: 15.15 mm, left: 7.25 mm, gaps: 2.5 mm × 0 mm}
  responsible: {name: Larkrow stillroom, address: "3 Lark Row, Milton"}

For the US the letters of the net contents go by the whole side of the package that the label is on: give that as
panel: {front: 60 mm × 45 mm}, or of a round container panel: {around: 200 mm, height: 45 mm}.

Labels of a batch that was made say what its record says was weighed and filled, whatever the recipe says today.

The label copy is a help and no legal advice: read it against your local rules before it goes on a jar.

Examples:
  stillroom labels hedgerow-hand-cream --batch HHC-261125-1 --made 2026-11-25
  stillroom labels gardeners-balm --as "Without bees" --sheet tins --fill "60 ml tin" --count 12 --start-at 4
  stillroom labels hedgerow-hand-cream --market US --to labels/cream.html

Exit code: 0 written; 1 the text does not fit, or there may be no labels: a stop finding, a batch half weighed, a date that is past; 2 a problem.`
}

// A labelJob is what the labels are made from, found and checked.
type labelJob struct {
	book    *site.Book
	recipe  *handbook.Recipe
	worked  handbook.Worked
	sheet   *label.Sheet
	batch   *record.Batch // nil where there is no batch record
	today   time.Time
	wording label.Wording
}

// Run writes the labels.
func (c *labelsCommand) Run(t *talk) error {
	if err := c.sense(); err != nil {
		return err
	}
	book, root, problems, err := openBook(c.In)
	if err != nil {
		return err
	}
	defer root.Close()
	j := &labelJob{book: book}
	if j.recipe, err = findRecipe(book, c.In, c.Recipe); err != nil {
		t.problems(problems)
		return err
	}
	if weighing := (&weighCommand{In: c.In}); !weighing.sound(t, book, j.recipe, problems) {
		return nil
	}
	if err := c.findBatch(j); err != nil {
		return err
	}
	if !c.whole(t, j, problems) {
		return nil
	}
	if err := c.find(j); err != nil {
		return err
	}
	made, err := c.made(j)
	if err != nil {
		return err
	}
	if c.held(t, j, made) || c.past(t, j, made) {
		return nil
	}
	c.doubts(t, j, made)
	if err := c.word(j, made); err != nil {
		return err
	}
	return c.lay(t, j)
}

// sense refuses a command line that contradicts itself.
func (c *labelsCommand) sense() error {
	switch {
	case c.StartAt < 1:
		return hint(errors.New("--start-at counts the places of a sheet from 1"), "the first place is 1")
	case c.Count < 0:
		return hint(errors.New("--count is how many labels to print"), "leave it out for one full sheet")
	case c.To != "" && !strings.EqualFold(filepath.Ext(c.To), ".html"):
		return hint(fmt.Errorf("--to %s does not end in .html", c.To), "name an .html file; the PDF goes beside it")
	}
	return nil
}

// find finds day, version, sheet and container.
func (c *labelsCommand) find(j *labelJob) (err error) {
	if j.today, err = (&recordCommand{On: c.On}).day(); err != nil {
		return err
	}
	version, err := findVersion(j.recipe, c.As)
	if err != nil {
		return err
	}
	if j.batch != nil && j.batch.Version != nil {
		if c.As != "" && j.batch.Version != version {
			return hint(fmt.Errorf("batch %s is of the version “%s”, not of “%s”", c.Batch, j.batch.Version.Name, version.Name), "leave --as out")
		}
		version = j.batch.Version
	}
	worked := j.book.Worked(j.recipe)
	at := slices.IndexFunc(worked, func(w handbook.Worked) bool { return w.Version == version })
	if at < 0 {
		return fmt.Errorf("%s could not be worked out", j.recipe.Title)
	}
	j.worked = worked[at]
	if asWeighed(j) {
		j.worked = handbook.Worked{Subject: j.batch.Weighing, Findings: j.batch.Findings}
		if err := c.findFilled(j); err != nil {
			return err
		}
	}
	if err := c.findFill(j); err != nil {
		return err
	}
	return c.findSheet(j)
}

func (c *labelsCommand) findFill(j *labelJob) error {
	var known []string
	for _, f := range j.worked.Fills {
		known = append(known, f.Container)
		if material.Key(f.Container) == material.Key(c.Fill) {
			c.Fill = f.Container
			return nil
		}
	}
	if c.Fill == "" {
		return nil
	}
	return hint(fmt.Errorf("%s fills no “%s”", j.recipe.Title, c.Fill), spell.DidYouMean(c.Fill, known, "it fills: "+strings.Join(known, ", ")))
}

func (c *labelsCommand) findSheet(j *labelJob) error {
	var known []string
	for i, s := range j.book.LabelSheets {
		known = append(known, s.Name)
		if c.Sheet == "" || material.Key(s.Name) == material.Key(c.Sheet) {
			j.sheet = &j.book.LabelSheets[i]
			break
		}
	}
	switch {
	case len(known) == 0:
		return hint(errors.New("handbook.yaml lists no sheets of labels"), "measure yours and write: label-sheets: [{name: tins, page: A4, rows: 7, columns: 3, label: 63.5 mm × 38.1 mm, top: 15.15 mm, left: 7.25 mm, gaps: 2.5 mm × 0 mm}]")
	case j.sheet == nil:
		return hint(fmt.Errorf("handbook.yaml lists no sheet of labels “%s”", c.Sheet), spell.DidYouMean(c.Sheet, known, "its sheets are: "+strings.Join(known, ", ")))
	case c.StartAt > j.sheet.Places():
		return hint(fmt.Errorf("the sheet “%s” has %d places, and --start-at is %d", j.sheet.Name, j.sheet.Places(), c.StartAt), "count along the rows")
	}
	return nil
}

// word fills the label copy in.
func (c *labelsCommand) word(j *labelJob, made time.Time) error {
	p := label.Particulars{Title: j.recipe.Title, Container: c.Fill, Batch: c.Batch, Responsible: j.book.ResponsibleIn(c.Market)}
	if j.worked.Version.Kind != formula.Base {
		p.Title += ", " + j.worked.Version.Name
	}
	p.Best = c.best(j, made)
	if c.Opened != "" {
		opened, err := quantity.ParseDuration(c.Opened)
		if err != nil {
			return fmt.Errorf("--opened %s: %w", c.Opened, err)
		}
		p.Opened = &opened
	}
	j.wording = label.Word(site.LabelSubject(j.worked.Subject, made), c.Market, p)
	if len(j.wording.Missing) > 0 {
		return hint(errors.New(strings.Join(j.wording.Missing, "\n")), "responsible: {name: …, address: …} in handbook.yaml, fill: in the recipe, or --opened")
	}
	return nil
}

// lay sets the label and writes it.
func (c *labelsCommand) lay(t *talk, j *labelJob) error {
	laid, err := label.Lay(j.sheet, &j.wording)
	if misfit, ok := errors.AsType[*label.Misfit](err); ok {
		t.fail(fmt.Errorf("no labels were written: %w (by the widths of the font's letters)", err), misfit.ToDo())
		t.code = held
		return nil
	}
	sheet := &site.LabelSheet{Title: "Labels: " + j.recipe.Title, Laid: laid, Count: c.Count, First: c.StartAt}
	if sheet.Count == 0 {
		sheet.Count = j.sheet.Places() - c.StartAt + 1
	}
	var page bytes.Buffer
	theme, err := loadTheme(c.Theme)
	if err != nil {
		return err
	}
	if err := sheet.Write(&page, theme, linen.FS); err != nil {
		return err
	}
	file := c.To
	if file == "" {
		file = j.recipe.Slug + "-labels.html"
	}
	for _, s := range slices.Concat(j.wording.SeeTo, j.sheet.SeeTo(&j.wording), laid.SeeTo()) {
		t.say("see to: %s", s)
	}
	return c.write(t, sheet, file, page.Bytes())
}

// write writes page and PDF, and sees in a browser that nothing runs over.
func (c *labelsCommand) write(t *talk, sheet *site.LabelSheet, file string, page []byte) error {
	if err := os.WriteFile(file, page, 0o644); err != nil {
		return err
	}
	wrote := fmt.Sprintf("%s: %s on the sheet “%s”", file, counted(sheet.Count, "label"), sheet.Laid.Sheet.Name)
	b, err := browser.Launch(context.Background())
	if errors.Is(err, browser.ErrNone) {
		fmt.Fprintf(t.out, "%s; it fits by the widths of the font's letters\n", wrote)
		t.say("no PDF: %v", err)
		t.say("  what to do: %s", browser.Install)
		return nil
	}
	if err != nil {
		return err
	}
	defer b.Close()
	over, err := overruns(b, file)
	if err != nil {
		return err
	}
	if len(over) > 0 {
		t.fail(fmt.Errorf("measured in the browser, this runs over its label: %s", strings.Join(over, "; ")), "take a larger label; "+file+" shows it")
		t.code = held
		return nil
	}
	raw, err := b.Print(page)
	if err != nil {
		return err
	}
	printed, err := pdf.Join(sheet.Laid.Sheet.Name, nil, raw)
	if err != nil {
		return err
	}
	to := strings.TrimSuffix(file, filepath.Ext(file)) + ".pdf"
	if err := os.WriteFile(to, printed, 0o644); err != nil {
		return err
	}
	fmt.Fprintf(t.out, "%s; it fits, measured in the browser\n%s: the same to print\n", wrote, to)
	return nil
}

// overruns gives what a browser draws longer or lower than there is room, each once.
func overruns(b *browser.Browser, file string) ([]string, error) {
	address, err := browser.FileAddress(file)
	if err != nil {
		return nil, err
	}
	p, err := b.Open(address, browser.View{Width: 1200})
	if err != nil {
		return nil, err
	}
	defer p.Close()
	all, err := browser.Await[[]string](p, "document.fonts.ready.then(() => "+site.LabelOverruns+")")
	slices.Sort(all)
	return slices.Compact(all), err
}
