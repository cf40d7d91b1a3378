package formula_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/quantity"
)

func TestWeigh(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, formula, batch, scale string
		want                        []string // readings
		total                       string
		balance                     int
	}{
		{"q.s. takes up the rounding", "All:\n  Oil: 50.06 %\n  Water: q.s.\n  Wax: 20.06 %", "100 g", "0.1 g", []string{"50.1", "29.8", "20.1"}, "100 g", 1},
		{"else the largest does", "All:\n  Wax: 20.06 %\n  Oil: 50.06 %\n  Water: 29.88 %", "100 g", "0.1 g", []string{"20.1", "50.0", "29.9"}, "100 g", 1},
		{"of equals the first", "All:\n  Wax: 1 part\n  Oil: 1 part\n  Shea: 1 part", "100 g", "0.1 g", []string{"33.4", "33.3", "33.3"}, "100 g", 0},
		{"half goes up", "All:\n  Wax: 2.5 %\n  Oil: 1.5 %\n  Water: q.s.", "100 g", "1 g", []string{"3", "2", "95"}, "100 g", 2},
		{"what is fixed never takes it up", "All:\n  Rose: 60.06 % | fixed\n  Oil: 20.06 %\n  Water: 19.88 %", "100 g", "0.1 g", []string{"60.1", "20.0", "19.9"}, "100 g", 1},
		{"a fixed q.s. does not either", "All:\n  Rose: q.s. | fixed\n  Oil: 20.06 %\n  Water: 19.88 %", "100 g", "0.1 g", []string{"60.1", "20.0", "19.9"}, "100 g", 1},
		{"a q.s. of nothing does not either", "All:\n  Water: q.s.\n  Oil: 66.66 %\n  Wax: 33.34 %", "10 g", "1 g", []string{"0", "7", "3"}, "10 g", 1},
		{"all fixed: the total is the sum", "All:\n  Rose: 1 part | fixed\n  Mint: 1 part | fixed\n  Sage: 1 part | fixed", "100 g", "0.1 g", []string{"33.3", "33.3", "33.3"}, "99.9 g", -1},
		{"no room for the rounding in q.s.: the largest", "All:\n  Water: q.s.\n  Rose: 24.5 % | fixed\n  Mint: 24.5 % | fixed\n  Sage: 24.5 % | fixed\n  Oil: 26 %", "10 g", "1 g", []string{"1", "2", "2", "2", "3"}, "10 g", 0},
		{"the batch is rounded to the step", "All:\n  Oil: 60 %\n  Wax: 40 %", "1 oz", "0.1 g", []string{"17.0", "11.3"}, "28.3 g", 0},
		{"a scale with two ranges", "All:\n  Oil: 80 %\n  Wax: 19.996 %\n  Rose: 0.004 %", "1000 g", "0.01 g to 200 g, 1 g", []string{"800", "199.96", "0.04"}, "1000 g", 0},
		{"the total keeps what the balance cannot read", "All:\n  Oil: 80 %\n  Wax: 19.96 %\n  Rose: 0.04 %", "1000 g", "0.01 g to 100 g, 1 g", []string{"800", "200", "0.40"}, "1000.4 g", 0},
		{"a reading that does not fit the first range", "All:\n  Oil: 60 %\n  Wax: 40.0 %", "501 g", "0.01 g to 200 g, 1 g", []string{"301", "200"}, "501 g", 0},
		{"a reading just at the end of a range", "All:\n  Oil: 60 %\n  Wax: 40 %", "500 g", "0.01 g to 200 g, 1 g", []string{"300", "200.00"}, "500 g", 0},
		{"three ranges", "All:\n  Oil: 90 %\n  Wax: 9 %\n  Rose: 1 %", "1234 g", "0.01 g to 20 g, 0.1 g to 200 g, 1 g", []string{"1111", "111.1", "12.34"}, "1234.44 g", 0},
		{"a material is used up and not exceeded", "All:\n  Oil: 60 %\n  Shea: 40 %", "from 33.37 g Shea", "0.1 g", []string{"50.1", "33.3"}, "83.4 g", 0},
		{"a fixed material is used up and not exceeded", "All:\n  Oil: 60 %\n  Rose: 40 % | fixed", "from 33.37 g Rose", "0.1 g", []string{"50.1", "33.3"}, "83.4 g", 0},
		{"the largest is used up, so another takes up the rounding", "All:\n  Oil: 60 %\n  Shea: 40 %", "from 33.37 g Oil", "0.1 g", []string{"33.3", "22.3"}, "55.6 g", 1},
		{"q.s. is used up, so another takes up the rounding", "All:\n  Oil: 60 %\n  Shea: q.s.", "from 33.37 g Shea", "0.1 g", []string{"50.1", "33.3"}, "83.4 g", 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			v := solve(t, test.formula)
			c := v.Weigh(size(t, v, test.batch), scale(t, test.scale))
			assert.Equal(t, test.want, texts(c), "%s", test.formula)
			assert.Equal(t, test.total, c.Total.String())
			assert.Equal(t, test.balance, c.Balance)
		})
	}
}

func TestPercents(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, formula string
		places        int
		want          []string
	}{
		{"thirds", "All:\n  Oil: 1 part\n  Wax: 1 part\n  Shea: 1 part", 2, []string{"33.34", "33.33", "33.33"}},
		{"thirds of what is fixed", "All:\n  Rose: 1 part | fixed\n  Mint: 1 part | fixed\n  Sage: 1 part | fixed", 2, []string{"33.33", "33.34", "33.33"}},
		{"thirds to six places", "All:\n  Oil: 1 part\n  Wax: 2 parts", 6, []string{"33.333333", "66.666667"}},
		{"to the whole", "All:\n  Oil: 1 part\n  Wax: 2 parts", 0, []string{"33", "67"}},
		{
			"more halves than the largest could take up", "All:\n  Oil: 2.5 %\n  A: 6.5 %\n  B: 6.5 %\n  C: 6.5 %\n  D: 6.5 %\n  E: 6.5 %\n  F: 6.5 %\n  G: 6.5 %\n  H: 6.5 %\n  I: 6.5 %\n  J: 6.5 %\n  K: 6.5 %\n  L: 6.5 %\n  M: 6.5 %\n  N: 6.5 %\n  O: 6.5 %", 0,
			[]string{"3", "6", "7", "6", "7", "6", "7", "6", "7", "6", "7", "6", "7", "6", "7", "6"},
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			var got []string
			sum := quantity.Number{}
			for _, p := range solve(t, test.formula).Percents(test.places) {
				got = append(got, p.String())
				sum = sum.Add(p)
			}
			assert.Equal(t, test.want, got, "%s", test.formula)
			assert.Equal(t, "100", sum.String())
		})
	}
}
