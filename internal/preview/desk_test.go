package preview

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"weak"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/synthetic/maker"
)

// A seat is a world with a desk on it.
type seat struct {
	*maker.World
	t    *testing.T
	desk *Desk
}

func newSeat(t *testing.T, o Options) *seat {
	t.Helper()
	w := maker.New(t)
	if o.Edition == "" {
		o.Edition = site.MakerEdition
	}
	desk, err := NewDesk(w.Dir, o)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, desk.Close()) })
	require.Empty(t, texts(desk.Now().Problems))
	return &seat{w, t, desk}
}

// page gives a page as it is shown.
func (p *seat) page(file string) string {
	p.t.Helper()
	data, found, err := p.desk.Now().Page(file)
	require.NoError(p.t, err)
	require.True(p.t, found, file)
	return string(data)
}

// take takes a change to some files, none for anything.
func (p *seat) take(files ...string) Report {
	return p.desk.Take(Change{Files: files, All: len(files) == 0})
}

const (
	handCream     = "recipes/hand-cream/index.html"
	handCreamFile = "recipes/hand-cream.md"
)

// A page that has an error is shown as it was when it last had none, the error is told, and the page comes back when it is mended, with all that
// was written meanwhile.
func TestDeskKeepsTheLastGoodForm(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, file, page  string
		words, good, late string // on the page: at first, after a good change, after a later one
		old, broken       string // what breaks it
		problem           string
	}{
		{
			"front matter", handCreamFile, handCream, "For hands that wash up a lot.", "For hands in a hurry.", "For hands at rest.",
			"Glycerin: 3 %", "Glycerin: 3 drops", "recipes/hand-cream.md:15:",
		},
		{
			"front matter that is no YAML", handCreamFile, handCream, "For hands that wash up a lot.", "For hands in a hurry.", "For hands at rest.",
			"keeps: 6 months", "keeps: [6 months", "recipes/hand-cream.md:",
		},
		{
			"body of a recipe", handCreamFile, handCream, "For hands that wash up a lot.", "For hands in a hurry.", "For hands at rest.",
			":amount[Oil]", ":amount[Oyl]", "“Oyl” is not in the formula",
		},
		{
			"body of a note", "notes/clean-jars.md", "notes/clean-jars/index.html", "Boil them.", "Steam them.", "Bake them.",
			"(hedgerow.svg)", "(hegderow.svg)", "there is no picture “hegderow.svg”",
		},
		{
			"ingredient", "ingredients/house-balsam.md", "ingredients/house-balsam/index.html", "Our own.", "Our best.", "Our last.",
			"density: 1.02 g/ml", "density: thick", "ingredients/house-balsam.md:6:",
		},
		{
			"handbook.yaml", "handbook.yaml", "index.html", "A small handbook for the tests.", "A good handbook.", "A late handbook.",
			"labour: 15 per hour", "labour: much", "handbook.yaml:5:",
		},
		{
			"an address that another page has", "recipes/gate-balm.md", "recipes/gate-balm/index.html", "and pour.", "and pour off.", "and pour on.",
			"(balm.svg)", "(blam.svg)", "there is no picture “blam.svg”",
		},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := newSeat(t, Options{})
			require.Contains(t, p.page(row.page), row.words)
			p.Edit(row.file, row.words, row.good)
			p.take(row.file)
			require.Contains(t, p.page(row.page), row.good)
			was := p.page(row.page)

			p.Edit(row.file, row.old, row.broken)
			p.Edit(row.file, row.good, row.late)
			report := p.take(row.file)
			assert.False(t, report.Same)
			assert.Equal(t, 1, report.Problems)
			require.Len(t, p.desk.Now().Problems, 1)
			assert.Contains(t, p.desk.Now().Problems[0].Error(), row.problem)
			assert.Equal(t, was, p.page(row.page), "the page is as it was")

			other := "notes/how-we-weigh.md" // what is written elsewhere is shown at once, and the error stays told
			p.Edit(other, "title: How we weigh", "title: How to weigh")
			assert.Equal(t, 1, p.take(other).Problems)
			assert.Contains(t, p.page("notes/how-we-weigh/index.html"), "How to weigh")
			p.Edit(other, "title: How to weigh", "title: How we weigh")
			p.take(other)
			assert.Equal(t, was, p.page(row.page))

			p.Edit(row.file, row.broken, row.old)
			assert.Zero(t, p.take(row.file).Problems)
			assert.Empty(t, texts(p.desk.Now().Problems))
			assert.Equal(t, strings.ReplaceAll(was, row.good, row.late), p.page(row.page))
		})
	}
}

