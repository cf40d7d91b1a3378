package record_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/record"
)

// shop gives a handbook with a cream and a balm; more files are laid over it.
func shop(more map[string]string) fstest.MapFS {
	files := map[string]string{
		"handbook.yaml": "title: The Larkrow stillroom\nshelves: [Creams]\ncurrency: pounds\nlabour: 12 per hour\nscales: [{reads: 0.01 g, up-to: 200 g}, {reads: 1 g}]\n",
		"recipes/cream.md": `---
title: Cream
product: hand cream
shelf: Creams
keeps: 6 months
ph: 5.0–5.5
time: 30 min
formula:
  - phase: Water
    heat: 75 °C
    weigh: {Distilled water: q.s., Glycerin: 4 %}
  - phase: Oil
    heat: 75 °C
    weigh: {Sunflower oil: 15 %, Emulsifying wax NF: 5 %}
  - phase: Cool-down
    below: 40 °C
    weigh: {Phenoxyethanol & ethylhexylglycerin blend: 1 %}
fill: {container: jar, takes: 50 g, costs: 0.5}
---
`,
		"ingredients/sunflower-oil.md": "---\nname: Sunflower oil\nrole: oil\nprice: 5 per kg\nlots: [{lot: S-1, opened: 2026-01-02, expires: 2026-10-31, holds: 20 g}, {lot: S-2, opened: 2026-02-02, expires: 2027-03-31, holds: 100 g}]\n---\n",
		"ingredients/glycerin.md":      "---\nname: Glycerin\nrole: humectant\nprice: 6 per kg\nlots: [{lot: G-1, opened: 2026-01-02, holds: 100 g}]\n---\n",
	}
	for name, text := range more {
		files[name] = text
	}
	fsys := fstest.MapFS{}
	for name, text := range files {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return fsys
}

// cream is a made batch as it should be. Pairs of words take the place of others in it.
func cream(t testing.TB, swaps ...string) map[string]string {
	text := `---
batch: C-1
recipe: cream
size: 200 g
made: 2026-06-01
by: WH
weighed:
  Distilled water: {target: 150.00 g, weighed: 150.02 g, lot: W-1}
  Glycerin: {target: 8.00 g, weighed: 8.01 g, lot: G-1}
  Sunflower oil: {target: 30.00 g, weighed: 30.1 g, lot: {S-1: 20 g, S-2: 10.1 g}}
  Emulsifying wax NF: {target: 10.00 g, weighed: 9.99 g, lot: EW-1}
  Phenoxyethanol & ethylhexylglycerin blend: {target: 2.00 g, weighed: 2.00 g, lot: PE-1}
yield: 190 g
filled: {jar: 3}
ph: 5.2
checked: {by: AB, on: 2026-06-02, passed: yes}
---
`
	for i := 0; i < len(swaps); i += 2 {
		require.Equal(t, 1, strings.Count(text, swaps[i]), "%q in the record", swaps[i])
		text = strings.Replace(text, swaps[i], swaps[i+1], 1)
	}
	return map[string]string{"batches/c-1.md": text}
}

func load(t testing.TB, files fstest.MapFS) *handbook.Handbook {
	t.Helper()
	h, problems := handbook.Load(files)
	require.Empty(t, problems.All())
	return h
}

func batch(t testing.TB, swaps ...string) *record.Batch {
	t.Helper()
	h := load(t, shop(cream(t, swaps...)))
	require.Len(t, h.Records, 1)
	return record.Of(h, h.Records[0])
}

func TestBatchAsItShouldBe(t *testing.T) {
	t.Parallel()
	b := batch(t)
	assert.Equal(t, record.Made, b.State)
	assert.True(t, b.Whole)
	assert.Empty(t, b.Remarks)
	assert.Equal(t, "200 g", b.Target.String())
	assert.Equal(t, "200.12 g", b.Weighed.String())
	assert.Equal(t, "94.94", b.YieldPercent.Fixed(2), "190 of 200.12 g")
	require.NotNil(t, b.Cost)
	assert.Equal(t, "0.19856", b.Cost.Materials.Text(6), "30.1 g at 5 a kilogram and 8.01 g at 6")
	assert.Equal(t, "1.5", b.Cost.Containers.Text(6))
	assert.Equal(t, "6", b.Cost.Labour.Text(6), "30 min at 12 an hour")
	each, ok := b.Cost.PerContainer()
	assert.True(t, ok)
	assert.Equal(t, "2.566187", each.Text(6))
	assert.Equal(t, []string{"Distilled water", "Emulsifying wax NF", "Phenoxyethanol & ethylhexylglycerin blend"}, b.Cost.Unknown)
	assert.Equal(t, "2026-10-31", b.Expires.Format(time.DateOnly))
	assert.Equal(t, "Sunflower oil, lot S-1", b.ExpiresBy, "earlier than the six months that the recipe keeps")
	var differences []string
	for _, l := range b.Lines {
		differences = append(differences, l.DifferenceText())
		assert.True(t, l.Within, l.Name)
	}
	assert.Equal(t, []string{"+0.02", "+0.01", "+0.10", "−0.01", "0.00"}, differences)
}

// The tolerance is a part of the target, and never less than what the scale can tell.
func TestAllowed(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		tolerance, target, weighed, allowed string
		within                              bool
	}{
		{"1 %", "30 g", "30.3 g", "0.3", true},
		{"1 %", "30 g", "30.31 g", "0.3", false},
		{"1 %", "30 g", "29.7 g", "0.3", true},
		{"1 %", "30 g", "29.69 g", "0.3", false},
		{"1 %", "0.5 g", "0.51 g", "0.01", true},
		{"1 %", "0.5 g", "0.52 g", "0.01", false},
		{"1 %", "50 g", "51 g", "0.5", false},
		{"1 %", "200.5 g", "202.5 g", "2.005", true},
		{"0.1 %", "500 g", "501 g", "1", true}, // 0.5 g, where the scale reads 1 g
		{"0.1 %", "500 g", "502 g", "1", false},
		{"0 %", "30 g", "30.01 g", "0.01", true},
		{"2.5 %", "40 g", "41 g", "1", true},
	} {
		h := load(t, shop(map[string]string{"handbook.yaml": "title: T\nshelves: [Creams]\ntolerance: " + row.tolerance + "\nscales: [{reads: 0.01 g, up-to: 200 g}, {reads: 1 g}]\n"}))
		h2 := load(t, shop(map[string]string{
			"handbook.yaml":  "title: T\nshelves: [Creams]\ntolerance: " + row.tolerance + "\nscales: [{reads: 0.01 g, up-to: 200 g}, {reads: 1 g}]\n",
			"batches/x-1.md": "---\nbatch: X-1\nrecipe: cream\nsize: 200 g\nmade: 2026-06-01\nweighed:\n  Sunflower oil: {target: " + row.target + ", weighed: " + row.weighed + ", lot: S-2}\n---\n",
		}))
		target, err := quantity.ParseMass(row.target)
		require.NoError(t, err)
		assert.Equal(t, row.allowed, record.Allowed(h, target).Grams().Text(6), "%+v", row)
		b := record.Of(h2, h2.Records[0])
		i := slices.IndexFunc(b.Lines, func(l record.Line) bool { return l.Name == "Sunflower oil" })
		assert.Equal(t, row.within, b.Lines[i].Within, "%+v", row)
	}
}

