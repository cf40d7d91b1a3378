package quantity_test

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/quantity"
)

// numberAppending holds what is appended against math/big: after bytes that stay as they are, in a row with room and in one without.
func numberAppending(t *rapid.T) {
	r := rat().Draw(t, "r")
	n := quantity.FromRat(r)
	places := rapid.IntRange(0, 18).Draw(t, "places")
	before := append(make([]byte, 0, rapid.SampledFrom([]int{5, 64}).Draw(t, "room")), "1.000"...)
	fixed := roundHalfAway(r, places)
	text := fixed
	if places > 0 {
		text = strings.TrimSuffix(strings.TrimRight(fixed, "0"), ".")
	}
	for name, pair := range map[string][2]string{
		"AppendFixed":    {fixed, string(n.AppendFixed(before, places))},
		"AppendText":     {text, string(n.AppendText(before, places))},
		"AppendFraction": {r.RatString(), string(n.AppendFraction(before))},
	} {
		if "1.000"+pair[0] != pair[1] {
			t.Fatalf("%s(%d): want 1.000%s, got %s", name, places, pair[0], pair[1])
		}
	}
	if string(before) != "1.000" {
		t.Fatalf("what stood before is %s now", before)
	}
}

func TestNumberAppending(t *testing.T) { t.Parallel(); rapid.Check(t, numberAppending) }

func FuzzNumberAppending(f *testing.F) { f.Fuzz(rapid.MakeFuzz(numberAppending)) }

// The largest numbers that are written in machine words, and the first that are not.
func TestAppendEdges(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "0", string(quantity.Number{}.AppendText(nil, 6)))
	assert.Equal(t, "0.000000", string(quantity.Number{}.AppendFixed(nil, 6)))
	assert.Equal(t, "0", string(quantity.Number{}.AppendFraction(nil)))
	assert.Equal(t, "0", string(quantity.Fraction(-1, 1000).AppendText(nil, 2)), "no zero below zero")
	assert.Equal(t, "-0.001", string(quantity.Fraction(-1, 1000).AppendFixed(nil, 3)))
	assert.Equal(t, "-1/1000", string(quantity.Fraction(-1, 1000).AppendFraction(nil)))
	assert.Equal(t, "9223372036854775807.00", string(quantity.Int(math.MaxInt64).AppendFixed(nil, 2)))
	assert.Equal(t, "9.223372036854775807", string(quantity.Fraction(math.MaxInt64, 1e18).AppendFixed(nil, 18)))
	wide := quantity.FromRat(new(big.Rat).SetFrac(new(big.Int).Lsh(big.NewInt(1), 64), big.NewInt(3)))
	assert.Equal(t, "6148914691236517205.33", string(wide.AppendText(nil, 2)))
	assert.Equal(t, "18446744073709551616/3", string(wide.AppendFraction(nil)))
}

// ouncesShown holds the ounces beside grams against math/big; an ounce is 28.349523125 g (International yard and pound agreement, 1959:
// the pound is 0.45359237 kg).
func ouncesShown(t *rapid.T) {
	r := rat().Draw(t, "r")
	exact := new(big.Rat).Quo(r, big.NewRat(28349523125, 1e9))
	places := 2
	if exact.Cmp(big.NewRat(1, 1)) < 0 {
		places = 3
	}
	want, _ := new(big.Rat).SetString(roundHalfAway(exact, places))
	same(t, want, quantity.Grams(quantity.FromRat(r)).ReadOunces(), "ReadOunces")
}

func TestOuncesShown(t *testing.T) { t.Parallel(); rapid.Check(t, ouncesShown) }

// What a fine scale reads around one ounce and around halves of the last place.
func TestOuncesShownOfReadings(t *testing.T) {
	t.Parallel()
	ounce := big.NewRat(28349523125, 1e9)
	for mg := int64(1); mg < 60_000; mg += 7 {
		r := big.NewRat(mg, 1000)
		exact := new(big.Rat).Quo(r, ounce)
		places := 2
		if exact.Cmp(big.NewRat(1, 1)) < 0 {
			places = 3
		}
		assert.Equal(t, roundHalfAway(exact, places), quantity.Grams(quantity.FromRat(r)).ReadOunces().Fixed(places), "%d mg", mg)
	}
}

func BenchmarkReadOunces(b *testing.B) {
	m := quantity.Grams(quantity.Fraction(17687, 100))
	b.ReportAllocs()
	for b.Loop() {
		m.ReadOunces()
	}
}

func BenchmarkAppendText(b *testing.B) {
	n, buf := quantity.Fraction(17687, 1100), make([]byte, 0, 64)
	b.ReportAllocs()
	for b.Loop() {
		n.AppendText(buf, 6)
	}
}
