package quantity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

// An amountRow is an amount that must be read; the figures are exact, "" where the kind has none.
type amountRow struct {
	in                   string
	kind                 quantity.Kind
	number, g, ml, phase string
}

var amountRows = []amountRow{
	{"3 %", quantity.Percent, "3", "", "", ""},
	{"3%", quantity.Percent, "3", "", "", ""},
	{"  3.50 %  ", quantity.Percent, "3.5", "", "", ""},
	{"3\u00a0%", quantity.Percent, "3", "", "", ""},
	{"3\u202f%", quantity.Percent, "3", "", "", ""},
	{"3\u2009％", quantity.Percent, "3", "", "", ""},
	{"0,5 %", quantity.Percent, "0.5", "", "", ""},
	{"0,125 %", quantity.Percent, "0.125", "", "", ""},
	{".25 %", quantity.Percent, "0.25", "", "", ""},
	{"⅓ %", quantity.Percent, "1/3", "", "", ""},
	{"100 percent", quantity.Percent, "100", "", "", ""},
	{"2 per cent", quantity.Percent, "2", "", "", ""},
	{"33.333333333333333 %", quantity.Percent, "33.333333333333333", "", "", ""},

	{"q.s.", quantity.Balance, "", "", "", ""},
	{"q.s", quantity.Balance, "", "", "", ""},
	{"qs", quantity.Balance, "", "", "", ""},
	{"QS.", quantity.Balance, "", "", "", ""},
	{"Q. S.", quantity.Balance, "", "", "", ""},
	{" q.s. to 100 %", quantity.Balance, "", "", "", ""},
	{"qs to 100%", quantity.Balance, "", "", "", ""},
	{"qs. to 100%", quantity.Balance, "", "", "", ""},
	{"q.s. ad 100 %", quantity.Balance, "", "", "", ""},
	{"to 100 %", quantity.Balance, "", "", "", ""},
	{"To\u2009100\u2003％", quantity.Balance, "", "", "", ""},
	{"quantum satis", quantity.Balance, "", "", "", ""},

	{"120 g", quantity.Weight, "", "120", "", ""},
	{"120g", quantity.Weight, "", "120", "", ""},
	{"120\u00a0g.", quantity.Weight, "", "120", "", ""},
	{"1000 g", quantity.Weight, "", "1000", "", ""},
	{"1.5 kg", quantity.Weight, "", "1500", "", ""},
	{"1,5 Kg", quantity.Weight, "", "1500", "", ""},
	{"1 kg 250 g", quantity.Weight, "", "1250", "", ""},
	{"500 mg", quantity.Weight, "", "0.5", "", ""},
	{"1 oz", quantity.Weight, "", "28.349523125", "", ""},
	{"1 OZ.", quantity.Weight, "", "28.349523125", "", ""},
	{"1/2 oz", quantity.Weight, "", "14.1747615625", "", ""},
	{"1 1/2 oz", quantity.Weight, "", "42.5242846875", "", ""},
	{"1\u00a01/2 oz", quantity.Weight, "", "42.5242846875", "", ""},
	{"1½ oz", quantity.Weight, "", "42.5242846875", "", ""},
	{"1 ½ oz", quantity.Weight, "", "42.5242846875", "", ""},
	{"1 1⁄2 oz", quantity.Weight, "", "42.5242846875", "", ""},
	{"11/2 oz", quantity.Weight, "", "155.9223771875", "", ""},
	{"⅜ oz", quantity.Weight, "", "10.631071171875", "", ""},
	{"2 lb 4 oz", quantity.Weight, "", "1020.5828325", "", ""},
	{"2lb 4oz", quantity.Weight, "", "1020.5828325", "", ""},
	{"1lb8oz", quantity.Weight, "", "680.388555", "", ""},
	{"1lb3oz", quantity.Weight, "", "538.640939375", "", ""},
	{"1 lb ½ oz", quantity.Weight, "", "467.7671315625", "", ""},
	{"7000 grains", quantity.Weight, "", "453.59237", "", ""},

	{"30 ml", quantity.Measure, "", "", "30", ""},
	{"30 mL", quantity.Measure, "", "", "30", ""},
	{"30 cc", quantity.Measure, "", "", "30", ""},
	{"30 cm3", quantity.Measure, "", "", "30", ""},
	{"30 cm³", quantity.Measure, "", "", "30", ""},
	{"1.5 l", quantity.Measure, "", "", "1500", ""},
	{"2 tbsp", quantity.Measure, "", "", "29.5735295625", ""},
	{"½ tsp", quantity.Measure, "", "", "2.464460796875", ""},
	{"8 fl oz", quantity.Measure, "", "", "236.5882365", ""},
	{"8 fl. oz.", quantity.Measure, "", "", "236.5882365", ""},
	{"8 fl.oz.", quantity.Measure, "", "", "236.5882365", ""},
	{"8 floz", quantity.Measure, "", "", "236.5882365", ""},
	{"8 fluid ounces", quantity.Measure, "", "", "236.5882365", ""},
	{"10 imp fl oz", quantity.Measure, "", "", "284.130625", ""},
	{"10 imp. fl. oz.", quantity.Measure, "", "", "284.130625", ""},
	{"1 imperial pint", quantity.Measure, "", "", "568.26125", ""},
	{"1 cup 2 tbsp", quantity.Measure, "", "", "266.1617660625", ""},

	{"3 parts", quantity.Parts, "3", "", "", ""},
	{"1 part", quantity.Parts, "1", "", "", ""},
	{"2½ Parts", quantity.Parts, "2.5", "", "", ""},

	{"3 % of Oil", quantity.Share, "3", "", "", "Oil"},
	{"3% of Cool-down", quantity.Share, "3", "", "", "Cool-down"},
	{"3 %\u00a0of  The   oil phase ", quantity.Share, "3", "", "", "The oil phase"},

	{"1 per 4 of Oil", quantity.Per, "0.25", "", "", "Oil"},
	{"1 oz per 4 oz of Oil", quantity.Per, "0.25", "", "", "Oil"},
	{"1 tsp per 100 g of Oil", quantity.Per, "", "100", "4.92892159375", "Oil"},

	{"1 per 10", quantity.OnTop, "0.1", "", "", ""},
	{"1 per 3", quantity.OnTop, "1/3", "", "", ""},
	{"½ per 10", quantity.OnTop, "0.05", "", "", ""},
	{"1 oz per 10 oz", quantity.OnTop, "0.1", "", "", ""},
	{"1 oz per 1 lb", quantity.OnTop, "0.0625", "", "", ""},
	{"2 g per 1 kg", quantity.OnTop, "0.002", "", "", ""},
	{"1 oz per 2 lb 4 oz", quantity.OnTop, "1/36", "", "", ""},
	{"2 tsp per 1 lb", quantity.OnTop, "", "453.59237", "9.8578431875", ""},
}

