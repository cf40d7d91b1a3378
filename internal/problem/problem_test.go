package problem_test

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/problem"
)

// at gives the span of the words between ⟦ and ⟧, which are taken out of the text.
func at(t testing.TB, marked string) problem.Span {
	t.Helper()
	before, rest, ok := strings.Cut(marked, "⟦")
	require.True(t, ok)
	pointed, after, ok := strings.Cut(rest, "⟧")
	require.True(t, ok)
	source := &problem.Source{Name: "recipes/balm.md", Text: before + pointed + after}
	return problem.Span{Source: source, Start: len(before), End: len(before) + len(pointed)}
}

func TestPosition(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, marked string
		line, column int
	}{
		{"the very start", "⟦a⟧", 1, 1},
		{"an empty file", "⟦⟧", 1, 1},
		{"a second line", "one\ntwo ⟦three⟧", 2, 5},
		{"after empty lines", "\n\n\n⟦x⟧", 4, 1},
		{"on the line's end", "one⟦\n⟧two", 1, 4},
		{"past the last line", "one\n⟦⟧", 2, 1},
		{"characters of two bytes count once", "Öl für ⟦Bäder⟧", 1, 8},
		{"characters of four bytes count once", "🧴🧼⟦x⟧", 1, 3},
		{"only its own line counts", "ääää\nö⟦x⟧", 2, 2},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			line, column := at(t, row.marked).Position()
			assert.Equal(t, row.line, line, "line")
			assert.Equal(t, row.column, column, "column")
		})
	}
	line, column := problem.Span{}.Position()
	assert.Zero(t, line)
	assert.Zero(t, column)
}

func TestSpan(t *testing.T) {
	t.Parallel()
	s := at(t, "glycerin: ⟦3 drops⟧\n")
	assert.Equal(t, "3 drops", s.Text())
	assert.Equal(t, "recipes/balm.md", s.File())
	assert.Equal(t, "drops", s.Sub(2, 5).Text())
	assert.Equal(t, "drops", s.Sub(2, 99).Text(), "no part is longer than the whole")
	assert.Equal(t, "", s.Sub(99, 1).Text())
	assert.Equal(t, s.End, s.Sub(99, 1).Start, "no part lies outside the whole")
	assert.Equal(t, "3", s.Sub(-5, 1).Text())
	assert.Equal(t, "", s.Sub(1, -1).Text())

	assert.Empty(t, problem.Span{}.Text())
	assert.Empty(t, problem.Span{}.File())
	assert.Empty(t, problem.Span{}.Excerpt())

	wild := problem.Span{Source: s.Source, Start: -5, End: 9999}
	assert.Equal(t, s.Source.Text, wild.Text())
	back := problem.Span{Source: s.Source, Start: 8, End: 2}
	assert.Empty(t, back.Text(), "an end before the start covers nothing")
	assert.Contains(t, back.Excerpt(), "^")
}

// excerpt gives the two lines of an excerpt without the gutter.
func excerpt(t *testing.T, s problem.Span) (line, carets string) {
	t.Helper()
	rows := strings.Split(s.Excerpt(), "\n")
	require.Len(t, rows, 3, "two lines, both ended")
	require.Empty(t, rows[2])
	_, line, ok := strings.Cut(rows[0], " | ")
	require.True(t, ok)
	gutter := len(rows[0]) - len(line)
	require.GreaterOrEqual(t, len(rows[1]), gutter)
	assert.Equal(t, strings.Repeat(" ", gutter-2)+"| ", rows[1][:gutter], "both gutters are of one width")
	return line, rows[1][gutter:]
}

