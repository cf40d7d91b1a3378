package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/record"
	"larkrow.example/stillroom/internal/site"
)

// stockCommand tells what there is and what is to be bought.
type stockCommand struct {
	Dir  string `arg:"" optional:"" default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
	On   string `placeholder:"DATE" help:"The day for which lots past their date are left out, such as 2026-11-25. If left out: today."`
	JSON bool   `help:"Print it as JSON."`
}

// Help gives the long help.
func (stockCommand) Help() string {
	return `What is left of a lot is what its ingredient's page says it holds, less what the batch records weighed from it. What planned
batches still need is set against that; the rest is the shopping list, with its cost where a price is known.

Examples:
  stillroom stock
  stillroom stock my-handbook --on 2026-12-01
  stillroom stock --json

Exit code: 0 told; 2 a problem: a record with one may be left out of the sums.`
}

// Run tells the stock.
func (c *stockCommand) Run(t *talk) error {
	day := time.Now()
	if c.On != "" {
		var err error
		if day, err = (&recordCommand{On: c.On}).day(); err != nil {
			return err
		}
	}
	book, root, problems, err := openBook(c.Dir)
	if err != nil {
		return err
	}
	defer root.Close()
	ledger := record.NewLedger(book.Handbook)
	stock := ledger.Stock(day)
	if c.JSON {
		raw, err := site.EncodeJSON(newStockFile(stock, day, book.Currency))
		if err != nil {
			return err
		}
		if _, err := t.out.Write(raw); err != nil {
			return err
		}
	} else {
		printStock(t.out, ledger, stock, day, book.Currency)
	}
	for _, r := range book.Records {
		if m := record.Ahead(r, day); m != nil {
			t.remark(t.err, r.Code, *m)
		}
	}
	t.problems(problems)
	return nil
}

// printStock writes a table of the materials, then the shopping list.
func printStock(w io.Writer, ledger *record.Ledger, stock []record.Stock, day time.Time, currency string) {
	width := len("lot")
	for _, s := range stock {
		width = max(width, utf8.RuneCountInString(s.Name))
		for _, l := range s.Lots {
			width = max(width, utf8.RuneCountInString("  lot "+l.Code))
		}
	}
	row := func(name, there, needed, short, more string) {
		line := name + strings.Repeat(" ", width-utf8.RuneCountInString(name)) + fmt.Sprintf("  %12s %12s %12s  %s", there, needed, short, more)
		fmt.Fprintln(w, strings.TrimRight(line, " "))
	}
	if len(stock) == 0 {
		fmt.Fprintln(w, "No lots and no batch records: there is nothing to count.")
		return
	}
	row("", "there", "needed", "to buy", "")
	for _, s := range stock {
		there := "not known"
		if s.There != nil {
			there = grams(s.There.Grams().Text(3))
		}
		row(s.Name, there, some(s.Needed.Grams().Text(3)), some(s.Short.Grams().Text(3)), "")
		for _, l := range s.Lots {
			left, more := "?", ""
			if m := l.Left(); m != nil {
				left = grams(strings.Replace(m.Grams().Text(3), "-", "−", 1))
			}
			if l.Expires != "" {
				more = "expires " + l.Expires
			}
			if l.PastOn(day) {
				more = "past its date, " + l.Expires + ": not counted"
			}
			if m := l.Left(); m != nil && m.Grams().Sign() < 0 {
				more = strings.TrimPrefix(more+"; more was used than it held", "; ")
			}
			if !l.Told() {
				more = strings.TrimPrefix(more+"; at most: see below", "; ")
			}
			row("  lot "+l.Code, left, "", "", more)
		}
		for _, u := range s.Together {
			fmt.Fprintf(w, "  %s g from %s in %s, not told how much from each: taken off together\n", u.Weight.Grams().Text(3), strings.Join(u.Among, " or "), u.Record.Code)
		}
	}
	printShopping(w, stock, currency)
	for _, u := range ledger.Untraced {
		fmt.Fprintf(w, "%s: %s g of %s without a lot: taken off none\n", u.Record.Code, u.Weight.Grams().Text(3), u.Line)
	}
}

// printShopping writes what has to be bought and what it costs.
func printShopping(w io.Writer, stock []record.Stock, currency string) {
	short := slices.DeleteFunc(slices.Clone(stock), func(s record.Stock) bool { return s.Short.Grams().Sign() == 0 })
	if len(short) == 0 {
		fmt.Fprintln(w, "\nNothing has to be bought for the batches that are planned.")
		return
	}
	fmt.Fprintln(w, "\nTo buy:")
	for _, s := range short {
		price, there := "no price is known", ""
		if s.There == nil {
			there = "; nothing says how much there is"
		}
		if s.Price.Unknown == "" {
			price = strings.TrimSpace(s.Price.Money.Fixed(2) + " " + currency)
		}
		fmt.Fprintf(w, "  %s g %s, for %s (%s%s)\n", s.Short.Grams().Text(3), s.Name, strings.Join(batchCodes(s), ", "), price, there)
	}
}

// batchCodes lists the batches that need a material, each once.
func batchCodes(s record.Stock) []string {
	var codes []string
	for _, n := range s.Needs {
		codes = appendNew(codes, n.Record.Code)
	}
	return codes
}

// grams writes a weight that stands in a table.
func grams(n string) string { return n + " g" }

// some writes a weight, or nothing for none.
func some(n string) string {
	if n == "0" {
		return ""
	}
	return grams(n)
}
