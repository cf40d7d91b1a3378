package handbook_test

import (
	"maps"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

const (
	recordFile  = "batches/2026/hb-7.md"
	recordRest  = "ingredients/lodge.md"
	recordOther = "recipes/plain.md"
)

// benchFull gives a handbook with a batch record that has every field.
func benchFull() map[string]string {
	files := shelfFull()
	files["handbook.yaml"] += "tolerance: 2 %\n"
	files["ingredients/hedge.md"] = "---\nname: Hedge oil\ndensity: 0.9 g/ml\nlots: [{lot: H-1, opened: 2026-01-05, holds: 1 lb}, {lot: H-2, expires: 2027-03-01}]\n---\nGreen.\n"
	files["recipes/hedge.md"] = `---
title: Hedge
product: body oil
shelf: Oils
ph: 5
formula:
  - phase: All
    weigh: {Hedge oil: 30 %, Castor oil: 70 %}
batches: [100 g]
fill: {container: 60 ml bottle, takes: 50 g}
variants:
  - {name: Thick, change: {Castor oil: 60 %, Hedge oil: 40 %}}
---
Stir.
`
	files[recordFile] = "\uFEFF" + strings.ReplaceAll(`---
batch: HB 7
recipe: hedge
version: thick
size: 2 × 60 ml bottle
made: 2026-05-03
by: WH
weighed:
  hedge oil: {target: 40 g, weighed: 1.5 oz, lot: {H-1: 1 oz, H-2: 1/2 oz}, note: Green.}
  Castor oil: {target: 60 g, weighed: 60.2 g, lot: [any, other]}
  Lodge oil: {weighed: 0 g}
yield: 98 g
filled: {60 ML bottle: 1, flask: 2}
ph: 5.2
checked: {by: AB, on: 2026-05-04, passed: no}
---
It smelled of [hedge](../../ingredients/hedge.md).
`, "\n", "\r\n")
	return files
}

func loadBench(t *testing.T) (*handbook.Handbook, *handbook.Record) {
	t.Helper()
	h, problems := handbook.Load(folderFS(benchFull()).files())
	require.Empty(t, problems.All())
	require.Len(t, h.Records, 1)
	return h, h.Records[0]
}

func TestRecord(t *testing.T) {
	t.Parallel()
	h, r := loadBench(t)
	assert.Equal(t, "2", h.Tolerance.String())
	assert.Same(t, &r.Page, h.PageOf(recordFile))
	assert.Equal(t, handbook.RecordPage, r.Kind)
	assert.Equal(t, handbook.Maker, r.Access)
	assert.Equal(t, []string{"HB 7", "HB 7", "hb-7", "WH"}, []string{r.Code, r.Title, r.Slug, r.By})
	assert.Same(t, h.Recipes[1], r.Recipe)
	assert.Same(t, r.Recipe.Versions[1], r.Version)
	assert.Equal(t, "100 g", r.Sized.Weight.String())
	assert.Equal(t, time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC), *r.Made)
	assert.Equal(t, "It smelled of [hedge](../../ingredients/hedge.md).\n", r.Body)
	assert.Equal(t, "98 g", r.Yield.String())
	assert.Equal(t, "5.2", r.PH.String())
	assert.Equal(t, &handbook.Release{By: "AB", On: time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)}, r.Checked)
	assert.True(t, r.Finished())
	require.Len(t, r.Filled, 2)
	assert.Equal(t, int64(1), r.Filled[0].Count)
	assert.Same(t, &r.Recipe.Fills[0], r.Filled[0].Fill)
	assert.Nil(t, r.Filled[1].Fill, "recipes change, so a container that is not known is no problem")
}