// What is broken may also be another file than the one in which it is told: then nothing is put back but what is there is shown.
func TestDeskTellsWhatFollows(t *testing.T) {
	t.Parallel()
	p := newSeat(t, Options{})
	p.Remove("notes/how-we-weigh.md")
	assert.Equal(t, 2, p.take("notes/how-we-weigh.md").Problems, "of the two pages that link to it")
	assert.Contains(t, p.page(handCream), "see how we weigh", "the words stay")
	assert.NotContains(t, p.page("index.html"), "How we weigh")
	p.Write("notes/how-we-weigh.md", p.Original["notes/how-we-weigh.md"])
	assert.Zero(t, p.take("notes/how-we-weigh.md").Problems)
	assert.Contains(t, p.page(handCream), `see <a href="../../notes/how-we-weigh/index.html">how we weigh</a>`)
}

// A page that comes forward from its last good form, because something else is mended, may change the lists that it stands in: they are told.
func TestDeskTellsWhatComesForward(t *testing.T) {
	t.Parallel()
	p := newSeat(t, Options{})
	p.Remove("pictures/hedgerow.svg")
	p.take("pictures/hedgerow.svg")
	p.Edit("notes/clean-jars.md", "title: Clean jars", "title: Clean tins")
	p.take("notes/clean-jars.md")
	require.Contains(t, p.page("notes/index.html"), "Clean jars", "the note's picture is missing: it stays as it was")
	p.Write("pictures/hedgerow.svg", p.Original["pictures/hedgerow.svg"])
	report := p.take("pictures/hedgerow.svg")
	assert.Zero(t, report.Problems)
	assert.Contains(t, p.page("notes/index.html"), "Clean tins")
	assert.True(t, slices.ContainsFunc(report.Depends(), func(d site.Dependent) bool { return d.Path == "notes/index.html" && d.How == site.Lists }))
}

// A page that was never good is there with what could be read of it, and every file of the edition can be drawn.
func TestDeskShowsAPageThatWasNeverGood(t *testing.T) {
	t.Parallel()
	for name, text := range map[string]string{
		"empty":           "",
		"no front matter": "Only words.\n",
		"no title":        "---\nproduct: balm\n---\nWords.\n",
		"half":            "---\ntitle: New\nprod",
		"no text":         "\x00\x01",
	} {
		for _, file := range []string{"recipes/new.md", "ingredients/new.md", "notes/new.md"} {
			t.Run(name+" "+file, func(t *testing.T) {
				t.Parallel()
				p := newSeat(t, Options{})
				p.Write(file, text)
				report := p.take(file)
				assert.Positive(t, report.Problems)
				for _, q := range p.desk.Now().Problems {
					assert.Equal(t, file, q.Span.File(), q.Text())
				}
				assert.Contains(t, outputsOf(t, p.desk.Now()), strings.TrimSuffix(file, ".md")+"/index.html")
				p.Remove(file)
				assert.Zero(t, p.take(file).Problems)
			})
		}
	}
}

// A desk that opens on a broken handbook shows what it can, and all of it once it is mended.
func TestDeskOpensOnABrokenHandbook(t *testing.T) {
	t.Parallel()
	w := maker.New(t)
	w.Edit(handCreamFile, "Glycerin: 3 %", "Glycerin: 3 drops")
	w.Remove("handbook.yaml")
	desk, err := NewDesk(w.Dir, Options{Edition: site.MakerEdition})
	require.NoError(t, err)
	defer desk.Close()
	require.Len(t, desk.Now().Problems, 2)
	outputsOf(t, desk.Now())
	w.Mend()
	assert.Zero(t, desk.Take(Change{Files: []string{"handbook.yaml", handCreamFile}}).Problems)
	assert.Contains(t, outputsOf(t, desk.Now())["index.html"], "The hedge")
}

// A desk needs a folder, and a theme that can be used.
func TestNewDeskRefuses(t *testing.T) {
	t.Parallel()
	w := maker.New(t)
	_, err := NewDesk(filepath.Join(w.Dir, "nowhere"), Options{Edition: site.MakerEdition})
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = NewDesk(w.Dir, Options{Edition: site.MakerEdition, Theme: filepath.Join(w.Dir, "nowhere")})
	require.ErrorIs(t, err, os.ErrNotExist)
	theme := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(theme, "pages"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(theme, "pages", "note.html"), []byte("{{.Nothing}}"), 0o644))
	_, err = NewDesk(w.Dir, Options{Edition: site.MakerEdition, Theme: theme})
	require.ErrorContains(t, err, "note.html")
}

