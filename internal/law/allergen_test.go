package law_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/law"
)

// 24 names of the first list are left; Regulation (EU) 2023/1545 adds 57 for products first sold from 1 August 2026.
func TestAllergens(t *testing.T) {
	t.Parallel()
	tests := []struct {
		day     string
		names   int
		next    string
		amended bool
	}{
		{"2020-01-01", 24, "2026-08-01", false},
		{"2026-07-31", 24, "2026-08-01", false},
		{"2026-08-01", 81, "", true},
		{"2030-01-01", 81, "", true},
	}
	for _, test := range tests {
		l := law.Allergens(on(t, test.day))
		assert.Len(t, l.Entries, test.names, test.day)
		if test.next == "" {
			assert.True(t, l.Next.IsZero(), test.day)
		} else {
			assert.Equal(t, on(t, test.next), l.Next, test.day)
		}
		assert.Equal(t, test.amended, l.Entries[len(l.Entries)-1].StockUntil.Equal(on(t, "2028-07-31")), test.day)
		assert.NotEmpty(t, l.Text)
		for _, a := range l.Entries {
			assert.Equal(t, "0.001", a.LeaveOn.String(), a.Name)
			assert.Equal(t, "0.01", a.RinseOff.String(), a.Name)
			assert.Contains(t, []string{"substance", "extract"}, a.Kind, a.Name)
			assert.Equal(t, "read", a.Status, a.Name)
			got, ok := l.Find(a.Name, nil)
			require.True(t, ok, a.Name)
			assert.Equal(t, a.Name, got.Name)
			for _, member := range a.Members {
				got, ok := l.Find(member, nil)
				require.True(t, ok, member)
				assert.Equal(t, a.Name, got.Name, member)
			}
		}
	}
}

// Each entry of each list is found by its own name, and is that entry; the lists are those of the days before and from the change.
func TestFindAllergenByName(t *testing.T) {
	t.Parallel()
	lists := law.AllergenLists()
	require.Len(t, lists, 2)
	assert.Equal(t, lists[0].Text, law.Allergens(lists[0].Next.AddDate(0, 0, -1)).Text)
	assert.Equal(t, lists[1].Text, law.Allergens(lists[0].Next).Text)
	for _, list := range lists {
		require.NotEmpty(t, list.Entries)
		for i := range list.Entries {
			a, ok := list.Find(list.Entries[i].Name, nil)
			require.True(t, ok, list.Entries[i].Name)
			assert.Same(t, &list.Entries[i], a)
		}
	}
}

// Annex III, the entry beside each.
func TestFindAllergen(t *testing.T) {
	t.Parallel()
	tests := []struct {
		inci, cas, day, label string
	}{
		{"Linalool", "", "2026-07-31", "Linalool"},                                // III/84
		{"geranial", "", "2026-07-31", "Citral"},                                  // III/70
		{"d-limonene", "5989-27-5", "2026-07-31", "Limonene"},                     // III/88, by number
		{"Lavandula Angustifolia Oil", "", "2026-07-31", ""},                      // III/360, a day early
		{"Lavandula Angustifolia Oil", "", "2026-08-01", "Lavandula Oil/Extract"}, // III/360
		{"Lavandula Angustifolia (Lavender) Oil", "", "2026-08-01", "Lavandula Oil/Extract"},
		{"Lavandula Hybrida Oil", "", "2026-08-01", "Lavandula Oil/Extract"},
		{"Lavandula Latifolia Oil", "", "2026-08-01", ""},                              // spike is no member
		{"Rosa Damascena Flower Oil", "", "2026-08-01", "Rose Flower Oil/Extract"},     // III/366
		{"Rosa Canina Seed Oil", "", "2026-08-01", ""},                                 // hip seed oil is no member
		{"Citrus Sinensis Peel Oil", "", "2026-08-01", "Citrus Aurantium Peel Oil"},    // III/351
		{"Alpha-Damascone", "", "2026-08-01", "Rose Ketones"},                          // III/157
		{"Eugenia Caryophyllus Bud Oil", "", "2026-08-01", "Eugenia Caryophyllus Oil"}, // III/356
		{"beta-pinene", "127-91-3", "2026-08-01", "Pinene"},                            // III/371, by number
		{"Mentha Piperita Oil", "", "2026-08-01", "Mentha Piperita Oil"},               // III/361
		{"Butylphenyl Methylpropional", "80-54-6", "2020-01-01", ""},                   // banned, II/1666
		{"Limonen", "", "2026-08-01", ""},
		{"", "", "2026-08-01", ""},
	}
	for _, test := range tests {
		a, ok := law.Allergens(on(t, test.day)).Find(test.inci, []string{test.cas})
		if assert.Equal(t, test.label != "", ok, "%s on %s", test.inci, test.day) && ok {
			assert.Equal(t, test.label, a.Name, "%s on %s", test.inci, test.day)
		}
	}
}

// Named when above 0.001 % in leave-on and 0.01 % in wash-off products, not at it.
func TestAllergenAbove(t *testing.T) {
	t.Parallel()
	tests := []struct {
		product, percent string
		want             bool
	}{
		{"hand cream", "0.001", false},
		{"hand cream", "0.0010000001", true},
		{"bar soap", "0.01", false},
		{"bar soap", "0.0101", true},
		{"bar soap", "0.005", false},
		{"candle", "10", false},
	}
	a, ok := law.Allergens(on(t, "2026-08-01")).Find("Linalool", nil)
	require.True(t, ok)
	for _, test := range tests {
		assert.Equal(t, test.want, a.Above(product(t, test.product), number(t, test.percent)), "%s %s", test.product, test.percent)
	}
}
