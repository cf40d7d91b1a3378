package formula_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// read makes a formula of a text in which a phase's name stands alone and its lines are indented beneath it:
//
//	Oil:
//	  Sunflower oil: 2 tbsp | 0.92 g/ml
//	  Rosemary extract: 0.5 % | fixed
//	makes: 500 g
func read(t testing.TB, text string) formula.Formula {
	t.Helper()
	source := &problem.Source{Name: "r.md", Text: text}
	f := formula.Formula{At: problem.Span{Source: source, End: len(text)}}
	start := 0
	for row := range strings.Lines(text) {
		row = strings.TrimRight(row, "\n")
		at := func(part string) problem.Span {
			i := start + strings.LastIndex(row, part)
			return problem.Span{Source: source, Start: i, End: i + len(part)}
		}
		name, rest, ok := strings.Cut(strings.TrimSpace(row), ":")
		rest = strings.TrimSpace(rest)
		switch {
		case !ok:
			require.Empty(t, name, "a line without a colon")
		case name == "makes":
			f.Makes = mass(t, rest)
		case rest == "":
			f.Phases = append(f.Phases, formula.Phase{Name: name, At: at(name)})
		default:
			p := &f.Phases[len(f.Phases)-1]
			amount, _, _ := strings.Cut(rest, " | ")
			l := line(t, name+": "+rest)
			l.At = at(amount+strings.TrimPrefix(rest, amount)).Sub(0, len(amount))
			p.Lines = append(p.Lines, l)
		}
		start += len(row) + 1
	}
	return f
}

// line reads one line of a formula, without its place.
func line(t testing.TB, text string) formula.Line {
	t.Helper()
	name, rest, ok := strings.Cut(text, ": ")
	require.True(t, ok, text)
	written, facts, _ := strings.Cut(rest, " | ")
	l := formula.Line{Ingredient: ingredient(t, name+" | "+facts), Amount: amount(t, written)}
	return l
}

// ingredient reads a name with what is known of it: a density, fixed, or nothing.
func ingredient(t testing.TB, text string) formula.Ingredient {
	t.Helper()
	name, facts, _ := strings.Cut(text, " | ")
	in := formula.Ingredient{Name: name}
	switch facts {
	case "":
	case "fixed":
		in.Fixed = true
	default:
		d, err := quantity.ParseDensity(facts)
		require.NoError(t, err, text)
		in.Density = d
	}
	return in
}

func amount(t testing.TB, text string) quantity.Amount {
	t.Helper()
	a, err := quantity.ParseAmount(text)
	require.NoError(t, err, text)
	return a
}

func mass(t testing.TB, text string) quantity.Mass {
	t.Helper()
	m, err := quantity.ParseMass(text)
	require.NoError(t, err, text)
	return m
}

func number(t testing.TB, text string) quantity.Number {
	t.Helper()
	n, err := quantity.ParseNumber(text)
	require.NoError(t, err, text)
	return n
}

func batch(t testing.TB, text string) quantity.Batch {
	t.Helper()
	b, err := quantity.ParseBatch(text)
	require.NoError(t, err, text)
	return b
}

// scale makes a scale of "0.01 g to 200 g, 1 g".
func scale(t testing.TB, text string) quantity.Scale {
	t.Helper()
	var ranges []quantity.ScaleRange
	for part := range strings.SplitSeq(text, ", ") {
		reads, upTo, limited := strings.Cut(part, " to ")
		r := quantity.ScaleRange{Reads: mass(t, reads)}
		if limited {
			r.UpTo = mass(t, upTo)
		}
		ranges = append(ranges, r)
	}
	s, err := quantity.NewScale(ranges)
	require.NoError(t, err, text)
	return s
}

// solve solves a formula that has no faults.
func solve(t testing.TB, text string) *formula.Version {
	t.Helper()
	v, problems := formula.Solve(read(t, text))
	require.NoError(t, problems.Err(), text)
	require.NotNil(t, v)
	return v
}

