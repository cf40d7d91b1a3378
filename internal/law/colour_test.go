package law_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/law"
)

// EU: Annex IV, entry; US: 21 CFR parts 73 and 74, section.
func TestFindColour(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name         string
		eu           []string
		field        string
		us           []string
		general, lip bool
		certified    bool
	}{
		{"CI 77491", []string{"IV/135"}, "all", []string{"21 CFR 73.2250"}, true, true, false},
		{"Iron oxides", []string{"IV/134", "IV/135", "IV/136", "IV/137"}, "all", []string{"21 CFR 73.2250"}, true, true, false},
		{"ci77891", []string{"IV/143"}, "all", []string{"21 CFR 73.2575"}, true, true, false},
		{"Zinc Oxide", []string{"IV/144"}, "all", []string{"21 CFR 73.2991"}, true, true, false},
		{"Mica", nil, "", []string{"21 CFR 73.2496"}, true, true, false},
		{"Ultramarines", []string{"IV/120"}, "all", []string{"21 CFR 73.2725"}, false, false, false},
		{"CI 77288", []string{"IV/129"}, "all", []string{"21 CFR 73.2327"}, false, false, false},
		{"CI 77510", []string{"IV/138"}, "all", []string{"21 CFR 73.2299", "21 CFR 73.2298"}, false, false, false},
		{"Carmine", []string{"IV/115"}, "all", []string{"21 CFR 73.2087"}, true, true, false},
		{"Beta-carotene", []string{"IV/55", "IV/111"}, "all", []string{"21 CFR 73.2095"}, true, true, false},
		{"FD&C Blue No. 1", []string{"IV/63"}, "all", []string{"21 CFR 74.2101"}, true, true, true},
		{"Blue 1 Lake", []string{"IV/63"}, "all", []string{"21 CFR 74.2101"}, true, true, true},
		{"Red 40", []string{"IV/32"}, "all", []string{"21 CFR 74.2340"}, true, true, true},
		{"Red 33", []string{"IV/37"}, "all", []string{"21 CFR 74.2333"}, false, true, true},
		{"CI 17200", []string{"IV/37"}, "all", []string{"21 CFR 74.2333"}, false, true, true},
		{"Green 8", []string{"IV/87"}, "non-mucous", []string{"21 CFR 74.2208"}, false, false, true},
		{"D&C Orange No. 4", []string{"IV/21"}, "non-eye", []string{"21 CFR 74.2254"}, false, false, true},
		{"CI 45430", []string{"IV/80"}, "all", []string{"21 CFR 82.303, cosmetic use ended in 1990"}, false, false, false},
		{"Activated Charcoal", nil, "", []string{"no listing"}, false, false, false},
		{"CI 11725", []string{"IV/6"}, "rinse-off", nil, false, false, false},
		{"Acid Red 195", []string{"IV/153"}, "non-mucous", nil, false, false, false},
	}
	for _, test := range tests {
		c, ok := law.FindColour(test.name)
		require.True(t, ok, test.name)
		var eu, us []string
		for _, e := range c.EU {
			eu = append(eu, e.Entry)
			assert.Equal(t, test.field, e.Scope, test.name)
		}
		for _, u := range c.US {
			us = append(us, u.Citation)
			assert.Equal(t, test.general, u.General, test.name)
			assert.Equal(t, test.lip, u.Lips, test.name)
			assert.Equal(t, test.certified, u.Certified, test.name)
		}
		assert.Equal(t, test.eu, eu, test.name)
		assert.Equal(t, test.us, us, test.name)
	}
	for _, name := range []string{"", "CI", "CI 7749", "CI 774911", "Iron", "Red", "40", "Blue", "FD&C"} {
		_, ok := law.FindColour(name)
		assert.False(t, ok, "%q", name)
	}
}

// A wash-off colour is closed in a leave-on product, and one that is not for mucous membranes on lips (Annex IV).
func TestColourFields(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, product, duty string }{
		{"CI 11725", "bar soap", law.Free},
		{"CI 11725", "body lotion", law.Ban},
		{"CI 59040", "bath fizz", law.Free},
		{"CI 59040", "lip balm", law.Ban},
		{"CI 15510", "face cream", law.Free},
		{"CI 45350", "bar soap", law.AtMost}, // 6 %
		{"CI 12085", "lip balm", law.AtMost}, // 3 %
	}
	for _, test := range tests {
		found := reaching(t, "EU", test.name, test.product, "2026-11-25", law.Applies)
		require.Len(t, found, 1, "%s in %s", test.name, test.product)
		assert.Equal(t, test.duty, found[0].Duty, "%s in %s", test.name, test.product)
	}
}

func TestColourTable(t *testing.T) {
	t.Parallel()
	require.Len(t, law.ColoursUS(), 67)
	for _, c := range law.ColoursUS() {
		assert.NotEmpty(t, c.Names, c.Citation)
		assert.NotEmpty(t, c.Source, c.Citation)
		assert.NotEmpty(t, c.SourceEU, c.Citation)
		if c.General {
			assert.True(t, c.Lips && c.External && c.Listed, "%v: general use is all but the eyes", c.Names)
		}
		for _, entry := range c.Entries {
			assert.Regexp(t, `^(IV/\d+|III/322)$`, entry, c.Names[0])
		}
		for _, ci := range c.CI {
			assert.Regexp(t, `^CI \d{5}$`, ci, c.Names[0])
		}
	}
}
