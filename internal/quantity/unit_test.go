package quantity_test

import (
	"encoding/csv"
	"math/big"
	"os"
	"strings"
	"testing"

	units "github.com/bcicen/go-units"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

// A unitRow is one row of testdata/units.csv: a unit, its spellings and its exact factor to grams or millilitres, with the
// published source of the factor and whether that was read or is from memory.
type unitRow struct {
	unit, base, source, status string
	spellings                  []string
	factor                     *big.Rat
}

func unitRows(t *testing.T) []unitRow {
	t.Helper()
	f, err := os.Open("testdata/units.csv")
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var rows []unitRow
	for _, r := range records[1:] {
		factor, ok := new(big.Rat).SetString(r[3])
		require.True(t, ok, "%v", r)
		rows = append(rows, unitRow{unit: r[0], spellings: strings.Split(r[1], "|"), base: r[2], factor: factor, source: r[4], status: r[5]})
	}
	require.Len(t, rows, 22, "a row was lost")
	return rows
}

// inBase gives an amount's grams or millilitres.
func inBase(t *testing.T, text, base string) *big.Rat {
	t.Helper()
	a, err := quantity.ParseAmount(text)
	require.NoError(t, err, text)
	switch base {
	case "g":
		require.Equal(t, quantity.Weight, a.Kind, text)
		return a.Mass.Grams().Rat()
	case "ml":
		require.Equal(t, quantity.Measure, a.Kind, text)
		return a.Volume.Millilitres().Rat()
	}
	t.Fatalf("%q is no base unit", base)
	return nil
}

func TestUnitFactors(t *testing.T) {
	t.Parallel()
	for _, row := range unitRows(t) {
		t.Run(row.unit, func(t *testing.T) {
			t.Parallel()
			assert.NotEmpty(t, row.source)
			assert.Contains(t, []string{"read", "memory"}, row.status)
			for _, name := range row.spellings {
				for _, written := range []string{name, strings.ToUpper(name), strings.ReplaceAll(name, " ", "\u00a0"), strings.ReplaceAll(name, " ", "  ")} {
					assert.Equal(t, row.factor.RatString(), inBase(t, "1 "+written, row.base).RatString(), "1 %s; source: %s (%s)", written, row.source, row.status)
				}
				assert.Equal(t, row.factor.RatString(), inBase(t, "1"+name, row.base).RatString(), "without a space")
				assert.Equal(t, row.factor.RatString(), inBase(t, "1 "+name+".", row.base).RatString(), "with a full stop")
			}
		})
	}
}

// TestUnitDefinitions works the factors out again from what the units are defined by.
func TestUnitDefinitions(t *testing.T) {
	t.Parallel()
	rat := func(s string) *big.Rat {
		r, ok := new(big.Rat).SetString(s)
		require.True(t, ok, s)
		return r
	}
	times := func(factors ...*big.Rat) *big.Rat {
		product := big.NewRat(1, 1)
		for _, f := range factors {
			product.Mul(product, f)
		}
		return product
	}
	inch := rat("2.54") // cm; 16 CFR 500.19, read
	gallon := times(rat("231"), inch, inch, inch)
	pound := rat("453.59237")
	imperial := rat("4546.09") // NIST SP 811, Appendix B, from memory
	for _, row := range []struct {
		text, base, source string
		want               *big.Rat
	}{
		{"1 gal", "ml", "231 cubic inches: NIST Handbook 44, Appendix C", gallon},
		{"4 qt", "ml", "a quarter of a gallon", gallon},
		{"8 pt", "ml", "an eighth of a gallon", gallon},
		{"16 cups", "ml", "half a pint: NIST SP 1038, from memory", gallon},
		{"128 fl oz", "ml", "1/128 of a gallon", gallon},
		{"256 tbsp", "ml", "half a fluid ounce: NIST SP 1038, from memory", gallon},
		{"768 tsp", "ml", "a third of a tablespoon: NIST SP 1038, from memory", gallon},
		{"8 imp pt", "ml", "an eighth of a gallon: Henley 1914, from memory", imperial},
		{"160 imp fl oz", "ml", "20 to the pint: Henley 1914, from memory", imperial},
		{"1 lb", "g", "NIST Handbook 44, Appendix C", pound},
		{"16 oz", "g", "NIST Handbook 44, Appendix C", pound},
		{"7000 grains", "g", "NIST Handbook 44, Appendix C", pound},
		{"437.5 grains", "g", "US Navy NAVEDTRA 10669-C, table 8-1", times(pound, rat("1/16"))},
	} {
		assert.Equal(t, row.want.RatString(), inBase(t, row.text, row.base).RatString(), "%s (%s)", row.text, row.source)
	}
}

// TestUnitsSecondOpinion asks an independent library, github.com/bcicen/go-units v1.0.5. It reckons in binary floating point, hence the
// margin. Without a country its pint, gallon and fluid ounce are the imperial ones, and it has no cup and no spoons.
func TestUnitsSecondOpinion(t *testing.T) {
	t.Parallel()
	const margin = 1e-9
	names := map[string]string{
		"kilogram": "kilogram", "milligram": "milligram", "microgram": "microgram",
		"ounce (avoirdupois)": "ounce", "pound (avoirdupois)": "pound", "grain": "grain",
		"centilitre": "centiliter", "decilitre": "deciliter", "litre": "liter",
		"gallon (US)": "fluid gallon", "quart (US liquid)": "fluid quart", "pint (US liquid)": "fluid pint", "fluid ounce (US)": "customary fluid ounce",
		"gallon (imperial)": "gallon", "pint (imperial)": "pint", "fluid ounce (imperial)": "fluid ounce",
	}
	asked := 0
	for _, row := range unitRows(t) {
		name, ok := names[row.unit]
		if !ok {
			continue
		}
		asked++
		from, err := units.Find(name)
		require.NoError(t, err, name)
		require.Equal(t, name, from.Name)
		to := units.Gram
		if row.base == "ml" {
			to = units.MilliLiter
		}
		want, err := units.ConvertFloat(1, from, to)
		require.NoError(t, err, name)
		got, _ := inBase(t, "1 "+row.spellings[0], row.base).Float64()
		assert.InEpsilon(t, want.Float(), got, margin, "1 %s", row.unit)
	}
	assert.Equal(t, len(names), asked, "a unit is no longer asked about")
}