// A theme with a mistake leaves the pages as they are, and says so until it is mended.
func TestDeskKeepsTheLastGoodTheme(t *testing.T) {
	t.Parallel()
	theme := t.TempDir()
	p := newSeat(t, Options{Theme: theme})
	page := filepath.Join(theme, "pages", "note.html")
	require.NoError(t, os.MkdirAll(filepath.Dir(page), 0o755))
	const note = "notes/how-we-weigh/index.html"

	require.NoError(t, os.WriteFile(page, []byte("<h1>{{.Name}}</h1>"), 0o644))
	report := p.take("theme:pages/note.html")
	assert.False(t, report.Same)
	assert.NoError(t, p.desk.Now().Theme)
	assert.Equal(t, "<h1>How we weigh</h1>", p.page(note))
	pages := slices.DeleteFunc(p.desk.Now().Build.Paths(), func(file string) bool { return !strings.HasSuffix(file, ".html") })
	assert.Len(t, report.Depends(), len(pages), "every page depends on the theme")

	require.NoError(t, os.WriteFile(page, []byte("<h2>{{.Nmae}}</h2>"), 0o644))
	report = p.take("theme:pages/note.html")
	assert.False(t, report.Same)
	require.ErrorContains(t, p.desk.Now().Theme, "note.html")
	assert.Equal(t, "<h1>How we weigh</h1>", p.page(note))
	assert.Empty(t, p.desk.Now().Problems)

	p.Edit("notes/how-we-weigh.md", "title: How we weigh", "title: How to weigh")
	p.take("notes/how-we-weigh.md")
	require.Error(t, p.desk.Now().Theme, "it stays told")
	assert.Equal(t, "<h1>How to weigh</h1>", p.page(note))

	require.NoError(t, os.WriteFile(page, []byte("<h2>{{.Name}}</h2>"), 0o644))
	p.take("theme:pages/note.html")
	assert.NoError(t, p.desk.Now().Theme)
	assert.Equal(t, "<h2>How to weigh</h2>", p.page(note))
}

// While the folder is away the last pages stay; when it is back, so is everything in it, also where it is another folder of the name.
func TestDeskWithoutItsFolder(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name   string
		change Change
	}{
		{"told as anything", Change{All: true}},
		{"told by the names of files", Change{Files: []string{handCreamFile}}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := newSeat(t, Options{})
			was := p.page(handCream)
			away := p.Dir + "-away"
			require.NoError(t, os.Rename(p.Dir, away))
			report := p.take()
			assert.False(t, report.Same)
			state := p.desk.Now()
			assert.True(t, state.Absent)
			assert.Equal(t, was, p.page(handCream))
			assert.True(t, p.take().Same, "nothing is new while it is away")
			assert.Same(t, state, p.desk.Now())

			for file, text := range p.Original { // another folder of the same name
				p.Write(file, strings.Replace(text, "wash up a lot", "dig", 1))
			}
			report = p.desk.Take(row.change)
			assert.False(t, report.Same)
			assert.False(t, p.desk.Now().Absent)
			assert.Zero(t, report.Problems)
			assert.Equal(t, strings.ReplaceAll(was, "wash up a lot", "dig"), p.page(handCream))
			require.NoError(t, os.RemoveAll(away))
			p.Edit(handCreamFile, "that dig", "that wash up a lot")
			p.take(handCreamFile)
			assert.Equal(t, was, p.page(handCream))
		})
	}
}

