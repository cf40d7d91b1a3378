package law

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The rows of each table, and those of the reference it is made from:
//
// eu.csv: 85 preservative and 166 restricted rows are 279 here; 12 are worked out from the whole annexes: II/221, II/300, II/360
// (after their text) and III/2a and 2b, which are open in the listed products alone. III/103-119 is 16 entries and III/121-123, 127-133 is 9
// without III/124, which has its row; II/1381-1382 is 2; V/12 for one ester is 3, for each ester; III/321 for other
// products is 2, for powders apart; the formaldehyde warning is 2, with the text before 31 July 2024. Left out: the
// definition of salts and esters in the preamble of Annex V, which sets no limit.
//
// The net: 1744, 373, 154, 57 and 35 entries; Annexes III, V and VI have a row for each scope. Four CAS numbers with a
// wrong check digit are left out: 1205-50-3 of V/1a, 1693-43-4 of III/227, 9556-89-9 of III/250, 3245-91-7 of III/278.
//
// us.csv: the 11 rows of prohibited and limited ingredients and the 2 of alpha hydroxy acids that give a percentage.
// The others are one row for one row.
func TestTableCounts(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, text string
		rows       int
	}{
		{"eu.csv", euCSV, 291},
		{"us.csv", usCSV, 13},
		{"annex-ii.csv", annexIICSV, 1744},
		{"annex-iii.csv", annexIIICSV, 391},
		{"annex-iv.csv", annexIVCSV, 154},
		{"annex-v.csv", annexVCSV, 60},
		{"annex-vi.csv", annexVICSV, 38},
		{"allergens.csv", allergensCSV, 83},
		{"colours.csv", coloursCSV, 67},
		{"label-rules.csv", labelCSV, 140},
		{"fragrance-categories.csv", categoriesCSV, 18},
		{"phototoxic.csv", phototoxicCSV, 23},
		{"acids.csv", acidsCSV, 13},
		{"molar.csv", molarCSV, 96},
		{"sources.csv", sourcesCSV, 59},
		{"contents.csv", contentsCSV, 4},
	}
	for _, test := range tests {
		assert.Len(t, records(test.text), test.rows, test.name)
	}
	distinct := func(text string) int {
		seen := map[string]bool{}
		for _, row := range records(text) {
			seen[row["entry"]] = true
		}
		return len(seen)
	}
	assert.Equal(t, 1742, distinct(annexIICSV), "1744 rows: entry 38 stands three times")
	assert.Equal(t, 364, distinct(annexIIICSV), "373 rows: some numbers stand twice")
	assert.Equal(t, 57, distinct(annexVCSV))
	assert.Equal(t, 35, distinct(annexVICSV))
}

// What was read and what was remembered, as in the reference.
func TestStatuses(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, text, column string
		memory             int
	}{
		{"eu.csv", euCSV, "status", 14}, // 11 and 3
		{"allergens.csv", allergensCSV, "status", 0},
		{"label-rules.csv", labelCSV, "status", 18 + 44},
		{"colours.csv, US", coloursCSV, "status_us", 33},
		{"colours.csv, EU", coloursCSV, "status_eu", 6},
		{"fragrance-categories.csv", categoriesCSV, "status", 0},
		{"phototoxic.csv", phototoxicCSV, "status", 5},
		{"us.csv", usCSV, "status", 1},
	}
	for _, test := range tests {
		memory := 0
		for _, row := range records(test.text) {
			if row[test.column] == "memory" {
				memory++
				continue
			}
			assert.Equal(t, "read", row[test.column], test.name)
		}
		assert.Equal(t, test.memory, memory, test.name)
	}
}

// Every source is used, and what is from memory in full is not marked as read.
func TestSources(t *testing.T) {
	t.Parallel()
	used := map[string]bool{"a2-net": true, "a4-net": true, "a5-net": true, "a6-net": true}
	for _, text := range []string{euCSV, usCSV, allergensCSV, coloursCSV, labelCSV, categoriesCSV, phototoxicCSV, contentsCSV} {
		for _, row := range records(text) {
			for _, side := range []string{"", "_us", "_eu"} {
				for _, k := range list(row["source"+side]) {
					used[k] = true
					s, ok := sources()[k]
					require.True(t, ok, k)
					if strings.HasPrefix(s.text, "from memory") {
						assert.Equal(t, "memory", row["status"+side], "%v", row)
					}
				}
			}
		}
	}
	for k, s := range sources() {
		assert.True(t, used[k], "no row has the source %s", k)
		assert.NotEmpty(t, s.text, k)
		assert.Regexp(t, `^(\d{4}(-\d\d(-\d\d)?)?)?$`, s.date, k)
	}
}

