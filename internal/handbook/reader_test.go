package handbook_test

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// shelfFull gives a handbook in which it is known of every page what it asks of the others.
func shelfFull() map[string]string {
	recipe := func(title, weigh, rest string) string {
		return "---\ntitle: " + title + "\nproduct: body oil\nshelf: Oils\n" + rest + "formula:\n  - phase: All\n    weigh: {" + weigh + "}\n---\nStir.\n"
	}
	return map[string]string{
		"handbook.yaml":          "title: The Larkrow stillroom\nshelves: [Oils, Balms]\nbatches: [100 g]\nscales: [{reads: 0.1 g}]\n",
		"recipes/plain.md":       recipe("Plain", "Castor oil: 100 %", ""),
		"recipes/hedge.md":       recipe("Hedge", "Hedge oil: 30 ml, Castor oil: 100 g", ""),
		"recipes/deep/lodge.md":  recipe("Lodge", "Lodge oil: 50 %, Castor oil: 50 %", "picture: sprig.svg\n"),
		"recipes/unheard.md":     recipe("Unheard", "Moon dust: 1 %, Castor oil: 99 %", ""),
		"recipes/wax.md":         recipe("Wax", "Simmondsia Chinensis Seed Oil: 100 %", ""),
		"ingredients/hedge.md":   "---\nname: Hedge oil\ndensity: 0.9 g/ml\npicture: sprig.svg\n---\nGreen.\n",
		"ingredients/lodge.md":   "---\nname: Lodge oil\nalso: [Gate oil]\n---\nGold.\n",
		"notes/weighing.md":      "---\ntitle: Weighing\npicture: {file: tin.svg, shows: A tin}\n---\nSlowly.\n",
		"notes/words.md":         "---\ntitle: Words\n---\nFew.\n",
		"pictures/sprig.svg":     `<svg viewBox="0 0 40 20"/>`,
		"pictures/tin.svg":       `<svg viewBox="0 0 30 30"/>`,
		"pictures/not-shown.svg": `<svg viewBox="0 0 10 10"/>`,
	}
}

// pagesOf gives every page by its file.
func pagesOf(h *handbook.Handbook) map[string]*handbook.Page {
	all := make(map[string]*handbook.Page)
	for _, r := range h.Recipes {
		all[r.File] = &r.Page
	}
	for _, i := range h.Ingredients {
		all[i.File] = &i.Page
	}
	for _, n := range h.Notes {
		all[n.File] = &n.Page
	}
	return all
}

// A folderFS is a folder of texts that may be changed.
type folderFS map[string]string

