package handbook_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// A batch record can name its recipe by its title too, as commands do, and follows it.
func TestRecordNamesRecipeByTitle(t *testing.T) {
	t.Parallel()
	f := folderFS(benchFull())
	f.swap(t, recordFile, "recipe: hedge", "recipe: HEDGE")
	f.swap(t, "recipes/hedge.md", "title: Hedge", "title: Hedge  oil")
	f.swap(t, recordFile, "recipe: HEDGE", "recipe: hedge Oil")
	fsys := f.files()
	reader := handbook.NewReader(fsys)
	h, problems := reader.Read(handbook.Everything)
	require.Empty(t, problems.All())
	assert.Same(t, h.Recipes[1], h.Records[0].Recipe)
	require.Equal(t, "hedge", h.Records[0].Recipe.Slug)

	f.swap(t, recordOther, "title: Plain", "title: Hedge oil")
	*fsys[recordOther] = *f.files()[recordOther]
	_, problems = reader.Read(handbook.Files(recordOther))
	require.Len(t, problems.All(), 1)
	assert.Equal(t, "several recipes have the title “hedge Oil”", problems.All()[0].Message)
	assert.Equal(t, "name it by its address: hedge or plain", problems.All()[0].Hint)
}

// A hint offers what will do where it stands.
func TestHintsFit(t *testing.T) {
	t.Parallel()
	page := func(line string) string {
		return "---\nbatch: C-2\nrecipe: cream\nsize: 100 g\nmade: 2026-11-01\nweighed:\n  " + line + "\n---\n"
	}
	const recipe = "---\ntitle: Cream\nproduct: hand cream\nshelf: Creams\nformula:\n  - phase: Oil\n    weigh: {Sunflower oil: q.s.}\n---\n"
	for _, row := range []struct{ name, file, text, hint string }{
		{"a weight without a unit", "batches/c-2.md", page("Sunflower oil: {weighed: 30.20}"), "say what it is, as in 30.20 g: g, kg, oz, lb"},
		{"no weight", "batches/c-2.md", page("Sunflower oil: {weighed: well}"), "write it as 250 g or 2 lb 4 oz"},
		{"a decimal comma in brackets", "batches/c-2.md", page("Sunflower oil: {weighed: 1,29 g}"), `put quotes around it: "1,29 g"`},
		{"a group for a list", "ingredients/oats.md", "---\nname: Oats\ncontains: {gluten: yes}\n---\n", "write them in square brackets, contains: [tree nuts, milk], or contains: none"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			_, problems := handbook.Load(with("recipes/cream.md", recipe, row.file, row.text))
			require.Len(t, problems.All(), 1)
			assert.Equal(t, row.hint, problems.All()[0].Hint)
		})
	}
}
