package markdown

import (
	"html/template"
	"strings"

	"github.com/alecthomas/chroma/v2"
)

// Excerpt gives each line of some code as HTML with a class on each token, and with a mark around what stands from byte from up to byte to.
// Code in a language that is not known, or that its lexer would alter, is shown plain.
func Excerpt(language, code string, from, to int) []template.HTML {
	e := &excerpt{from: from, to: to}
	for _, t := range tokensOf(language, code) {
		e.token(t)
	}
	e.endLine()
	return e.lines
}

// tokensOf gives tokens that together are the code, letter by letter. Lexers are given a line's end after it, without which some miss
// what the last line is.
func tokensOf(language, code string) []chroma.Token {
	plain := []chroma.Token{{Type: chroma.Text, Value: code}}
	next := tokenise(language, code+"\n")
	if next == nil {
		return plain
	}
	var all []chroma.Token
	var b strings.Builder
	for t := next(); t != chroma.EOF; t = next() {
		all = append(all, t)
		b.WriteString(t.Value)
	}
	if b.String() != code+"\n" {
		return plain
	}
	last := &all[len(all)-1]
	last.Value = strings.TrimSuffix(last.Value, "\n")
	return all
}

// An excerpt is the lines that are written so far, and the line being written.
type excerpt struct {
	from, to int // what is marked
	at       int // how much is written, in bytes of the code
	marked   bool
	line     strings.Builder
	lines    []template.HTML
}

// token writes a token, cut at line ends and at the ends of what is marked.
func (e *excerpt) token(t chroma.Token) {
	for rest := t.Value; rest != ""; {
		n := len(rest)
		for _, end := range []int{strings.IndexByte(rest, '\n'), e.from - e.at, e.to - e.at} {
			if end > 0 && end < n {
				n = end
			}
		}
		if rest[0] == '\n' {
			e.endLine()
			n = 1
		} else {
			e.piece(chroma.Token{Type: t.Type, Value: rest[:n]})
		}
		e.at, rest = e.at+n, rest[n:]
	}
}

func (e *excerpt) piece(t chroma.Token) {
	if in := e.at >= e.from && e.at < e.to; in != e.marked {
		e.toggle()
	}
	writeToken(&e.line, t)
}

// toggle begins or ends the mark.
func (e *excerpt) toggle() {
	if e.marked = !e.marked; e.marked {
		e.line.WriteString("<mark>")
	} else {
		e.line.WriteString("</mark>")
	}
}

// endLine ends a line; a mark goes on in the next.
func (e *excerpt) endLine() {
	if e.marked {
		e.toggle()
	}
	e.lines = append(e.lines, template.HTML(showable(e.line.String())))
	e.line.Reset()
}
