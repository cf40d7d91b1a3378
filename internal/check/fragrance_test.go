package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

var fragranceCodes = []string{"fragrance-above-maximum", "fragrance-no-certificate"}

// scent gives a fragrance whose certificate has maxima for categories: "5A", "1.8", …
func scent(t testing.TB, limits ...string) *material.Material {
	t.Helper()
	m := isOf("Parfum", "fragrance")
	for i := 0; i < len(limits); i += 2 {
		m.Fragrance.Limits = append(m.Fragrance.Limits, material.Limit{Category: limits[i], Percent: figure(t, limits[i+1])})
	}
	none := quantity.Number{}
	m.Fragrance.Known, m.Fragrance.Vanillin = len(limits) > 0, &none
	return m
}

// Body lotion is of category 5A, bar soap of 9 (the table of products); the maxima are composed for the test, as a certificate gives them.
func TestFragrance(t *testing.T) {
	t.Parallel()
	rose := scent(t, "5A", "1.8", "9", "0")
	tests := []struct {
		name, kind string
		batches    []string
		want       []string
		lines      []stuff
	}{
		{"just inside", "body lotion", nil, nil, []stuff{{"Rose: 1.799 %", rose}}},
		{"at the maximum", "body lotion", nil, nil, []stuff{{"Rose: 1.8 %", rose}}},
		{"just past", "body lotion", nil, []string{"fragrance-above-maximum stop Rose: 1.801 1.8 %"}, []stuff{{"Rose: 1.801 %", rose}}},
		{"past by very little", "body lotion", nil, []string{"fragrance-above-maximum stop Rose: 1.80001 1.8 %"}, []stuff{{"Rose: 1.80001 %", rose}}},
		{"past by rounding alone", "body lotion", []string{"1 kg", "50 g"}, []string{"fragrance-above-maximum stop Rose: 2 1.8 %"}, []stuff{{"Rose: 1.75 %", rose}}},
		{"not allowed in the category", "bar soap", nil, []string{"fragrance-above-maximum stop Rose: 0.001 0 %"}, []stuff{{"Rose: 0.001 %", rose}}},
		{"the certificate is silent", "face cream", nil, []string{"fragrance-no-certificate caution Rose: 0.5 %"}, []stuff{{"Rose: 0.5 %", rose}}},
		{"no certificate", "body lotion", nil, []string{"fragrance-no-certificate caution Moss: 0.5 %"}, []stuff{{"Moss: 0.5 %", scent(t)}}},
		{"an essential oil", "body lotion", nil, []string{"fragrance-no-certificate caution Moss: 0.5 %"}, []stuff{{"Moss: 0.5 %", isOf("Evernia Prunastri Extract", "essential-oil")}}},
		{"a perfume by its label name alone", "body lotion", nil, []string{"fragrance-no-certificate caution Moss: 0.5 %"}, []stuff{{"Moss: 0.5 %", isOf("Parfum")}}},
		{"each by itself", "body lotion", nil, nil, []stuff{{"Rose: 1 %", rose}, {"Violet: 1 %", scent(t, "5a", "1")}}},
		{"no fragrance", "body lotion", nil, nil, []stuff{{"Oil: 5 %", oilFor(t, "7")}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := compose(t, test.kind, "1 g", test.batches, append(test.lines, stuff{"Water: q.s.", rain()})...)
			got := told(s, fragranceCodes...)
			assert.Equal(t, test.want, briefs(got))
			for _, f := range got {
				assert.Equal(t, []int{0}, f.Items)
				assert.NotEmpty(t, f.Mend)
				if f.Code == "fragrance-above-maximum" {
					assert.Contains(t, f.Source, "the supplier's certificate of Rose; category "+s.Product.Fragrance+": IFRA Standards")
					assert.Equal(t, s.Product.Status == "memory", len(f.Source) > 13 && f.Source[len(f.Source)-13:] == ", from memory")
				}
			}
		})
	}
}

func TestFragranceNamesTheBatches(t *testing.T) {
	t.Parallel()
	s := compose(t, "body lotion", "1 g", []string{"1 kg", "50 g", "49 g"}, stuff{"Rose: 1.75 %", scent(t, "5A", "1.8")}, stuff{"Water: q.s.", rain()})
	got := told(s, fragranceCodes...)
	require.Len(t, got, 1)
	assert.Contains(t, got[0].Message, "the batch of 50 g and 49 g,")
	assert.NotContains(t, got[0].Message, "1 kg")
}

// Lines of one fragrance are counted together, and more of it never makes a finding go away.
func TestFragranceProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		percent := func(n int64) string { return quantity.Fraction(n, 1000).String() + " %" }
		rose := scent(t, "5A", "1.8")
		rose.Name, rose.ID = "Rose", "rose"
		brown := figure(t, "2.5")
		rose.Fragrance.Vanillin = &brown
		rose.Phototoxic = material.Sourced[quantity.Number]{Value: figure(t, "1.9"), Known: true}
		codes := append([]string{"phototoxic", "will-discolour"}, fragranceCodes...)
		all := func(amounts ...int64) []string {
			lines := []stuff{{"Water: q.s.", rain()}}
			for _, n := range amounts {
				lines = append(lines, stuff{"Rose: " + percent(n), rose})
			}
			return briefs(told(compose(t, "body lotion", "0.001 g", nil, lines...), codes...))
		}
		n := rapid.Int64Range(2, 4000).Draw(rt, "thousandths of a percent")
		part := rapid.Int64Range(1, n-1).Draw(rt, "part")
		one, two, more := all(n), all(part, n-part), all(n+rapid.Int64Range(1, 1000).Draw(rt, "more"))
		if !assert.ObjectsAreEqual(one, two) {
			rt.Fatalf("one line: %v; two lines: %v", one, two)
		}
		if len(more) < len(one) {
			rt.Fatalf("%v, and with more of it %v", one, more)
		}
	})
}
