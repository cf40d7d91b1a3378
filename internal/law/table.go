package law

import (
	_ "embed"
	"strings"
	"sync"
	"time"

	"larkrow.example/stillroom/internal/quantity"
)

//go:embed sources.csv
var sourcesCSV string

type source struct{ text, date string }

var sources = sync.OnceValue(func() map[string]source {
	all := make(map[string]source)
	for _, row := range table(sourcesCSV) {
		all[row[0]] = source{text: row[1], date: row[2]}
	}
	return all
})

// cite gives the text of sources, joined, and the date of the first that has one.
func cite(keys string) (text, date string) {
	var texts []string
	for _, k := range list(keys) {
		s, ok := sources()[k]
		if !ok {
			panic("law: broken embedded table: unknown source " + k)
		}
		texts = append(texts, s.text)
		if date == "" {
			date = s.date
		}
	}
	return strings.Join(texts, "; "), date
}

// list splits a cell at its bars.
func list(cell string) []string {
	if cell == "" {
		return nil
	}
	return strings.Split(cell, "|")
}

// number reads a cell; an empty one is nil.
func number(cell string) *quantity.Number {
	if cell == "" {
		return nil
	}
	n, err := quantity.ParseNumber(cell)
	if err != nil {
		panic("law: broken embedded table: " + err.Error())
	}
	return &n
}

// date reads a cell such as 2025-11-01; an empty one is the zero time.
func date(cell string) time.Time {
	if cell == "" {
		return time.Time{}
	}
	t, err := time.Parse(time.DateOnly, cell)
	if err != nil {
		panic("law: broken embedded table: " + err.Error())
	}
	return t
}

// records reads an embedded table as maps from heading to cell.
func records(text string) []map[string]string {
	rows := table(text)
	head := strings.Split(text[:strings.IndexByte(text, '\n')], ",")
	all := make([]map[string]string, len(rows))
	for i, row := range rows {
		all[i] = make(map[string]string, len(head))
		for j, name := range head {
			all[i][name] = row[j]
		}
	}
	return all
}
