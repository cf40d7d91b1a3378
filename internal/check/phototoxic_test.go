package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// Leave-on maxima of expressed oils: Tisserand and Young, Essential Oil Safety, 2014, in the tables of packages material and law (lemon 2 %,
// bergamot 0.4 %, bitter orange 1.25 %); that shares of limits are summed is from memory.
func TestPhototoxic(t *testing.T) {
	t.Parallel()
	common := func(name string) *material.Material {
		m := material.Common().Find(name)
		require.NotNil(t, m, name)
		return m
	}
	lemon, bergamot := common("Lemon essential oil, cold pressed"), common("Bergamot essential oil, cold pressed")
	distilled, orange := common("Lemon essential oil, steam distilled"), common("Sweet orange essential oil")
	certified := isOf("Citrus Aurantifolia Peel Oil", "essential-oil")
	certified.Phototoxic = material.Sourced[quantity.Number]{Value: figure(t, "0.5"), Source: "a certificate", Known: true}
	tests := []struct {
		name, kind string
		batches    []string
		want       []string
		lines      []stuff
	}{
		{"just inside", "body lotion", nil, nil, []stuff{{"Lemon: 1.999 %", lemon}}},
		{"at the limit", "body lotion", nil, nil, []stuff{{"Lemon: 2 %", lemon}}},
		{"just past", "body lotion", nil, []string{"phototoxic stop Lemon: 2.001 2 %"}, []stuff{{"Lemon: 2.001 %", lemon}}},
		{"past by rounding alone", "body lotion", []string{"1 kg", "30 g"}, []string{"phototoxic stop Lemon: 3.333 2 %"}, []stuff{{"Lemon: 1.9 %", lemon}}},
		{"two at half of their limits", "body lotion", nil, nil, []stuff{{"Lemon: 1 %", lemon}, {"Bergamot: 0.2 %", bergamot}}},
		{"two just past together", "body lotion", nil, []string{"phototoxic stop Lemon and Bergamot: 100.05 100 %"}, []stuff{{"Lemon: 1.001 %", lemon}, {"Bergamot: 0.2 %", bergamot}}},
		{"a page's own limit", "body lotion", nil, []string{"phototoxic stop Lime: 0.6 0.5 %"}, []stuff{{"Lime: 0.6 %", certified}}},
		{"the table's name", "body lotion", nil, []string{"phototoxic stop Cumin oil: 0.41 0.4 %"}, []stuff{{"Cumin oil: 0.41 %", isOf("Cuminum Cyminum Seed Oil", "essential-oil")}}},
		{"a grade that is free", "body lotion", nil, nil, []stuff{{"Lemon: 5 %", distilled}, {"Orange: 5 %", orange}}},
		{"nobody says which grade", "body lotion", nil, []string{"phototoxic caution Lemon scent: 1 %"}, []stuff{{"Lemon scent: 1 %", isOf("Citrus Limon Peel Oil", "essential-oil")}}},
		{"another part of the tree", "body lotion", nil, nil, []stuff{{"Neroli: 1 %", isOf("Citrus Aurantium Amara Flower Oil", "essential-oil")}}},
		{"the fruit as food", "body lotion", nil, nil, []stuff{{"Lemon juice: 1 %", isOf("Citrus Limon Fruit Juice", "food")}}},
		{"banned", "body lotion", nil, []string{"phototoxic stop Fig leaf absolute: 0.001 0 %"}, []stuff{{"Fig leaf absolute: 0.001 %", isOf("Ficus Carica Leaf Extract", "fragrance")}}},
		{"rinsed off", "bar soap", nil, nil, []stuff{{"Lemon: 5 %", lemon}, {"Fig leaf absolute: 1 %", isOf("Ficus Carica Leaf Extract", "fragrance")}}},
		{"a candle", "candle", nil, nil, []stuff{{"Lemon: 5 %", lemon}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := compose(t, test.kind, "1 g", test.batches, append(test.lines, stuff{"Base: q.s.", oilFor(t, "7")})...)
			got := told(s, "phototoxic")
			assert.Equal(t, test.want, briefs(got))
			for _, f := range got {
				assert.Equal(t, 0, f.Items[0])
				assert.NotEmpty(t, f.Mend)
				assert.Equal(t, f.Level == "stop", f.Source != "", "a figure has its source")
			}
		})
	}
}

func TestPhototoxicSources(t *testing.T) {
	t.Parallel()
	lemon, bergamot := material.Common().Find("Lemon essential oil, cold pressed"), material.Common().Find("Bergamot essential oil, cold pressed")
	s := compose(t, "body lotion", "0.1 g", nil, stuff{"Lemon: 2 %", lemon}, stuff{"Bergamot: 0.4 %", bergamot}, stuff{"Base: q.s.", oilFor(t, "7")})
	got := told(s, "phototoxic")
	require.Len(t, got, 1)
	row, ok := law.FindPhototoxic("Combination of phototoxic oils")
	require.True(t, ok)
	assert.Equal(t, lemon.Phototoxic.Source+"; together: "+row.Source, got[0].Source)
	assert.Contains(t, got[0].Source, "from memory")
	assert.Equal(t, []int{0, 1}, got[0].Items)
	assert.Contains(t, got[0].Message, "Lemon 2 % of at most 2 % and Bergamot 0.4 % of at most 0.4 %")
}
