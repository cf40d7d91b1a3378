package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/binder"
	"larkrow.example/stillroom/internal/browser"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/site"
)

// binderCommand makes the printed edition, or a sheet for the bench.
type binderCommand struct {
	Args     []string `arg:"" optional:"" name:"DIR" help:"The handbook's folder; with --sheet: the batch, such as 250g or \"24 × 60 ml tin\"."`
	To       string   `placeholder:"FILE" help:"What to write: binder.pdf and binder.html, with --sheet sheet.pdf and sheet.html, if left out."`
	Shelf    []string `sep:"none" placeholder:"NAME" help:"Only this shelf; may be given several times."`
	Recipe   []string `sep:"none" placeholder:"NAME" help:"Only this recipe; may be given several times."`
	Since    string   `placeholder:"DATE" help:"Only what was updated on or after this day, such as 2026-05-03."`
	Paper    string   `default:"A4" placeholder:"SIZE" help:"A4, Letter or A5."`
	OneSided bool     `help:"For paper that is printed on one side: holes always on the left, no empty backs."`
	HTML     bool     `name:"html" help:"Write the HTML file alone, for printing from any browser."`
	Changed  bool     `help:"Write besides a PDF of the sheets that changed since the binder was last printed, and list them."`
	Sheet    string   `placeholder:"RECIPE" help:"A sheet for the bench: this recipe in one batch, with room to write in."`
	As       string   `placeholder:"VERSION" help:"With --sheet: a variant or split of the recipe."`
	In       string   `placeholder:"DIR" help:"The handbook's folder, as DIR; content, if left out."`
	Theme    string   `placeholder:"FOLDER" help:"A folder whose files replace those of the same name in the default theme; those for paper are in print/."`
}

// Help gives the long help.
func (binderCommand) Help() string {
	return `The binder is the maker's own edition with everything in it, costs and suppliers too: a title page, contents and an index with page
numbers, each recipe on a sheet of its own, materials and notes, tabs on the edge and room for the holes. A PDF needs an installed browser of
the Chromium family; the HTML file needs none, and has no page numbers. Beside the PDF, a file that ends in .json remembers what was printed.

Examples:
  stillroom binder                                       binder.html and binder.pdf of content/
  stillroom binder my-handbook --paper Letter --shelf "Balms & butters"
  stillroom binder --changed                             and the sheets to replace
  stillroom binder --sheet hedgerow-hand-cream 250g      one sheet for the bench
  stillroom binder --sheet hedgerow-hand-cream "24 × 100 ml jar" --as "Night version" --in my-handbook

Exit code: 0 written; 1 a bench sheet was written, and a finding says not to make it as written; 2 a problem, and nothing was written.`
}

// Run makes the binder or the sheet.
func (c *binderCommand) Run(t *talk) error {
	options, err := c.options()
	if err != nil {
		return err
	}
	if err := c.sort(); err != nil {
		return err
	}
	book, root, problems, err := openBook(c.In)
	if err != nil {
		return err
	}
	defer root.Close()
	if c.Sheet != "" {
		return c.bench(t, book, root, problems, options)
	}
	if t.problems(problems); t.code != done {
		t.say("nothing was written")
		return nil
	}
	theme, err := loadTheme(c.Theme)
	if err != nil {
		return err
	}
	b, err := binder.New(site.NewProof(book, site.MakerEdition, theme).InEnglish(), root.ReadFile, options)
	if err != nil {
		return err
	}
	return c.bind(t, b)
}

// sort settles which argument is the folder and which the batch.
func (c *binderCommand) sort() error {
	switch {
	case c.Sheet != "" && len(c.Args) == 0:
		return hint(errors.New("a bench sheet is of one batch"), "say which, such as: stillroom binder --sheet "+c.Sheet+" 250g")
	case c.Sheet != "":
	case c.As != "":
		return hint(errors.New("--as is for a bench sheet"), "say --sheet RECIPE too; the binder has every version")
	case len(c.Args) > 1 || len(c.Args) == 1 && c.In != "":
		return hint(errors.New("a binder is of one handbook"), "name one folder: stillroom binder DIR")
	case len(c.Args) == 1:
		c.In = c.Args[0]
	}
	if c.In == "" {
		c.In = "content"
	}
	return nil
}

func (c *binderCommand) options() (o binder.Options, err error) {
	o.OneSided, o.Shelves, o.Recipes = c.OneSided, c.Shelf, c.Recipe
	if o.Paper, err = binder.ParsePaper(c.Paper); err != nil {
		return o, err
	}
	if c.Since != "" {
		day, err := time.Parse(time.DateOnly, c.Since)
		if err != nil {
			return o, hint(fmt.Errorf("“%s” is no day", c.Since), "write it as year, month, day: --since 2026-05-03")
		}
		o.Since = &day
	}
	if c.HTML && c.Changed {
		return o, hint(errors.New("which sheets changed can be told of a PDF alone"), "leave out --html or --changed")
	}
	return o, nil
}

// files gives the names of the files to write.
func (c *binderCommand) files(name string) (html, pdf, manifest, changed string) {
	base := name
	if c.To != "" {
		base = c.To
		if ext := strings.ToLower(filepath.Ext(base)); ext == ".pdf" || ext == ".html" {
			base = base[:len(base)-len(ext)]
		}
	}
	return base + ".html", base + ".pdf", base + ".json", base + "-changed.pdf"
}

