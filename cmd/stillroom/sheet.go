package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/site"
)

// sheet draws a version's batches for the terminal, one table under the other.
func sheet(r *handbook.Recipe, w handbook.Worked) string {
	var b strings.Builder
	title := r.Title
	if w.Version.Kind != formula.Base {
		title += ", " + w.Version.Name
	}
	fmt.Fprintf(&b, "%s\n", title)
	for _, remark := range w.Version.Remarks {
		fmt.Fprintf(&b, "%s\n", remark)
	}
	division := site.NewPortionsView(w, r.Splits())
	tables := site.NewFormulaView(r, w, func(string) string { return "" })
	for i, batch := range w.Batches {
		if batch.Missing != nil {
			fmt.Fprintf(&b, "\n%s: %s\n", batch.Written, batch.Missing.Message)
			continue
		}
		drawBatch(&b, tables, i, batch.Written)
		drawDivision(&b, division, i)
	}
	fmt.Fprintf(&b, "\n* takes up the rounding, as far as its scale reads. Ounces are the grams beside them, converted; the total adds the ounces shown.\n")
	return b.String()
}

// drawBatch draws one batch: phases, ingredients, percent, grams, ounces.
func drawBatch(b *strings.Builder, v *site.FormulaView, i int, size string) {
	fmt.Fprintf(b, "\n%s\n", size)
	width := len("total")
	for _, p := range v.Phases {
		for _, r := range p.Rows {
			width = max(width, utf8.RuneCountInString(r.Name))
		}
	}
	line := func(mark, name, percent, g, oz string) {
		fmt.Fprintf(b, "  %s %s%s  %9s %% %10s g %9s oz\n", mark, name, strings.Repeat(" ", width-utf8.RuneCountInString(name)), percent, g, oz)
	}
	for _, p := range v.Phases {
		fmt.Fprintf(b, "%s  %s", p.Letter, p.Name)
		if p.Heat != "" {
			fmt.Fprintf(b, ", %s", p.Heat)
		}
		if len(p.Totals) > 0 {
			fmt.Fprintf(b, ", %s g in all", p.Totals[i].G)
		}
		fmt.Fprintln(b)
		for _, r := range p.Rows {
			mark := " "
			if r.Weights[i].Balance {
				mark = "*"
			}
			line(mark, r.Name, r.Percent, r.Weights[i].G, r.Weights[i].Oz)
			if r.Note != "" {
				fmt.Fprintf(b, "      %s\n", r.Note)
			}
		}
	}
	line(" ", "total", v.PercentTotal, v.Batches[i].TotalG, v.Batches[i].TotalOz)
	if fill := v.Batches[i].Fill; fill != "" {
		fmt.Fprintf(b, "fills %s\n", fill)
	}
}

// drawDivision draws how a batch is divided into the recipe's splits and finished, where it has any.
func drawDivision(b *strings.Builder, v *site.PortionsView, i int) {
	if v == nil {
		return
	}
	fmt.Fprintln(b, "divided:")
	for _, part := range v.Rows {
		fmt.Fprintf(b, "  %s: %s g of it (%s)", part.Name, part.Base[i].G, part.Share)
		for _, add := range part.Adds {
			fmt.Fprintf(b, " + %s g %s", add.Weights[i].G, add.Name)
		}
		fmt.Fprintf(b, " = %s g\n", part.Totals[i].G)
	}
}
