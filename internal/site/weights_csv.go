package site

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
)

// weightsCSV gives a recipe's weights.csv: a row an ingredient and version, two columns a batch, and a total after each version.
func weightsCSV(worked []handbook.Worked) []byte {
	if len(worked) == 0 {
		return nil
	}
	c := csvInk{b: make([]byte, 0, 4096)}
	c.cells("version", "phase", "phase name", "ingredient", "written", "percent")
	for _, b := range worked[0].Batches {
		c.cells(guard(b.Written+" (g)"), guard(b.Written+" (oz)"))
	}
	c.endRow()
	for _, w := range worked {
		c.version(w)
	}
	return c.b
}

// WriteWeights writes worked versions, all with the same batches asked for, as one table of comma-separated values.
func WriteWeights(out io.Writer, worked []handbook.Worked) error {
	_, err := out.Write(weightsCSV(worked))
	return err
}

// version writes a version's rows. The cells of a batch that it does not have are empty.
func (c *csvInk) version(w handbook.Worked) {
	v := w.Version
	name, percents, t := guard(v.Name), v.Percents(exactPlaces), newTableFigures(len(v.Items), w.Batches)
	for i := range v.Items {
		item := &v.Items[i]
		c.cells(name, formula.Letter(item.Phase), guard(v.Phases[item.Phase].Name), guard(item.Name), guard(item.Amount.Written))
		c.begin()
		c.b = percents[i].AppendText(c.b, exactPlaces)
		for _, weight := range t.row(i) {
			c.cells(weight.G, weight.Oz)
		}
		c.endRow()
	}
	c.cells(name, "", "", "total", "", "100")
	for j := range w.Batches {
		total := t.total(j)
		c.cells(total.G, total.Oz)
	}
	c.endRow()
}

// guard puts an apostrophe before words that a spreadsheet would run as a formula, in each of the cells that they come to be where cells are parted by
// semicolons; numbers of our own need none.
func guard(words string) string {
	if !strings.Contains(words, ";") {
		return guardCell(words)
	}
	cells := strings.Split(words, ";")
	for i, cell := range cells {
		cells[i] = guardCell(cell)
	}
	return strings.Join(cells, ";")
}

func guardCell(cell string) string {
	if first, _ := utf8.DecodeRuneInString(strings.TrimLeft(cell, ` "`)); strings.ContainsRune("=+-@＝＋－＠\t\r", first) {
		return "'" + cell
	}
	return cell
}

// csvInk is a table of comma-separated values being written, as encoding/csv writes it: cells in quotes where they need them (RFC 4180, 2).
type csvInk struct {
	b      []byte
	filled bool // a cell stands in the row
}

func (c *csvInk) cells(all ...string) {
	for _, s := range all {
		c.begin()
		if !inQuotes(s) {
			c.b = append(c.b, s...)
			continue
		}
		c.b = append(append(append(c.b, '"'), strings.ReplaceAll(s, `"`, `""`)...), '"')
	}
}

// begin begins a cell.
func (c *csvInk) begin() {
	if c.filled {
		c.b = append(c.b, ',')
	}
	c.filled = true
}

func (c *csvInk) endRow() {
	c.b, c.filled = append(c.b, '\n'), false
}

// inQuotes says whether a cell stands in quotes: with a sign that has a meaning, with a space before it, or the end that some readers of files know.
func inQuotes(cell string) bool {
	first, _ := utf8.DecodeRuneInString(cell)
	return strings.ContainsAny(cell, ",\"\r\n") || unicode.IsSpace(first) || cell == `\.`
}
