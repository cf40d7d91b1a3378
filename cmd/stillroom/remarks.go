package main

import (
	"fmt"
	"io"
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/record"
	"larkrow.example/stillroom/internal/site"
)

// A batchFinding is a finding on a batch as it was weighed.
type batchFinding struct {
	recipe, batch string
	check.Finding
}

// batches tells what is to be known of batch records: of batches that are planned or on the bench, while something can still be done; of those that
// are made, what keeps them from being used and what the page leaves open; with notes, all. It gives the findings that count: none of a batch that
// was refused, which is dealt with; and how many remarks it told besides.
func (t *talk) batches(w io.Writer, book *site.Book, notes bool, today time.Time) (all []batchFinding, remarks int) {
	for _, r := range book.Records {
		b := record.Of(book.Handbook, r)
		if m := record.Ahead(r, today); m != nil {
			b.Remarks = append(b.Remarks, *m)
		}
		for _, m := range b.Remarks {
			if notes || m.Open || m.Level != check.Note && b.State != record.Made || m.Level == check.Stop && !b.Refused() {
				t.remark(w, r.Code, m)
				remarks++
			}
		}
		for i, f := range b.Findings {
			if !b.Refused() && (f.Stops() || b.New[i] && f.Level == check.Caution) {
				all = append(all, batchFinding{r.RecipeName, r.Code, f})
				t.finding(w, f, "batch "+r.Code+" as weighed")
			}
		}
	}
	return all, remarks
}

// remark tells one remark on a batch.
func (t *talk) remark(w io.Writer, code string, m record.Remark) {
	line, column := m.At.Position()
	fmt.Fprintf(w, "%s:%d:%d: %s batch %s: %s\n", m.At.File(), line, column, m.Level, code, m.Message)
	if m.Mend != "" {
		fmt.Fprintf(w, "  what to do: %s\n", m.Mend)
	}
}