// size gives a version's batch.
func size(t testing.TB, v *formula.Version, text string, fills ...formula.Fill) formula.Sized {
	t.Helper()
	s, err := v.Size(batch(t, text), fills)
	require.NoError(t, err, text)
	return s
}

// told writes problems as "line: message | hint | also line", one an entry.
func told(problems *problem.List) []string {
	var all []string
	for _, p := range problems.All() {
		row, _ := p.Span.Position()
		var text strings.Builder
		text.WriteString(fmt.Sprintf("%d: %s | %s", row, p.Message, p.Hint))
		for _, n := range p.Notes {
			row, _ := n.Span.Position()
			text.WriteString(fmt.Sprintf(" | also %d", row))
		}
		all = append(all, text.String())
	}
	return all
}

// shares writes a version as "name exact-percent", one an item.
func shares(v *formula.Version) []string {
	all := make([]string, len(v.Items))
	for i, item := range v.Items {
		all[i] = item.Name + " " + v.Percent(i).String()
	}
	return all
}

// texts writes a column's readings.
func texts(c formula.Column) []string {
	all := make([]string, len(c.Weights))
	for i, w := range c.Weights {
		all[i] = w.Text()
	}
	return all
}

// hedgerow is the formula of the hand cream that the design shows.
const hedgerow = `Water:
  Distilled water: q.s.
  Glycerin: 3 %
  Sodium lactate: 2 %
Oil:
  Sunflower oil: 12 %
  Shea butter, refined: 5 %
  Emulsifying wax: 1 per 4 of Oil
Cool-down:
  Phenoxyethanol & ethylhexylglycerin blend: 1 % | fixed
  Cedarwood fragrance: 0.6 % | fixed
`

func TestHedgerowHandCream(t *testing.T) {
	t.Parallel()
	v := solve(t, hedgerow)
	assert.Equal(t, formula.Base, v.Kind)
	assert.Equal(t, "base", v.Name)
	assert.Equal(t, []string{
		"Distilled water 72.15", "Glycerin 3", "Sodium lactate 2", "Sunflower oil 12", "Shea butter, refined 5", "Emulsifying wax 4.25",
		"Phenoxyethanol & ethylhexylglycerin blend 1", "Cedarwood fragrance 0.6",
	}, shares(v))

	jar := formula.Fill{Container: "4 fl oz jar", Takes: mass(t, "3.4 oz"), Loss: quantity.Int(3)}
	s := size(t, v, "250 g", jar)
	c := v.Weigh(s, quantity.Scale{})
	assert.Equal(t, []string{"180.4", "7.5", "5.0", "30.0", "12.5", "10.6", "2.5", "1.5"}, texts(c))
	assert.Equal(t, "250 g", c.Total.String())
	assert.Equal(t, 0, c.Balance)
	assert.Equal(t, "180.375", v.Exact(s.Weight)[0].String())
	assert.Equal(t, "6.36", c.Weights[0].Mass.ReadOunces().Text(2))
	require.NotNil(t, s.Filled)
	assert.Equal(t, int64(2), s.Filled.Count)
	assert.Equal(t, "96.388", s.Filled.Each.Grams().Text(3))
	assert.Equal(t, "49.9", s.Filled.Left.Grams().Text(1))

	assert.Equal(t, "907.184740", size(t, v, "32 oz", jar).Weight.Grams().Fixed(6))
	twelve := size(t, v, "12 × 4 fl oz jar", jar)
	assert.Equal(t, "1191.360360", twelve.Weight.Grams().Fixed(6), "12 × 3.4 oz × 1.03")
	assert.Equal(t, int64(12), twelve.Filled.Count)
	assert.Equal(t, 0, twelve.Filled.Left.Grams().Sign())
}

func TestLetter(t *testing.T) {
	t.Parallel()
	for phase, want := range map[int]string{0: "A", 1: "B", 25: "Z", 26: "AA", 27: "AB", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA", -1: ""} {
		assert.Equal(t, want, formula.Letter(phase), "phase %d", phase)
	}
}
