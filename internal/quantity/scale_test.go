package quantity_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/quantity"
)

func roundingAgrees(t *rapid.T) {
	exact := rat().Draw(t, "exact")
	step := rat().Filter(func(r *big.Rat) bool { return r.Sign() > 0 }).Draw(t, "step")
	steps := new(big.Rat).Quo(exact, step)
	m, s := quantity.Grams(quantity.FromRat(exact)), quantity.Grams(quantity.FromRat(step))

	nearest := new(big.Rat).SetInt(halfAway(steps))
	same(t, nearest.Mul(nearest, step), quantity.RoundTo(m, s).Grams(), "RoundTo")

	floor := new(big.Rat).SetInt(new(big.Int).Div(steps.Num(), steps.Denom()))
	same(t, floor.Mul(floor, step), quantity.RoundDown(m, s).Grams(), "RoundDown")
}

func TestRoundingAgrees(t *testing.T) { t.Parallel(); rapid.Check(t, roundingAgrees) }

func FuzzRounding(f *testing.F) { f.Fuzz(rapid.MakeFuzz(roundingAgrees)) }

func TestRoundTo(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ exact, step, nearest, down string }{
		{"0.25", "0.1", "0.3", "0.2"},
		{"-0.25", "0.1", "-0.3", "-0.3"},
		{"-0.24", "0.1", "-0.2", "-0.3"},
		{"-0.04", "0.1", "0", "-0.1"},
		{"0.05", "0.1", "0.1", "0"},
		{"41.675", "0.1", "41.7", "41.6"},
		{"7.5", "5", "10", "5"},
		{"-7.5", "5", "-10", "-10"},
		{"0", "0.01", "0", "0"},
		{"1/3", "0.001", "0.333", "0.333"},
	} {
		exact, step := grams(t, row.exact), grams(t, row.step)
		want := num(t, row.nearest)
		assert.Equal(t, want.String(), quantity.RoundTo(exact, step).Grams().String(), "%+v", row)
		assert.Equal(t, num(t, row.down).String(), quantity.RoundDown(exact, step).Grams().String(), "%+v", row)
	}
}

func TestScale(t *testing.T) {
	t.Parallel()
	reads := func(step, upTo string) quantity.ScaleRange {
		return quantity.ScaleRange{Reads: grams(t, step), UpTo: grams(t, upTo)}
	}
	s, err := quantity.NewScale([]quantity.ScaleRange{reads("0.01", "200"), reads("0.1", "500"), reads("1", "0")})
	require.NoError(t, err)
	for _, row := range []struct{ load, step, round string }{
		{"0", "0.01", "0"},
		{"0.005", "0.01", "0.01"},
		{"199.994", "0.01", "199.99"},
		{"200", "0.01", "200"},
		{"200.001", "0.1", "200"},
		{"200.05", "0.1", "200.1"},
		{"500", "0.1", "500"},
		{"500.4", "1", "500"},
		{"500.5", "1", "501"},
		{"12345.5", "1", "12346"},
	} {
		assert.Equal(t, row.step+" g", s.Step(grams(t, row.load)).String(), "%+v", row)
		assert.Equal(t, row.round+" g", s.Round(grams(t, row.load)).String(), "%+v", row)
	}
	var plain quantity.Scale
	assert.Equal(t, "0.1 g", plain.Step(grams(t, "5000")).String())
	assert.Equal(t, "41.7 g", plain.Round(grams(t, "41.6625")).String())
}

func TestScaleKeepsItsRanges(t *testing.T) {
	t.Parallel()
	ranges := []quantity.ScaleRange{{Reads: grams(t, "1")}}
	s, err := quantity.NewScale(ranges)
	require.NoError(t, err)
	ranges[0].Reads = grams(t, "5")
	assert.Equal(t, "1 g", s.Step(grams(t, "10")).String())
}

func TestNewScaleRefuses(t *testing.T) {
	t.Parallel()
	reads := func(step, upTo string) quantity.ScaleRange {
		return quantity.ScaleRange{Reads: grams(t, step), UpTo: grams(t, upTo)}
	}
	for _, row := range []struct {
		says   string
		ranges []quantity.ScaleRange
	}{
		{"range 1: a scale reads in steps", []quantity.ScaleRange{reads("0", "0")}},
		{"range 1: a scale reads in steps", []quantity.ScaleRange{reads("-1", "0")}},
		{"range 1: a scale reads in steps", []quantity.ScaleRange{reads("1/3", "0")}},
		{"range 1: a scale reads in steps", []quantity.ScaleRange{reads("0.0000001", "0")}},
		{"range 1: the last range has no end", []quantity.ScaleRange{reads("0.1", "200")}},
		{"range 1: only the last range has no end", []quantity.ScaleRange{reads("0.1", "0"), reads("1", "0")}},
		{"range 2: ranges stand in rising order", []quantity.ScaleRange{reads("0.1", "200"), reads("0.2", "200"), reads("1", "0")}},
		{"range 2: ranges stand in rising order", []quantity.ScaleRange{reads("0.1", "200"), reads("0.2", "100"), reads("1", "0")}},
	} {
		_, err := quantity.NewScale(row.ranges)
		assert.ErrorContains(t, err, row.says)
	}
	_, err := quantity.NewScale(nil)
	assert.NoError(t, err, "no range at all is the common bench scale")
}