func TestParseAmount(t *testing.T) {
	t.Parallel()
	for _, row := range amountRows {
		t.Run(row.in, func(t *testing.T) {
			t.Parallel()
			a, err := quantity.ParseAmount(row.in)
			require.NoError(t, err)
			assert.Equal(t, row.kind, a.Kind)
			equal(t, orZero(row.number), a.Number, row.in)
			equal(t, orZero(row.g), a.Mass.Grams(), row.in)
			equal(t, orZero(row.ml), a.Volume.Millilitres(), row.in)
			assert.Equal(t, row.phase, a.Phase)
			assert.Equal(t, row.ml != "", a.NeedsDensity())
		})
	}
}

func orZero(s string) string {
	if s == "" {
		return "0"
	}
	return s
}

func TestAmountWritten(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{
		"  3\u00a0% ":             "3 %",
		"2\tlb\u20094  oz":        "2 lb 4 oz",
		"3 % of  The \n oil":      "3 % of The oil",
		" q.s.  to\u00a0100 %":    "q.s. to 100 %",
		"\u3000½ tsp per 100 g\r": "½ tsp per 100 g",
	} {
		a, err := quantity.ParseAmount(in)
		require.NoError(t, err, in)
		assert.Equal(t, want, a.Written)
	}
}

var amountRefusals = []refusal{
	{"⟦⟧", "missing"},
	{"⟦ ⟧", "missing"},
	// ranges
	{"⟦1–2 %⟧", "range"},
	{"⟦1-2 g⟧", "range"},
	{"  ⟦1 — 2 g⟧", "range"},
	{"⟦1 − 2 g⟧", "range"},
	{"⟦½‑1 tsp⟧", "range"},
	{"⟦3 to 5 drops⟧", "range"},
	{"⟦3 or 4 g⟧", "range"},
	{"⟦1 1/2–2 oz⟧", "range"},
	{"⟦1-1/2 oz⟧", "range"},
	{"⟦2 oz – 3 oz⟧", "range"},
	{"⟦2 oz to 3 oz⟧", "range"},
	{"1 per ⟦4–5 of Oil⟧", "range"},
	// words that no scale reads
	{"3 ⟦drops⟧", "“drops” cannot be weighed"},
	{"1 ⟦drop⟧", "“drop” cannot be weighed"},
	{"2 ⟦pinches⟧", "“pinches” cannot be weighed"},
	{"½ ⟦handful⟧", "“handful” cannot be weighed"},
	{"1 ⟦dash⟧ of honey", "cannot be weighed"},
	{"1 ⟦capful⟧", "cannot be weighed"},
	{"1 ⟦jar⟧", "cannot be weighed"},
	{"1 ⟦spoonful⟧", "cannot be weighed"},
	{"⟦a pinch⟧", "cannot be weighed"},
	{"⟦pinch of salt⟧", "cannot be weighed"},
	{" ⟦to taste⟧", "cannot be weighed"},
	{"⟦To Taste⟧", "cannot be weighed"},
	{"⟦as needed⟧", "cannot be weighed"},
	{"⟦about 5 g⟧", "cannot be weighed"},
	{"⟦a few drops⟧", "cannot be weighed"},
	{"⟦balance⟧", "cannot be weighed"},
	{"⟦two drops⟧", "cannot be weighed"},
	{"⟦Wasser⟧", "is not an amount"},
	{"⟦q.s. to 10.0 %⟧", "is not an amount"},
	{"⟦to 1.00 %⟧", "is not an amount"},
	{"⟦to 100⟧", "is not an amount"},
	// thousands
	{"⟦1,000⟧ g", "ambiguous"},
	{"⟦12,500⟧ g", "ambiguous"},
	{"⟦1 000⟧ g", "ambiguous"},
	{"⟦1\u00a0000⟧ g", "ambiguous"},
	{"⟦1\u202f000⟧ g", "ambiguous"},
	{"⟦1.000,5⟧ g", "more than one mark"},
	{"⟦1,000.5⟧ g", "more than one mark"},
	{"⟦1,000,000⟧ g", "more than one mark"},
	{"1 per ⟦1,000⟧", "ambiguous"},
	{"1⟦'000 g⟧", "not a unit"},
	// signs and guesses
	{"⟦-3 %⟧", "sign"},
	{"⟦−3 %⟧", "sign"},
	{"⟦+3 %⟧", "sign"},
	{"⟦~3 %⟧", "not exact"},
	{"⟦≈3 g⟧", "not exact"},
	{"⟦<1 %⟧", "not exact"},
	// nothing
	{"⟦0 g⟧", "nothing"},
	{"⟦0 %⟧", "nothing"},
	{"⟦0.000 oz⟧", "nothing"},
	{"⟦0/5 oz⟧", "nothing"},
	{"⟦0 per 10⟧", "nothing"},
	{"⟦0 % of Oil⟧", "nothing"},
	{"1 ⟦per 0⟧", "against 0"},
	{"1 g ⟦per 0 kg⟧", "against 0"},
	// numbers
	{"1⟦e⟧3 g", "“e” is not a unit"},
	{"1.5⟦E⟧-3 g", "“e” is not a unit"},
	{"⟦1/0⟧ g", "0 below its line"},
	{"⟦1/⟧ g", "above and below"},
	{"⟦2 3/2⟧ g", "below 1"},
	{"⟦1 1/0⟧ g", "0 below its line"},
	{"⟦12345678901234567890⟧ g", "too many digits"},
	{"⟦0.12345678901234567890⟧ g", "too many digits"},
	{"⟦３ %⟧", "not an amount"},
	{"1⟦.½ g⟧", "not a unit"},
	{"1 ⟦/ 2 g⟧", "not a unit"},
	// units
	{"⟦5⟧", "has no unit"},
	{"⟦ 5 ⟧", "has no unit"},
	{"5 ⟦gr⟧", "“gr” cannot be weighed"},
	{"5 ⟦gr.⟧", "“gr” cannot be weighed"},
	{"1 ⟦dram⟧", "“dram” cannot be weighed"},
	{"2 ⟦drams⟧", "“drams” cannot be weighed"},
	{"2 ⟦dr⟧", "cannot be weighed"},
	{"2 ⟦scruples⟧", "cannot be weighed"},
	{"5 ⟦graams⟧", "“graams” is not a unit"},
	{"1 ⟦T⟧", "is not a unit"},
	{"1 ⟦imp⟧ quart", "is not a unit"},
	{"1 ⟦crème⟧", "is not a unit"},
	{"5 ⟦‰⟧", "is not a unit"},
	{"2 lbs. 4 1/2 ⟦ozs⟧", "is not a unit"},
	// ratios
	{"⟦1:10⟧", "colon"},
	{"⟦1 : 10⟧", "colon"},
	{"⟦1∶10⟧", "colon"},
	{"1 per⟦⟧", "a number should stand here"},
	{"1 oz per ⟦l⟧b", "a number should stand here"},
	{"⟦1 oz per 10⟧", "one side of the ratio"},
	{"⟦1 per 10 oz⟧", "one side of the ratio"},
	{"1 tsp ⟦per 8 fl oz⟧", "must be a weight"},
	{"1 per 4 of⟦⟧", "phase's name is missing"},
	{"3 % of ⟦⟧", "phase's name is missing"},
	{"3 % ⟦per 10⟧", "does not belong"},
	{"3 parts ⟦of Oil⟧", "does not belong"},
	// sums
	{"⟦120 g 1 cup⟧", "mixes"},
	{"⟦1 cup 10 g⟧", "mixes"},
	{"⟦2 lb 4⟧", "mixes"},
	{"1 tsp per ⟦100 g 5 ml⟧", "mixes"},
	{"⟦4 oz 2 lb⟧", "larger unit"},
	{"⟦100 g 100 g⟧", "larger unit"},
	// what is left over
	{"5 g ⟦(about a teaspoon)⟧", "does not belong"},
	{"5 g⟦, sifted⟧", "does not belong"},
	{"5 ⟦, g⟧", "not a unit"},
	{"3 % ⟦%⟧", "does not belong"},
	{"5 ⟦\u200bg⟧", "not a unit"},
	{"5 ⟦\xff⟧", "not a unit"},
	{"⟦\xff5 g⟧", "not an amount"},
}

