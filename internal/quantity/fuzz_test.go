package quantity_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

// seedRefusals adds the texts of a refusal table to a fuzz target.
func seedRefusals(f *testing.F, rows []refusal) {
	for _, row := range rows {
		f.Add(strings.NewReplacer("⟦", "", "⟧", "").Replace(row.marked))
	}
}

func FuzzParseAmount(f *testing.F) {
	for _, row := range amountRows {
		f.Add(row.in)
	}
	seedRefusals(f, amountRefusals)
	f.Fuzz(func(t *testing.T, text string) {
		a, err := quantity.ParseAmount(text)
		if err != nil {
			syntaxError(t, text, err)
			assert.Zero(t, a, "an amount beside an error")
			return
		}
		checkAmount(t, a)
		again, err := quantity.ParseAmount(a.Written)
		require.NoError(t, err, "%q was written as %q", text, a.Written)
		assert.Equal(t, a.Kind, again.Kind)
		assert.Equal(t, a.Phase, again.Phase)
		assert.Equal(t, a.Written, again.Written)
		assert.Equal(t, 0, a.Number.Cmp(again.Number))
		assert.Equal(t, 0, a.Mass.Grams().Cmp(again.Mass.Grams()))
		assert.Equal(t, 0, a.Volume.Millilitres().Cmp(again.Volume.Millilitres()))
	})
}

// checkAmount asserts that the fields that are set follow from the kind, and that nothing is below 0.
func checkAmount(t *testing.T, a quantity.Amount) {
	t.Helper()
	number, mass, volume := a.Number.Sign(), a.Mass.Grams().Sign(), a.Volume.Millilitres().Sign()
	signs := [3]int{number, mass, volume}
	phase := false
	switch a.Kind {
	case quantity.Percent, quantity.Parts:
		assert.Equal(t, [3]int{1, 0, 0}, signs, "%q", a.Written)
	case quantity.Share:
		assert.Equal(t, [3]int{1, 0, 0}, signs, "%q", a.Written)
		phase = true
	case quantity.Balance:
		assert.Equal(t, [3]int{0, 0, 0}, signs, "%q", a.Written)
	case quantity.Weight:
		assert.Equal(t, [3]int{0, 1, 0}, signs, "%q", a.Written)
	case quantity.Measure:
		assert.Equal(t, [3]int{0, 0, 1}, signs, "%q", a.Written)
	case quantity.Per, quantity.OnTop:
		assert.Contains(t, [][3]int{{1, 0, 0}, {0, 1, 1}}, signs, "%q", a.Written)
		phase = a.Kind == quantity.Per
	default:
		t.Errorf("%q is of no kind: %d", a.Written, a.Kind)
	}
	assert.Equal(t, phase, a.Phase != "", "the phase of %q", a.Written)
	assert.Equal(t, volume > 0, a.NeedsDensity())
}

func FuzzParseBatch(f *testing.F) {
	for _, row := range batchRows {
		f.Add(row.in)
	}
	seedRefusals(f, batchRefusals)
	f.Fuzz(func(t *testing.T, text string) {
		b, err := quantity.ParseBatch(text)
		if err != nil {
			syntaxError(t, text, err)
			assert.Zero(t, b, "a batch beside an error")
			return
		}
		if b.Count != 0 {
			assert.Positive(t, b.Count)
			assert.NotEmpty(t, b.Container)
			assert.Zero(t, b.Mass.Grams().Sign())
			assert.Empty(t, b.Material)
		} else {
			assert.Positive(t, b.Mass.Grams().Sign(), "%q", text)
			assert.Empty(t, b.Container)
		}
		again, err := quantity.ParseBatch(b.Written)
		require.NoError(t, err, "%q was written as %q", text, b.Written)
		assert.Equal(t, 0, b.Mass.Grams().Cmp(again.Mass.Grams()))
		assert.Equal(t, b.Count, again.Count)
		assert.Equal(t, b.Container, again.Container)
		assert.Equal(t, b.Material, again.Material)
		assert.Equal(t, b.Written, again.Written)
	})
}

func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{"12", "1.5", "1,5", ".5", "1/2", "½", "1 1/2", "1½", "11/2", "1,000", "1 000", "1.000,5", "-1", "1e3", "9999999999999999999.9999999999999999999"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		n, err := quantity.ParseNumber(text)
		if err != nil {
			syntaxError(t, text, err)
			return
		}
		assert.GreaterOrEqual(t, n.Sign(), 0)
		written := n.String()
		again, err := quantity.ParseNumber(written)
		if err != nil { // a fraction of long numbers may have longer terms than can be read
			assert.True(t, longRow(written), "%q was written as %q: %v", text, written, err)
			return
		}
		assert.Equal(t, 0, n.Cmp(again), "%q was written as %q and read as %s", text, written, again)
	})
}

// longRow says whether a number has more than the 19 digits in a row that are read.
func longRow(number string) bool {
	for row := range strings.FieldsFuncSeq(number, func(r rune) bool { return r < '0' || r > '9' }) {
		if len(row) > 19 {
			return true
		}
	}
	return false
}

// FuzzReadOthers puts one text to all the smaller readers.
func FuzzReadOthers(f *testing.F) {
	for _, s := range []string{"3 %", "0.95 g/ml", "5.0–5.5", "75 °C", "144–149 °F", "-18–-10 °C", "45 min", "1 1/2 hours", "6 months", "62–65 5 °C", "⅓–½"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if n, err := quantity.ParsePercent(text); err != nil {
			syntaxError(t, text, err)
		} else {
			assert.GreaterOrEqual(t, n.Sign(), 0)
		}
		if d, err := quantity.ParseDensity(text); err != nil {
			syntaxError(t, text, err)
		} else {
			assert.True(t, d.Known(), "%q", text)
		}
		if v, err := quantity.ParseInterval(text); err != nil {
			syntaxError(t, text, err)
		} else {
			assert.LessOrEqual(t, v.Low.Cmp(v.High), 0, "%q", text)
		}
		if d, err := quantity.ParseDuration(text); err != nil {
			syntaxError(t, text, err)
		} else {
			assert.Positive(t, d.Minutes().Sign(), "%q", text)
		}
		one, oneErr := quantity.ParseTemperature(text)
		both, err := quantity.ParseTemperatures(text)
		if err != nil {
			syntaxError(t, text, err)
		} else {
			assert.LessOrEqual(t, both.Low.Celsius().Cmp(both.High.Celsius()), 0, "%q", text)
		}
		if oneErr != nil {
			syntaxError(t, text, oneErr)
			return
		}
		require.NoError(t, err, "one temperature is a range of one: %q", text)
		assert.Equal(t, 0, one.Celsius().Cmp(both.Low.Celsius()))
		assert.Equal(t, 0, one.Celsius().Cmp(both.High.Celsius()))
	})
}