func (f folderFS) files() fstest.MapFS {
	m := make(fstest.MapFS)
	for name, text := range f {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}

// swap puts words in the place of others, which must be there.
func (f folderFS) swap(t *testing.T, file, old, now string) {
	t.Helper()
	require.Contains(t, f[file], old)
	f[file] = strings.Replace(f[file], old, now, 1)
}

const (
	hedgeRecipe   = "recipes/hedge.md"
	lodgeRecipe   = "recipes/deep/lodge.md"
	unheardRecipe = "recipes/unheard.md"
)

// A change makes just those pages be read anew that would now be read otherwise: all others keep their place in memory.
func TestReaderReadsOnlyWhatAChangeTouches(t *testing.T) {
	t.Parallel()
	every := slices.DeleteFunc(slices.Sorted(maps.Keys(shelfFull())), func(file string) bool { return !strings.HasSuffix(file, ".md") })
	type files = []string
	for _, row := range []struct {
		name   string
		change func(t *testing.T, f folderFS) files // gives the stale files
		anew   files
	}{
		{"nothing", func(*testing.T, folderFS) files { return nil }, nil},
		{"a recipe's text", func(t *testing.T, f folderFS) files {
			f.swap(t, hedgeRecipe, "Stir.", "Shake.")
			return files{hedgeRecipe}
		}, files{hedgeRecipe}},
		{"a recipe saved again", func(*testing.T, folderFS) files { return files{hedgeRecipe} }, nil},
		{"a recipe with other line ends", func(_ *testing.T, f folderFS) files {
			f[hedgeRecipe] = strings.ReplaceAll(f[hedgeRecipe], "\n", "\r\n")
			return files{hedgeRecipe}
		}, nil},
		{"a recipe whose change is not told", func(t *testing.T, f folderFS) files {
			f.swap(t, hedgeRecipe, "Stir.", "Shake.")
			return files{lodgeRecipe}
		}, nil},
		{"a folder", func(t *testing.T, f folderFS) files {
			f.swap(t, lodgeRecipe, "Stir.", "Shake.")
			f.swap(t, hedgeRecipe, "Stir.", "Shake.")
			return files{"recipes/deep"}
		}, files{lodgeRecipe}},
		{"the folder above", func(t *testing.T, f folderFS) files {
			f.swap(t, lodgeRecipe, "Stir.", "Shake.")
			f.swap(t, hedgeRecipe, "Stir.", "Shake.")
			return files{"recipes"}
		}, files{lodgeRecipe, hedgeRecipe}},
		{"a folder of a like name", func(t *testing.T, f folderFS) files {
			f.swap(t, lodgeRecipe, "Stir.", "Shake.")
			return files{"recipes/dee"}
		}, nil},
		{"a material's figure", func(t *testing.T, f folderFS) files {
			f.swap(t, "ingredients/hedge.md", "0.9 g/ml", "0.8 g/ml")
			return files{"ingredients/hedge.md"}
		}, files{"ingredients/hedge.md", hedgeRecipe}},
		{"another name of a material", func(t *testing.T, f folderFS) files {
			f.swap(t, "ingredients/lodge.md", "Gate oil", "Door oil")
			return files{"ingredients/lodge.md"}
		}, files{"ingredients/lodge.md", lodgeRecipe, unheardRecipe}},
		{"a material that takes a name of the catalogue", func(_ *testing.T, f folderFS) files {
			f["ingredients/ours.md"] = "---\nname: Castor oil\n---\nOurs.\n"
			return files{"ingredients/ours.md"}
		}, files{"ingredients/ours.md", "recipes/plain.md", hedgeRecipe, lodgeRecipe, unheardRecipe}},
		{"a material that takes an INCI name", func(_ *testing.T, f folderFS) files {
			f["ingredients/ours.md"] = "---\nname: Our wax\ninci: {Simmondsia Chinensis Seed Oil: 100 %}\n---\nOurs.\n"
			return files{"ingredients/ours.md"}
		}, files{"ingredients/ours.md", "recipes/wax.md", unheardRecipe}},
		{"a material that nothing takes", func(_ *testing.T, f folderFS) files {
			f["ingredients/ours.md"] = "---\nname: Our own\n---\nOurs.\n"
			return files{"ingredients/ours.md"}
		}, files{"ingredients/ours.md", unheardRecipe}},
		{"the unheard-of material", func(_ *testing.T, f folderFS) files {
			f["ingredients/moon.md"] = "---\nname: Moon dust\n---\nGrey.\n"
			return files{"ingredients/moon.md"}
		}, files{"ingredients/moon.md", unheardRecipe}},
		{"a material that is gone", func(_ *testing.T, f folderFS) files {
			delete(f, "ingredients/lodge.md")
			return files{"ingredients/lodge.md"}
		}, files{lodgeRecipe, unheardRecipe}},
		{"a material under another file", func(_ *testing.T, f folderFS) files {
			f["ingredients/ours/lodge.md"] = f["ingredients/lodge.md"]
			delete(f, "ingredients/lodge.md")
			return files{"ingredients/lodge.md", "ingredients/ours/lodge.md"}
		}, files{"ingredients/ours/lodge.md", lodgeRecipe}},
		{"a note", func(t *testing.T, f folderFS) files {
			f.swap(t, "notes/words.md", "Few.", "Fewer.")
			return files{"notes/words.md"}
		}, files{"notes/words.md"}},
		{"a new note", func(_ *testing.T, f folderFS) files {
			f["notes/new.md"] = "---\ntitle: New\n---\nNew.\n"
			return files{"notes/new.md"}
		}, files{"notes/new.md"}},
		{"a picture's size", func(t *testing.T, f folderFS) files {
			f.swap(t, "pictures/sprig.svg", "40 20", "20 40")
			return files{"pictures/sprig.svg"}
		}, files{"ingredients/hedge.md", hedgeRecipe, lodgeRecipe}}, // the material is another with its page
		{"a picture's strokes", func(t *testing.T, f folderFS) files {
			f.swap(t, "pictures/sprig.svg", "/>", "><g/></svg>")
			return files{"pictures/sprig.svg"}
		}, nil},
		{"a picture that is not shown", func(t *testing.T, f folderFS) files {
			f.swap(t, "pictures/not-shown.svg", "10 10", "11 11")
			return files{"pictures/not-shown.svg"}
		}, nil},
		{"a picture beside the page", func(_ *testing.T, f folderFS) files {
			f["notes/tin.svg"] = `<svg viewBox="0 0 3 3"/>`
			return files{"notes/tin.svg"}
		}, files{"notes/weighing.md"}},
		{"a picture that is gone", func(_ *testing.T, f folderFS) files {
			delete(f, "pictures/tin.svg")
			return files{"pictures/tin.svg"}
		}, files{"notes/weighing.md"}},
		{"the title of the handbook", func(t *testing.T, f folderFS) files {
			f.swap(t, "handbook.yaml", "The Larkrow", "Our")
			return files{"handbook.yaml"}
		}, nil},
		{"what a shelf is about", func(t *testing.T, f folderFS) files {
			f.swap(t, "handbook.yaml", "[Oils", "[{name: Oils, about: Ours.}")
			return files{"handbook.yaml"}
		}, nil},
		{"the usual access", func(_ *testing.T, f folderFS) files {
			f["handbook.yaml"] += "access: members\n"
			return files{"handbook.yaml"}
		}, every},
		{"the shelves", func(t *testing.T, f folderFS) files {
			f.swap(t, "handbook.yaml", "Balms", "Salves")
			return files{"handbook.yaml"}
		}, every},
		{"the usual batches", func(t *testing.T, f folderFS) files {
			f.swap(t, "handbook.yaml", "100 g", "150 g")
			return files{"handbook.yaml"}
		}, every},
		{"the scales", func(t *testing.T, f folderFS) files {
			f.swap(t, "handbook.yaml", "0.1 g", "1 g")
			return files{"handbook.yaml"}
		}, every},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			f := folderFS(shelfFull())
			fsys := f.files()
			reader := handbook.NewReader(fsys)
			before, problems := reader.Read(handbook.Everything)
			require.Empty(t, problems.All())
			stale := row.change(t, f)
			maps.DeleteFunc(fsys, func(string, *fstest.MapFile) bool { return true })
			maps.Copy(fsys, f.files())
			after, _ := reader.Read(handbook.Files(stale...))

			had := pagesOf(before)
			var anew []string
			for file, p := range pagesOf(after) {
				if had[file] != p {
					anew = append(anew, file)
				}
				assert.Same(t, p, after.PageOf(file))
			}
			assert.ElementsMatch(t, row.anew, anew)
			for file := range had {
				if _, there := f[file]; !there {
					assert.Nil(t, after.PageOf(file), "%s is gone", file)
				}
			}
		})
	}
}

