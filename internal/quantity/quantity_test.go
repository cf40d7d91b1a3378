package quantity_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

// num reads a number for a table: "12", "0.5", "45359237/1600000", "-3".
func num(t testing.TB, text string) quantity.Number {
	t.Helper()
	positive, below := strings.CutPrefix(text, "-")
	n, err := quantity.ParseNumber(positive)
	require.NoError(t, err, text)
	if below {
		return n.Neg()
	}
	return n
}

func grams(t testing.TB, text string) quantity.Mass {
	t.Helper()
	return quantity.Grams(num(t, text))
}

// equal asserts that a number has the value that is written.
func equal(t testing.TB, want string, got quantity.Number, about ...any) {
	t.Helper()
	assert.Equal(t, 0, num(t, want).Cmp(got), append([]any{"want %s, got %s; " + strings.Repeat("%v ", len(about)), want, got}, about...)...)
}

// A refusal is a text that must be refused, with ⟦ and ⟧ around what the error must point at, and a word of its message.
type refusal struct{ marked, says string }

// checkRefusals runs a reader over texts that it must refuse.
func checkRefusals(t *testing.T, read func(string) error, rows []refusal) {
	t.Helper()
	for _, row := range rows {
		t.Run(row.marked, func(t *testing.T) {
			t.Parallel()
			before, rest, ok := strings.Cut(row.marked, "⟦")
			require.True(t, ok, "the row marks no place")
			pointed, after, ok := strings.Cut(rest, "⟧")
			require.True(t, ok, "the row marks no place")
			text := before + pointed + after
			e := syntaxError(t, text, read(text))
			assert.Contains(t, e.Message, row.says)
			assert.Equal(t, row.marked, text[:e.Offset]+"⟦"+text[e.Offset:e.Offset+e.Length]+"⟧"+text[e.Offset+e.Length:], "the place; %s", e.Message)
		})
	}
}

// syntaxError asserts what every refusal keeps to: its type, its place inside the text on whole characters, a message and a hint.
func syntaxError(t testing.TB, text string, err error) *quantity.SyntaxError {
	t.Helper()
	require.Error(t, err, "%q was read", text)
	var e *quantity.SyntaxError
	require.ErrorAs(t, err, &e, text)
	assert.GreaterOrEqual(t, e.Offset, 0, "%q", text)
	assert.GreaterOrEqual(t, e.Length, 0, "%q", text)
	require.LessOrEqual(t, e.Offset+e.Length, len(text), "%q: %v", text, err)
	assert.True(t, boundary(text, e.Offset), "%q: offset %d splits a character", text, e.Offset)
	assert.True(t, boundary(text, e.Offset+e.Length), "%q: end %d splits a character", text, e.Offset+e.Length)
	assert.NotEmpty(t, e.Message, "%q", text)
	assert.NotEmpty(t, e.Hint, "%q: %s", text, e.Message)
	assert.Equal(t, e.Message+" ("+e.Hint+")", err.Error())
	return e
}

// boundary says whether a place in a text lies between whole characters.
func boundary(text string, at int) bool {
	for i := 0; i < at; {
		_, n := utf8.DecodeRuneInString(text[i:])
		if i += n; i > at {
			return false
		}
	}
	return true
}

func TestSyntaxErrorWithoutHint(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "no", (&quantity.SyntaxError{Message: "no"}).Error())
}

func TestMassAndVolume(t *testing.T) {
	t.Parallel()
	pound, err := quantity.ParseMass("1 lb")
	require.NoError(t, err)
	equal(t, "16", pound.Ounces())
	assert.Equal(t, "453.59237 g", pound.String())
	assert.Equal(t, "0 g", quantity.Mass{}.String())
	assert.Equal(t, "1/3 g", grams(t, "1/3").String())
	spoon := quantity.Millilitres(num(t, "14.78676478125"))
	assert.Equal(t, "14.78676478125 ml", spoon.String())
	equal(t, "14.78676478125", spoon.Millilitres())
	honey, err := quantity.ParseDensity("1.42 g/ml") // from memory: the usual density of honey
	require.NoError(t, err)
	equal(t, "20.997205989375", spoon.Weigh(honey).Grams())
	equal(t, "0", spoon.Weigh(quantity.Density{}).Grams())
}
