package site

import (
	"html"
	"slices"
	"strings"
	"unicode"
)

// A methodPart is what programs are told of a part of a method: its words as read for the first version and batch.
type methodPart struct {
	kind methodKind
	text string
}

type methodKind int

const (
	methodHeading methodKind = iota + 1
	methodStep
	methodBox // a caution, for the most part
)

// methodParts finds the steps in a method: the points of its numbered lists, or its paragraphs where it has none; with the headings and boxes between
// them. The method is as a page shows it, whose elements all end: there is no need to read it as a browser reads what anybody may have written.
func methodParts(method string) []methodPart {
	var m methodReader
	if m.read(method); !m.numbered {
		m = methodReader{paragraphs: true}
		m.read(method)
	}
	return m.parts
}

// A methodReader finds the parts of a method.
type methodReader struct {
	paragraphs bool // whether they are steps, too
	numbered   bool // there is a numbered list
	parts      []methodPart

	open    []methodElement
	kind    methodKind // of the part that is being read, 0 between parts
	at      int        // how deep its element stands
	skipped int        // how deep an element stands that is not read, 0 where all are
	words   []byte
	space   bool // one is due before the next word
}

// A methodElement is one that is open.
type methodElement struct{ tag, class string }

// read goes through markup.
func (m *methodReader) read(markup string) {
	for markup != "" {
		text, rest, tagged := strings.Cut(markup, "<")
		m.add(text)
		if !tagged {
			return
		}
		var inside string
		inside, markup = cutTag(rest)
		tag, _, _ := strings.Cut(strings.TrimSuffix(inside, "/"), " ")
		switch {
		case strings.HasPrefix(tag, "!"): // a comment
		case strings.HasPrefix(tag, "/"):
			m.end()
		default:
			_, class, _ := strings.Cut(inside, ` class="`)
			class, _, _ = strings.Cut(class, `"`)
			m.begin(methodElement{tag, class})
			if slices.Contains(unended, tag) {
				m.end()
			}
		}
	}
}

// unended are the elements in a page's text that have no end, apart are those that what follows does not stand close to.
var (
	unended = []string{"br", "hr", "img", "input"}
	apart   = []string{"br", "div", "li", "p"}
)

// cutTag cuts markup at the end of a tag, which no sign in an attribute's quotes is.
func cutTag(markup string) (inside, rest string) {
	quoted := false
	for i := range len(markup) {
		switch c := markup[i]; {
		case c == '"':
			quoted = !quoted
		case c == '>' && !quoted:
			return markup[:i], markup[i+1:]
		}
	}
	return markup, ""
}

func (m *methodReader) begin(e methodElement) {
	m.open = append(m.open, e)
	deep := len(m.open)
	if m.kind == 0 {
		m.kind, m.at = m.kindOf(e), deep
	}
	if m.kind != 0 && m.skipped == 0 && (e.tag == "small" || otherwise(e.class)) { // what stands small beside a figure are ounces and °F
		m.skipped = deep
	}
}

// kindOf says of which part an element is the beginning; 0 where it is of none.
func (m *methodReader) kindOf(e methodElement) methodKind {
	if len(m.open) == 2 && m.open[0].tag == "ol" {
		return methodStep
	}
	if len(m.open) != 1 {
		return 0
	}
	switch e.tag {
	case "h2", "h3", "h4":
		return methodHeading
	case "ol":
		m.numbered = true
	case "p":
		if m.paragraphs {
			return methodStep
		}
	case "aside", "div":
		if strings.HasPrefix(e.class, "block") {
			return methodBox
		}
	}
	return 0
}

// end ends the innermost element.
func (m *methodReader) end() {
	deep := len(m.open)
	if deep == 0 {
		return
	}
	e := m.open[deep-1]
	m.open = m.open[:deep-1]
	if m.kind == 0 {
		return
	}
	switch {
	case m.skipped == deep:
		m.skipped = 0
	case m.skipped > 0 || !slices.Contains(apart, e.tag):
	case e.class == "block-name":
		m.add(": ")
	default:
		m.space = true
	}
	if m.at == deep {
		if len(m.words) > 0 || m.kind == methodHeading {
			m.parts = append(m.parts, methodPart{m.kind, string(m.words)})
		}
		m.kind, m.words, m.space = 0, m.words[:0], false
	}
}

// otherwise says whether a class is that of what is for another version or batch than the first: v2, b13.
func otherwise(class string) bool {
	if len(class) < 2 || class[0] != 'v' && class[0] != 'b' {
		return false
	}
	number := class[1:]
	return number != "1" && number[0] != '0' && strings.Trim(number, "0123456789") == ""
}

// add adds words to the part that is being read, with one space between them, and none before what closes up.
func (m *methodReader) add(markup string) {
	if m.kind == 0 || m.skipped > 0 {
		return
	}
	for text := html.UnescapeString(markup); text != ""; {
		end := strings.IndexFunc(text, unicode.IsSpace)
		if end < 0 {
			end = len(text)
		}
		if word := text[:end]; word != "" {
			if m.space && len(m.words) > 0 && word[0] != ',' && word[0] != '.' && word[0] != ')' {
				m.words = append(m.words, ' ')
			}
			m.words, m.space = append(m.words, word...), false
		}
		text = text[end:]
		rest := strings.TrimLeftFunc(text, unicode.IsSpace)
		m.space = m.space || len(rest) < len(text)
		text = rest
	}
}
