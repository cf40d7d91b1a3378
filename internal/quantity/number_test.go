package quantity_test

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/quantity"
)

func TestParseNumber(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ in, want string }{
		{"12", "12"},
		{"0", "0"},
		{"007", "7"},
		{"1.5", "3/2"},
		{"1,5", "3/2"},
		{".5", "1/2"},
		{",5", "1/2"},
		{"0,125", "1/8"},
		{"1.000", "1"},
		{"1000", "1000"},
		{"1/2", "1/2"},
		{"2/4", "1/2"},
		{"11/2", "11/2"},
		{"1∕2", "1/2"},
		{"1 1/2", "3/2"},
		{"1½", "3/2"},
		{"1 ½", "3/2"},
		{"\u00a012\u2009", "12"},
		{"½", "1/2"},
		{"⅓", "1/3"},
		{"⅔", "2/3"},
		{"¼", "1/4"},
		{"¾", "3/4"},
		{"⅕", "1/5"},
		{"⅖", "2/5"},
		{"⅗", "3/5"},
		{"⅘", "4/5"},
		{"⅙", "1/6"},
		{"⅚", "5/6"},
		{"⅐", "1/7"},
		{"⅛", "1/8"},
		{"⅜", "3/8"},
		{"⅝", "5/8"},
		{"⅞", "7/8"},
		{"⅑", "1/9"},
		{"⅒", "1/10"},
		{"9223372036854775807", "9223372036854775807"},
		{"9999999999999999999", "9999999999999999999"},
		{"9999999999999999999.9999999999999999999", "99999999999999999999999999999999999999/10000000000000000000"},
	} {
		t.Run(row.in, func(t *testing.T) {
			t.Parallel()
			n, err := quantity.ParseNumber(row.in)
			require.NoError(t, err)
			want, ok := new(big.Rat).SetString(row.want)
			require.True(t, ok)
			assert.Equal(t, want.RatString(), n.Rat().RatString())
		})
	}
	checkRefusals(t, func(text string) error { _, err := quantity.ParseNumber(text); return err }, []refusal{
		{"⟦⟧", "a number should stand here"},
		{"⟦-⟧1", "a number should stand here"},
		{"⟦⅟⟧2", "a number should stand here"},
		{"⟦é⟧", "a number should stand here"},
		{"1⟦e3⟧", "does not belong"},
		{"1 ⟦g⟧", "does not belong"},
		{"1⟦–2⟧", "does not belong"},
		{"½⟦½⟧", "does not belong"},
		{"1.5⟦/2⟧", "does not belong"},
		{"⟦1,000⟧", "ambiguous"},
		{"⟦1.2.3⟧", "more than one mark"},
	})
}

// edge draws 64-bit numbers of every size, with many at both ends, so that the fast and the wide paths both run.
func edge() *rapid.Generator[int64] {
	return rapid.OneOf(
		rapid.Int64Range(-1000, 1000),
		rapid.Int64(),
		rapid.Int64Range(math.MaxInt64-100, math.MaxInt64),
		rapid.Int64Range(math.MinInt64, math.MinInt64+100),
		rapid.SampledFrom([]int64{45359237, 1600000, 473176473, 1e9, 1e18, 1 << 31, 1 << 32, 1 << 62}),
	)
}

// rat draws fractions whose terms fit 64 bits and others whose terms do not.
func rat() *rapid.Generator[*big.Rat] {
	return rapid.Custom(func(t *rapid.T) *big.Rat {
		den := edge().Filter(func(n int64) bool { return n != 0 }).Draw(t, "den")
		r := big.NewRat(edge().Draw(t, "num"), den)
		if rapid.IntRange(0, 3).Draw(t, "wide") == 0 {
			r.Mul(r, big.NewRat(edge().Draw(t, "more"), edge().Filter(func(n int64) bool { return n != 0 }).Draw(t, "less")))
		}
		return r
	})
}

