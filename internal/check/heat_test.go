package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

func heat(text string) *quantity.Temperature {
	v, err := quantity.ParseTemperature(text)
	if err != nil {
		panic(err)
	}
	return &v
}

func known[T any](v T) material.Sourced[T] {
	return material.Sourced[T]{Value: v, Source: "sheet of May", Known: true}
}

func TestAddedTooHot(t *testing.T) {
	t.Parallel()
	own := []*material.Material{
		{Name: "Rest", Roles: []string{"water"}},
		{Name: "Shy", Roles: []string{"active"}, HeatLimit: known(*heat("60 °C")), AddBelow: known(*heat("45 °C"))},
		{Name: "Hardy", Roles: []string{"active"}, HeatLimit: known(*heat("75 °C"))},
	}
	tests := []struct {
		name  string
		lines []string
		want  []string
		says  string
	}{
		{"no heat anywhere", []string{"Rest: q.s.", "Shy: 1 %"}, nil, ""},
		{"in a hot phase", []string{"== Water heat 75 °C", "Rest: q.s.", "Shy: 1 %"}, []string{"added-too-hot caution Shy: 75 45 °C"}, "Water is heated to 75 °C"},
		{"at its limit", []string{"== Water heat 75 °C", "Rest: q.s.", "Hardy: 1 %"}, nil, ""},
		{"just past it", []string{"== Water heat 75.1 °C", "Rest: q.s.", "Hardy: 1 %"}, []string{"added-too-hot caution Hardy: 75.1 75 °C"}, ""},
		{"in Fahrenheit", []string{"== Water heat 168 °F", "Rest: q.s.", "Hardy: 1 %"}, []string{"added-too-hot caution Hardy: 75.6 75 °C"}, ""},
		{"below its limit", []string{"== Water heat 75 °C", "Rest: q.s.", "== Cool below 45 °C", "Shy: 1 %"}, nil, ""},
		{"below too much", []string{"== Water heat 75 °C", "Rest: q.s.", "== Cool below 50 °C", "Shy: 1 %"}, []string{"added-too-hot caution Shy: 50 45 °C"}, "below 50 °C"},
		{"after a cool phase", []string{"== Water heat 75 °C", "Rest: q.s.", "== Cool below 45 °C", "Hardy: 1 %", "== Last", "Shy: 1 %"}, nil, ""},
		{"after a hot phase, not said", []string{"== Water heat 75 °C", "Rest: q.s.", "== Last", "Shy: 1 %"}, []string{"added-too-hot caution Shy: 45 °C"}, "could not be checked"},
		{"before a hot phase, not said", []string{"== First", "Shy: 1 %", "== Water heat 75 °C", "Rest: q.s."}, []string{"added-too-hot caution Shy: 45 °C"}, "could not be checked"},
		{"not said, and nothing is that hot", []string{"== Water heat 40 °C", "Rest: q.s.", "== Last", "Shy: 1 %"}, nil, ""},
		{"the worst of two phases", []string{"== Water heat 50 °C", "Rest: q.s.", "Shy: 1 %", "== Oil heat 80 °C", "Shy: 1 %"}, []string{"added-too-hot caution Shy: 80 45 °C"}, "Oil is heated"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			found := coded(check.Run(made(t, "hand cream", test.lines, own...)), "added-too-hot")
			assert.Equal(t, test.want, briefs(found))
			if test.want != nil {
				assert.Contains(t, found[0].Message, test.says)
				assert.Equal(t, "sheet of May", found[0].Source)
			}
		})
	}
	found := coded(check.Run(made(t, "hand cream", tests[len(tests)-1].lines, own...)), "added-too-hot")
	require.Len(t, found, 1)
	assert.Equal(t, []int{1, 2}, found[0].Items)
}
