package main

import (
	"cmp"
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/record"
)

// recordCommand starts a batch record.
type recordCommand struct {
	Recipe  string `arg:"" help:"The recipe: its address, title or file."`
	Batch   string `arg:"" help:"What is made: 250g, \"2 lb 4 oz\", \"24 × 60 ml tin\", \"from 340 g Shea butter\"."`
	As      string `placeholder:"VERSION" help:"A variant or split of the recipe."`
	In      string `default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
	On      string `placeholder:"DATE" help:"The day on which it is made, such as 2026-11-25. If left out: today."`
	Planned bool   `help:"The batch is only planned: its page has no day yet, and stock counts what it needs."`
	Code    string `help:"The batch's code. If left out: the recipe's initials, the day and a number."`
}

// Help gives the long help.
func (recordCommand) Help() string {
	return `Writes a page in batches/ with the weight of each ingredient as its target. While you weigh, add to each line what the scale
said and the lot: {target: 7.5 g, weighed: 7.52 g, lot: G-204}; then what came out. A page that is there is not overwritten.

Examples:
  stillroom record hedgerow-hand-cream 250g
  stillroom record gardeners-balm "24 × 60 ml tin" --as Summer --planned
  stillroom record hedgerow-hand-cream "2 lb" --on 2026-11-25 --code HHC-12

Exit code: 0 written; 2 a problem, and nothing was written.`
}

// Run writes the page.
func (c *recordCommand) Run(t *talk) error {
	book, root, problems, err := openBook(c.In)
	if err != nil {
		return err
	}
	defer root.Close()
	recipe, err := findRecipe(book, c.In, c.Recipe)
	if err != nil {
		t.problems(problems)
		return err
	}
	weighing := weighCommand{Recipe: c.Recipe, Batch: []string{c.Batch}, As: c.As, In: c.In}
	if !weighing.sound(t, book, recipe, problems) {
		return nil
	}
	version, err := findVersion(recipe, c.As)
	if err != nil {
		return err
	}
	batches, err := weighing.batches(book, recipe, version)
	if err != nil {
		return err
	}
	sized, err := version.Size(batches[0], recipe.Fills)
	if err != nil {
		return fmt.Errorf("batch “%s”: %w", c.Batch, err)
	}
	day, err := c.day()
	if err != nil {
		return err
	}
	code, err := c.code(book.Handbook, recipe, day)
	if err != nil {
		return err
	}
	text, err := c.page(book.Handbook, recipe, version, sized, code, day)
	if err != nil {
		return err
	}
	file := path.Join("batches", handbook.Slug(code)+".md")
	if err := newFiles(c.In, []string{file}, map[string][]byte{file: []byte(text)}); err != nil {
		return err
	}
	t.say("%s", filepath.Join(c.In, filepath.FromSlash(file)))
	if c.On != "" && !c.Planned && day.After(time.Now()) {
		t.say("%s is a day that is still to come: a batch that is only planned is begun with --planned", c.On)
	}
	return nil
}

// day gives the day on which the batch is made.
func (c *recordCommand) day() (time.Time, error) {
	if c.On == "" {
		return time.Now(), nil
	}
	day, err := time.Parse(time.DateOnly, c.On)
	if err != nil {
		return day, hint(fmt.Errorf("“%s” is no day", c.On), "write year, month and day: 2026-11-25")
	}
	return day, nil
}

// code gives the batch's code, which no other batch may have.
func (c *recordCommand) code(h *handbook.Handbook, r *handbook.Recipe, day time.Time) (string, error) {
	taken := func(code string) bool {
		return slices.ContainsFunc(h.Records, func(r *handbook.Record) bool { return r.Slug == handbook.Slug(code) })
	}
	if code := strings.Join(strings.Fields(c.Code), " "); code != "" {
		if taken(code) {
			return "", hint(fmt.Errorf("the code %s is that of another batch", code), "nothing was written; choose another code, or let one be made")
		}
		if !strings.ContainsFunc(handbook.Slug(code), func(r rune) bool { return r >= '0' && r <= '9' }) && handbook.Slug(code) == "page" {
			return "", hint(errors.New("the code has no letter and no digit that could stand in a file's name"), "write it as HHC-12")
		}
		return code, nil
	}
	initials := ""
	for word := range strings.SplitSeq(handbook.Slug(r.Title), "-") {
		initials += strings.ToUpper(word[:1])
	}
	for n := 1; ; n++ {
		code := fmt.Sprintf("%s-%s-%d", initials, day.Format("060102"), n)
		if !taken(code) {
			return code, nil
		}
	}
}

// page writes the record's text.
func (c *recordCommand) page(h *handbook.Handbook, r *handbook.Recipe, v *formula.Version, sized formula.Sized, code string, day time.Time) (string, error) {
	var b strings.Builder
	fields := [][2]string{{"batch", code}, {"recipe", r.Slug}, {"version", v.Name}, {"size", spaced(sized.Batch.Written)}, {"made", day.Format(time.DateOnly)}}
	b.WriteString("---\n")
	for _, f := range fields {
		if f[0] == "version" && v.Kind == formula.Base || f[0] == "made" && c.Planned {
			continue
		}
		value := f[1]
		if f[0] != "made" {
			text, err := yamlText(value)
			if err != nil {
				return "", err
			}
			value = text
		}
		b.WriteString(f[0] + ": " + value + "\n")
	}
	later := func(text, why string) { fmt.Fprintf(&b, "%-40s # %s\n", "# "+text, why) }
	if c.Planned {
		later("made: "+day.Format(time.DateOnly), "on the day")
	}
	later("by: …", "who makes it")
	fmt.Fprintf(&b, "%-40s # %s\n", "weighed:", "as you go: {target: 7.5 g, weighed: 7.52 g, lot: G-204}")
	lines, err := c.lines(h, v, v.Weigh(sized, h.Scale), day)
	if err != nil {
		return "", err
	}
	b.WriteString(lines)
	later("yield: … g", "what came out; made for "+sized.Weight.Grams().Text(1)+" g")
	if f := sized.Filled; f != nil {
		later(fmt.Sprintf("filled: {%s: …}", f.Container), fmt.Sprintf("what was filled; made for %d", f.Count))
	}
	if r.PH != nil {
		later("ph: …", "as measured; the recipe asks for "+r.PH.String())
	}
	later("checked: {by: …, on: …, passed: …}", "who judged the batch, when, and whether it passed: yes or no")
	b.WriteString("---\n")
	return b.String(), nil
}

// lines writes a line an ingredient: its target, and in a remark the lots that there are of it.
func (c *recordCommand) lines(h *handbook.Handbook, v *formula.Version, column formula.Column, day time.Time) (string, error) {
	lots := make(map[string]string)
	for _, m := range record.NewLedger(h).Materials {
		lots[m.ID] = openLots(m, day)
	}
	rows, width := make([][2]string, len(v.Items)), 0
	for i, item := range v.Items {
		name, err := yamlText(record.LineName(v, i))
		if err != nil {
			return "", err
		}
		target := "{}"
		if w := column.Weights[i]; w.Mass.Grams().Sign() > 0 {
			target = "{target: " + w.Text() + " g}"
		}
		rows[i] = [2]string{"  " + name + ": " + target, lots[item.Material]}
		width = max(width, utf8.RuneCountInString(rows[i][0]))
	}
	var b strings.Builder
	for _, row := range rows {
		if row[1] != "" {
			row[0] += strings.Repeat(" ", width-utf8.RuneCountInString(row[0])) + "   # " + row[1]
		}
		b.WriteString(row[0] + "\n")
	}
	return b.String(), nil
}

// openLots names the lots that have something left, the one that expires first in front, with what is left and their dates; then those that are
// past theirs on the day of making.
func openLots(m *record.Material, day time.Time) string {
	lots := slices.DeleteFunc(slices.Clone(m.Lots), func(l *record.Lot) bool {
		left := l.Left()
		return !l.Listed || left != nil && left.Grams().Sign() <= 0
	})
	slices.SortStableFunc(lots, func(a, b *record.Lot) int { return cmp.Compare(cmp.Or(a.Expires, "~"), cmp.Or(b.Expires, "~")) })
	var good, past []string
	for _, l := range lots {
		if l.PastOn(day) {
			past = append(past, l.Code+" ("+l.Expires+")")
		} else {
			good = append(good, openLot(l))
		}
	}
	var words []string
	if good != nil {
		words = append(words, "lots: "+strings.Join(good, ", "))
	}
	if past != nil {
		words = append(words, "past their date, not to be used: "+strings.Join(past, ", "))
	}
	return strings.Join(words, "; ")
}

func openLot(l *record.Lot) string {
	var known []string
	if left := l.Left(); left != nil && l.Told() {
		known = append(known, left.Grams().Text(2)+" g")
	} else if left != nil {
		known = append(known, "at most "+left.Grams().Text(2)+" g")
	}
	if l.Expires != "" {
		known = append(known, "until "+l.Expires)
	}
	if known == nil {
		return l.Code
	}
	return l.Code + " (" + strings.Join(known, ", ") + ")"
}

// spaced puts the space that a weight wants between number and unit into a batch as it was written: 250g becomes 250 g.
func spaced(batch string) string {
	var b strings.Builder
	last := ' '
	for _, r := range batch {
		if unicode.IsDigit(last) && unicode.IsLetter(r) {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		last = r
	}
	return b.String()
}
