package pdf

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
)

// A file is a PDF being written: objects with a stream as they come, others packed many to an object stream (ISO 32000-1, 7.5.7), and where each
// object lies in a cross-reference stream (7.5.8). The same objects make the same bytes.
type file struct {
	out     bytes.Buffer
	lies    []lie // of object 1 and following
	waiting []waiting
}

// A lie says where an object lies: at an offset in the file, or as the nth of a packed stream.
type lie struct{ offset, pack, nth int }

// A waiting object is to be packed.
type waiting struct {
	number int
	body   []byte
}

// packed is how many objects go into one object stream: enough to be pressed well, few enough to be read at once.
const packed = 200

func newFile() *file {
	f := new(file)
	f.out.WriteString("%PDF-1.7\n%\xd3\xeb\xe9\xe1\n")
	return f
}

// reserve gives a number for an object that is put later.
func (f *file) reserve() int {
	f.lies = append(f.lies, lie{})
	return len(f.lies)
}

// put writes an object without a stream.
func (f *file) put(number int, body []byte) {
	f.waiting = append(f.waiting, waiting{number, body})
	if len(f.waiting) == packed {
		f.pack()
	}
}

// putStream writes an object with a stream. The dictionary is without its end and its length.
func (f *file) putStream(number int, dict, data []byte) {
	f.lies[number-1] = lie{offset: f.out.Len()}
	fmt.Fprintf(&f.out, "%d 0 obj\n%s/Length %d>>\nstream\n", number, dict, len(data))
	f.out.Write(data)
	f.out.WriteString("\nendstream\nendobj\n")
}

// pack writes the objects that wait.
func (f *file) pack() {
	if len(f.waiting) == 0 {
		return
	}
	var heads, bodies bytes.Buffer
	number := f.reserve()
	for nth, w := range f.waiting {
		fmt.Fprintf(&heads, "%d %d ", w.number, bodies.Len())
		f.lies[w.number-1] = lie{pack: number, nth: nth}
		bodies.Write(w.body)
		bodies.WriteByte('\n')
	}
	dict := fmt.Sprintf("<</Type/ObjStm/N %d/First %d/Filter/FlateDecode", len(f.waiting), heads.Len())
	f.putStream(number, []byte(dict), pressed(append(heads.Bytes(), bodies.Bytes()...)))
	f.waiting = f.waiting[:0]
}

// end closes the file and gives it.
func (f *file) end(root, info int) []byte {
	f.pack()
	number, start := f.reserve(), f.out.Len()
	f.lies[number-1] = lie{offset: start}
	table := []byte{0, 0, 0, 0, 0, 0xff, 0xff} // object 0 heads the free ones
	for _, l := range f.lies {
		switch {
		case l.pack > 0:
			table = append(table, 2)
			table = binary.BigEndian.AppendUint32(table, uint32(l.pack))
			table = binary.BigEndian.AppendUint16(table, uint16(l.nth))
		case l.offset > 0:
			table = append(table, 1)
			table = binary.BigEndian.AppendUint32(table, uint32(l.offset))
			table = append(table, 0, 0)
		default: // reserved and never put
			table = append(table, 0, 0, 0, 0, 0, 0, 0)
		}
	}
	sum := sha256.Sum256(f.out.Bytes())
	dict := fmt.Sprintf("<</Type/XRef/Size %d/W[1 4 2]/Root %d 0 R/Info %d 0 R/ID[<%x><%x>]/Filter/FlateDecode", len(f.lies)+1, root, info, sum[:16], sum[:16])
	f.putStream(number, []byte(dict), pressed(table))
	fmt.Fprintf(&f.out, "startxref\n%d\n%%%%EOF\n", start)
	return f.out.Bytes()
}

func pressed(data []byte) []byte {
	var buf bytes.Buffer
	w := zlib.NewWriter(&buf)
	_, _ = w.Write(data) // a buffer takes everything
	_ = w.Close()
	return buf.Bytes()
}
