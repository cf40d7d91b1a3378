package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/record"
	"larkrow.example/stillroom/internal/spell"
)

// trace tells which batches took of a lot, for a recall.
func (c *factsCommand) trace(t *talk) error {
	book, root, problems, err := openBook(c.In)
	if err != nil {
		return err
	}
	defer root.Close()
	ledger := record.NewLedger(book.Handbook)
	lots := ledger.Lots(strings.TrimSpace(c.Lot))
	if len(lots) == 0 {
		t.problems(problems)
		return hint(fmt.Errorf("no ingredient and no batch has a lot “%s”", c.Lot), spell.DidYouMean(c.Lot, ledger.Codes(), "the lots are: "+strings.Join(ledger.Codes(), ", ")))
	}
	for _, l := range lots {
		printLot(t.out, l)
	}
	t.problems(problems) // a record with a problem may be missing above
	return nil
}

// printLot writes what is known of a lot and every batch that took of it.
func printLot(w io.Writer, l *record.Lot) {
	fmt.Fprintf(w, "%s, lot %s%s\n", l.Material.Name, l.Code, lotWords(l))
	if len(l.Uses) == 0 {
		fmt.Fprintln(w, "  no batch took of it")
		return
	}
	containers, had := map[string]int64{}, map[*handbook.Record]bool{}
	var names []string
	for _, u := range l.Uses {
		made := "on a day that is not told"
		if u.Record.Made != nil {
			made = u.Record.Made.Format(time.DateOnly)
		}
		fmt.Fprintf(w, "  %s  %s: %s, made %s%s\n", u.Record.Code, recipeWords(u.Record), shareWords(u), made, outcomeWords(u.Record))
		if had[u.Record] { // took of the lot on two lines
			continue
		}
		had[u.Record] = true
		for _, f := range u.Record.Filled {
			if _, known := containers[f.Container]; !known {
				names = append(names, f.Container)
			}
			containers[f.Container] += f.Count
		}
	}
	for i, name := range names {
		names[i] = fmt.Sprintf("%d × %s", containers[name], name)
	}
	if names == nil {
		names = []string{"no containers are recorded"}
	}
	fmt.Fprintf(w, "  in all %s: %s\n", countedBatches(batchesOf(l)), strings.Join(names, ", "))
}

// shareWords tells how much a batch took of a lot.
func shareWords(u record.Use) string {
	if u.Told() {
		return u.Weight.Grams().Text(3) + " g"
	}
	return "not told how much, of what came from " + strings.Join(u.Among, " or ")
}

// batchesOf counts the batches that took of a lot.
func batchesOf(l *record.Lot) int {
	seen := map[*handbook.Record]bool{}
	for _, u := range l.Uses {
		seen[u.Record] = true
	}
	return len(seen)
}

// lotWords writes a lot's dates and weights after its code.
func lotWords(l *record.Lot) string {
	words := ""
	if l.Opened != "" {
		words += ", opened " + l.Opened
	}
	if l.Expires != "" {
		words += ", expires " + l.Expires
	}
	least, most := "", ""
	if !l.Told() {
		least, most = "at least ", "at most "
	}
	words += ", " + least + l.Used().Grams().Text(3) + " g used"
	if left := l.Left(); left != nil {
		words += ", " + most + strings.Replace(left.Grams().Text(3), "-", "−", 1) + " g left of " + l.Holds.Grams().Text(3) + " g"
	}
	if !l.Listed {
		words += " (on no ingredient's page)"
	}
	return words
}

// recipeWords names the recipe and version of a batch.
func recipeWords(r *handbook.Record) string {
	if r.Recipe == nil && r.RecipeName == "" {
		return "an unknown recipe"
	}
	if r.Recipe == nil {
		return r.RecipeName + " (no such recipe now)"
	}
	if r.Version != nil && r.Version != r.Recipe.Versions[0] {
		return r.Recipe.Title + ", " + r.Version.Name
	}
	return r.Recipe.Title
}

// outcomeWords tells what was filled from a batch and whether it was released.
func outcomeWords(r *handbook.Record) string {
	words := ""
	for _, f := range r.Filled {
		words += fmt.Sprintf("; %d × %s", f.Count, f.Container)
	}
	switch {
	case r.Checked == nil:
		words += "; not released"
	case r.Checked.Passed:
		words += "; released by " + r.Checked.By
	default:
		words += "; refused by " + r.Checked.By
	}
	return words
}

// countedBatches writes a number of batches.
func countedBatches(n int) string {
	if n == 1 {
		return "1 batch"
	}
	return fmt.Sprintf("%d batches", n)
}