// A page that has a problem is read anew each time, since what is told of it may hang on anything.
func TestReaderReadsFaultyPagesEachTime(t *testing.T) {
	t.Parallel()
	f := folderFS(shelfFull())
	f.swap(t, hedgeRecipe, "shelf: Oils", "shelf: Oyls")
	reader := handbook.NewReader(f.files())
	before, _ := reader.Read(handbook.Everything)
	after, problems := reader.Read(handbook.Files("notes/words.md"))
	assert.Equal(t, 1, problems.Len())
	had := pagesOf(before)
	for file, p := range pagesOf(after) {
		assert.Equal(t, file != hedgeRecipe, had[file] == p, file)
	}
}

// Reading again after any change, told as everything, gives what a new start gives, and reads no page anew that need not be.
func TestReadEverythingAgreesWithLoad(t *testing.T) {
	t.Parallel()
	f := folderFS(shelfFull())
	fsys := f.files()
	reader := handbook.NewReader(fsys)
	reader.Read(handbook.Everything)
	for _, s := range []struct{ file, old, now string }{
		{hedgeRecipe, "Stir.", "Shake."},
		{"ingredients/hedge.md", "density: 0.9 g/ml\n", ""},
		{"ingredients/lodge.md", "name: Lodge oil", "name: Loge oil"},
		{"handbook.yaml", "Oils", "Oyls"},
		{"handbook.yaml", "title:", "titel:"},
		{lodgeRecipe, "sprig.svg", "spring.svg"},
		{"pictures/tin.svg", "30 30", "30 20"},
		{"handbook.yaml", "titel:", "title:"},
		{"handbook.yaml", "Oyls", "Oils"},
		{"ingredients/hedge.md", "name:", "density: 0.7 g/ml\nname:"},
	} {
		f.swap(t, s.file, s.old, s.now)
		fsys[s.file] = &fstest.MapFile{Data: []byte(f[s.file])}
		again, problems := reader.Read(handbook.Everything)
		anew, wanted := handbook.Load(fsys)
		assert.Equal(t, wanted.All(), problems.All(), "%v", s)
		assert.Equal(t, anew.Recipes, again.Recipes, "%v", s)
		assert.Equal(t, anew.Ingredients, again.Ingredients, "%v", s)
		assert.Equal(t, anew.Notes, again.Notes, "%v", s)
		assert.Equal(t, anew.Pictures, again.Pictures, "%v", s)
		assert.Equal(t, anew.Materials.Names(), again.Materials.Names(), "%v", s)
		assert.Equal(t, anew.Shelves, again.Shelves, "%v", s)
		assert.Equal(t, anew.Scale, again.Scale, "%v", s)
		assert.Equal(t, anew.Batches, again.Batches, "%v", s)
	}
}

