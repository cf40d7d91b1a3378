package handbook_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// told writes a recipe's changes as lines.
func told(r *handbook.Recipe) []string {
	var all []string
	for _, c := range r.Changes {
		all = append(all, strings.TrimSpace(c.On.Format("2 Jan")+" "+c.Note))
		for _, l := range c.Lines {
			all = append(all, l.Name+" ["+l.Material+"]: "+l.Before+" → "+l.After)
		}
	}
	return all
}

// After is what the next later change says that it was, or else what the formula has; names of one material are one ingredient.
func TestChanges(t *testing.T) {
	t.Parallel()
	assert.Equal(t, []string{
		"3 May the hands felt dry",
		"Glycerin [glycerin]: 2.5 % → 3 %",
		"Water in Cool-down [water]: 1 tbsp → 2 tbsp",
		"Sodium lactate [sodium-lactate-60]: 1 1/2 % → ",
		"2 Apr",
		"Glycerine [glycerin]: 2 % → 2.5 %",
		"Distilled water in Water [water]: 70 % → q.s.",
		"Beeswax []: 1 per 5 of Oil → ",
		"Wax []:  → 1 per 4 of Oil",
		"31 Jan",
		"sunflower oil [sunflower]: 10 % → 12 %",
		"Sodium lactate [sodium-lactate-60]: 2 % → 1 1/2 %",
		"Preservative [preservative]: 0.8 % → 1 %",
	}, told(loadGood(t).Recipes[0]))
}

// Where soap: works the lye out, that is what its alkali is now.
func TestChangesOfLye(t *testing.T) {
	t.Parallel()
	_, bar := soapBook(t, "formula: [{phase: Fats, weigh: {Olive oil: q.s., Castor oil: 10 %}}]\n"+
		"soap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}\n"+
		"changes: [{on: 2026-05-03, before: {Sodium hydroxide: 8 %, Castor oil: out}}]\n")
	assert.Equal(t, []string{"3 May", "Sodium hydroxide [sodium-hydroxide]: 8 % → worked out from the fats", "Castor oil [castor-oil]:  → 10 %"}, told(bar))
}

// formerly is a recipe that once had two ingredients more.
const formerly = `---
title: Formerly
product: hand cream
shelf: Creams
formula:
  - phase: A
    weigh: {Sunflower oil: q.s., Hedge oil: 3 %}
changes:
  - {on: 2026-05-03, before: {Moon dust: 2 %, Flax dust: 1 %}}
  - {on: 2026-04-02, before: {Silver dust: out}}
---
`

// What a name in a change means may hang on an ingredient's page, and on nothing else of the recipe. The page is then read again,
// though neither its own text nor anything in its formula changed.
func TestChangesAreReadAnew(t *testing.T) {
	t.Parallel()
	ingredient := func(name, also string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("---\nname: " + name + "\nalso: [" + also + "]\n---\n")}
	}
	files := with("recipes/formerly.md", formerly)
	reader := handbook.NewReader(files)
	read := func(changed string, page *fstest.MapFile) (*handbook.Handbook, string) {
		t.Helper()
		if files[changed] = page; page == nil {
			delete(files, changed)
		}
		h, problems := reader.Read(handbook.Files(changed))
		whole, wholeProblems := handbook.Load(files)
		require.Equal(t, wholeProblems.Error(), problems.Error(), "read anew, and read at once")
		require.Equal(t, told(whole.Recipes[0]), told(h.Recipes[0]))
		return h, problems.Error()
	}
	_, problems := read("ingredients/flax.md", ingredient("Flax dust", "flaxen dust"))
	assert.Contains(t, problems, "“Moon dust” is neither in the formula nor a known ingredient")
	assert.NotContains(t, problems, "Flax dust")
	_, problems = read("ingredients/moon.md", ingredient("Moon dust", "dust of the moon"))
	assert.Contains(t, problems, "“Silver dust” is neither")
	h, problems := read("ingredients/moon.md", ingredient("Moon dust", "silver dust"))
	assert.Empty(t, problems)
	first := h.Recipes[0]
	assert.Equal(t, []string{"3 May", "Moon dust [moon]: 2 % → ", "Flax dust [flax]: 1 % → ", "2 Apr", "Silver dust [moon]:  → 2 %"}, told(first))

	h, problems = read("notes/x.md", &fstest.MapFile{Data: []byte("---\ntitle: X\n---\n")})
	assert.Empty(t, problems)
	assert.Same(t, first, h.Recipes[0], "nothing that it asked is answered otherwise")

	_, problems = read("ingredients/flax.md", nil)
	assert.Contains(t, problems, "“Flax dust” is neither")
	_, problems = read("ingredients/flax.md", ingredient("Linen", "hedge oil, flax dust"))
	assert.Empty(t, problems)
}

// Long lists of changes are read in bounded time, and told of once.
func TestManyChanges(t *testing.T) {
	t.Parallel()
	facts := map[string]string{
		"many lines":   "changes: {on: 2026-05-03, before: {" + numbered("n%d: 1 %%, ", 900) + "}}\n",
		"many changes": "changes:\n" + numbered("- {on: 2026-05-03, before: {n%d: 1 %%}}\n", 900),
	}
	for name, text := range facts {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, problems := loadBounded(t, "recipes/page.md", []byte(strings.Replace(soundRecipe, "formula:", text+"formula:", 1)))
			assert.Contains(t, problems.Error(), "a page can tell of 200 changed amounts")
			assert.LessOrEqual(t, problems.Len(), 202)
		})
	}
}
