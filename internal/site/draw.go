package site

import (
	"bytes"
	"html/template"
	"slices"
	"strconv"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/words"
)

// The dense parts of a page are drawn here instead of in a template: a table inside a template costs more than all the
// Markdown of its page. The price is that nothing escapes for us, so every value passes through text, attr or link.

// ink is HTML being written. Its methods other than raw take values from outside and escape them.
type ink []byte

// inks are those that are to be written over.
var inks = sync.Pool{New: func() any { return new(ink) }}

// maxInk is the longest piece whose room is kept for others.
const maxInk = 1 << 20

// newInk begins a piece, which html ends.
func newInk() *ink { return inks.Get().(*ink) }

// raw writes markup that stands in this program.
func (k *ink) raw(markup string) { *k = append(*k, markup...) }

// text writes a value, escaped for element content and for double-quoted attributes.
func (k *ink) text(s string) {
	i := firstEscaped(s)
	for i < len(s) {
		*k = append(append(*k, s[:i]...), escapes(s[i])...)
		s = s[i+1:]
		i = firstEscaped(s)
	}
	*k = append(*k, s...)
}

// firstEscaped is where the first byte that may not stand as it is lies, or the length of s.
func firstEscaped[T string | ~[]byte](s T) int {
	for i := range len(s) {
		if isEscaped[s[i]] {
			return i
		}
	}
	return len(s)
}

// isEscaped says of each byte whether it has a reference.
var isEscaped = func() (is [256]bool) {
	for c := range is {
		is[c] = escapes(byte(c)) != ""
	}
	return is
}()

// escapes gives the reference that stands for a byte in HTML, or "" if the byte may stand as it is.
func escapes(c byte) string {
	switch c {
	case '<':
		return "&lt;"
	case '>':
		return "&gt;"
	case '&':
		return "&amp;"
	case '"':
		return "&#34;"
	case '\'':
		return "&#39;"
	case 0:
		return "\uFFFD"
	}
	return ""
}

// number writes a decimal with the language's sign.
func (k *ink) number(l *words.Language, decimal string) { k.text(l.Number(decimal)) }

// fixed writes a number with so many places and the language's decimal sign.
func (k *ink) fixed(l *words.Language, n quantity.Number, places int) {
	var room [24]byte
	start := len(*k)
	*k = l.AppendNumber(*k, n.AppendFixed(room[:0], places))
	k.escapeFrom(start)
}

// ounces writes grams in ounces.
func (k *ink) ounces(l *words.Language, grams quantity.Number) {
	oz := quantity.Grams(grams).ReadOunces()
	k.fixed(l, oz, ouncePlaces(oz))
}

// whole writes a whole number.
func (k *ink) whole(n int) { *k = strconv.AppendInt(*k, int64(n), 10) }

// say writes a text of the language, its places filled.
func (k *ink) say(l *words.Language, key string, places ...any) {
	start := len(*k)
	*k = l.Append(*k, key, places...)
	k.escapeFrom(start)
}

// escapeFrom escapes what has been written since.
func (k *ink) escapeFrom(start int) {
	if said := (*k)[start:]; firstEscaped(said) < len(said) {
		again := string(said)
		*k = (*k)[:start]
		k.text(again)
	}
}

// value writes a value as text does, but for a plus sign, which is escaped, too: as a theme's templates write values, so that what is drawn in a
// template's place is the same to the byte.
func (k *ink) value(s string) {
	for {
		before, after, plus := strings.Cut(s, "+")
		k.text(before)
		if !plus {
			return
		}
		k.raw("&#43;")
		s = after
	}
}

// told is say in a template's place.
func (k *ink) told(l *words.Language, key string, places ...any) {
	start := len(*k)
	*k = l.Append(*k, key, places...)
	if said := (*k)[start:]; firstEscaped(said) < len(said) || bytes.IndexByte(said, '+') >= 0 {
		again := string(said)
		*k = (*k)[:start]
		k.value(again)
	}
}

// address writes an address as templates do: what may not stand in one is written with percent signs, and one that leads to a program is not given.
func (k *ink) address(href string) {
	if at, _, has := strings.Cut(href, ":"); has && !strings.Contains(at, "/") && !isLinked(at) {
		k.raw("#ZgotmplZ")
		return
	}
	for i := range len(href) {
		switch c := href[i]; {
		case c == '&':
			k.raw("&amp;")
		case c == '+':
			k.raw("&#43;")
		case standsInAddress(c), c == '%' && i+2 < len(href) && isHex(href[i+1]) && isHex(href[i+2]):
			*k = append(*k, c)
		default:
			const digits = "0123456789abcdef"
			*k = append(*k, '%', digits[c>>4], digits[c&15])
		}
	}
}

// isLinked says whether addresses of a scheme are given to readers.
func isLinked(scheme string) bool {
	return slices.ContainsFunc([]string{"http", "https", "mailto"}, func(known string) bool { return strings.EqualFold(scheme, known) })
}

func isHex(c byte) bool { return '0' <= c && c <= '9' || 'a' <= c|0x20 && c|0x20 <= 'f' }

// standsInAddress says whether a byte stands for itself in an address, by RFC 3986.
func standsInAddress(c byte) bool {
	return 'a' <= c|0x20 && c|0x20 <= 'z' || '0' <= c && c <= '9' || strings.IndexByte("!#$*,/:;=?@[]-._~", c) >= 0
}

// part writes an element with a class around a value, and nothing where the value is "".
func (k *ink) part(tag, class, s string) {
	if s == "" {
		return
	}
	k.raw("<")
	k.raw(tag)
	k.raw(` class="`)
	k.raw(class)
	k.raw(`">`)
	k.text(s)
	k.raw("</")
	k.raw(tag)
	k.raw(">")
}

// head writes what heads a column.
func (k *ink) head(class, s string) {
	k.raw(`<th scope="col"`)
	if class != "" {
		k.raw(` class="`)
		k.raw(class)
		k.raw(`"`)
	}
	k.raw(">")
	k.text(s)
	k.raw("</th>")
}

// link writes a value as a link, or bare where there is nowhere safe to lead.
func (k *ink) link(name, href string) {
	if href == "" || scheme(href) != "" {
		k.text(name)
		return
	}
	k.raw(`<a href="`)
	k.text(href)
	k.raw(`">`)
	k.text(name)
	k.raw("</a>")
}

// html gives what has been written, and ends the piece: nothing may be written to it afterwards.
func (k *ink) html() template.HTML {
	piece := template.HTML(*k) // every value went through text
	if cap(*k) <= maxInk {
		*k = (*k)[:0]
		inks.Put(k)
	}
	return piece
}

// scheme gives the part of an address before a colon, where it has such a part: "https" of "https://…".
func scheme(href string) string {
	for i := range len(href) {
		switch href[i] {
		case ':':
			return href[:i+1]
		case '/', '?', '#':
			return ""
		}
	}
	return ""
}
