package members

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/spell"
)

// A Row is a person in a shop's list.
type Row struct {
	Name  string       // as ParseName gives it; "" where its cells are empty in a row that has others
	Email string       // as it stands there; "" where it was not asked for or its cell is empty
	At    problem.Span // the first cell of the name
}

// ReadColumns reads the names in a shop's list: comma-separated values as shops and spreadsheets write them, with commas, semicolons or tabs, with a
// byte order mark or without, in UTF-8 or UTF-16. The first row names the columns, which are matched without regard to case. A name that is in several
// columns, such as those of first name and surname, is put together with spaces. The column of the e-mail addresses may be "": then
// people of one name cannot be told apart; else it is a problem where they have not the same address, for a member's name is the member's
// alone. Rows with nothing in them are passed over.
func ReadColumns(file string, raw []byte, names []string, email string) ([]Row, *problem.List) {
	var problems problem.List
	src, ok := newSource(file, raw, &problems)
	if len(raw) > maxFile {
		problems.Addf(problem.Span{Source: &problem.Source{Name: file}}, "split it into several files", "the file is larger than the %d MB that it may have", maxFile>>20)
		ok = false
	}
	if !ok {
		return nil, &problems
	}
	t := newTable(src, names[0], &problems)
	if !t.readHead() {
		return nil, &problems
	}
	for _, name := range names {
		t.nameAt = append(t.nameAt, t.column(name))
	}
	t.emailAt = -1
	if email != "" {
		t.emailAt = t.column(email)
	}
	if problems.Len() > 0 {
		return nil, &problems
	}
	rows := t.rows()
	if email != "" {
		namesakes(rows, &problems)
	}
	return rows, &problems
}

// namesakes tells of people of one name whose e-mail addresses are not the same.
func namesakes(rows []Row, problems *problem.List) {
	first := make(map[string]Row, len(rows))
	for _, row := range rows {
		earlier, there := first[Key(row.Name)]
		switch {
		case row.Name == "":
		case !there:
			first[Key(row.Name)] = row
		case !strings.EqualFold(earlier.Email, row.Email):
			one, _ := earlier.At.Position()
			other, _ := row.At.Position()
			problems.Add(&problem.Problem{
				Span:    row.At,
				Message: fmt.Sprintf("two people are named “%s”, for their e-mail addresses differ", row.Name),
				Hint:    fmt.Sprintf("tell them apart in lines %d and %d, such as %s (Oban); or take one of the lines out if it is the same person", one, other, row.Name),
				Notes:   []problem.Note{{Span: earlier.At, Message: "the first one is here"}},
			})
		}
	}
}

// A table reads comma-separated values with their places.
type table struct {
	source   *problem.Source
	problems *problem.List
	reader   *csv.Reader
	head     []string // the names of its columns
	headAt   []problem.Span
	nameAt   []int // the columns of the name
	emailAt  int   // the column of the e-mail address, or -1
	start    int   // where the table begins in the source
	lines    []int // where each of its lines begins
}

func newTable(src *problem.Source, column string, problems *problem.List) *table {
	text, start := src.Text, 0
	if first, _, _ := strings.Cut(text, "\n"); slices.Contains([]string{"sep=,", "sep=;", "sep=\t"}, first) { // a line that some spreadsheets write
		start = min(len(first)+1, len(text))
	}
	separator := guessSeparator(text[start:], column)
	t := &table{source: src, problems: problems, reader: csv.NewReader(strings.NewReader(text[start:])), start: start, lines: []int{start}}
	for i := start; i < len(text); i++ {
		if text[i] == '\n' {
			t.lines = append(t.lines, i+1)
		}
	}
	t.reader.Comma, t.reader.FieldsPerRecord, t.reader.ReuseRecord = separator, -1, true
	return t
}

// guessSeparator gives the separator with which the first row has the column, or else the one that stands in it most often.
func guessSeparator(text, column string) rune {
	best, most := ',', 0
	for _, separator := range []rune{',', ';', '\t'} {
		r := csv.NewReader(strings.NewReader(text))
		r.Comma, r.LazyQuotes = separator, true
		row, _ := r.Read() // what is wrong with it is told when it is read for good
		if slices.ContainsFunc(row, func(cell string) bool { return Key(cell) == Key(column) }) {
			return separator
		}
		if len(row) > most {
			best, most = separator, len(row)
		}
	}
	return best
}

