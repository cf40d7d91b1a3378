package main

import (
	"fmt"
	"io"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/record"
	"larkrow.example/stillroom/internal/site"
)

// remarks tells what is to be known of batch records: of batches that are planned or on the bench, while something can still be done; with notes, of all.
func remarks(w io.Writer, book *site.Book, notes bool) {
	for _, r := range book.Records {
		b := record.Of(book.Handbook, r)
		for _, m := range b.Remarks {
			if !notes && (b.State == record.Made || m.Level == check.Note) {
				continue
			}
			line, column := m.At.Position()
			fmt.Fprintf(w, "%s:%d:%d: %s batch %s: %s\n", m.At.File(), line, column, m.Level, r.Code, m.Message)
			if m.Mend != "" {
				fmt.Fprintf(w, "  what to do: %s\n", m.Mend)
			}
		}
	}
}
