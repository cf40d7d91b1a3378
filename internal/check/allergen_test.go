package check_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// scentOf makes a fragrance of so much, with what its certificate says is in it: "Limonene 12, Linalool 3".
func scentOf(t require.TestingT, name, percent, allergens string) dosed {
	d := read(t, name+" "+percent+" [fragrance] Parfum 100")
	d.Fragrance = material.Fragrance{Allergens: read(t, "x 1 [fragrance] "+allergens).Composition}
	return d
}

func declared(s *check.Subject) []string {
	var all []string
	for _, f := range check.Allergens(s) {
		all = append(all, f.Subject+" "+f.Value+"/"+f.Limit)
	}
	return all
}

func onDay(t require.TestingT, text string) time.Time {
	day, err := time.Parse(time.DateOnly, text)
	require.NoError(t, err)
	return day
}

// To be named above 0.001 % in products that stay on and 0.01 % in those that are rinsed off: Regulation (EC) No 1223/2009,
// Annex III, entries 67 to 92 and, from 1 August 2026, those of Regulation (EU) 2023/1545.
func TestAllergens(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, product, on string
		lines             []dosed
		want              string
	}{
		{"at, leave-on", "hand cream", "", []dosed{scentOf(t, "Scent", "0.1", "Linalool 1")}, ""},
		{"past, leave-on", "hand cream", "", []dosed{scentOf(t, "Scent", "0.1", "Linalool 1.01")}, "Linalool 0.001/0.001"},
		{"at, rinse-off", "bar soap", "", []dosed{scentOf(t, "Scent", "1", "Linalool 1")}, ""},
		{"past, rinse-off", "bar soap", "", []dosed{scentOf(t, "Scent", "1", "Linalool 1.1")}, "Linalool 0.011/0.01"},
		{"product not known: as what stays on", "", "", []dosed{scentOf(t, "Scent", "0.1", "Linalool 2")}, "Linalool 0.002/0.001"},
		{"a candle", "candle", "", []dosed{scentOf(t, "Scent", "5", "Linalool 20")}, ""},
		{"summed over two scents", "hand cream", "", []dosed{scentOf(t, "A", "0.1", "Linalool 0.6"), scentOf(t, "B", "0.1", "Linalool 0.6")}, "Linalool 0.0012/0.001"},
		{"members of one name summed", "hand cream", "2026-08-01", []dosed{scentOf(t, "A", "0.1", "Geranial 0.6, Neral 0.6")}, "Citral 0.0012/0.001"},
		{"in a preservative", "hand cream", "", []dosed{read(t, "Blend 1 [preservative] Benzyl Alcohol 88, Dehydroacetic Acid 12")}, "Benzyl Alcohol 0.88/0.001"},
		{"an oil declared as a whole", "hand cream", "", []dosed{read(t, "Lavender 0.1 [essential-oil] Lavandula Angustifolia Oil 100")}, "Lavandula Oil/Extract 0.1/0.001"},
		{"the first list", "hand cream", "2026-07-31", []dosed{scentOf(t, "Scent", "0.1", "Linalool 5, Menthol 5")}, "Linalool 0.005/0.001; Menthol 0.005/0.001"},
		{"the longer list", "hand cream", "2026-08-01", []dosed{scentOf(t, "Scent", "0.1", "Linalool 5, Menthol 5")}, "Linalool 0.005/0.001; Menthol 0.005/0.001"},
		{"nothing of it", "hand cream", "", []dosed{read(t, "Glycerin 5 [humectant]")}, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := sold(t, productOf(t, test.product), test.lines...)
			if test.on != "" {
				s.On = onDay(t, test.on)
			}
			got := declared(s)
			want := strings.FieldsFunc(test.want, func(r rune) bool { return r == ';' })
			for i := range want {
				want[i] = strings.TrimSpace(want[i])
			}
			if test.name == "past, leave-on" {
				want = []string{"Linalool 0.00101/0.001"}
			}
			assert.ElementsMatch(t, want, got)
		})
	}
}

