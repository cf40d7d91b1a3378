package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// Join makes one PDF of printed parts, in their order, with a title. Links between parts are addresses that begin with Elsewhere. The same parts make the
// same bytes, whenever they were printed: the file is dated on the day given, or not at all.
func Join(title string, day *time.Time, parts ...[]byte) ([]byte, error) {
	if len(parts) == 0 {
		return nil, errors.New("there are no pages to join")
	}
	j := newJoin(len(parts))
	for i, pdf := range parts {
		p, err := read(pdf)
		if err == nil {
			err = j.add(p)
		}
		if err != nil {
			return nil, fmt.Errorf("part %d of %d: %w", i+1, len(parts), err)
		}
	}
	return j.end(title, day), nil
}

// A join is a file with what it has only one of.
type join struct {
	*file
	several                              bool
	root, info, pages, tagged, outlining int // numbers of objects
	document                             int // the tag that holds those of the parts, where there are several

	kids, docs, places, owners, cells bytes.Buffer
	count, tags, cell                 int
	marks                             []*mark
	lang                              string
}

func newJoin(parts int) *join {
	j := &join{file: newFile(), several: parts > 1}
	j.root, j.info, j.pages, j.tagged, j.outlining = j.reserve(), j.reserve(), j.reserve(), j.reserve(), j.reserve()
	j.document = j.tagged
	if j.several {
		j.document = j.reserve()
	}
	return j
}

// add takes a part over.
func (j *join) add(p *part) error {
	tags, err := p.tags()
	if err != nil {
		return err
	}
	c := &copier{numbers: make(map[int]int), cells: make(map[string]string), tags: j.tags}
	for _, cell := range tags.cells {
		j.cell++
		c.cells[cell.name] = fmt.Sprintf("node%08d", j.cell)
	}
	marks := p.outline()
	passed := p.passed(tags, marks)
	var taken []int
	for number, entry := range p.ctx.Table {
		if entry != nil && !entry.Free && entry.Object != nil && !passed[number] {
			taken = append(taken, number)
		}
	}
	slices.Sort(taken)
	for _, number := range taken {
		c.numbers[number] = j.reserve()
	}
	c.numbers[tags.root] = j.document
	for _, number := range taken {
		if err := j.take(p, c, number, tags); err != nil {
			return err
		}
	}
	return j.gather(p, c, tags, marks)
}

// take writes one object of a part.
func (j *join) take(p *part, c *copier, number int, tags *tags) error {
	o, err := p.ctx.Dereference(*types.NewIndirectRef(number, 0))
	if err != nil {
		return fmt.Errorf("read the printed pages: %w", err)
	}
	if stream, ok := o.(types.StreamDict); ok {
		var buf bytes.Buffer
		dict := stream.Dict.Clone().(types.Dict)
		dict.Delete("Length")
		buf.WriteString("<<")
		if err := c.entries(&buf, dict); err != nil {
			return err
		}
		j.putStream(c.numbers[number], buf.Bytes(), stream.Raw)
		return nil
	}
	if dict, ok := o.(types.Dict); ok {
		switch {
		case number == object(p.catalogue["Pages"]):
			dict = dict.Clone().(types.Dict)
			text, err := c.text(dict)
			if err != nil {
				return err
			}
			text = fmt.Appendf(text[:len(text)-len(">>")], "/Parent %d 0 R>>", j.pages)
			j.put(c.numbers[number], text)
			return nil
		case j.several && slices.Contains(tags.tops, number):
			o = withRole(dict, "Part")
		}
	}
	text, err := c.text(o)
	if err != nil {
		return err
	}
	j.put(c.numbers[number], text)
	return nil
}

// withRole gives a tag another role.
func withRole(dict types.Dict, role string) types.Dict {
	dict = dict.Clone().(types.Dict)
	dict["S"] = types.Name(role)
	return dict
}