func TestExcerpt(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, marked, line, carets string }{
		{"a word", "weigh:\n  Glycerin: ⟦3 drops⟧\nmore", "  Glycerin: 3 drops", "            ^^^^^^^"},
		{"nothing", "a ⟦⟧b", "a b", "  ^"},
		{"the end of a line", "abc⟦⟧\nd", "abc", "   ^"},
		{"the end of a file", "abc\n⟦⟧", "", "^"},
		{"several lines: the first is shown", "a ⟦b\nc⟧", "a b", "  ^"},
		{"characters of several bytes", "Öl für ⟦Bäder⟧.", "Öl für Bäder.", "       ^^^^^"},
		{"wide characters before", "蜜蜂 ⟦wax⟧", "蜜蜂 wax", "     ^^^"},
		{"wide characters marked", "a ⟦蜜蜂⟧ b", "a 蜜蜂 b", "  ^^^^"},
		{"a combining mark", "cre\u0300me ⟦x⟧", "cre\u0300me x", "      ^"},
		{"a tab is one space", "\tGlycerin:\t⟦3⟧", " Glycerin: 3", "           ^"},
		{"control characters", "a\x1b[31m⟦b\x07⟧\u0085", "a▯[31mb▯▯", "      ^^"},
		{"a lone return", "a\r⟦b⟧", "a▯b", "  ^"},
		{"characters that turn the reading direction", "a\u202e⟦b\u2066⟧\u200f", "a▯b▯▯", "  ^^"},
		{"zero-width characters", "a\u200b⟦b⟧\ufeff", "a▯b▯", "  ^"},
		{"other line ends", "a\u2028⟦b⟧\u2029", "a▯b▯", "  ^"},
		{"bytes that are no text", "a\xff⟦b⟧", "a\ufffdb", "  ^"},
		{"long after", "⟦" + strings.Repeat("x", 3) + "⟧" + strings.Repeat("y", 500), "xxx" + strings.Repeat("y", 97) + "…", "^^^"},
		{"long before", strings.Repeat("y", 500) + "⟦xxx⟧z", "…" + strings.Repeat("y", 50) + "xxxz", strings.Repeat(" ", 51) + "^^^"},
		{"long and marked", "⟦" + strings.Repeat("x", 500) + "⟧yy", strings.Repeat("x", 100) + "…", strings.Repeat("^", 101)},
		{
			"long on every side", strings.Repeat("a", 500) + "⟦" + strings.Repeat("x", 500) + "⟧" + strings.Repeat("b", 500),
			"…" + strings.Repeat("a", 50) + strings.Repeat("x", 49) + "…", strings.Repeat(" ", 51) + strings.Repeat("^", 50),
		},
		{
			"long to the line's end", strings.Repeat("a", 500) + "⟦" + strings.Repeat("x", 500) + "⟧",
			"…" + strings.Repeat("a", 50) + strings.Repeat("x", 49) + "…", strings.Repeat(" ", 51) + strings.Repeat("^", 50),
		},
		{
			"room for nothing after", strings.Repeat("a", 50) + "⟦" + strings.Repeat("x", 50) + "⟧" + "bb",
			strings.Repeat("a", 50) + strings.Repeat("x", 50) + "…", strings.Repeat(" ", 50) + strings.Repeat("^", 50),
		},
		{
			"just enough room", strings.Repeat("a", 50) + "⟦" + strings.Repeat("x", 50) + "⟧",
			strings.Repeat("a", 50) + strings.Repeat("x", 50), strings.Repeat(" ", 50) + strings.Repeat("^", 50),
		},
		{"long and of several bytes", strings.Repeat("ä", 500) + "⟦ö⟧", "…" + strings.Repeat("ä", 50) + "ö", strings.Repeat(" ", 51) + "^"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			line, carets := excerpt(t, at(t, row.marked))
			assert.Equal(t, row.line, line)
			assert.Equal(t, row.carets, carets)
		})
	}
}

func TestExcerptNumbersTheLine(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "  1 | x\n    | ^\n", at(t, "⟦x⟧").Excerpt())
	assert.Equal(t, "  100 | x\n      | ^\n", at(t, strings.Repeat("\n", 99)+"⟦x⟧").Excerpt())
	assert.Empty(t, at(t, "⟦⟧").Excerpt(), "an empty file has nothing to show")
	assert.Empty(t, at(t, " \n⟦⟧\n").Excerpt())
}

func FuzzExcerpt(f *testing.F) {
	f.Add("weigh:\n  Glycerin: 3 drops\n", 19, 26)
	f.Add("", 0, 0)
	f.Add("蜜蜂\x1b\u202e\t", 4, -1)
	f.Add(strings.Repeat("a", 600), 500, 600)
	f.Fuzz(func(t *testing.T, text string, start, end int) {
		s := problem.Span{Source: &problem.Source{Name: "a.md", Text: text}, Start: start, End: end}
		p := &problem.Problem{Span: s, Message: text, Hint: "x" + text, Notes: []problem.Note{{Span: s, Message: text}}}
		out := p.Text()
		assert.True(t, utf8.ValidString(out))
		lines := 5
		if strings.TrimSpace(text) == "" {
			lines = 3
		}
		assert.Equal(t, lines, strings.Count(out, "\n"), "message, excerpt of two lines where there is a text, note and hint: %q", out)
		for _, r := range out {
			if r != '\n' && (r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 || r >= 0x202a && r <= 0x202e) {
				t.Errorf("%q reaches the terminal", r)
			}
		}
		line, column := s.Position()
		assert.Positive(t, line)
		assert.Positive(t, column)
		assert.LessOrEqual(t, line, strings.Count(text, "\n")+1)
		for row := range strings.SplitSeq(s.Excerpt(), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(row), 300, "an excerpt keeps short")
		}
	})
}

