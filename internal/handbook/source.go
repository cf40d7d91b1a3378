package handbook

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/unicode/norm"

	"larkrow.example/stillroom/internal/problem"
)

// newSource brings a file into the form that all else reads: UTF-8 without a byte order mark, letters and accents put together (NFC), lines ended by \n.
// UTF-16 is read where a byte order mark says so. Anything else that is not UTF-8 is a problem with its place.
// It keeps nothing of raw.
func newSource(name string, raw []byte, problems *problem.List) (*problem.Source, bool) {
	src := &problem.Source{Name: name}
	at := problem.Span{Source: src}
	if len(raw) > maxPage {
		problems.Addf(at, "split it into several pages; pictures belong in files of their own", "the file is larger than the %d MB that a page may have", maxPage>>20)
		return src, false
	}
	text, err := decode(raw)
	if err != nil {
		problems.Addf(at, "save the file as UTF-8", "the file cannot be read as text: %v", err)
		return src, false
	}
	src.Text = text
	if strings.Contains(text, "\r") {
		src.Text = lineEnds.Replace(text)
	}
	if i := strings.IndexByte(src.Text, 0); i >= 0 {
		src.Text = strings.ToValidUTF8(src.Text[:i+1], "\uFFFD")
		problems.Addf(charAt(src, len(src.Text)-1), "delete the character, or save the file as UTF-8 text", "there is a zero byte here, which no text has")
		return src, false
	}
	if i := invalid(src.Text); i >= 0 {
		src.Text = strings.ToValidUTF8(src.Text, "\uFFFD")
		problems.Addf(charAt(src, i), "save the file as UTF-8 (most editors offer it under “save as” or “encoding”)", "this is not UTF-8 text")
		return src, false
	}
	if i := strings.IndexRune(src.Text, utf8.RuneError); i >= 0 {
		problems.Addf(charAt(src, i), "write it anew, and save the file as UTF-8", "a character was lost here when the file was saved")
		return src, false
	}
	src.Text = norm.NFC.String(src.Text)
	return src, true
}

var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// decode takes off a byte order mark and turns UTF-16 into UTF-8.
func decode(raw []byte) (string, error) {
	if bytes.HasPrefix(raw, []byte{0xFF, 0xFE}) || bytes.HasPrefix(raw, []byte{0xFE, 0xFF}) {
		if len(raw)%2 != 0 {
			return "", fmt.Errorf("it ends in the middle of a UTF-16 character")
		}
		text, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Bytes(raw)
		return string(text), err
	}
	return strings.TrimPrefix(string(raw), "\uFEFF"), nil
}

// invalid gives the offset of the first byte that is not UTF-8, or -1.
func invalid(text string) int {
	if utf8.ValidString(text) {
		return -1
	}
	for i, r := range text {
		if r == utf8.RuneError {
			if _, n := utf8.DecodeRuneInString(text[i:]); n == 1 {
				return i
			}
		}
	}
	return -1
}
