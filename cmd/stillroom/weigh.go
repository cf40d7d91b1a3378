package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/spell"
)

// weighCommand works a recipe out for batches.
type weighCommand struct {
	Recipe string   `arg:"" help:"The recipe: its address, title or file."`
	Batch  []string `arg:"" optional:"" help:"What to make: 250g, \"2 lb 4 oz\", \"24 × 60 ml tin\", \"from 340 g Shea butter\". If left out: the recipe's own batches."`
	As     string   `placeholder:"VERSION" help:"A variant or split of the recipe."`
	In     string   `default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
	JSON   bool     `xor:"format" help:"Print the version in the form it has in formula.json."`
	CSV    bool     `xor:"format" name:"csv" help:"Print a table for a spreadsheet."`
}

// Help gives the long help.
func (weighCommand) Help() string {
	return `Weights are rounded to what the scales in handbook.yaml read, and the balance ingredient (marked *) takes up the
rounding, so that every column adds up to its total.

Examples:
  stillroom weigh hedgerow-hand-cream 250g
  stillroom weigh hedgerow-hand-cream "2 lb" "12 × 4 fl oz jar" --as "Night version"
  stillroom weigh gardeners-balm "from 340 g Beeswax" --csv > balm.csv

Exit code: 0 weighed; 1 weighed, and a finding says not to make it as written; 2 a problem.`
}

// Run works the batches out and prints them.
func (c *weighCommand) Run(t *talk) error {
	book, root, problems, err := openBook(c.In)
	if err != nil {
		return err
	}
	defer root.Close()
	recipe, w, err := c.weigh(t, book, problems)
	if err != nil || recipe == nil {
		return err
	}
	return c.print(t, recipe, w)
}

// weigh finds what is asked for, works it out and sets the exit code by its findings. The recipe is nil where problems have been told instead.
func (c *weighCommand) weigh(t *talk, book *site.Book, problems *problem.List) (r *handbook.Recipe, w handbook.Worked, err error) {
	recipe, err := findRecipe(book, c.In, c.Recipe)
	if err != nil {
		t.problems(problems)
		return nil, w, err
	}
	if !c.sound(t, book, recipe, problems) {
		return nil, w, nil
	}
	version, err := findVersion(recipe, c.As)
	if err != nil {
		return nil, w, err
	}
	batches, err := c.batches(book, recipe, version)
	if err != nil {
		return nil, w, err
	}
	w, err = c.work(book, recipe, version, batches)
	if err != nil {
		return nil, w, err
	}
	for _, f := range w.Findings {
		if f.Stops() {
			t.code = held
		}
	}
	return recipe, w, nil
}

// sound tells problems of the recipe and of what it is made from; problems of other pages do not matter here.
func (c *weighCommand) sound(t *talk, book *site.Book, r *handbook.Recipe, problems *problem.List) bool {
	files := []string{r.File, "handbook.yaml"}
	for _, i := range book.Ingredients {
		for _, v := range r.Versions {
			if slices.ContainsFunc(v.Items, func(item formula.Item) bool { return item.Material == i.Slug }) {
				files = append(files, i.File)
			}
		}
	}
	mine, others := &problem.List{}, 0
	for _, p := range problems.All() {
		if slices.Contains(files, p.Span.File()) {
			mine.Add(p)
		} else {
			others++
		}
	}
	if others > 0 {
		t.say("%s on other pages of the handbook: see stillroom check %s", counted(others, "problem"), c.In)
	}
	if len(r.Versions) == 0 && mine.Len() == 0 {
		mine = problems // what keeps it from being worked out is among them
	}
	t.problems(mine)
	return mine.Len() == 0 && len(r.Versions) > 0
}

// findVersion finds a version by name; "" means the base.
func findVersion(r *handbook.Recipe, name string) (*formula.Version, error) {
	if name == "" {
		return r.Versions[0], nil
	}
	var known []string
	for _, v := range r.Versions {
		if material.Key(v.Name) == material.Key(name) {
			return v, nil
		}
		known = append(known, v.Name)
	}
	return nil, hint(fmt.Errorf("%s has no version “%s”", r.Title, name), spell.DidYouMean(name, known, "its versions are: "+strings.Join(known, ", ")))
}

// batches reads the batches asked for; none asked for means the recipe's own. What is to be used up may have any name of the material.
func (c *weighCommand) batches(book *site.Book, r *handbook.Recipe, v *formula.Version) ([]quantity.Batch, error) {
	var all []quantity.Batch
	if len(c.Batch) == 0 {
		for _, b := range r.Batches {
			all = append(all, b.Batch)
		}
		if len(all) == 0 {
			return nil, hint(fmt.Errorf("%s names no batches of its own", r.Title), "say what to make, such as: stillroom weigh "+r.Slug+" 250g")
		}
		return all, nil
	}
	var errs []error
	for _, text := range c.Batch {
		b, err := quantity.ParseBatch(text)
		if err != nil {
			errs = append(errs, fmt.Errorf("batch “%s”: %w", text, err))
			continue
		}
		all = append(all, v.Using(b, idIn(book.Materials)))
	}
	if _, err := quantity.ParseBatch(strings.Join(c.Batch, " ")); err == nil && len(errs) > 0 {
		return nil, hint(errors.Join(errs...), "put quotes around a batch that has spaces: \""+strings.Join(c.Batch, " ")+"\"")
	}
	return all, errors.Join(errs...)
}

// work weighs the batches and checks them. A batch that the version cannot be made in is an error.
func (c *weighCommand) work(book *site.Book, r *handbook.Recipe, v *formula.Version, batches []quantity.Batch) (handbook.Worked, error) {
	w := handbook.Worked{Subject: book.Weigh(r, v, batches)}
	var errs []error
	for i, b := range w.Batches {
		missing := b.Missing
		if missing == nil {
			missing = b.Column.TooLittle()
		}
		if missing != nil && len(c.Batch) > 0 {
			errs = append(errs, fmt.Errorf("batch “%s”: %w%s", b.Written, missing, elsewhere(r, batches[i], idIn(book.Materials))))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return w, err
	}
	w.Findings = check.Run(w.Subject)
	check.MarkAccepted(w.Findings, r.Accepts)
	return w, nil
}

// idIn gives what finds the id of a name's material, "" where it means none.
func idIn(known *material.Index) func(name string) string {
	return func(name string) string {
		if m := known.Find(name); m != nil {
			return m.ID
		}
		return ""
	}
}

// elsewhere names the versions that have the material that a batch is to use up; "" where none has.
func elsewhere(r *handbook.Recipe, b quantity.Batch, id func(name string) string) string {
	var with []string
	for _, v := range r.Versions {
		if _, err := v.Size(v.Using(b, id), r.Fills); err == nil && b.Material != "" {
			with = append(with, "“"+v.Name+"”")
		}
	}
	if len(with) == 0 {
		return ""
	}
	return "; it is in " + strings.Join(with, ", ") + ": say which with --as"
}

// print writes the batches in the form asked for. Findings are told beside the table, and are part of the JSON.
func (c *weighCommand) print(t *talk, r *handbook.Recipe, w handbook.Worked) error {
	if c.JSON {
		_, err := t.out.Write(site.VersionJSON(w))
		return err
	}
	t.findings(t.err, slices.DeleteFunc(slices.Clone(w.Findings), func(f check.Finding) bool { return f.Level == check.Note }))
	if c.CSV {
		return site.WriteWeights(t.out, []handbook.Worked{w})
	}
	_, err := t.out.Write([]byte(sheet(r, w)))
	return err
}
