package picture

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"unicode/utf16"
)

// asUTF8 drops a byte order mark and turns UTF-16 into UTF-8; it says whether it did the latter. XML 1.0, appendix F (from memory).
func asUTF8(data []byte) ([]byte, bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xEF\xBB\xBF")):
		return data[3:], false
	case bytes.HasPrefix(data, []byte("\xFF\xFE")):
		return fromUTF16(data[2:], binary.LittleEndian), true
	case bytes.HasPrefix(data, []byte("\xFE\xFF")):
		return fromUTF16(data[2:], binary.BigEndian), true
	}
	return data, false
}

func fromUTF16(data []byte, order binary.ByteOrder) []byte {
	units := make([]uint16, len(data)/2)
	for i := range units {
		units[i] = order.Uint16(data[2*i:])
	}
	return []byte(string(utf16.Decode(units)))
}

// charset reads the encodings that a drawing may name: UTF-8 is known to package xml; ASCII is a part of it, and ISO 8859-1 is
// the first 256 signs of Unicode.
func (d *drawing) charset(label string, in io.Reader) (io.Reader, error) {
	switch label := strings.ToLower(label); {
	case label == "us-ascii", label == "ascii", d.converted && strings.HasPrefix(label, "utf-16"):
		return in, nil
	case label == "iso-8859-1", label == "latin1":
		d.converted = true
		data, err := io.ReadAll(in)
		if err != nil {
			return nil, err
		}
		signs := make([]rune, len(data))
		for i, b := range data {
			signs[i] = rune(b)
		}
		return strings.NewReader(string(signs)), nil
	}
	return nil, errors.New("this encoding cannot be read; save it as UTF-8")
}

// maxEntity bounds what an entity stands for, in bytes: drawing programs shorten namespaces so, and a drawing cannot grow by much.
const maxEntity = 60

// entityRule finds entities that stand for an address or a word within a document type: XML 1.0, 4.2.
var entityRule = regexp.MustCompile(`<!ENTITY\s+([A-Za-z_][\w.-]*)\s+(?:"([\w.:/#-]*)"|'([\w.:/#-]*)')\s*>`)

// entities gives the short plain entities that a document type defines. All others stay unknown, and their use an error.
func entities(directive xml.Directive) map[string]string {
	known := make(map[string]string)
	for _, match := range entityRule.FindAllSubmatch(directive, -1) {
		name, value := string(match[1]), string(match[2])+string(match[3])
		if _, twice := known[name]; !twice && len(value) <= maxEntity {
			known[name] = value
		}
	}
	return known
}