// The effect of a change stays with its recipe until the recipe changes again; a recipe that nobody looked at has none.
func TestDeskKeepsEffects(t *testing.T) {
	t.Parallel()
	p := newSeat(t, Options{})
	p.Edit("recipes/gate-balm.md", "Beeswax: 20 %", "Beeswax: 21 %")
	p.take("recipes/gate-balm.md")
	assert.Nil(t, p.desk.Now().Effect("recipes/gate-balm/index.html"), "nobody had looked at it")
	assert.Nil(t, p.desk.Now().Effect(handCream))
	assert.Nil(t, p.desk.Now().Effect("index.html"))

	p.page(handCream)
	p.Edit(handCreamFile, "Glycerin: 3 %", "Glycerin: 4 %")
	p.take(handCreamFile)
	effect := p.desk.Now().Effect(handCream)
	require.NotNil(t, effect)
	assert.Contains(t, effect.Sentence(), "3 % → 4 %")

	p.Edit("recipes/gate-balm.md", "Beeswax: 21 %", "Beeswax: 22 %")
	p.take("recipes/gate-balm.md")
	assert.Same(t, effect, p.desk.Now().Effect(handCream), "another recipe's change leaves it")

	p.Edit(handCreamFile, "Glycerin: 4 %", "Glycerin: 5 %")
	p.take(handCreamFile)
	next := p.desk.Now().Effect(handCream)
	require.NotNil(t, next)
	assert.Contains(t, next.Sentence(), "4 % → 5 %")

	p.Edit(handCreamFile, "Glycerin: 5 %", "Glycerin: drops")
	p.take(handCreamFile)
	p.Remove("ingredients/house-balsam.md")
	p.take("ingredients/house-balsam.md")
	assert.Nil(t, p.desk.Now().Effect("recipes/none/index.html"))
}

// Where nothing is otherwise, the state stays the same one and open pages are left alone.
func TestDeskTakesWhatIsNoChange(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name string
		do   func(p *seat) []string
		same bool
	}{
		{"a file saved again", func(p *seat) []string {
			p.Write(handCreamFile, p.Original[handCreamFile])
			return []string{handCreamFile}
		}, true},
		{"other line ends", func(p *seat) []string {
			p.Write(handCreamFile, strings.ReplaceAll(p.Original[handCreamFile], "\n", "\r\n"))
			return []string{handCreamFile}
		}, true},
		{"handbook.yaml saved again", func(*seat) []string { return []string{"handbook.yaml"} }, true},
		{"handbook.yaml with a remark", func(p *seat) []string {
			p.Write("handbook.yaml", "# ours\n"+p.Original["handbook.yaml"])
			return []string{"handbook.yaml"}
		}, true},
		{"what is no page", func(p *seat) []string { p.Write("recipes/list.txt", "x"); return []string{"recipes/list.txt"} }, true},
		{"a hidden page", func(p *seat) []string { p.Write("recipes/_a.md", "x"); return []string{"recipes/_a.md"} }, true},
		{"a picture that no page shows", func(p *seat) []string { p.Write("recipes/a.png", "x"); return []string{"recipes/a.png"} }, false},
		{"a file that came and went", func(*seat) []string { return []string{"recipes/gone.md"} }, true},
		{"a folder of pages", func(*seat) []string { return []string{"recipes"} }, true},
		{"an empty folder", func(p *seat) []string {
			require.NoError(p.t, os.MkdirAll(p.Path("notes/deep"), 0o755))
			return []string{"notes/deep"}
		}, true},
		{"a picture that a page shows", func(*seat) []string { return []string{"pictures/balm.svg"} }, false},
		{"a folder of pictures", func(*seat) []string { return []string{"pictures"} }, false},
		{"anything, pictures too", func(*seat) []string { return nil }, false},
		{"a word", func(p *seat) []string { p.Edit(handCreamFile, "Pour", "Put"); return []string{handCreamFile} }, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := newSeat(t, Options{})
			before := p.desk.Now()
			report := p.take(row.do(p)...)
			assert.Equal(t, row.same, report.Same)
			if row.same {
				assert.Same(t, before, p.desk.Now())
				assert.Equal(t, before.Number, report.Number)
			} else {
				assert.Equal(t, before.Number+1, report.Number)
				assert.Equal(t, report.Number, p.desk.Now().Number)
			}
		})
	}
}

// Open pages are told which pictures to load again: those that they show, under the name by which they are served.
func TestEventNamesPictures(t *testing.T) {
	t.Parallel()
	both := []string{"pictures/balm.svg", "pictures/hedgerow.svg"}
	for _, row := range []struct {
		name     string
		files    []string
		pictures []string
	}{
		{"one", []string{"pictures/balm.svg"}, both[:1]},
		{"one that is not there", []string{"pictures/spare.svg"}, nil},
		{"what is no part of the handbook", []string{"readme.txt"}, nil},
		{"a folder", []string{"pictures"}, both},
		{"anything", nil, both},
		{"a page", []string{handCreamFile}, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := newSeat(t, Options{})
			event := p.take(row.files...).Event()
			assert.Equal(t, row.pictures, event.Pictures)
			for _, file := range event.Files {
				assert.Contains(t, row.files, file)
			}
		})
	}
}