// passed lists the objects that the file has its own of.
func (p *part) passed(t *tags, marks []*mark) map[int]bool {
	passed := map[int]bool{t.root: true, object(p.catalogue["Dests"]): true, object(p.catalogue["Outlines"]): true}
	if p.ctx.Root != nil {
		passed[object(*p.ctx.Root)] = true
	}
	if p.ctx.Info != nil {
		passed[object(*p.ctx.Info)] = true
	}
	for _, number := range t.nodes {
		passed[number] = true
	}
	for _, m := range marks {
		passed[m.number] = true
	}
	return passed
}

// gather notes what of a part stands in what the file has only one of.
func (j *join) gather(p *part, c *copier, tags *tags, marks []*mark) error {
	fmt.Fprintf(&j.kids, "%d 0 R ", c.numbers[object(p.catalogue["Pages"])])
	j.count += p.ctx.PageCount
	for _, top := range tags.tops {
		fmt.Fprintf(&j.docs, "%d 0 R ", c.numbers[top])
	}
	for _, owner := range tags.owners {
		fmt.Fprintf(&j.owners, "%d ", owner.key+j.tags)
		if err := c.object(&j.owners, owner.tags, ""); err != nil {
			return err
		}
		j.owners.WriteByte(' ')
	}
	j.tags += tags.next
	for _, cell := range tags.cells {
		fmt.Fprintf(&j.cells, "(%s) ", c.cells[cell.name])
		if err := c.object(&j.cells, cell.tag, ""); err != nil {
			return err
		}
		j.cells.WriteByte(' ')
	}
	named, err := p.ctx.DereferenceDict(p.catalogue["Dests"])
	if err != nil {
		return fmt.Errorf("read the places in the PDF: %w", err)
	}
	if err := c.entries(&j.places, named); err != nil {
		return err
	}
	for _, m := range marks {
		if err := m.copy(c); err != nil {
			return err
		}
		j.marks = append(j.marks, m)
	}
	if lang, ok := p.catalogue["Lang"]; ok && j.lang == "" {
		text, err := c.text(lang)
		if err != nil {
			return err
		}
		j.lang = "/Lang " + string(text)
	}
	return nil
}

// end writes what the file has only one of.
func (j *join) end(title string, day *time.Time) []byte {
	j.put(j.pages, fmt.Appendf(nil, "<</Type/Pages/Count %d/Kids[%s]>>", j.count, j.kids.Bytes()))
	if j.several {
		j.put(j.document, fmt.Appendf(nil, "<</Type/StructElem/S/Document/P %d 0 R/K[%s]>>", j.tagged, j.docs.Bytes()))
		j.docs.Reset()
		fmt.Fprintf(&j.docs, "%d 0 R", j.document)
	}
	j.put(j.tagged, fmt.Appendf(nil, "<</Type/StructTreeRoot/K[%s]/ParentTree<</Nums[%s]>>/ParentTreeNextKey %d/IDTree<</Names[%s]>>>>",
		j.docs.Bytes(), j.owners.Bytes(), j.tags, j.cells.Bytes()))
	j.writeOutline()
	j.put(j.root, fmt.Appendf(nil, "<</Type/Catalog/Pages %d 0 R/Dests<<%s>>/MarkInfo<</Marked true>>/StructTreeRoot %d 0 R/Outlines %d 0 R/ViewerPreferences<</DisplayDocTitle true>>%s>>",
		j.pages, j.places.Bytes(), j.tagged, j.outlining, j.lang))
	about := "<</Title " + textString(title) + "/Producer(stillroom)"
	if day != nil {
		date := day.Format("20060102")
		about += "/CreationDate(D:" + date + "000000Z)/ModDate(D:" + date + "000000Z)"
	}
	j.put(j.info, []byte(about+">>"))
	return j.file.end(j.root, j.info)
}

// textString writes words as a PDF text string, in UTF-16 (ISO 32000-1, 7.9.2.2).
func textString(words string) string { return fmt.Sprintf("<%x>", types.EncodeUTF16String(words)) }