// same asserts that a number has the oracle's value, and that an operation left its operands alone.
func same(t *rapid.T, want *big.Rat, got quantity.Number, about string) {
	if want.Cmp(got.Rat()) != 0 {
		t.Fatalf("%s: want %s, got %s", about, want.RatString(), got.Rat().RatString())
	}
}

func numberArithmetic(t *rapid.T) {
	a, b := rat().Draw(t, "a"), rat().Draw(t, "b")
	x, y := quantity.FromRat(a), quantity.FromRat(b)
	same(t, a, x, "FromRat")
	same(t, new(big.Rat).Add(a, b), x.Add(y), "Add")
	same(t, new(big.Rat).Sub(a, b), x.Sub(y), "Sub")
	same(t, new(big.Rat).Mul(a, b), x.Mul(y), "Mul")
	same(t, new(big.Rat).Neg(a), x.Neg(), "Neg")
	if b.Sign() != 0 {
		same(t, new(big.Rat).Quo(a, b), x.Quo(y), "Quo")
		same(t, a, x.Quo(y).Mul(y), "Quo and Mul")
	}
	if want, got := a.Cmp(b), x.Cmp(y); want != got {
		t.Fatalf("Cmp: want %d, got %d", want, got)
	}
	if want, got := a.Sign(), x.Sign(); want != got {
		t.Fatalf("Sign: want %d, got %d", want, got)
	}
	same(t, a, x, "the left operand afterwards")
	same(t, b, y, "the right operand afterwards")
}

func numberWriting(t *rapid.T) {
	a := rat().Draw(t, "a")
	x := quantity.FromRat(a)
	places := rapid.IntRange(0, 18).Draw(t, "places")
	fixed := roundHalfAway(a, places)
	if got := x.Fixed(places); got != fixed {
		t.Fatalf("Fixed(%d): want %s, got %s", places, fixed, got)
	}
	text := fixed
	if places > 0 {
		text = strings.TrimSuffix(strings.TrimRight(fixed, "0"), ".")
	}
	if got := x.Text(places); got != text {
		t.Fatalf("Text(%d): want %s, got %s", places, text, got)
	}
	floor := new(big.Int).Div(a.Num(), a.Denom())
	q, ok := x.Floor()
	if ok != floor.IsInt64() || ok && q != floor.Int64() {
		t.Fatalf("Floor: want %s, got %d %v", floor, q, ok)
	}
	finite := false
	if p, ok := x.Places(); ok {
		finite = true
		if scaled := scale(a, p); !scaled.IsInt() {
			t.Fatalf("Places: %d do not write %s", p, a.RatString())
		}
		if p > 0 && scale(a, p-1).IsInt() {
			t.Fatalf("Places: fewer than %d write %s", p, a.RatString())
		}
	} else if scale(a, 18).IsInt() {
		t.Fatalf("Places: none said to write %s", a.RatString())
	}
	back, ok := new(big.Rat).SetString(x.String())
	if !ok || back.Cmp(a) != 0 || finite == strings.Contains(x.String(), "/") {
		t.Fatalf("String: %q for %s", x.String(), a.RatString())
	}
}

// numberReadsBack holds for what its contract names: not below zero, rows of at most 19 digits.
func numberReadsBack(t *rapid.T) {
	num := edge().Filter(func(n int64) bool { return n >= 0 }).Draw(t, "num")
	den := edge().Filter(func(n int64) bool { return n > 0 }).Draw(t, "den")
	x := quantity.Fraction(num, den)
	back, err := quantity.ParseNumber(x.String())
	if err != nil || back.Cmp(x) != 0 {
		t.Fatalf("%d/%d: String gives %q, read as %s, %v", num, den, x.String(), back, err)
	}
}

// scale gives r × 10^places.
func scale(r *big.Rat, places int) *big.Rat {
	ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil)
	return new(big.Rat).Mul(r, new(big.Rat).SetInt(ten))
}

