package site

import (
	"bytes"
	"encoding/csv"
	"io"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
)

// weightsCSV gives a recipe's weights.csv: a row an ingredient and version, two columns a batch, and a total after each version.
func weightsCSV(worked []handbook.Worked) ([]byte, error) {
	var buf bytes.Buffer
	err := WriteWeights(&buf, worked)
	return buf.Bytes(), err
}

// WriteWeights writes worked versions, all with the same batches asked for, as one table of comma-separated values.
func WriteWeights(out io.Writer, worked []handbook.Worked) error {
	w := csv.NewWriter(out)
	if len(worked) > 0 {
		if err := w.Write(weightsHead(worked[0])); err != nil {
			return err
		}
	}
	for _, version := range worked {
		for _, row := range weightsRows(version) {
			if err := w.Write(row); err != nil {
				return err
			}
		}
	}
	w.Flush()
	return w.Error()
}

func weightsHead(w handbook.Worked) []string {
	head := []string{"version", "phase", "phase name", "ingredient", "written", "percent"}
	for _, b := range w.Batches {
		head = append(head, guard(b.Written+" (g)"), guard(b.Written+" (oz)"))
	}
	return head
}

func weightsRows(w handbook.Worked) [][]string {
	v := w.Version
	percents := v.Percents(exactPlaces)
	var rows [][]string
	for i, item := range v.Items {
		row := []string{
			guard(v.Name), formula.Letter(item.Phase), guard(v.Phases[item.Phase].Name), guard(item.Name), guard(item.Amount.Written),
			percents[i].Text(exactPlaces),
		}
		for _, b := range w.Batches {
			if b.Missing != nil {
				row = append(row, "", "")
				continue
			}
			view := weightView(b.Column.Weights[i])
			row = append(row, view.G, view.Oz)
		}
		rows = append(rows, row)
	}
	total := []string{guard(v.Name), "", "", "total", "", "100"}
	for _, b := range w.Batches {
		c := batchColumn(b, "", w.Scale, english())
		total = append(total, c.TotalG, c.TotalOz)
	}
	return append(rows, total)
}

// guard puts an apostrophe before words that a spreadsheet would run as a formula; numbers of our own need none.
func guard(cell string) string {
	if trimmed := strings.TrimLeft(cell, " "); trimmed != "" && strings.ContainsRune("=+-@\t\r", rune(trimmed[0])) {
		return "'" + cell
	}
	return cell
}