func TestRemarks(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name  string
		swaps []string
		want  []string // level and a part of the message
	}{
		{"off its target", []string{"weighed: 8.01 g", "weighed: 8.2 g"}, []string{"caution Glycerin is off its target of 8.00 g by +0.20 g, and ±0.08 g is allowed."}},
		{"another target", []string{"target: 8.00 g", "target: 7.98 g"}, []string{"note The target of Glycerin is 7.98 g here and 8.00 g in the recipe now: it differs from the recipe as it is now."}},
		{"a line that the recipe does not have", []string{"  Glycerin: {target: 8.00 g, weighed: 8.01 g, lot: G-1}", "  Castor oil: {weighed: 8 g, lot: C-1}"}, []string{
			"caution The recipe has Glycerin now and this record does not", "caution Castor oil is not in the recipe now",
		}},
		{"ten times the target", []string{"target: 8.00 g", "target: 80.0 g"}, []string{
			"caution The target of Glycerin is 80.00 g here and 8.00 g in the recipe now: one is at least five times the other.", "caution Glycerin is off its target of 80.00 g",
		}},
		{"by nobody", []string{"by: WH\n", ""}, []string{"caution The record does not tell who made the batch."}},
		{"no lot in a batch that was released", []string{", lot: W-1", ""}, []string{"caution No lot is named for Distilled water"}},
		{"none in one that was not, of what has none elsewhere", []string{", lot: W-1", "", "checked: {by: AB, on: 2026-06-02, passed: yes}\n", ""}, []string{"note The batch is not released yet."}},
		{"shares that are not told", []string{"{S-1: 20 g, S-2: 10.1 g}", "[S-1, S-2]"}, []string{"caution How much of Sunflower oil came from which of the lots S-1, S-2 is not told"}},
		{"a lot of another's page", []string{"lot: EW-1", "lot: s-2"}, []string{"caution Emulsifying wax NF has no page with lots, and the lot s-2 is on the page of Sunflower oil: nothing is taken off it."}},
		{"in ounces", []string{"weighed: 30.1 g, lot: {S-1: 20 g, S-2: 10.1 g}", "weighed: 1.0753 oz, lot: S-1"}, []string{"caution Sunflower oil is off its target of 30.00 g by +0.484 g"}},
		{"no lot", []string{", lot: G-1", ""}, []string{"caution No lot is named for Glycerin"}},
		{"a lot past its date, with a reason", []string{"made: 2026-06-01", "made: 2026-11-01", "on: 2026-06-02", "on: 2026-11-02", "S-2: 10.1 g}", "S-2: 10.1 g}, note: Tested."}, []string{
			"caution The lot S-1 of Sunflower oil was past its date on the day, 2026-10-31.", "caution The batch was past its date on the day on which it was made: good until 2026-10-31",
		}},
		{"more came out than went in", []string{"yield: 190 g", "yield: 200.13 g"}, []string{"caution More came out (200.13 g) than went in (200.12 g)."}},
		{"too many jars", []string{"jar: 3", "jar: 4"}, []string{"caution The containers hold 200 g, more than the yield of 190 g."}},
		{"an unknown container", []string{"jar: 3", "flagon: 3"}, []string{"note The recipe does not say what a flagon takes."}},
		{"sour", []string{"ph: 5.2", "ph: 4.9"}, []string{"caution The pH of 4.9 is outside the recipe's 5–5.5."}},
		{"not released", []string{"checked: {by: AB, on: 2026-06-02, passed: yes}\n", ""}, []string{"note The batch is not released yet."}},
		{"refused", []string{"passed: yes", "passed: no"}, []string{"stop AB refused the batch on 2026-06-02."}},
		{"by the same person", []string{"by: AB", "by: WH"}, []string{"note WH both made the batch and released it."}},
		{"on the bench", []string{"weighed: 8.01 g, ", "", "yield: 190 g\nfilled: {jar: 3}\n", "", "checked: {by: AB, on: 2026-06-02, passed: yes}\n", ""}, []string{"note Glycerin is not weighed yet."}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var got []string
			for _, r := range batch(t, row.swaps...).Remarks {
				got = append(got, string(r.Level)+" "+r.Message)
				assert.NotNil(t, r.At.Source, "a remark has its place")
			}
			require.Len(t, got, len(row.want), "%q", got)
			for i, want := range row.want {
				assert.Contains(t, got[i], want)
			}
		})
	}
}

