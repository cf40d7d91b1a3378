package site

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/quantity"
)

// The files for programs that every recipe has, and the data in every page, are written by this ink: without a value in between that is made to be
// read once, and with numbers as digits only. The code that writes a file lists its fields in their order, and so is its description. What comes out is
// what encoding/json makes of the same fields.

// jsonInk is JSON being written. A key is a word of this program, or else one that went through escaped, or "" for an element of an array.
type jsonInk struct {
	b      []byte
	lines  bool // a field or element a line, each as many spaces in as it is deep
	inHTML bool // < > and & are escaped, so that it may stand in a script element
	depth  int
	filled bool // something stands in what was opened last
}

// jsonRows are rows of bytes to be written over.
var jsonRows = sync.Pool{New: func() any { return new([]byte) }}

// inked gives what a function writes.
func inked(o jsonInk, write func(o *jsonInk)) (file []byte) {
	o.inRow(write, func() { file = slices.Clone(o.b) })
	return file
}

// inkedText gives what a function writes, to stand in a page.
func inkedText(o jsonInk, write func(o *jsonInk)) (text string) {
	o.inRow(write, func() { text = string(o.b) })
	return text
}

// inRow writes in one of the rows, from which another function takes what was written.
func (o *jsonInk) inRow(write func(o *jsonInk), take func()) {
	row := jsonRows.Get().(*[]byte)
	defer jsonRows.Put(row)
	o.b = (*row)[:0]
	write(o)
	take()
	if cap(o.b) <= maxInk {
		*row = o.b
	}
}

// object writes an object with the fields that a function writes.
func (o *jsonInk) object(key string, fields func()) {
	o.open(key, '{')
	fields()
	o.close('}')
}

// array writes an array of the elements that a function writes.
func (o *jsonInk) array(key string, elements func()) {
	o.open(key, '[')
	elements()
	o.close(']')
}

func (o *jsonInk) open(key string, mark byte) {
	o.begin(key)
	o.b = append(o.b, mark)
	o.depth++
	o.filled = false
}

func (o *jsonInk) close(mark byte) {
	o.depth--
	if o.filled {
		o.newLine()
	}
	o.b = append(o.b, mark)
	o.filled = true
}

// end ends a file.
func (o *jsonInk) end() { o.b = append(o.b, '\n') }

// begin writes what stands before a value.
func (o *jsonInk) begin(key string) {
	if o.filled {
		o.b = append(o.b, ',')
	}
	if o.depth > 0 {
		o.newLine()
	}
	if key != "" {
		o.b = append(append(append(o.b, '"'), key...), `":`...)
		if o.lines {
			o.b = append(o.b, ' ')
		}
	}
	o.filled = true
}

func (o *jsonInk) newLine() {
	const spaces = "\n                "
	if o.lines {
		o.b = append(o.b, spaces[:1+o.depth]...)
	}
}

// text writes a string.
func (o *jsonInk) text(key, s string) {
	o.begin(key)
	o.quote(s)
}

// anyText writes a string that is left out where it is empty.
func (o *jsonInk) anyText(key, s string) {
	if s != "" {
		o.text(key, s)
	}
}

// texts writes an array of strings.
func (o *jsonInk) texts(key string, all []string) {
	o.array(key, func() {
		for _, s := range all {
			o.text("", s)
		}
	})
}

// decimal writes a number as a string, as [quantity.Number.Text] does.
func (o *jsonInk) decimal(key string, n quantity.Number, places int) {
	o.begin(key)
	o.b = append(n.AppendText(append(o.b, '"'), places), '"')
}

// exact writes a number as a string that is a whole one or a fraction, such as 12 or 7/20.
func (o *jsonInk) exact(key string, n quantity.Number) {
	o.begin(key)
	o.b = append(n.AppendFraction(append(o.b, '"')), '"')
}

// whole writes a whole number as a number.
func (o *jsonInk) whole(key string, n int64) {
	o.begin(key)
	o.b = strconv.AppendInt(o.b, n, 10)
}

// wholes writes an array of whole numbers.
func (o *jsonInk) wholes(key string, all []int) {
	o.array(key, func() {
		for _, n := range all {
			o.whole("", int64(n))
		}
	})
}

// truth writes true or false.
func (o *jsonInk) truth(key string, is bool) {
	o.begin(key)
	o.b = strconv.AppendBool(o.b, is)
}

// quote writes a string between its quotes.
func (o *jsonInk) quote(s string) {
	o.b = append(append(append(o.b, '"'), o.escaped(s)...), '"')
}

// escaped gives a string as it stands between quotes. Where anything in it has to be escaped, encoding/json does that.
func (o *jsonInk) escaped(s string) string {
	if o.plain(s) {
		return s
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(o.inHTML)
	if err := enc.Encode(s); err != nil {
		panic("site: " + err.Error()) // a string can be written
	}
	return b.String()[1 : b.Len()-len("\"\n")]
}

// plain says whether a string stands in JSON as it is.
func (o *jsonInk) plain(s string) bool {
	var all byte
	for i := range len(s) {
		c := s[i]
		if signs := jsonSigns[c]; signs != 0 && (o.inHTML || signs == always) {
			return false
		}
		all |= c
	}
	// Scripts took U+2028 and U+2029 for ends of lines, and so encoding/json escapes them.
	return all < utf8.RuneSelf || utf8.ValidString(s) && !strings.Contains(s, "\u2028") && !strings.Contains(s, "\u2029")
}

// When a byte is escaped.
const (
	always = iota + 1
	onlyInHTML
)

// jsonSigns say when each byte is escaped, 0 for never.
var jsonSigns = func() (signs [256]byte) {
	for c := range byte(' ') {
		signs[c] = always
	}
	signs['"'], signs['\\'] = always, always
	signs['<'], signs['>'], signs['&'] = onlyInHTML, onlyInHTML, onlyInHTML
	return signs
}()