// What is told of files that come and go is told for as long as it holds, however little is told of the change.
func TestReaderTellsOfNames(t *testing.T) {
	t.Parallel()
	f := folderFS(shelfFull())
	fsys := f.files()
	reader := handbook.NewReader(fsys)
	reader.Read(handbook.Everything)
	put := func(file, text string) func() { return func() { fsys[file] = &fstest.MapFile{Data: []byte(text)} } }
	remove := func(file string) func() { return func() { delete(fsys, file) } }
	for _, step := range []struct {
		name  string
		do    func()
		stale string
		told  []string
	}{
		{"the settings are gone", remove("handbook.yaml"), "handbook.yaml", []string{"the file is missing"}},
		{"they are there under another name", put("handbook.yml", "title: Ours\n"), "handbook.yml", []string{"the file is missing", "no part of a handbook"}},
		{"something else changes", put("notes/words.md", f["notes/words.md"]), "notes/words.md", []string{"the file is missing", "no part of a handbook"}},
		{"they are there again", put("handbook.yaml", f["handbook.yaml"]), "handbook.yaml", nil},
		{"they are gone again", remove("handbook.yaml"), "handbook.yaml", []string{"the file is missing", "no part of a handbook"}},
		{"so is the other name", remove("handbook.yml"), "handbook.yml", []string{"the file is missing"}},
		{"and they are back", put("handbook.yaml", f["handbook.yaml"]), "handbook.yaml", nil},
		{"a page of a wrong ending", put("notes/lost.markdown", "x"), "notes/lost.markdown", []string{"a page's name ends in .md"}},
		{"it goes", remove("notes/lost.markdown"), "notes/lost.markdown", nil},
		{"an address that is taken", put("recipes/deep/plain.md", f["recipes/plain.md"]), "recipes/deep/plain.md", []string{"the same address as recipes/deep/plain.md"}},
		{"its text changes", put("recipes/plain.md", "---\n"+f["recipes/plain.md"][4:]+"More.\n"), "recipes/plain.md", []string{"the same address as recipes/deep/plain.md"}},
		{"it goes with its folder", remove("recipes/deep/plain.md"), "recipes/deep", nil},
		{"a name that differs in case", put("notes/Words.md", f["notes/words.md"]), "notes", []string{"characters that do not fit", "only in small and capital letters"}},
		{"that goes", remove("notes/Words.md"), "notes/Words.md", nil},
		{"a bad name", put("notes/HEAT.md", f["notes/words.md"]), "notes/HEAT.md", []string{"characters that do not fit"}},
		{"another that differs in case: its own fault is not told yet", put("notes/Heat.md", f["notes/words.md"]), "notes/Heat.md", []string{
			"characters that do not fit", "only in small and capital letters",
		}},
		{"the first goes, and now it is", remove("notes/HEAT.md"), "notes/HEAT.md", []string{"notes/Heat.md:1:1: the file's name becomes"}},
		{"both are gone", remove("notes/Heat.md"), "notes/Heat.md", nil},
	} {
		step.do()
		h, problems := reader.Read(handbook.Files(step.stale))
		_, wanted := handbook.Load(fsys)
		assert.Equal(t, wanted.All(), problems.All(), step.name)
		require.Len(t, problems.All(), len(step.told), "%s: %v", step.name, problems)
		for i, told := range step.told {
			assert.Contains(t, problems.All()[i].Error(), told, step.name)
		}
		require.NotNil(t, h)
	}
}

