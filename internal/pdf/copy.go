package pdf

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// A copier writes a part's objects as the joined file has them.
type copier struct {
	numbers map[int]int       // of objects: in the part, in the file
	cells   map[string]string // names of table cells: in the part, in the file
	tags    int               // added to the numbers by which pages and links find their tags
}

// object writes an object. Of what is not taken over there is null.
func (c *copier) object(buf *bytes.Buffer, o types.Object, key string) error {
	switch o := o.(type) {
	case nil:
		buf.WriteString("null")
	case types.Dict:
		return c.dict(buf, o)
	case types.Array:
		buf.WriteByte('[')
		for i, item := range o {
			if i > 0 {
				buf.WriteByte(' ')
			}
			if err := c.object(buf, item, key); err != nil {
				return err
			}
		}
		buf.WriteByte(']')
	case types.IndirectRef:
		if n := c.numbers[object(o)]; n > 0 {
			fmt.Fprintf(buf, "%d 0 R", n)
		} else {
			buf.WriteString("null")
		}
	case types.Integer:
		n := o.Value()
		if key == "StructParents" || key == "StructParent" {
			n += c.tags
		}
		buf.WriteString(strconv.Itoa(n))
	case types.Float:
		buf.WriteString(strconv.FormatFloat(o.Value(), 'f', -1, 64))
	case types.StringLiteral:
		if cell := c.cells[string(o)]; cell != "" && (key == "ID" || key == "Headers") {
			o = types.StringLiteral(cell)
		}
		buf.WriteString(o.PDFString())
	case types.Name, types.HexLiteral, types.Boolean:
		buf.WriteString(o.PDFString())
	default:
		return fmt.Errorf("the printed pages have an object of a kind that is not known: %T", o)
	}
	return nil
}

// dict writes a dictionary.
func (c *copier) dict(buf *bytes.Buffer, d types.Dict) error {
	buf.WriteString("<<")
	if err := c.entries(buf, d); err != nil {
		return err
	}
	buf.WriteString(">>")
	return nil
}

// entries writes what a dictionary has. A link to another part becomes one to a place in the file.
func (c *copier) entries(buf *bytes.Buffer, d types.Dict) error {
	for _, key := range slices.Sorted(maps.Keys(d)) {
		if id, ok := elsewhere(key, d[key]); ok {
			buf.WriteString("/Dest" + types.Name(id).PDFString())
			continue
		}
		buf.WriteString("/" + types.EncodeName(key) + " ")
		if err := c.object(buf, d[key], key); err != nil {
			return err
		}
	}
	return nil
}

// elsewhere gives the id that an action leads to in another part.
func elsewhere(key string, o types.Object) (string, bool) {
	action, ok := o.(types.Dict)
	if !ok || key != "A" {
		return "", false
	}
	address, ok := action["URI"].(types.StringLiteral)
	if !ok {
		return "", false
	}
	return strings.CutPrefix(string(address), Elsewhere)
}

// text writes a single object.
func (c *copier) text(o types.Object) ([]byte, error) {
	var buf bytes.Buffer
	err := c.object(&buf, o, "")
	return buf.Bytes(), err
}
