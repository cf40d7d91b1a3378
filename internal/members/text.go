package members

import (
	"bytes"
	"errors"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"

	"larkrow.example/stillroom/internal/problem"
)

// newSource brings a file into the form that it is read in: UTF-8 without a byte order mark, lines ended by \n.
func newSource(name string, raw []byte, problems *problem.List) (*problem.Source, bool) {
	src := &problem.Source{Name: name}
	text, err := decode(raw)
	if err != nil {
		problems.Addf(problem.Span{Source: src}, "save the file as UTF-8", "the file cannot be read as text: %v", err)
		return src, false
	}
	if at, hint, fault := unreadable(text); fault != "" {
		src.Text = strings.ToValidUTF8(text[:at], "\uFFFD") + "\uFFFD"
		problems.Addf(problem.Span{Source: src, Start: len(src.Text) - len("\uFFFD"), End: len(src.Text)}, hint, "%s", fault)
		return src, false
	}
	src.Text = text
	return src, true
}

// decode takes off a byte order mark, turns UTF-16 into UTF-8 where a mark says so, and makes all line ends \n.
func decode(raw []byte) (string, error) {
	if bytes.HasPrefix(raw, []byte{0xFF, 0xFE}) || bytes.HasPrefix(raw, []byte{0xFE, 0xFF}) {
		if len(raw)%2 != 0 {
			return "", errors.New("it ends in the middle of a UTF-16 character")
		}
		var err error
		if raw, err = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Bytes(raw); err != nil {
			return "", err
		}
	}
	text := strings.TrimPrefix(string(raw), "\uFEFF")
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), nil
}

// unreadable finds the first place that is no text.
func unreadable(text string) (at int, hint, fault string) {
	for i, r := range text {
		switch _, n := utf8.DecodeRuneInString(text[i:]); {
		case r == 0:
			return i, "save the file as UTF-8 text", "there is a zero byte here, which no text has"
		case r == utf8.RuneError && n == 1:
			return i, "save the file as UTF-8 (spreadsheets offer it as “CSV UTF-8”)", "this is not UTF-8 text"
		case r == utf8.RuneError:
			return i, "write it anew, and save the file as UTF-8", "a character was lost here when the file was saved"
		}
	}
	return 0, "", ""
}