// bind writes the binder.
func (c *binderCommand) bind(t *talk, b *binder.Binder) error {
	htmlFile, pdfFile, manifestFile, changedFile := c.files("binder")
	text, err := b.HTML()
	if err != nil {
		return err
	}
	if err := c.writeWhole(t, htmlFile, text); err != nil || c.HTML {
		return err
	}
	var before *binder.Manifest
	if c.Changed {
		if before, err = readManifest(manifestFile); err != nil {
			return err
		}
	}
	printed, err := c.print(t, b)
	if err != nil || printed == nil {
		return err
	}
	now := b.Manifest(printed)
	raw, err := now.Encode()
	if err != nil {
		return err
	}
	if before != nil {
		if err := c.replace(t, b, printed, before.Compare(now), changedFile); err != nil {
			return err
		}
	}
	if err := c.writeWhole(t, pdfFile, printed.PDF); err != nil {
		return err
	}
	t.say("%s, %s", counted(printed.Count, "page"), counted(b.Recipes(), "recipe"))
	return writeFile(manifestFile, raw)
}

// print prints the binder. Where no browser is installed it says so, and gives nil.
func (c *binderCommand) print(t *talk, b *binder.Binder) (*binder.Printed, error) {
	var printed *binder.Printed
	err := withBrowser(t, func(press *browser.Browser) (err error) {
		step, end := t.progress(usualPrintings * b.Units())
		defer end()
		printed, err = b.Print(press.Print, func(units int) {
			for range units {
				step()
			}
		})
		return err
	})
	return printed, err
}

// usualPrintings is how often a binder is printed until its page numbers are right; a third printing is seldom needed.
const usualPrintings = 2

// withBrowser does something with a browser. Where none is installed it says what to do instead.
func withBrowser(t *talk, do func(*browser.Browser) error) error {
	press, err := browser.Launch(context.Background())
	if errors.Is(err, browser.ErrNone) {
		t.say("no PDF was made: %v\n  what to do: %s", err, browser.Install)
		return nil
	}
	if err != nil {
		return err
	}
	defer press.Close()
	return do(press)
}

// replace writes the sheets that changed and lists them.
func (c *binderCommand) replace(t *talk, b *binder.Binder, printed *binder.Printed, all []binder.Replacement, file string) error {
	if len(all) == 0 {
		fmt.Fprintln(t.out, "no sheet changed since the binder was last printed")
		return nil
	}
	for _, r := range all {
		line := r.Title + " (" + r.Why + "):"
		if r.Out != "" {
			line += " take out " + r.Out
		}
		if r.Out != "" && r.In != "" {
			line += ","
		}
		if r.In != "" {
			line += " put in " + r.In
		}
		fmt.Fprintln(t.out, line)
	}
	pdf, err := b.Pick(printed, all)
	if err != nil || pdf == nil {
		return err
	}
	return c.writeWhole(t, file, pdf)
}

// readManifest reads what the last binder was made of.
func readManifest(file string) (*binder.Manifest, error) {
	raw, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, hint(fmt.Errorf("there is no %s, which would say what was printed last", file), "print the whole binder once, without --changed")
	}
	if err != nil {
		return nil, err
	}
	m, err := binder.ReadManifest(raw)
	if err != nil {
		return nil, hint(fmt.Errorf("%s: %w", file, err), "print the whole binder once, without --changed")
	}
	return &m, nil
}

// bench writes a bench sheet.
func (c *binderCommand) bench(t *talk, book *site.Book, root *os.Root, problems *problem.List, options binder.Options) error {
	w := weighCommand{Recipe: c.Sheet, Batch: c.Args, As: c.As, In: c.In}
	if _, err := quantity.ParseBatch(strings.Join(c.Args, " ")); err == nil {
		w.Batch = []string{spaced(strings.Join(c.Args, " "))}
	}
	recipe, worked, err := w.weigh(t, book, problems)
	if err != nil || recipe == nil {
		return err
	}
	if len(worked.Batches) != 1 {
		return hint(errors.New("a bench sheet is of one batch"), "make one sheet after the other, each with its own --to FILE")
	}
	theme, err := loadTheme(c.Theme)
	if err != nil {
		return err
	}
	sheet, err := binder.BenchSheet(site.NewProof(book, site.MakerEdition, theme).InEnglish(), root.ReadFile, recipe, worked, options)
	if err != nil {
		return err
	}
	htmlFile, pdfFile, _, _ := c.files("sheet")
	text, pdf := sheet.Usual, []byte(nil)
	if !c.HTML {
		err := withBrowser(t, func(press *browser.Browser) (err error) {
			text, pdf, err = sheet.Print(press.Print)
			return err
		})
		if err != nil {
			return err
		}
	}
	if err := c.writeWhole(t, htmlFile, text); err != nil || pdf == nil {
		return err
	}
	return c.writeWhole(t, pdfFile, pdf)
}

// writeWhole writes a file, whole or not at all, and tells of it.
func (c *binderCommand) writeWhole(t *talk, file string, data []byte) error {
	if err := writeFile(file, data); err != nil {
		return err
	}
	t.say("%s written", file)
	return nil
}

// writeFile writes a file whole or not at all.
func writeFile(file string, data []byte) error {
	temporary, err := os.CreateTemp(filepath.Dir(file), ".stillroom-*")
	if err != nil {
		return fmt.Errorf("write %s: %w", file, err)
	}
	_, err = temporary.Write(data)
	err = errors.Join(err, temporary.Chmod(0o644), temporary.Close())
	if err == nil {
		err = os.Rename(temporary.Name(), file)
	}
	if err != nil {
		_ = os.Remove(temporary.Name())
		return fmt.Errorf("write %s: %w", file, err)
	}
	return nil
}