// The checks see what is in the pot: a preservative that was weighed too low is found, though the recipe has enough of it.
func TestCheckedAsWeighed(t *testing.T) {
	t.Parallel()
	fresh := func(b *record.Batch) (codes []string) {
		require.True(t, b.Tested)
		require.Len(t, b.New, len(b.Findings))
		for i, f := range b.Findings {
			if b.New[i] {
				codes = append(codes, string(f.Level)+" "+f.Code)
			}
		}
		return codes
	}
	assert.Empty(t, fresh(batch(t)))
	low := "weighed: 0.4 g, note: The bottle was empty."
	assert.Contains(t, fresh(batch(t, "weighed: 2.00 g", low)), "stop below-usual-minimum")
	assert.Contains(t, fresh(batch(t, "weighed: 9.99 g", "weighed: 1 g, note: Spilt.")), "caution too-little-emulsifier")
	assert.Contains(t, fresh(batch(t, "  Phenoxyethanol & ethylhexylglycerin blend: {target: 2.00 g, weighed: 2.00 g, lot: PE-1}\n", "")), "stop no-preservative", "left out altogether")
	unfinished := batch(t, "weighed: 8.01 g, ", "", "yield: 190 g\nfilled: {jar: 3}\n", "", "checked: {by: AB, on: 2026-06-02, passed: yes}\n", "")
	assert.False(t, unfinished.Tested, "half a batch is no formula")
	assert.Equal(t, record.Begun, unfinished.State)
}

