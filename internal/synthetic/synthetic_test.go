package synthetic_test

import (
	"bytes"
	"flag"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/synthetic"
)

// load prepares a handbook, which must have no problem.
func load(t testing.TB, size synthetic.Size) *site.Book {
	t.Helper()
	files := fstest.MapFS{}
	for name, data := range synthetic.Files(size) {
		files[name] = &fstest.MapFile{Data: data}
	}
	h, problems := handbook.Load(files)
	b := site.Prepare(h, problems)
	require.NoError(t, problems.Err())
	return b
}

func TestLoads(t *testing.T) {
	t.Parallel()
	b := load(t, synthetic.Size{Recipes: 300, Ingredients: 60, Seed: 1})
	assert.Len(t, b.Recipes, 300)
	assert.Len(t, b.Ingredients, 60)
	assert.NotEmpty(t, b.Notes)
	assert.LessOrEqual(t, len(b.HeldBack(site.OpenEdition)), len(b.Recipes)*2/100)

	made, levels := make(map[string]bool), make(map[check.Level]int)
	access, shelves := make(map[handbook.Access]int), make(map[string]int)
	for _, r := range b.Recipes {
		made[r.Product.Name] = true
		access[r.Access]++
		shelves[r.Shelf]++
		for _, w := range b.Worked(r) {
			for _, f := range w.Findings {
				levels[f.Level]++
			}
		}
	}
	assert.ElementsMatch(t, law.ProductNames(), slices.Collect(maps.Keys(made)), "there is a recipe for each product type and no other")
	assert.Positive(t, levels[check.Caution])
	assert.Positive(t, levels[check.Note])
	assert.InDelta(t, 30, access[handbook.Members], 15, "about a tenth is for members")
	assert.InDelta(t, 9, access[handbook.Maker], 8, "and a few are the maker's")
	assert.Len(t, shelves, len(b.Shelves), "no shelf is empty")
}

// Other seeds are no worse.
func TestOtherSeeds(t *testing.T) {
	t.Parallel()
	for _, size := range []synthetic.Size{{Seed: 7}, {Recipes: 1, Seed: 2}, {Recipes: 60, Ingredients: 100, Notes: 40, Seed: 1<<64 - 1}} {
		b := load(t, size)
		assert.Len(t, b.Recipes, size.Recipes)
		assert.GreaterOrEqual(t, len(b.Ingredients), size.Ingredients)
		assert.GreaterOrEqual(t, len(b.Notes), size.Notes)
	}
}

// No two ingredients have one name, not even where there are more of them than there are names.
func TestNamesDiffer(t *testing.T) {
	t.Parallel()
	named := make(map[string]bool)
	for name := range synthetic.Files(synthetic.Size{Ingredients: 4000}) {
		assert.False(t, named[name], name)
		named[name] = true
	}
	assert.Greater(t, len(named), 4000)
}

// Every field that pages of each kind can have is in some page.
func TestEveryField(t *testing.T) {
	t.Parallel()
	tests := []struct{ folder, fields string }{
		{"recipes/", `title product shelf keeps ph makes time rest tools formula soap batches fill variants splits label accept summary access picture updated
			phase heat below note weigh amount container takes loss density costs name change add share finding because about version file shows
			alkali purity superfat water solution`},
		{"ingredients/", `name also role inci dissolves density melts heat-limit use ph keeps fragrance phototoxic protects hlb required-hlb saponification iodine contains origin
			cautions supplier price lots summary access picture updated value source for from to limits vanillin allergens lot opened expires`},
		{"notes/", "title summary access picture updated"},
	}
	fronts := map[string]*strings.Builder{"recipes/": {}, "ingredients/": {}, "notes/": {}}
	for name, data := range synthetic.Files(synthetic.Size{Recipes: 300, Ingredients: 120, Notes: 40, Seed: 1}) {
		if front, _, found := bytes.Cut(bytes.TrimPrefix(data, []byte("---\n")), []byte("\n---\n")); found {
			folder, _, _ := strings.Cut(name, "/")
			fronts[folder+"/"].Write(append(front, '\n'))
		}
	}
	for _, test := range tests {
		for _, field := range strings.Fields(test.fields) {
			assert.Regexp(t, regexp.MustCompile(`(?m)(^|[ {])`+regexp.QuoteMeta(field)+`: `+`|(?m)^ *(- )?`+regexp.QuoteMeta(field)+`:$`), fronts[test.folder].String(), test.folder)
		}
	}
}

