package site

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// A spreadsheet runs a cell that begins with one of these signs as a formula, so such words get an apostrophe before them
// (common practice, no source).
func TestGuard(t *testing.T) {
	tests := map[string]string{
		"":                       "",
		"Beeswax":                "Beeswax",
		"3 %":                    "3 %",
		"½ oz":                   "½ oz",
		"a=b":                    "a=b",
		"=1+1":                   "'=1+1",
		"+49 kg":                 "'+49 kg",
		"-2":                     "'-2",
		"@SUM(A1)":               "'@SUM(A1)",
		"\t=1":                   "'\t=1",
		"\r=1":                   "'\r=1",
		"  =1":                   "'  =1",
		" plain":                 " plain",
		"'=1":                    "'=1",
		"=HYPERLINK(\"x\",\"\")": "'=HYPERLINK(\"x\",\"\")",
	}
	for in, want := range tests {
		assert.Equal(t, want, guard(in), "%q", in)
	}
}

// rowsOf reads a weights.csv; every row has as many cells as the head.
func rowsOf(t *testing.T, text string) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	require.NotEmpty(t, rows)
	return rows
}

// No name that a recipe gives can become a formula in a spreadsheet.
func TestWeightsAreGuarded(t *testing.T) {
	dir := t.TempDir()
	buildInto(t, filesIn(t, "spreadsheet.txtar"), OpenEdition, dir)
	rows := rowsOf(t, filesOf(t, dir)["recipes/balm/weights.csv"])
	assert.Equal(t, [][]string{
		{"version", "phase", "phase name", "ingredient", "written", "percent", "100 g (g)", "100 g (oz)", "2 × =tin (g)", "2 × =tin (oz)"},
		{"base", "A", "'@melt", "'=cmd|' /C calc'!A0", "q.s.", "79", "79.0", "2.79", "79.0", "2.79"},
		{"base", "A", "'@melt", "'+wax, \"hard\"", "20 %", "20", "20.0", "0.705", "20.0", "0.705"},
		{"base", "A", "'@melt", "'-scent", "1 %", "1", "1.0", "0.035", "1.0", "0.035"},
		{"base", "", "", "total", "", "100", "100.0", "3.53", "100.0", "3.53"},
		{"'=more", "A", "'@melt", "'=cmd|' /C calc'!A0", "q.s.", "74", "74.0", "2.61", "74.0", "2.61"},
		{"'=more", "A", "'@melt", "'+wax, \"hard\"", "25 %", "25", "25.0", "0.882", "25.0", "0.882"},
		{"'=more", "A", "'@melt", "'-scent", "1 %", "1", "1.0", "0.035", "1.0", "0.035"},
		{"'=more", "", "", "total", "", "100", "100.0", "3.527", "100.0", "3.527"},
	}, rows)
}

// In every table of the demonstration the columns of each version add up to its total row.
func TestWeightsAddUp(t *testing.T) {
	b := bookIn(t, os.DirFS(demoFolder))
	totals := 0
	for _, r := range b.Recipes {
		text := weightsCSV(b.Worked(r))
		rows := rowsOf(t, string(text))
		from := 1
		for i, row := range rows {
			if row[3] != "total" {
				continue
			}
			for c := 5; c < len(row); c++ {
				var cells []string
				for _, part := range rows[from:i] {
					if part[c] != "" {
						cells = append(cells, part[c])
					}
				}
				if row[c] == "" {
					assert.Empty(t, cells, "%s has no batch %s", r.Slug, rows[0][c])
					continue
				}
				assert.Equal(t, sumOf(t, []string{row[c]}), sumOf(t, cells), "%s, %s, %s", r.Slug, row[0], rows[0][c])
				totals++
			}
			from = i + 1
		}
		assert.Len(t, rows, from, "a total ends every version of %s", r.Slug)
	}
	assert.Greater(t, totals, 100)
}

// Whatever stands in the cells, they are written as encoding/csv writes them.
func FuzzCSVInk(f *testing.F) {
	for _, cell := range append(hostileWords, "", "plain", "a,b", `"`, `\.`, `\`, " a", "\u00a0a", "a b", "a\r\nb", "\n", "½ oz", "\xff", "\u2028") {
		f.Add(cell, "after")
	}
	f.Fuzz(func(t *testing.T, one, other string) {
		var want strings.Builder
		w := csv.NewWriter(&want)
		require.NoError(t, w.WriteAll([][]string{{one, "", other}, {other, one, "1"}}))
		var c csvInk
		c.cells(one, "", other)
		c.endRow()
		c.cells(other, one, "1")
		c.endRow()
		assert.Equal(t, want.String(), string(c.b))
	})
}

func BenchmarkWeightsCSV(b *testing.B) {
	eachRecipe(b, func(s *Build, r *handbook.Recipe) { weightsCSV(s.Worked(r)) })
}