// However long a maker works at one page, the desk holds one handbook, not all that there were.
func TestDeskMemoryIsSteady(t *testing.T) {
	p := newSeat(t, Options{})
	const early, late = 100, 500
	var old []weak.Pointer[handbook.Handbook]
	live := func() uint64 {
		runtime.GC()
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	var first uint64
	for i := range late {
		if i == early {
			first = live()
		}
		p.Write(handCreamFile, strings.Replace(p.Original[handCreamFile], "Glycerin: 3 %", fmt.Sprintf("Glycerin: 3.%04d %%", i), 1))
		if i%7 == 0 { // a material, on which three recipes depend
			p.Write("ingredients/sunflower-oil.md", p.Original["ingredients/sunflower-oil.md"]+fmt.Sprint(i))
		}
		if i%50 == 0 {
			old = append(old, weak.Make(p.desk.Now().Build.Handbook))
		}
		report := p.desk.Take(Change{Files: []string{handCreamFile, "ingredients/sunflower-oil.md"}})
		require.False(t, report.Same)
		if i%10 == 0 {
			p.page(handCream)
		}
	}
	last := live()
	assert.Less(t, last, first+first/4+1<<20, "bytes in use after %d changes and after %d", early, late)
	for i, h := range old {
		assert.Nil(t, h.Value(), "the handbook before change %d is still held", i*50)
	}
}

// The last change stays told after a save of another file, and after a mistake and its mending. A recipe that nobody looked at is worked out when
// it is asked for, and its page tells of it then.
func TestDeskKeepsTheLastRealChange(t *testing.T) {
	t.Parallel()
	p := newSeat(t, Options{})
	p.Edit(handCreamFile, "Glycerin: 3 %", "Glycerin: 4 %")
	report := p.take(handCreamFile)
	require.Nil(t, p.desk.Now().Effect(handCream))
	did := p.desk.Effects(report)
	require.Len(t, did, 1)
	assert.Equal(t, handCreamFile, did[0].File)
	effect := p.desk.Now().Effect(handCream)
	require.Same(t, did[0].Effect, effect)
	assert.Contains(t, effect.Sentence(), "3 % → 4 %")

	p.Edit("ingredients/house-balsam.md", "Our own.", "Our best.")
	assert.Empty(t, p.desk.Effects(p.take("ingredients/house-balsam.md")))
	p.Edit("handbook.yaml", "A small handbook for the tests.", "A handbook.")
	p.take("handbook.yaml")
	assert.Same(t, effect, p.desk.Now().Effect(handCream))

	p.Edit(handCreamFile, "Glycerin: 4 %", "Glycerin: 4 drops")
	require.Equal(t, 1, p.take(handCreamFile).Problems)
	assert.Same(t, effect, p.desk.Now().Effect(handCream))
	at, known := p.desk.Now().LastGood(handCreamFile)
	assert.True(t, known)
	assert.Contains(t, words(p.desk.Now(), handCream), "The page above is as it was last good, at "+at.Format("15:04:05")+".")
	p.Edit(handCreamFile, "Glycerin: 4 drops", "Glycerin: 4 %")
	report = p.take(handCreamFile)
	assert.True(t, report.Mended())
	assert.Empty(t, p.desk.Effects(report), "it is as it was")
	assert.Same(t, effect, p.desk.Now().Effect(handCream))
	_, known = p.desk.Now().LastGood(handCreamFile)
	assert.False(t, known, "nothing is wrong")
}

// Problems of what was saved and new ones are told, and others counted. A page that never was good has no time at which it was.
func TestReportTellsTroubles(t *testing.T) {
	t.Parallel()
	p := newSeat(t, Options{})
	p.Write("notes/new.md", "---\ntitel: New\n---\n")
	told, others := p.take("notes/new.md").Troubles()
	assert.NotEmpty(t, told)
	assert.Empty(t, others)
	_, known := p.desk.Now().LastGood("notes/new.md")
	assert.False(t, known)
	p.Edit(handCreamFile, "Glycerin: 3 %", "Glycerin: 3 drops")
	fresh, standing := p.take(handCreamFile).Troubles()
	require.Len(t, fresh, 1)
	assert.Equal(t, handCreamFile, fresh[0].Span.File())
	assert.Len(t, standing, len(told))
}