func TestParseAmountRefuses(t *testing.T) {
	t.Parallel()
	checkRefusals(t, func(text string) error { _, err := quantity.ParseAmount(text); return err }, amountRefusals)
}

func TestAmountHints(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{
		"1,000 g":   "write 1000 or 1.000",
		"1 000 g":   "write 1000 without a space if that is meant",
		"5 graams":  "did you mean “grams”?",
		"5 tabsp":   "did you mean “tbsp”?",
		"3 drops":   "weigh them once and write the weight",
		"5 gr":      "write g or grains",
		"1 dram":    "1.77 g or 3.89 g",
		"2 oz–3 oz": "write the one figure you weigh",
		"1:10":      "1 per 10",
		"0 g":       "“out”",
		"remainder": "q.s.",
	} {
		_, err := quantity.ParseAmount(in)
		assert.Contains(t, syntaxError(t, in, err).Hint, want, in)
	}
}

func TestParseMass(t *testing.T) {
	t.Parallel()
	m, err := quantity.ParseMass("2 lb 4 oz")
	require.NoError(t, err)
	equal(t, "1020.5828325", m.Grams())
	checkRefusals(t, func(text string) error { _, err := quantity.ParseMass(text); return err }, []refusal{
		{"⟦⟧", "missing"},
		{"⟦8 fl oz⟧", "a weight should stand here"},
		{"⟦3 %⟧", "a weight should stand here"},
		{"⟦q.s.⟧", "a weight should stand here"},
		{"⟦1 oz per 10 oz⟧", "a weight should stand here"},
		{"⟦0 g⟧", "nothing"},
		{"⟦250⟧", "no unit"},
	})
}

