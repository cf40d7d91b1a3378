package check_test

import (
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A cream in four versions with a page of text, four batches and fourteen ingredients, of materials that an index keeps the facts of.
func BenchmarkRun(b *testing.B) {
	s := benchCream(b)
	check.Run(s) // reads the tables, once
	b.ReportAllocs()
	for b.Loop() {
		check.RunAll([]*check.Subject{s, s, s, s})
	}
}

func benchCream(t testing.TB) *check.Subject {
	s := made(t, "hand cream", []string{
		"== Water heat 75 °C", "Distilled water: q.s.", "Vegetable glycerin: 4 %", "Xanthan gum: 0.3 %", "Allantoin: 0.3 %", "Sodium gluconate: 0.2 %",
		"== Oil heat 75 °C", "Sunflower oil, high oleic: 10 %", "Shea butter, refined: 5 %", "Cetyl alcohol: 2 %", "Stearic acid: 1 %", "Olive emulsifying wax: 5 %",
		"== Cool-down below 40 °C", "Phenoxyethanol & ethylhexylglycerin blend: 1 %", "Hydrolyzed oat protein: 2 %", "Lavender essential oil: 0.3 %",
	})
	s.PH, s.Keeps = phRange(t, "5–5.5"), lasts("6 months")
	s.Words = strings.Repeat("Stir the cream now and then until it has cooled, and look for grains: it sets overnight.\n\n1. Weigh 3 g of it.\n", 25)
	for _, written := range []string{"250 g", "1 kg", "32 oz", "3 lb"} {
		s.Batches = append(s.Batches, weighed(t, s, written))
	}
	s.Index = material.NewIndex(nil).Over(material.Common())
	return s
}

// What is known of materials, and what the page says, is the same however often it is asked for, and whoever asks at the same time.
func TestRunAll(t *testing.T) {
	t.Parallel()
	s := benchCream(t)
	s.Words += "\n\nIt heals knuckles."
	alone := *s
	alone.Index = nil
	want := check.Run(&alone)
	require.Contains(t, briefs(want), "drug-claim caution heals:")
	require.Greater(t, len(want), 5)
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for _, found := range check.RunAll([]*check.Subject{s, &alone, s}) {
				assert.Equal(t, want, found)
			}
		})
	}
	all.Wait()
	other := *s
	other.Words = "It smells of hay."
	found := check.RunAll([]*check.Subject{s, &other, s})
	assert.Equal(t, want, found[0])
	assert.Equal(t, coded(want, "drug-claim"), coded(found[2], "drug-claim"))
	assert.Empty(t, coded(found[1], "drug-claim"))
}

// A page that is changed while its material stays is measured by what it then says: facts are of one material, never of another that is like it.
func TestRunOfACopy(t *testing.T) {
	t.Parallel()
	s := benchCream(t)
	require.Empty(t, coded(check.Run(s), "banned-substance"))
	at := slices.IndexFunc(s.Materials, func(m *material.Material) bool { return m.Name == "Allantoin" })
	require.GreaterOrEqual(t, at, 0)
	changed := *s.Materials[at]
	changed.Composition = []material.Constituent{{INCI: "Hydroquinone", Percent: quantity.Int(100)}} // Annex II, entry 1339
	s.Materials = slices.Clone(s.Materials)
	s.Materials[at] = &changed
	assert.NotEmpty(t, coded(check.Run(s), "banned-substance", "above-legal-maximum"))
}