// next gives the next row, nil at the end or after a problem.
func (t *table) next() []string {
	row, err := t.reader.Read()
	switch {
	case err == nil:
		return row
	case errors.Is(err, io.EOF):
		return nil
	}
	at := problem.Span{Source: t.source}
	if p, ok := errors.AsType[*csv.ParseError](err); ok {
		at.Start, err = t.offset(p.Line, p.Column), p.Err
		if p.StartLine != p.Line {
			at.Start = t.offset(p.StartLine, 1) // a quote that is not closed takes all that follows
		}
		at.End = at.Start
	}
	t.problems.Addf(at, "put a cell that has quotes in it into quotes, and double those inside: \"Wren \"\"the wax\"\" Hollis\"", "this row is not readable (%v)", err)
	return nil
}

// offset turns the reader's line and column, both from 1 and the column in bytes, into a place in the source.
func (t *table) offset(line, column int) int {
	at := t.lines[min(max(line, 1), len(t.lines))-1]
	return min(at+max(column-1, 0), len(t.source.Text))
}

// cell gives where a cell of the row last read stands.
func (t *table) cell(i int) problem.Span {
	start := t.offset(t.reader.FieldPos(i))
	line, _, _ := strings.Cut(t.source.Text[start:], "\n")
	end := start + len(line)
	if j := strings.IndexRune(line, t.reader.Comma); j >= 0 && !strings.HasPrefix(line, `"`) {
		end = start + j
	}
	return problem.Span{Source: t.source, Start: start, End: end}
}

// readHead reads the row that names the columns.
func (t *table) readHead() bool {
	before := t.problems.Len()
	for i, cell := range t.next() {
		t.head = append(t.head, strings.Join(strings.Fields(cell), " "))
		t.headAt = append(t.headAt, t.cell(i))
	}
	if len(t.head) == 0 && t.problems.Len() == before {
		t.problems.Addf(problem.Span{Source: t.source}, "export the list again, with a first row that names the columns", "there is nothing in the file")
	}
	return len(t.head) > 0
}

// column finds a column by its name, or gives -1.
func (t *table) column(name string) int {
	var at []int
	for i, cell := range t.head {
		if Key(cell) == Key(name) {
			at = append(at, i)
		}
	}
	switch len(at) {
	case 0:
		t.problems.Addf(t.headAt[0], spell.DidYouMean(name, t.head, "the columns are: "+strings.Join(t.head, ", ")), "there is no column “%s”", name)
	case 1:
		return at[0]
	default:
		t.problems.Addf(t.headAt[at[1]], "give one of them another name", "two columns are named “%s”", name)
	}
	return -1
}

// rows reads the people.
func (t *table) rows() []Row {
	var all []Row
	for cells := t.next(); cells != nil; cells = t.next() {
		if strings.TrimSpace(strings.Join(cells, "")) == "" {
			continue
		}
		before := t.problems.Len()
		row := Row{At: t.cell(0)}
		if t.nameAt[0] < len(cells) {
			row.At = t.cell(t.nameAt[0])
		}
		row.Name = t.name(cells, row.At)
		row.Email = t.email(cells)
		if t.problems.Len() == before {
			all = append(all, row)
		}
	}
	return all
}

// name puts a name together from its cells.
func (t *table) name(cells []string, at problem.Span) string {
	var parts []string
	for _, i := range t.nameAt {
		if i < len(cells) {
			parts = append(parts, cells[i])
		}
	}
	whole := strings.Join(parts, " ")
	if strings.TrimSpace(strings.Map(visible, whole)) == "" {
		return ""
	}
	name, err := ParseName(whole)
	if err != nil {
		t.problems.Addf(at, "mend the name in the list", "%v", err)
	}
	return name
}

// email reads an e-mail address. It is not looked at more closely than that a mailing program can take it, and a spreadsheet takes it for no sum.
func (t *table) email(cells []string) string {
	if t.emailAt < 0 || t.emailAt >= len(cells) {
		return ""
	}
	email := strings.TrimSpace(strings.Map(visible, cells[t.emailAt]))
	user, host, _ := strings.Cut(email, "@")
	if email != "" && (user == "" || host == "" || strings.ContainsRune("=+-", rune(user[0])) || strings.ContainsFunc(email, isGap)) {
		t.problems.Addf(t.cell(t.emailAt), "mend the address in the list, or leave its cell empty", "this is no e-mail address")
	}
	return email
}

func isGap(r rune) bool { return unicode.IsSpace(r) || unicode.IsControl(r) }

// WriteCodes writes new members with their access codes as comma-separated values, for mailing. Where e-mail addresses are given, by name, it writes those too.
func WriteCodes(w io.Writer, added []Admitted, emails map[string]string) error {
	out := csv.NewWriter(w)
	row := func(name, email, code string) error {
		if emails == nil {
			return out.Write([]string{name, code})
		}
		return out.Write([]string{name, email, code})
	}
	if err := row("name", "email", "code"); err != nil {
		return err
	}
	for _, a := range added {
		if err := row(a.Name, emails[a.Name], a.Code.String()); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
