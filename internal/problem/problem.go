// Package problem holds what is wrong in a handbook's files, each thing with its place, an excerpt and what to do.
package problem

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// A Source is one file's text as the tool reads it: UTF-8, no byte order mark, lines ended by \n.
// Spans count bytes of Text; the normal form keeps every line on its own number.
type Source struct {
	Name string // slash-separated, relative to the handbook's folder
	Text string
}

// A Span is a piece of a source, as byte offsets; End is past the last byte. A zero Source is the tool itself.
type Span struct {
	Source     *Source
	Start, End int
}

// Position gives the 1-based line and column of the span's start; columns count characters, not bytes.
// Without a source both are 0.
func (s Span) Position() (line, column int) {
	if s.Source == nil {
		return 0, 0
	}
	before := s.Source.Text[:clamp(s.Start, len(s.Source.Text))]
	line = strings.Count(before, "\n") + 1
	column = utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:]) + 1
	return line, column
}

// File gives the name of the span's file, or "" without a source.
func (s Span) File() string {
	if s.Source == nil {
		return ""
	}
	return s.Source.Name
}

// Text gives the words that the span covers.
func (s Span) Text() string {
	if s.Source == nil {
		return ""
	}
	n := len(s.Source.Text)
	start := clamp(s.Start, n)
	return s.Source.Text[start:max(start, clamp(s.End, n))]
}

// Sub gives the part of the span that starts at byte i of its text and is n bytes long.
func (s Span) Sub(i, n int) Span {
	start := min(s.Start+max(i, 0), s.End)
	return Span{Source: s.Source, Start: start, End: min(start+max(n, 0), s.End)}
}

func clamp(i, n int) int { return max(0, min(i, n)) }

// A Problem is one thing that keeps a page from being read, told once.
type Problem struct {
	Span    Span
	Message string // what is wrong, in the maker's words; lower case, no full stop
	Hint    string // what to do about it
	Notes   []Note // other places that matter, such as where a name was taken first
}

// A Note points from a problem at a second place.
type Note struct {
	Span    Span
	Message string
}

// Error gives the one-line form, file:line:col: message. It quotes what a page says, so control characters are shown as a box.
func (p *Problem) Error() string {
	if p.Span.Source == nil {
		return visible(p.Message)
	}
	line, column := p.Span.Position()
	return fmt.Sprintf("%s:%d:%d: %s", visible(p.Span.File()), line, column, visible(p.Message))
}

// A List gathers problems. Its zero value is ready for use.
type List struct {
	problems []*Problem
}

// Add appends a problem.
func (l *List) Add(p *Problem) { l.problems = append(l.problems, p) }

// Addf appends a problem made from a format and its arguments, with a hint on how to mend it.
func (l *List) Addf(at Span, hint, format string, args ...any) {
	l.Add(&Problem{Span: at, Message: fmt.Sprintf(format, args...), Hint: hint})
}

// Join appends all problems of another list.
func (l *List) Join(other *List) {
	if other != nil {
		l.problems = append(l.problems, other.problems...)
	}
}

// Len gives the number of problems.
func (l *List) Len() int { return len(l.problems) }

// All gives the problems sorted by file and place; equal ones are told once.
func (l *List) All() []*Problem {
	sorted := slices.Clone(l.problems)
	slices.SortStableFunc(sorted, compare)
	return slices.CompactFunc(sorted, func(a, b *Problem) bool { return compare(a, b) == 0 })
}

// Err gives nil for an empty list, else the list as an error.
func (l *List) Err() error {
	if l.Len() == 0 {
		return nil
	}
	return l
}

// Error gives all problems, one a line.
func (l *List) Error() string {
	lines := make([]string, 0, l.Len())
	for _, p := range l.All() {
		lines = append(lines, p.Error())
	}
	return strings.Join(lines, "\n")
}

func compare(a, b *Problem) int {
	return cmp.Or(
		cmp.Compare(a.Span.File(), b.Span.File()),
		cmp.Compare(a.Span.Start, b.Span.Start),
		cmp.Compare(a.Message, b.Message),
	)
}