// With KeepGood a page that has a problem is given as it last had none, by a text that was settled; and as it is written, to those who ask.
func TestReaderKeepsGood(t *testing.T) {
	t.Parallel()
	f := folderFS(shelfFull())
	fsys := f.files()
	reader := handbook.NewReader(fsys)
	reader.KeepGood = true
	write := func(file, text string) (*handbook.Handbook, int) {
		fsys[file] = &fstest.MapFile{Data: []byte(text)}
		h, problems := reader.Read(handbook.Files(file))
		return h, problems.Len()
	}
	reader.Read(handbook.Everything)
	reader.Settle()

	broken := strings.Replace(f[hedgeRecipe], "Hedge oil: 30 ml", "Hedge oil: 30 drops", 1)
	h, told := write(hedgeRecipe, broken)
	assert.Equal(t, 1, told)
	shown := h.PageOf(hedgeRecipe)
	assert.Equal(t, f[hedgeRecipe], shown.Source.Text)
	assert.Equal(t, broken, h.Written(shown).Source.Text)
	assert.Same(t, h.PageOf("recipes/plain.md"), h.Written(h.PageOf("recipes/plain.md")))
	reader.Settle()

	better := strings.Replace(f[hedgeRecipe], "Stir.", "Shake.", 1)
	h, told = write(hedgeRecipe, better) // and not settled
	assert.Zero(t, told)
	assert.Equal(t, better, h.PageOf(hedgeRecipe).Source.Text)
	h = reader.Revert(hedgeRecipe, "recipes/no-such.md")
	assert.Equal(t, f[hedgeRecipe], h.PageOf(hedgeRecipe).Source.Text, "a text that is not settled is not gone back to")
	assert.Equal(t, better, h.Written(h.PageOf(hedgeRecipe)).Source.Text)
	reader.Settle()
	h, _ = reader.Read(handbook.Files())
	assert.Equal(t, better, h.PageOf(hedgeRecipe).Source.Text, "it is given as it is written until it is reverted again")
	reader.Settle()
	h, _ = write(hedgeRecipe, broken)
	assert.Equal(t, better, h.PageOf(hedgeRecipe).Source.Text, "now it was settled")

	h, told = write("handbook.yaml", "titel: Wrong\n")
	assert.Equal(t, 2, told)
	assert.Equal(t, "The Larkrow stillroom", h.Title)
	h, told = write("handbook.yaml", "title: Right\nshelves: [Oils]\n")
	assert.Equal(t, 1, told)
	assert.Equal(t, "Right", h.Title)
}

// What a faulty page leaves in doubt is not told as missing; it is told once the doubt is over, though no name means anything else then.
func TestReaderTellsWhatWasInDoubt(t *testing.T) {
	t.Parallel()
	recipe := func(product, weigh, rest string) string {
		return "---\ntitle: In doubt\nproduct: " + product + "\nshelf: Oils\n" + rest + "formula:\n  - phase: All\n    weigh: {" + weigh + "}\n---\nStir.\n"
	}
	for _, row := range []struct {
		name, recipe, file, faulty, mended string // gone where mended is ""
		told                               string
	}{
		{
			"a page without a name is gone",
			recipe("bar soap", "Olive oil: 90 %, Moon fat: 10 %", "soap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}\n"),
			"ingredients/nameless.md", "---\nrole: oil\n---\nOf no name.\n", "", "Moon fat may be a fat",
		},
		{
			"a page whose address is that of another material of the catalogue",
			recipe("balm", "Emulsifying wax NF: 5 ml, Castor oil: 90 g", ""),
			"ingredients/emulsifying-wax-nf.md", "---\nname: Grey resin\nrole: none\n---\nOf a name of its own.\n", "---\nname: Grey resin\n---\nNow good.\n", "density",
		},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			f := folderFS{"handbook.yaml": "title: Ours\nshelves: [Oils]\n", "recipes/in-doubt.md": row.recipe, row.file: row.faulty}
			fsys := f.files()
			reader := handbook.NewReader(fsys)
			_, problems := reader.Read(handbook.Everything)
			for _, p := range problems.All() {
				assert.Equal(t, row.file, p.Span.File(), p.Text())
			}
			assert.NotEmpty(t, problems.All())
			delete(fsys, row.file)
			if row.mended != "" {
				fsys[row.file] = &fstest.MapFile{Data: []byte(row.mended)}
			}
			_, problems = reader.Read(handbook.Files(row.file))
			_, wanted := handbook.Load(fsys)
			assert.Equal(t, wanted.All(), problems.All())
			require.Len(t, problems.All(), 1)
			assert.Contains(t, problems.All()[0].Message, row.told)
		})
	}
}
