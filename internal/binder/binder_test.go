package binder

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

// kitchen is a handbook of three recipes on two shelves, of which one has a variant and parts, and one is not for use.
func kitchen() fstest.MapFS {
	page := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	return fstest.MapFS{
		"handbook.yaml": page("title: \"The window-sill book & more\"\nmaker: W. H.\naccess: open\nshelves:\n  - {name: Balms, about: No water in them.}\n  - {name: \"Salts \\\"dry\\\"\"}\n"),
		"recipes/elbow-balm.md": page(`---
title: Elbow balm
product: balm
shelf: Balms
updated: 2026-03-01
formula:
  - phase: Melt
    heat: 75 °C
    weigh: {Olive oil: q.s., Beeswax: 20 %}
  - phase: Cool-down
    below: 60 °C
    weigh: {Vitamin E oil: 0.5 %}
batches: [100 g, 250 g, 500 g, 1 kg, 2 kg]
variants:
  - {name: Softer, change: {Beeswax: 15 %}}
splits:
  - {name: Plain, share: 1/2}
  - {name: Sharp, share: 1/2, add: {Castor oil: 1 %}}
---
## Method

1. Melt :amount[Beeswax] of [beeswax](../ingredients/beeswax.md) in the oil at :temp[75 °C], as told in [the note](../notes/heat.md#steady-heat).
2. See [the salts](bath-salts.md) and [far away](https://example.org/x).

![A pot](pot.png)
`),
		"recipes/pot.png": {Data: pixel},
		"recipes/knuckle-balm.md": page(`---
title: Knuckle balm
product: balm
shelf: Balms
updated: 2026-02-01
formula:
  - phase: Melt
    weigh: {Olive oil: 60 %, Beeswax: 20 %}
batches: [100 g]
---
Melt and pour.
`),
		"recipes/bath-salts.md": page(`---
title: Bath salts
product: bath salts
shelf: "Salts \"dry\""
updated: 2026-01-01
formula:
  - phase: All
    weigh: {Epsom salt: q.s., Sea salt: 10 %}
batches: [100 g]
---
Stir.
`),
		"ingredients/beeswax.md": page("---\nname: Beeswax\nsupplier: The hives at Lark Row\nprice: 20 per 1 kg\n---\nSee [the balm](../recipes/elbow-balm.md).\n"),
		"batches/eb-1.md":        page("---\nbatch: EB-1\nrecipe: elbow-balm\nsize: 100 g\n---\nFor the fair.\n"),
		"notes/heat.md":          page("---\ntitle: Heat & hold\nupdated: 2026-03-05\n---\n## Steady heat\n\nKeep it so.\n"),
	}
}

// pixel is a picture of one pixel.
var pixel = []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x00\x00\x00\x00:~\x9bU\x00\x00\x00\nIDATx\x9cc`\x00\x00\x00\x02\x00\x01H\xaf\xa4q\x00\x00\x00\x00IEND\xaeB`\x82")

// built reads a handbook for its maker.
func built(t testing.TB, files fs.FS) *site.Build {
	t.Helper()
	h, problems := handbook.Load(files)
	book := site.Prepare(h, problems)
	require.Zero(t, problems.Len(), "%v", problems.All())
	theme, err := site.LoadTheme(linen.FS, nil)
	require.NoError(t, err)
	return site.NewProof(book, site.MakerEdition, theme)
}

func a4() Options { return Options{Paper: Papers()[0]} }

// bound makes a binder of a handbook.
func bound(t testing.TB, files fs.FS, options Options) *Binder {
	t.Helper()
	b, err := New(built(t, files), func(file string) ([]byte, error) { return fs.ReadFile(files, file) }, options)
	require.NoError(t, err)
	return b
}

func unitOf(t *testing.T, b *Binder, id string) string {
	t.Helper()
	for _, u := range b.units {
		if u.ID == id {
			return string(u.html)
		}
	}
	t.Fatalf("there is no unit %s", id)
	return ""
}

// holds wants words in a long text, which is not told when they are not.
func holds(t *testing.T, text, words string) {
	t.Helper()
	assert.True(t, strings.Contains(text, words), "%s is not there", words)
}

// lacks wants words not to be in a long text.
func lacks(t *testing.T, text, words string) {
	t.Helper()
	if at := strings.Index(text, words); at >= 0 {
		assert.Fail(t, "what should not be there", "%s", text[max(0, at-80):min(len(text), at+80)])
	}
}

