package site

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"compress/zlib"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"html"
	"io"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/handbook"
)

// A spelling is a way in which a word can stand in a file.
type spelling struct {
	name  string
	write func(string) string
}

// spellings are those that words are looked for in. Capitals do not matter.
var spellings = []spelling{
	{"as it is", func(s string) string { return s }},
	{"as an address", func(s string) string {
		if slug := handbook.Slug(s); slug != "page" { // which stands for words without a letter
			return slug
		}
		return s
	}},
	{"as HTML", html.EscapeString},
	{"as JSON", func(s string) string {
		return escaped(s, `\u%04x`, func(r rune) bool { return r > '~' || strings.ContainsRune(`&<>"\`, r) })
	}},
	{"as JSON, every sign", func(s string) string { return escaped(s, `\u%04x`, func(rune) bool { return true }) }},
	{"as HTML, every sign", func(s string) string { return escaped(s, "&#%d;", func(rune) bool { return true }) }},
	{"with its units kept", strings.NewReplacer(" °c", "\u00a0°c", " °f", "\u00a0°f", " %", "\u00a0%", " g", "\u00a0g").Replace},
	{"in a path", func(s string) string { return strings.ToLower(url.PathEscape(s)) }},
	{"in a query", func(s string) string { return strings.ToLower(url.QueryEscape(s)) }},
	{"as UTF-16, little end first", func(s string) string { return utf16Of(s, binary.LittleEndian) }},
	{"as UTF-16, great end first", func(s string) string { return utf16Of(s, binary.BigEndian) }},
	{"in hex", func(s string) string { return hex.EncodeToString([]byte(s)) }},
}

// escaped writes some signs by their numbers.
func escaped(s, format string, these func(rune) bool) string {
	var b strings.Builder
	for _, r := range s {
		if these(r) {
			fmt.Fprintf(&b, format, r)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

func utf16Of(s string, order binary.AppendByteOrder) string {
	var b []byte
	for _, unit := range utf16.Encode([]rune(s)) {
		b = order.AppendUint16(b, unit)
	}
	return string(b)
}

// smallLetters makes A to Z small and leaves every other byte alone, so that it holds for files that are no text.
func smallLetters(s string) string {
	b := []byte(s)
	for i, c := range b {
		if 'A' <= c && c <= 'Z' {
			b[i] = c + 'a' - 'A'
		}
	}
	return string(b)
}

// A scanner looks for words.
type scanner struct {
	words []string            // the longest first
	spelt map[string][]string // by word, in the order of spellings
}

func newScanner(words map[string]string) *scanner {
	s := &scanner{spelt: map[string][]string{}}
	for word := range words {
		s.words = append(s.words, word)
		for _, way := range spellings {
			s.spelt[word] = append(s.spelt[word], way.write(word))
		}
	}
	slices.SortFunc(s.words, func(a, b string) int { return cmp.Or(len(b)-len(a), strings.Compare(a, b)) })
	return s
}

// in gives the words that stand in some bytes, or in what these hold in base64 or packed. A word that is part of a longer one is not
// taken for itself.
func (s *scanner) in(data string) map[string]bool {
	found := map[string]bool{}
	for _, view := range views(data, 3) {
		view = smallLetters(view)
		for i, way := range spellings {
			isMarked, rest := strings.Contains(view, way.write(mark)), view
			for _, word := range s.words {
				if spelt := s.spelt[word][i]; (isMarked || !strings.HasPrefix(word, mark)) && strings.Contains(rest, spelt) {
					found[word] = true
					rest = strings.ReplaceAll(rest, spelt, " ")
				}
			}
		}
	}
	return found
}

// base64Run finds what may be base64, plain or as addresses have it.
var base64Run = regexp.MustCompile(`[A-Za-z0-9+/_-]{16,}={0,2}`)

// views gives bytes as they are, and what they hold in base64 and packed by gzip or zlib, and so on as deep as is asked for.
func views(data string, deep int) []string {
	all := []string{data}
	if deep == 0 {
		return all
	}
	for _, run := range base64Run.FindAllString(data, -1) {
		run = strings.NewReplacer("-", "+", "_", "/").Replace(strings.TrimRight(run, "="))
		if raw, err := base64.RawStdEncoding.DecodeString(run); err == nil {
			all = append(all, views(string(raw), deep-1)...)
		}
	}
	for at := range len(data) - 1 {
		if unpacked := unpackedAt(data[at:]); unpacked != "" {
			all = append(all, views(unpacked, deep-1)...)
		}
	}
	return all
}

// unpackedAt unpacks what begins with the signature of gzip or zlib; "" where there is none.
func unpackedAt(data string) string {
	var r io.Reader
	var err error
	switch {
	case strings.HasPrefix(data, "\x1f\x8b\x08"):
		r, err = gzip.NewReader(strings.NewReader(data))
	case data[0] == 0x78 && (uint(data[0])<<8|uint(data[1]))%31 == 0:
		r, err = zlib.NewReader(strings.NewReader(data))
	default:
		return ""
	}
	if err != nil {
		return ""
	}
	var out bytes.Buffer
	_, _ = io.Copy(&out, io.LimitReader(r, 1<<24)) // what came before any damage counts
	return out.String()
}

// The scan finds a word in each of its guises, or what it does not find would prove nothing.
func TestScanFinds(t *testing.T) {
	const word = "canarymwörd&so"
	s := newScanner(map[string]string{word: "", "17.317": "", "canarymelse": ""})
	var packed, zipped bytes.Buffer
	z := gzip.NewWriter(&packed)
	_, _ = io.WriteString(z, "some text before "+word)
	_ = z.Close()
	y := zlib.NewWriter(&zipped)
	_, _ = io.WriteString(y, word)
	_ = y.Close()
	for name, text := range map[string]string{
		"plain": "x" + word + "y", "capitals": "CANARYMWöRD&SO", "address": "/canarymword-so/", "HTML": "<p>canarymwörd&amp;so", "JSON": `"canarymw\u00f6rd\u0026so"`,
		"path": "canarymw%C3%B6rd&so", "query": "canarymw%C3%B6rd%26so", "UTF-16LE": utf16Of("Canarymwörd&so", binary.LittleEndian), "UTF-16BE": utf16Of(word, binary.BigEndian),
		"base64": "data:x;base64," + base64.StdEncoding.EncodeToString([]byte("before "+word)), "gzip": "\x00\x01" + packed.String(), "zlib": "tEXt\x00" + zipped.String(),
		"gzip in base64": base64.StdEncoding.EncodeToString(packed.Bytes()), "hex": fmt.Sprintf("%X", word), "numbers": escaped(word, "&#%d;", func(rune) bool { return true }),
	} {
		assert.Equal(t, map[string]bool{word: true}, s.in(text), name)
	}
	assert.Equal(t, map[string]bool{"17.317": true}, s.in("<td>17.317 %</td>"))
	assert.Empty(t, s.in("canarymword; canarymels; 17.31 7; "+base64.StdEncoding.EncodeToString([]byte("nothing of the kind at all"))))
}