func TestParsePercent(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{"3 %": "3", "0 %": "0", " 2,5％": "2.5", "½ percent": "1/2", "98 per cent": "98", "120 %": "120"} {
		n, err := quantity.ParsePercent(in)
		require.NoError(t, err, in)
		equal(t, want, n, in)
	}
	checkRefusals(t, func(text string) error { _, err := quantity.ParsePercent(text); return err }, []refusal{
		{"⟦⟧", "a number should stand here"},
		{"⟦3⟧", "a percentage should stand here"},
		{"⟦3 g⟧", "a percentage should stand here"},
		{"⟦3 % of Oil⟧", "a percentage should stand here"},
		{"⟦-⟧3 %", "a number should stand here"},
		{"⟦1–2 %⟧", "range"},
		{"⟦1,000⟧ %", "ambiguous"},
		{"⟦3 per 10⟧", "a percentage should stand here"},
	})
}

func TestParseDensity(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{
		"0.95 g/ml": "0.95", "0,95 g / mL": "0.95", "1.26 g/cm3": "1.26", "1.26 g/cm³": "1.26", "1 g/cc": "1", "0.91kg/l": "0.91", "25 g/ml": "25",
	} {
		d, err := quantity.ParseDensity(in)
		require.NoError(t, err, in)
		equal(t, want, d.GramsPerMillilitre(), in)
		assert.True(t, d.Known())
	}
	assert.False(t, quantity.Density{}.Known())
	d, err := quantity.ParseDensity("0.950 g/ml")
	require.NoError(t, err)
	assert.Equal(t, "0.95 g/ml", d.String())
	checkRefusals(t, func(text string) error { _, err := quantity.ParseDensity(text); return err }, []refusal{
		{"⟦⟧", "a number should stand here"},
		{"⟦0.95⟧", "a density should stand here"},
		{"⟦0.95 g⟧", "a density should stand here"},
		{"⟦0.95 g/l⟧", "a density should stand here"},
		{"⟦0 g/ml⟧", "no material"},
		{"⟦950 g/ml⟧", "no material"},
		{"⟦0.9–0.95 g/ml⟧", "range"},
		{"⟦-⟧1 g/ml", "a number should stand here"},
	})
}