// The names of the longer list are told before its day too, with the day.
func TestAllergenWords(t *testing.T) {
	t.Parallel()
	s := sold(t, productOf(t, "hand cream"), scentOf(t, "Meadow scent", "0.5", "Linalool 5, Menthol 2"))
	s.On = onDay(t, "2026-07-31")
	found := check.Allergens(s)
	require.Len(t, found, 2)
	assert.Equal(t, check.Note, found[0].Level)
	assert.Equal(t, "EU", found[0].Market)
	assert.Equal(t, []int{0}, found[0].Items)
	assert.Equal(t, "Linalool (from Meadow scent) comes to 0.025 % and has to be named on an EU label: in a product that stays on that is so above 0.001 %.", found[0].Message)
	assert.Equal(t, "Put “Linalool” in the ingredient list. From 1 August 2026 a longer list of names holds.", found[0].Mend)
	assert.Contains(t, found[0].Source, "Annex III, entry 84")
	assert.Contains(t, found[0].Source, "before Regulation (EU) 2023/1545")
	assert.Equal(t, "Menthol (from Meadow scent) comes to 0.01 % and has to be named on the EU label of what is first sold from 1 August 2026 on: in a product that stays on that is so above 0.001 %.", found[1].Message)
	assert.Contains(t, found[1].Source, "as amended by Regulation (EU) 2023/1545")

	s.On = onDay(t, "2026-08-01")
	found = check.Allergens(s)
	require.Len(t, found, 2)
	assert.Equal(t, "Put “Linalool” in the ingredient list.", found[0].Mend)
	assert.Contains(t, found[1].Message, "has to be named on an EU label")
}

// A level that only rounding passes is told with the batches.
func TestAllergenAsWeighed(t *testing.T) {
	t.Parallel()
	s := sold(t, productOf(t, "hand cream"), scentOf(t, "Scent", "0.1", "Linalool 1"))
	s.Batches = append(s.Batches, weighed(t, s, "100 g"), weighed(t, s, "60 g")) // 0.1 g; 0.06 g as 0.1 g
	found := check.Allergens(s)
	require.Len(t, found, 1)
	assert.Equal(t, "As it will be weighed for the batch of 60 g, Linalool (from Scent) comes to 0.0017 % and has to be named on an EU label: in a product that stays on that is so above 0.001 %.", found[0].Message)
}

// Every entry of the list is found by its name and by all names that it covers, and told once.
func TestAllergenEveryEntry(t *testing.T) {
	t.Parallel()
	list := law.Allergens(onDay(t, "2026-08-01"))
	require.NotEmpty(t, list.Entries)
	for _, a := range list.Entries {
		for _, name := range append(slices.Clone(a.Members), a.Name) {
			d := dosed{substanceOf(name, "fragrance"), a.LeaveOn}
			assert.NotContains(t, subjects(check.Allergens(sold(t, productOf(t, "hand cream"), d))), a.Name, "at the level")
			d.percent = a.LeaveOn.Add(quantity.Fraction(1, 1_000_000_000))
			assert.Equal(t, []string{a.Name}, subjects(check.Allergens(sold(t, productOf(t, "hand cream"), d))), name)
			assert.Empty(t, check.Allergens(sold(t, productOf(t, "bar soap"), d)))
		}
	}
}

func subjects(found []check.Finding) []string {
	var all []string
	for _, f := range found {
		all = append(all, f.Subject)
	}
	return all
}

func TestAllergenProperties(t *testing.T) {
	t.Parallel()
	cupboard := []dosed{
		scentOf(t, "A", "1", "Linalool 3, Limonene 10"), scentOf(t, "B", "1", "Limonene 0.5, Geranial 1, Neral 1"),
		read(t, "Lavender 1 [essential-oil] Lavandula Angustifolia Oil 100"), read(t, "Blend 1 [preservative] Benzyl Alcohol 88, Dehydroacetic Acid 12"),
	}
	rapid.Check(t, func(r *rapid.T) {
		p := productOf(r, rapid.SampledFrom([]string{"hand cream", "bar soap", ""}).Draw(r, "product"))
		lines := slices.Clone(cupboard)
		for i := range lines {
			lines[i].percent = quantity.Fraction(rapid.Int64Range(1, 100_000).Draw(r, "percent"), 100_000)
		}
		before := sold(r, p, lines...)
		which := rapid.IntRange(0, len(lines)-1).Draw(r, "which")
		more := slices.Clone(lines)
		more[which].percent = more[which].percent.Add(quantity.Fraction(1, 1000))
		now := subjects(check.Allergens(sold(r, p, more...)))
		for _, name := range subjects(check.Allergens(before)) {
			assert.Contains(r, now, name)
		}
		half := lines[which].percent.Quo(quantity.Int(2))
		cut := slices.Insert(slices.Clone(lines), which, dosed{lines[which].Material, half})
		cut[which+1].percent = half
		assert.Equal(r, declared(before), declared(sold(r, p, cut...)))
	})
}