func TestProblem(t *testing.T) {
	t.Parallel()
	s := at(t, "weigh:\n  Glycerin: ⟦3 drops⟧\n")
	p := &problem.Problem{Span: s.Sub(2, 5), Message: "“drops” cannot be weighed", Hint: "weigh them once"}
	assert.Equal(t, "recipes/balm.md:2:15: “drops” cannot be weighed", p.Error())
	assert.Equal(t, `recipes/balm.md:2:15: “drops” cannot be weighed
  2 |   Glycerin: 3 drops
    |               ^^^^^
  what to do: weigh them once
`, p.Text())

	p.Notes = []problem.Note{{Span: problem.Span{Source: s.Source}, Message: "the list begins here"}}
	assert.Contains(t, p.Text(), "^^^^^\n  recipes/balm.md:1:1: the list begins here\n  what to do:")

	bare := &problem.Problem{Message: "no folder here"}
	assert.Equal(t, "no folder here", bare.Error())
	assert.Equal(t, "no folder here\n", bare.Text())
}

func TestProblemDrivesNoTerminal(t *testing.T) {
	t.Parallel()
	p := &problem.Problem{
		Span:    problem.Span{Source: &problem.Source{Name: "a\x1b.md", Text: "x"}},
		Message: "“\x1b[2J\u202e” is not a unit",
		Hint:    "did you mean “\x07”?",
		Notes:   []problem.Note{{Message: "a\nb"}},
	}
	assert.Equal(t, "a▯.md:1:1: “▯[2J▯” is not a unit", p.Error())
	assert.NotContains(t, p.Text(), "\x1b")
	assert.NotContains(t, p.Text(), "\x07")
	assert.Contains(t, p.Text(), "a▯b\n")
	p.Span = problem.Span{}
	assert.Equal(t, "“▯[2J▯” is not a unit", p.Error())
}

func TestList(t *testing.T) {
	t.Parallel()
	var l problem.List
	assert.NoError(t, l.Err(), "an empty list is no error, not even a typed one")
	assert.Zero(t, l.Len())
	assert.Empty(t, l.All())

	b := &problem.Source{Name: "b.md", Text: "one\ntwo\n"}
	a := &problem.Source{Name: "a.md", Text: "one\ntwo\n"}
	l.Addf(problem.Span{Source: b, Start: 4, End: 7}, "mend it", "%q is wrong", "two")
	l.Addf(problem.Span{Source: b, Start: 0, End: 3}, "", "second at this place")
	l.Addf(problem.Span{Source: b, Start: 0, End: 3}, "", "first at this place")
	l.Addf(problem.Span{Source: b, Start: 4, End: 7}, "mend it", "%q is wrong", "two")
	var more problem.List
	more.Add(&problem.Problem{Span: problem.Span{Source: a, Start: 4}, Message: "last"})
	more.Add(&problem.Problem{Message: "of the whole"})
	l.Join(&more)
	l.Join(nil)

	assert.Equal(t, 6, l.Len(), "equal ones are counted")
	want := []string{
		"of the whole",
		"a.md:2:1: last",
		"b.md:1:1: first at this place",
		"b.md:1:1: second at this place",
		`b.md:2:1: "two" is wrong`,
	}
	var got []string
	for _, p := range l.All() {
		got = append(got, p.Error())
	}
	assert.Equal(t, want, got)
	require.Error(t, l.Err())
	assert.Equal(t, strings.Join(want, "\n"), l.Err().Error())
	var list *problem.List
	assert.ErrorAs(t, l.Err(), &list)

	var out strings.Builder
	require.NoError(t, l.Print(&out))
	assert.Equal(t, `of the whole
a.md:2:1: last
  2 | two
    | ^
b.md:1:1: first at this place
  1 | one
    | ^^^
b.md:1:1: second at this place
  1 | one
    | ^^^
b.md:2:1: "two" is wrong
  2 | two
    | ^^^
  what to do: mend it
`, out.String())
	assert.Equal(t, 6, l.Len(), "printing leaves the list alone")
}

type full struct{}

var errFull = errors.New("the disk is full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestPrintSaysWhatFailed(t *testing.T) {
	t.Parallel()
	var l problem.List
	require.NoError(t, l.Print(full{}), "nothing to say")
	l.Add(&problem.Problem{Message: "x"})
	assert.ErrorIs(t, l.Print(full{}), errFull)
}