func TestUnits(t *testing.T) {
	t.Parallel()
	b := bound(t, kitchen(), a4())
	assert.Equal(t, []string{
		"title", "contents", "r-elbow-balm", "r-knuckle-balm", "r-bath-salts", "b-eb-1", "letter-b", "letter-c", "letter-e", "letter-o", "letter-s", "letter-v", "n-heat", "index",
	}, b.starts())
	balm := unitOf(t, b, "r-elbow-balm")
	for _, words := range []string{
		`<h1 class="opens">Balms</h1>`, `id="r-elbow-balm-v1"`, `id="r-elbow-balm-v2"`, `id="r-elbow-balm-v3"`, `id="r-elbow-balm-v4"`,
		`href="#m-beeswax"`, `href="#n-heat-steady-heat"`, `href="#r-bath-salts"`, `href="https://example.org/x"`, `src="data:image/png;base64,`,
		"20.0 / 50.0 / 100.0 / 200.0 / 400.0 g", "(Softer: 15.0 / 37.5 / ", "castor oil", "Divide", "In all",
	} {
		holds(t, strings.ToLower(balm), strings.ToLower(words))
	}
	lacks(t, balm, `"../`) // no address leads out of the document
	assert.Equal(t, 4, strings.Count(balm, `<table class="formula`)-strings.Count(balm, `class="formula portions`),
		"five batches, four to a table, in two versions; parts have their weights where the pot is divided")
	holds(t, unitOf(t, b, "r-knuckle-balm"), "Not for use as written.")
	lacks(t, balm, "Not for use as written.")
	holds(t, unitOf(t, b, "letter-b"), "The hives at Lark Row")
	holds(t, unitOf(t, b, "letter-b"), `<!--page r-elbow-balm-->`)
	holds(t, unitOf(t, b, "index"), `<!--pages r-elbow-balm-v1 r-elbow-balm-v2 r-knuckle-balm-v1-->`)
	holds(t, unitOf(t, b, "title"), "Knuckle balm")
	holds(t, unitOf(t, b, "b-eb-1"), `<a href="#r-elbow-balm">Elbow balm</a>`)
	holds(t, unitOf(t, b, "b-eb-1"), "For the fair.")
}

func TestHTML(t *testing.T) {
	t.Parallel()
	text, err := bound(t, kitchen(), a4()).HTML()
	require.NoError(t, err)
	lacks(t, string(text), "<!--page")
	lacks(t, string(text), reserved+"<")
	holds(t, string(text), `<a href="#r-elbow-balm-v1">`)
	lacks(t, string(text), "ZgotmplZ")
	ids := name.FindAllStringSubmatch(string(text), -1)
	seen := make(map[string]bool)
	for _, m := range ids {
		assert.False(t, seen[m[1]], "the id %s stands twice", m[1])
		seen[m[1]] = true
	}
	for _, m := range link.FindAllStringSubmatch(string(text), -1) {
		assert.True(t, seen[m[1]], "a link leads to %s, which is not there", m[1])
	}
}

func TestChoice(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		options Options
		want    []string
		fault   string
	}{
		{"a shelf", Options{Shelves: []string{"balms"}}, []string{"r-elbow-balm", "r-knuckle-balm"}, ""},
		{"a recipe by title", Options{Recipes: []string{"Bath salts"}}, []string{"r-bath-salts"}, ""},
		{"a recipe by address, and a shelf", Options{Recipes: []string{"bath-salts"}, Shelves: []string{"Balms"}}, []string{"r-elbow-balm", "r-knuckle-balm", "r-bath-salts"}, ""},
		{"since a day", Options{Since: dayOf("2026-03-01")}, []string{"r-elbow-balm", "n-heat"}, ""},
		{"since a day, on a shelf", Options{Since: dayOf("2026-02-01"), Shelves: []string{"Balms"}}, []string{"r-elbow-balm", "r-knuckle-balm"}, ""},
		{"nothing", Options{Since: dayOf("2027-01-01")}, nil, "nothing to print"},
		{"no such shelf", Options{Shelves: []string{"Blams"}}, nil, "did you mean “Balms”"},
		{"no such recipe", Options{Recipes: []string{"elbow-blam"}}, nil, "did you mean “elbow-balm”"},
	}
	build := built(t, kitchen())
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			test.options.Paper = Papers()[0]
			b, err := New(build, func(file string) ([]byte, error) { return fs.ReadFile(kitchen(), file) }, test.options)
			if test.fault != "" {
				assert.ErrorContains(t, err, test.fault)
				return
			}
			require.NoError(t, err)
			var got []string
			for _, id := range b.starts() {
				if strings.HasPrefix(id, "r-") || strings.HasPrefix(id, "n-") {
					got = append(got, id)
				}
			}
			assert.Equal(t, test.want, got)
			for _, m := range b.materials {
				assert.NotEmpty(t, b.usesOf(m), "%s is used by none of the recipes", m.Title)
			}
		})
	}
}