// halfAway is the oracle of all rounding: the whole number nearest to r, half away from zero, by whole-number division alone.
func halfAway(r *big.Rat) *big.Int {
	twice := new(big.Int).Mul(new(big.Int).Abs(r.Num()), big.NewInt(2))
	q := new(big.Int).Quo(twice.Add(twice, r.Denom()), new(big.Int).Mul(r.Denom(), big.NewInt(2)))
	if r.Sign() < 0 {
		q.Neg(q)
	}
	return q
}

// roundHalfAway writes r with so many places.
func roundHalfAway(r *big.Rat, places int) string {
	q := halfAway(scale(r, places))
	digits := new(big.Int).Abs(q).String()
	for len(digits) <= places {
		digits = "0" + digits
	}
	if places > 0 {
		digits = digits[:len(digits)-places] + "." + digits[len(digits)-places:]
	}
	if q.Sign() < 0 {
		digits = "-" + digits
	}
	return digits
}

func TestNumberArithmetic(t *testing.T) { t.Parallel(); rapid.Check(t, numberArithmetic) }
func TestNumberWriting(t *testing.T)    { t.Parallel(); rapid.Check(t, numberWriting) }
func TestNumberReadsBack(t *testing.T)  { t.Parallel(); rapid.Check(t, numberReadsBack) }

// decimalsRead: a row of digits before the point and one after it are read as math/big reads them.
func decimalsRead(t *rapid.T) {
	text := rapid.StringMatching(`[0-9]{1,19}(\.[0-9]{1,19})?`).Draw(t, "text")
	want, ok := new(big.Rat).SetString(text)
	if !ok {
		t.Fatalf("%q is no number", text)
	}
	got, err := quantity.ParseNumber(text)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	same(t, want, got, "ParseNumber")
}

func TestDecimalsRead(t *testing.T) { t.Parallel(); rapid.Check(t, decimalsRead) }

func FuzzNumberArithmetic(f *testing.F) { f.Fuzz(rapid.MakeFuzz(numberArithmetic)) }
func FuzzNumberWriting(f *testing.F)    { f.Fuzz(rapid.MakeFuzz(numberWriting)) }

func TestNumberEdges(t *testing.T) {
	t.Parallel()
	least := quantity.Int(math.MinInt64)
	assert.Equal(t, "-9223372036854775808", least.String())
	assert.Equal(t, "9223372036854775808", least.Neg().String())
	assert.Equal(t, 1, least.Neg().Sign())
	assert.Equal(t, "-1", quantity.Int(math.MaxInt64).Quo(quantity.Int(-math.MaxInt64)).String())
	assert.Equal(t, "0", quantity.Number{}.String())
	assert.Equal(t, "0.000", quantity.Number{}.Fixed(3))
	assert.Equal(t, "0.0", quantity.Fraction(-1, 100).Fixed(1), "no negative zero")
	assert.Equal(t, "0", quantity.Fraction(-1, 100).Text(1), "no negative zero")
	assert.Equal(t, "-0.1", quantity.Fraction(-5, 100).Text(1), "half away from zero")
	assert.Equal(t, "0.1", quantity.Fraction(5, 100).Text(1), "half away from zero")
	assert.Equal(t, "100", quantity.Int(100).Text(0), "no zero before the point is cut")

	// (19 × 2^64 - 4) / 19 falls short of 2^64 by less than a half: in hundredths it rounds past what 64 bits hold.
	top := quantity.Fraction(3504881374004814807, 19)
	assert.Equal(t, "184467440737095516.16", top.Fixed(2))
}

func TestNumberPanics(t *testing.T) {
	t.Parallel()
	assert.Panics(t, func() { quantity.Fraction(1, 0) })
	assert.Panics(t, func() { quantity.Int(1).Quo(quantity.Number{}) })
}

func TestNumberLeavesRatAlone(t *testing.T) {
	t.Parallel()
	huge := new(big.Rat).SetFrac(new(big.Int).Lsh(big.NewInt(1), 100), big.NewInt(3))
	n := quantity.FromRat(huge)
	huge.SetInt64(1)
	n.Rat().SetInt64(2)
	assert.Equal(t, "1267650600228229401496703205376/3", n.String())
}
