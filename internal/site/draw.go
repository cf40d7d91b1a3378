package site

import (
	"html/template"
	"strings"
)

// The dense parts of a page are drawn here instead of in a template: a table inside a template costs more than all the
// Markdown of its page. The price is that nothing escapes for us, so every value passes through text, attr or link.

// ink is HTML being written. Its methods other than raw take values from outside and escape them.
type ink []byte

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
func firstEscaped(s string) int {
	for i := range len(s) {
		// Everything that is escaped lies at or below '>', which passes most letters in one comparison.
		if c := s[i]; c <= '>' && escapes(c) != "" {
			return i
		}
	}
	return len(s)
}

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
		k.raw(` class="` + class + `"`)
	}
	k.raw(">")
	k.text(s)
	k.raw("</th>")
}

// link writes a value as a link, or bare where there is nowhere safe to lead.
func (k *ink) link(words, href string) {
	if href == "" || scheme(href) != "" {
		k.text(words)
		return
	}
	k.raw(`<a href="`)
	k.text(href)
	k.raw(`">`)
	k.text(words)
	k.raw("</a>")
}

// html gives what has been written.
func (k *ink) html() template.HTML {
	return template.HTML(*k) // every value went through text
}

// scheme gives the part of an address before a colon, where it has such a part: "https" of "https://…".
func scheme(href string) string {
	i := strings.IndexAny(href, ":/?#")
	if i < 0 || href[i] != ':' {
		return ""
	}
	return href[:i+1]
}