// A day that a month does not have is its last. From the calendar.
func TestAfter(t *testing.T) {
	t.Parallel()
	for _, row := range [][3]string{
		{"2026-06-09", "6 months", "2026-12-09"},
		{"2026-08-31", "6 months", "2027-02-28"},
		{"2027-08-31", "6 months", "2028-02-29"},
		{"2026-12-31", "1 month", "2027-01-31"},
		{"2028-02-29", "1 year", "2029-02-28"},
		{"2028-02-29", "4 years", "2032-02-29"},
		{"2026-01-31", "90 days", "2026-05-01"},
		{"2026-01-31", "2 weeks", "2026-02-14"},
		{"2026-01-31", "36 hours", "2026-02-01"},
		{"2026-01-01", "1 1/2 years", "2027-07-01"},
		{"2026-01-01", "1/2 month", "2026-01-16"}, // 15.2 days
	} {
		day, err := time.Parse(time.DateOnly, row[0])
		require.NoError(t, err)
		d, err := quantity.ParseDuration(row[1])
		require.NoError(t, err)
		assert.Equal(t, row[2], record.After(day, d).Format(time.DateOnly), "%v", row)
	}
	long, err := quantity.ParseDuration("999999999999 years")
	require.NoError(t, err)
	assert.Less(t, record.After(time.Date(2026, 1, 31, 0, 0, 0, 0, time.UTC), long).Year(), 9999, "a slip of the finger stays a date")
}

// A recipe that cannot be worked out, or is gone, leaves a record that says what it can.
func TestBatchWithoutRecipe(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"recipe: gone", "recipe: faulty"} {
		files := shop(cream(t, "recipe: cream", text))
		if text == "recipe: faulty" {
			files["recipes/faulty.md"] = &fstest.MapFile{Data: []byte("---\ntitle: Faulty\nproduct: balm\nshelf: Creams\nformula: []\n---\n")}
		}
		h, problems := handbook.Load(files)
		b := record.Of(h, h.Records[0])
		if text == "recipe: gone" {
			assert.Empty(t, problems.All(), "records are kept, whatever becomes of their recipes")
			require.Len(t, b.Remarks, 1)
			assert.Equal(t, "There is no recipe “gone” now: the record stands by its own targets, and the batch is not checked.", b.Remarks[0].Message)
			assert.True(t, b.Remarks[0].Open)
			assert.Equal(t, "200 g", b.Target.String())
		} else {
			assert.Equal(t, 1, problems.Len(), "%v", problems.All())
		}
		assert.Len(t, b.Lines, 5)
		assert.Equal(t, "200.12 g", b.Weighed.String())
		assert.Nil(t, b.Cost)
		assert.False(t, b.Tested)
		assert.Equal(t, "2026-10-31", b.Expires.Format(time.DateOnly))
		k := record.NewLedger(h)
		assert.Equal(t, "10.1 g", k.Lots("S-2")[0].Used().String())
	}
}

// A page with any line taken out, or cut off anywhere, has problems perhaps, and is worked out all the same.
func TestBatchOfFaultyPage(t *testing.T) {
	t.Parallel()
	text := cream(t)["batches/c-1.md"]
	lines := strings.SplitAfter(text, "\n")
	var pages []string
	for i := range lines {
		pages = append(pages, strings.Join(slices.Delete(slices.Clone(lines), i, i+1), ""), strings.Join(lines[:i], ""))
	}
	for _, page := range pages {
		h, _ := handbook.Load(shop(map[string]string{"batches/c-1.md": page}))
		require.Len(t, h.Records, 1)
		b := record.Of(h, h.Records[0])
		assert.Equal(t, b.Tested, b.Cost != nil && b.Whole && b.Made != nil, "%s", page)
		assert.NotNil(t, record.NewLedger(h))
	}
}

// The package comment and the pages say the same of what a record answers.
func TestClauses(t *testing.T) {
	t.Parallel()
	raw, err := os.ReadFile("record.go")
	require.NoError(t, err)
	_, table, _ := strings.Cut(string(raw), "//	batch record ")
	table, _, _ = strings.Cut(table, "\n//\n")
	rows := strings.Split(table, "\n//\t")[1:]
	require.Len(t, rows, len(record.Clauses()))
	for i, c := range record.Clauses() {
		assert.Equal(t, fmt.Sprintf("%-33s%-26s%s", c.Field, c.ISO, c.FDA), rows[i])
	}
	assert.Contains(t, record.ClauseSources, "from memory", "what was not looked up says so")
}

// A made batch of the demonstration handbook is within what is allowed but for one line, which says why.
func TestDemonstration(t *testing.T) {
	t.Parallel()
	h, problems := handbook.Load(os.DirFS("../../content"))
	require.Empty(t, problems.All())
	states := map[record.State]int{}
	for _, r := range h.Records {
		b := record.Of(h, r)
		states[b.State]++
		for _, m := range b.Remarks {
			assert.NotEqual(t, check.Stop, m.Level, "%s: %s", r.Code, m.Message)
			assert.NotContains(t, m.Message, "changed since", r.Code)
		}
	}
	assert.Equal(t, map[record.State]int{record.Made: 2, record.Planned: 1}, states)
}
