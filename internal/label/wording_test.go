package label_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/quantity"
)

// creamFor is a plain hand cream that fills two kinds of jar.
func creamFor(t testing.TB, keeps string) *label.Subject {
	t.Helper()
	b := newBench(t)
	b.fillUp("Distilled water")
	b.add("20 %", "Sunflower oil, high oleic")
	s := b.subject("hand cream")
	s.Fills = []formula.Fill{
		{Container: "60 ml jar", Takes: quantity.Grams(quantity.Int(52))}, {Container: "15 ml jar", Takes: quantity.Grams(quantity.Fraction(125, 10))},
	}
	if keeps != "" {
		d, err := quantity.ParseDuration(keeps)
		require.NoError(t, err)
		s.Keeps = &d
	}
	return s
}

func texts(w label.Wording) []string {
	var all []string
	for _, p := range w.Parts {
		all = append(all, p.Text)
	}
	return all
}

func TestWordingOfAnEULabel(t *testing.T) {
	t.Parallel()
	p := label.Particulars{
		Title: "Sloe", Batch: "S-1", Best: time.Date(2027, 5, 25, 0, 0, 0, 0, time.UTC), Container: "15 ml jar",
		Responsible: &label.Responsible{Name: "Larkrow stillroom", Address: "3 Lark Row, Milton", Contact: "larkrow.example/contact"},
	}
	w := label.Word(creamFor(t, "6 months"), label.EU, p)
	assert.Equal(t, []string{
		"Sloe", "Hand cream", "Ingredients: Aqua, Helianthus Annuus Seed Oil", "Best used before the end of: 25\u00a0May\u00a02027", "Batch: S-1",
		"Larkrow stillroom, 3 Lark Row, Milton", "12 g",
	}, texts(w))
	assert.Equal(t, "12.5", w.Content.String())
	assert.Empty(t, w.Missing)
	assert.Len(t, w.SeeTo, 1, "where it was made, on imported products: %q", w.SeeTo)

	p.Title = "Sloe hand cream"
	assert.NotContains(t, texts(label.Word(creamFor(t, "6 months"), label.EU, p)), "Hand cream", "what it is stands in its name")
}

func TestWordingOfAUSLabel(t *testing.T) {
	t.Parallel()
	p := label.Particulars{
		Title: "Sloe hand cream", Batch: "S-1", Best: time.Date(2027, 5, 25, 0, 0, 0, 0, time.UTC),
		Responsible: &label.Responsible{Name: "Larkrow stillroom", Address: "3 Lark Row, Milton", Contact: "larkrow.example/contact"},
	}
	w := label.Word(creamFor(t, "6 months"), label.US, p)
	assert.Equal(t, []string{
		"Sloe hand cream", "Ingredients: Water, Helianthus Annuus (Sunflower) Seed Oil", "Batch: S-1", "Larkrow stillroom, 3 Lark Row, Milton",
		"larkrow.example/contact", "Net Wt 1.8 oz (52 g)",
	}, texts(w))
	assert.Empty(t, w.SeeTo)
	p.Responsible = &label.Responsible{Name: "Larkrow stillroom", Address: "3 Lark Row, Milton"}
	w = label.Word(creamFor(t, "6 months"), label.US, p)
	require.Len(t, w.SeeTo, 1)
	assert.Contains(t, w.SeeTo[0], "that is right only if the address is in the US")
}

// What is not given leaves room for a hand to write; what nobody can write in afterwards is missing.
func TestWordingWithoutParticulars(t *testing.T) {
	t.Parallel()
	w := label.Word(creamFor(t, "6 months"), label.EU, label.Particulars{Title: "Sloe"})
	assert.Contains(t, texts(w), "Batch: ________________")
	assert.Contains(t, texts(w), "Best used before the end of: ________________")
	require.Len(t, w.Missing, 1)
	assert.Contains(t, w.Missing[0], "handbook.yaml names nobody for EU")

	s := creamFor(t, "")
	s.Fills = nil
	w = label.Word(s, label.EU, label.Particulars{Title: "Sloe", Responsible: &label.Responsible{}})
	require.Len(t, w.Missing, 1)
	assert.Contains(t, w.Missing[0], "the recipe does not know what one takes")
	assert.Contains(t, w.SeeTo[0], "The recipe does not say how long the product keeps")
}

// Above 30 months a period after opening stands in place of the date (Regulation (EC) No 1223/2009, Art. 19(1)(c)).
func TestPeriodAfterOpening(t *testing.T) {
	t.Parallel()
	p := label.Particulars{Title: "Sloe", Responsible: &label.Responsible{}}
	assert.NotEmpty(t, label.Word(creamFor(t, "31 months"), label.EU, p).Missing)
	for opened, want := range map[string]string{"12 months": "12 M", "1 year": "12 M", "100 days": "3 M"} {
		d, err := quantity.ParseDuration(opened)
		require.NoError(t, err)
		p.Opened = &d
		w := label.Word(creamFor(t, "31 months"), label.EU, p)
		assert.Empty(t, w.Missing, opened)
		assert.Contains(t, texts(w), want, opened)
		assert.NotContains(t, texts(label.Word(creamFor(t, "30 months"), label.EU, p)), want, "30 months have a date")
	}
	d, err := quantity.ParseDuration("20 days")
	require.NoError(t, err)
	p.Opened = &d
	assert.NotEmpty(t, label.Word(creamFor(t, "31 months"), label.EU, p).Missing)
}