var casForm = regexp.MustCompile(`^[1-9]\d{1,6}-\d\d-\d$`)

func checkDigit(cas string) bool {
	digits := strings.ReplaceAll(cas[:len(cas)-2], "-", "")
	sum := 0
	for i := range digits {
		sum += (len(digits) - i) * int(digits[i]-'0')
	}
	return sum%10 == int(cas[len(cas)-1]-'0')
}

// Every CAS number has its form and its check digit.
func TestCASNumbers(t *testing.T) {
	t.Parallel()
	assert.True(t, checkDigit("7732-18-5"), "water")
	assert.False(t, checkDigit("7732-18-4"))
	checked := 0
	for _, text := range []string{euCSV, usCSV, annexIICSV, annexIIICSV, annexIVCSV, annexVCSV, annexVICSV, allergensCSV} {
		for _, row := range records(text) {
			for _, cas := range list(row["cas"]) {
				checked++
				if assert.Regexp(t, casForm, cas, row["entry"]) {
					assert.True(t, checkDigit(cas), "%s of %s", cas, row["entry"])
				}
			}
		}
	}
	assert.Greater(t, checked, 3000)
}

// Every rule is whole: it can be found, cited and judged.
func TestRulesAreWhole(t *testing.T) {
	t.Parallel()
	duties := map[string]int{}
	for _, r := range rules() {
		about := r.Market + " " + r.Entry + " " + r.Scope
		assert.Contains(t, []string{"EU", "US"}, r.Market, about)
		assert.Contains(t, []string{Preservative, Restricted, Prohibited, Colourant, UVFilter}, r.Kind, about)
		assert.Contains(t, []string{"", ToPreserve, NotToPreserve, AsFragrance, AsColour, AsUVFilter}, r.Purpose, about)
		assert.Contains(t, []string{"read", "memory"}, r.Status, about)
		assert.NotEmpty(t, r.Citation, about)
		assert.NotEmpty(t, r.Source, about)
		assert.NotEmpty(t, append(r.Names, r.CAS...), about)
		duties[r.Duty]++
		wholeDuty(t, r, about)
		if !r.From.IsZero() && !r.Until.IsZero() {
			assert.True(t, r.From.Before(r.Until), about)
		}
		for _, name := range r.Names {
			assert.Greater(t, len(name), 2, "%s: %q", about, name)
			assert.Equal(t, strings.TrimSpace(name), name, about)
		}
	}
	assert.Len(t, duties, 8)
}

func wholeDuty(t *testing.T, r Rule, about string) {
	switch r.Duty {
	case Ban:
		if assert.NotNil(t, r.Max, about) {
			assert.Zero(t, r.Max.Sign(), about)
		}
	case AtMost:
		if assert.NotNil(t, r.Max, about) {
			assert.Positive(t, r.Max.Sign(), about)
		}
		assert.NotEmpty(t, r.Group, about)
	case Warn:
		assert.NotEmpty(t, r.LabelWords, about)
	case Words, Advice:
		assert.NotEmpty(t, r.Conditions, about)
	case Declare, Free, Purity:
	default:
		assert.Fail(t, "unknown duty", "%s: %s", about, r.Duty)
	}
}

// No hand-worked entry shows its counterpart of the net as well.
func TestHandWorkedStandsBefore(t *testing.T) {
	t.Parallel()
	hand := map[string]bool{}
	netted := 0
	for _, r := range rules() {
		if !r.Net {
			hand[r.Entry] = true
		}
	}
	for _, r := range rules() {
		if r.Net {
			netted++
			assert.False(t, hand[r.Entry], r.Entry)
		}
	}
	assert.Greater(t, netted, 2000)
}