// The amounts are written in every way that there is.
func TestEveryWayToWrite(t *testing.T) {
	t.Parallel()
	var all strings.Builder
	for name, data := range synthetic.Files(synthetic.Size{Recipes: 300, Seed: 1}) {
		if strings.HasPrefix(name, "recipes/") {
			all.Write(data)
		}
	}
	for _, part := range []string{
		": q.s.\n", ": qs\n", ": to 100 %\n", " of Oil\n", ": 1 per 4 of Oil", "1 per 200", "1 oz per ", " parts\n", " lb ", " oz\n", "1/2 %", "½ %", `,5 %"`, "2 tbsp",
		": out\n", ": becomes ", "from ", " × ", "phase: ", ":amount[", ":temp[", ":time[", "::: caution\n", "::: tip\n", "|---|", "```python\n", "](../../ingredients/", "](../../notes/",
		"potassium hydroxide", "label: as made", "version: ", "finding: will-discolour",
	} {
		assert.Contains(t, all.String(), part)
	}
}

func TestLargerHoldsSmaller(t *testing.T) {
	t.Parallel()
	small, large := pages(synthetic.Size{Recipes: 120, Seed: 5}), pages(synthetic.Size{Recipes: 1200, Ingredients: 300, Notes: 50, Seed: 5})
	require.Greater(t, len(large), len(small)+1000)
	for name, data := range small {
		assert.Equal(t, data, large[name], name)
	}
}

func TestSeedDecides(t *testing.T) {
	t.Parallel()
	size := synthetic.Size{Recipes: 60, Seed: 3}
	once := pages(size)
	assert.Equal(t, once, pages(size))
	size.Seed++
	assert.NotEqual(t, once, pages(size))
}

// A reader may stop before the end.
func TestFilesStop(t *testing.T) {
	t.Parallel()
	n := 0
	for range synthetic.Files(synthetic.Size{Recipes: 60}) {
		if n++; n == 40 {
			break
		}
	}
	assert.Equal(t, 40, n)
}

func TestFolderSize(t *testing.T) {
	t.Parallel()
	in := make(map[string]int)
	for name := range synthetic.Files(synthetic.Size{Recipes: 1001}) {
		if strings.HasPrefix(name, "recipes/") {
			in[path.Dir(name)]++
		}
	}
	assert.Equal(t, map[string]int{"recipes/part-01": 500, "recipes/part-02": 500, "recipes/part-03": 1}, in)
}

func TestWrite(t *testing.T) {
	t.Parallel()
	dir, size := filepath.Join(t.TempDir(), "new", "book"), synthetic.Size{Recipes: 3, Seed: 1}
	require.NoError(t, synthetic.Write(dir, size))
	for name, want := range pages(size) {
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		require.NoError(t, err)
		assert.Equal(t, want, string(data))
	}
	require.Error(t, synthetic.Write(dir, synthetic.Size{Recipes: -1}))
	require.Error(t, synthetic.Write(filepath.Join(dir, "handbook.yaml"), size), "where a file is no folder can be")
}

// pages gives the files of a handbook by their names.
func pages(size synthetic.Size) map[string]string {
	all := make(map[string]string)
	for name, data := range synthetic.Files(size) {
		all[name] = string(data)
	}
	return all
}

var (
	writeTo      = flag.String("write", "", "write a handbook into this folder, for profiling by hand")
	writeRecipes = flag.Int("recipes", 1000, "how many recipes -write writes")
	writeSeed    = flag.Uint64("seed", 1, "the seed of the handbook that -write writes")
)

// TestWriteFolder is a tool for work by hand: go test ./internal/synthetic -run TestWriteFolder -write DIR -recipes 10000.
func TestWriteFolder(t *testing.T) {
	if *writeTo == "" {
		t.Skip("NOTHING WRITTEN: name a folder with -write, and with -recipes how many recipes it shall have")
	}
	require.NoError(t, synthetic.Write(*writeTo, synthetic.Size{Recipes: *writeRecipes, Seed: *writeSeed}))
	t.Logf("wrote %d recipes to %s", *writeRecipes, *writeTo)
}

func BenchmarkFiles(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		for range synthetic.Files(synthetic.Size{Recipes: 1000, Seed: 1}) { //nolint:revive // reading them is what is measured
		}
	}
}