func TestRecordLines(t *testing.T) {
	t.Parallel()
	h, r := loadBench(t)
	require.Len(t, r.Lines, 3)
	l := r.Lines[0]
	assert.Equal(t, []any{"hedge oil", 0, "Green."}, []any{l.Name, l.Item, l.Note})
	assert.Same(t, h.Materials.Find("Hedge oil"), l.Material)
	assert.Equal(t, []string{"40 g", mass(t, "1 1/2 oz").String()}, []string{l.Target.String(), l.Weighed.String()})
	require.Len(t, l.Lots, 2)
	assert.Equal(t, mass(t, "1 oz"), *l.Lots[0].Took)
	assert.Equal(t, mass(t, "1 lb"), *l.Lots[0].Lot.Holds)
	assert.Same(t, &l.Material.Lots[1], l.Lots[1].Lot)
	assert.Nil(t, r.Lines[1].Lots[0].Lot, "an ingredient that lists no lots can have any")
	assert.Nil(t, r.Lines[1].Lots[1].Took)
	assert.Equal(t, -1, r.Lines[2].Item, "not in the recipe, and known to the handbook")
	assert.Equal(t, "0 g", r.Lines[2].Weighed.String())
}

// A record is read anew when its recipe or what its names mean is otherwise, and for nothing else.
func TestRecordReadAnew(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, file, old, now string
		anew                 bool
	}{
		{"its own text", recordFile, "by: WH", "by: EM", true},
		{"its recipe", "recipes/hedge.md", "title: Hedge", "title: Hedges", true},
		{"another recipe", recordOther, "title: Plain", "title: Plainer", false},
		{"another recipe's address", recordOther, "", "", false},
		{"a lot", "ingredients/hedge.md", "holds: 1 lb", "holds: 2 lb", true},
		{"a material that only the record takes", recordRest, "Gate oil", "Gates oil", true},
		{"a note", "notes/words.md", "Few.", "Many.", false},
		{"the tolerance", "handbook.yaml", "2 %", "3 %", true},
		{"the scales", "handbook.yaml", "0.1 g", "1 g", true},
		{"the title", "handbook.yaml", "Larkrow stillroom", "Larkrow", false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			f := folderFS(benchFull())
			fsys := f.files()
			reader := handbook.NewReader(fsys)
			before, problems := reader.Read(handbook.Everything)
			require.Empty(t, problems.All())
			if row.old == "" {
				delete(f, row.file)
			} else {
				f.swap(t, row.file, row.old, row.now)
			}
			maps.DeleteFunc(fsys, func(string, *fstest.MapFile) bool { return true })
			maps.Copy(fsys, f.files())
			after, problems := reader.Read(handbook.Files(row.file))
			require.Empty(t, problems.All())
			assert.Equal(t, row.anew, before.Records[0] != after.Records[0])
			assert.Equal(t, row.anew, !before.SamePages(after) && before.Records[0] != after.Records[0])
			assert.Contains(t, after.Recipes, after.Records[0].Recipe, "a record leads to the recipe as it is now")
			fresh, _ := handbook.Load(fsys)
			assert.Equal(t, fresh.Records, after.Records)
		})
	}
}

// A recipe that goes takes its records' meaning with it, and gives it back.
func TestRecordOfRecipeThatComesAndGoes(t *testing.T) {
	t.Parallel()
	f := folderFS(benchFull())
	fsys := f.files()
	reader := handbook.NewReader(fsys)
	reader.Read(handbook.Everything)
	recipe := fsys["recipes/hedge.md"]
	delete(fsys, "recipes/hedge.md")
	h, problems := reader.Read(handbook.Files("recipes/hedge.md"))
	assert.Empty(t, problems.All(), "a record of a batch that was made is kept")
	assert.Nil(t, h.Records[0].Recipe)
	assert.Equal(t, []string{"hedge", "thick"}, []string{h.Records[0].RecipeName, h.Records[0].VersionName})
	assert.Equal(t, []string{"40 g", "60 g"}, []string{h.Records[0].Lines[0].Target.String(), h.Records[0].Lines[1].Target.String()}, "and has its own targets")
	fsys["recipes/hedge.md"] = recipe
	h, problems = reader.Read(handbook.Files("recipes/hedge.md"))
	assert.Empty(t, problems.All())
	assert.Same(t, h.Recipes[1], h.Records[0].Recipe)
}
