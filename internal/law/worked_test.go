package law_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

// The worked examples of acids and their salts. acid-01, acid-02, acid-05: common practice, molar masses of the table; acid-03: J. Soc. Cosmet.
// Chem. 18 (1967), paper on benzoic acid (read); acid-04: Henderson-Hasselbalch (common practice).
func TestWorkedAcids(t *testing.T) {
	t.Parallel()
	number := func(s string) quantity.Number {
		n, err := quantity.ParseNumber(s)
		require.NoError(t, err)
		return n
	}
	asAcid := func(inci, percent string) quantity.Number {
		_, worth, ok := law.FindAcid(inci)
		require.True(t, ok, inci)
		return number(percent).Mul(worth)
	}
	free := func(inci, pH string, percent quantity.Number) quantity.Number {
		acid, _, ok := law.FindAcid(inci)
		require.True(t, ok, inci)
		share, ok := acid.Undissociated(number(pH))
		require.True(t, ok, inci)
		return percent.Mul(share).Quo(quantity.Int(100))
	}
	_, sorbate, _ := law.FindAcid("Potassium Sorbate")
	for _, row := range []struct {
		id   string
		got  quantity.Number
		want string
	}{
		{"acid-01", asAcid("Sodium Benzoate", "0.5"), "0.423729225218"},
		{"acid-02", number("0.6").Quo(sorbate), "0.803820633562"},
		{"acid-05, benzoic", asAcid("Sodium Benzoate", "0.3"), "0.254237535131"},
		{"acid-05, sorbic", asAcid("Potassium Sorbate", "0.2"), "0.149287036174"},
		{"acid-05, together", asAcid("Sodium Benzoate", "0.3").Add(asAcid("Potassium Sorbate", "0.2")), "0.403524571305"},
		{"acid-03", free("Benzoic Acid", "4.2", number("0.055")), "0.0275"},
		{"acid-04", free("Sodium Benzoate", "5", asAcid("Sodium Benzoate", "0.5")), "0.0579690769123"},
	} {
		off := new(big.Rat).Sub(row.got.Rat(), number(row.want).Rat())
		assert.LessOrEqual(t, off.Abs(off).Cmp(big.NewRat(1, 100000)), 0, "%s: %s, not %s", row.id, row.got.Text(12), row.want)
	}
}
