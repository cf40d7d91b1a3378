package site

import (
	"fmt"
	"path"
	"slices"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/synthetic"
)

// larder is a handbook whose recipe calls its ingredients by other names than their pages do, with one page for members and one for the maker.
func larder() fstest.MapFS {
	return fstest.MapFS{
		"handbook.yaml": {Data: []byte("title: The larder\nshelves: [Empty, {name: Body oils, about: For after the bath.}]\nbatches: [100 g]\n")},
		"recipes/b/plain.md": {Data: []byte(`---
title: Plain oil
product: body oil
shelf: Body oils
summary: One oil.
updated: 2026-05-03
formula:
  - phase: All
    weigh: {Larder oil: 100 %}
---
`)},
		"recipes/a/mixed.md": {Data: []byte(`---
title: Mixed oil
product: body oil
shelf: Body oils
formula:
  - phase: One
    weigh: {Oil of the larder: q.s., Plain oil: 10 %, Butter of the cellar: 5 %}
  - phase: Two
    weigh: {Larder oil: 2 %, Scent of the attic: 0.5 %}
variants:
  - {name: Night, change: {Butter of the cellar: becomes Jojoba oil}}
splits:
  - {name: As it is, share: 1/2}
  - {name: With more, share: 1/2, add: {Castor oil: 1 %}}
---
`)},
		"recipes/club.md": {Data: []byte(`---
title: Club oil
product: body oil
shelf: Body oils
access: members
formula:
  - phase: All
    weigh: {Larder oil: 90 %, Attic scent: 10 %}
---
`)},
		"ingredients/larder-oil.md": {Data: []byte(`---
name: Larder oil
also: [Oil of the larder, larder  OIL, "Huile <d'office>"]
role: [oil, ph-adjuster]
summary: From the second shelf.
inci: {Larderia Domestica Seed Oil: 60 %, Tocopherol: 40 %}
---
`)},
		"ingredients/cellar.md": {Data: []byte("---\nname: Cellar butter\nalso: Butter of the cellar\naccess: members\ninci: Cellaria Butter\n---\n")},
		"ingredients/attic.md":  {Data: []byte("---\nname: Attic scent\nalso: Scent of the attic\naccess: maker\ninci: Parfum\n---\n")},
		"notes/shelving.md":     {Data: []byte("---\ntitle: Shelving\nupdated: 2026-06-11\n---\n")},
		"notes/locking.md":      {Data: []byte("---\ntitle: Locking up\naccess: members\n---\n")},
	}
}

func buildOf(t testing.TB, files fstest.MapFS, edition Edition) *Build {
	t.Helper()
	return newBuild(bookIn(t, files), edition, defaultTheme(t), nil)
}

// find gives the entry of a path.
func find(t *testing.T, entries []Entry, path string) Entry {
	t.Helper()
	i := slices.IndexFunc(entries, func(e Entry) bool { return e.Path == path })
	require.GreaterOrEqual(t, i, 0, path)
	return entries[i]
}

func TestEntriesAreInOrder(t *testing.T) {
	t.Parallel()
	recipes := []string{"recipe mixed", "recipe plain"}
	common := []string{"ingredient castor-oil", "ingredient jojoba-oil", "ingredient larder-oil"}
	ends := []string{"note shelving", "shelf body-oils"}
	tests := map[Edition][]string{
		OpenEdition:    slices.Concat(recipes, common, ends),
		MembersEdition: slices.Concat(recipes, []string{"recipe club", "ingredient castor-oil", "ingredient cellar"}, common[1:], []string{"note locking"}, ends),
		MakerEdition:   slices.Concat(recipes, []string{"recipe club", "ingredient attic", "ingredient castor-oil", "ingredient cellar"}, common[1:], []string{"note locking"}, ends),
	}
	folders := map[string]string{"recipe": "recipes", "ingredient": "ingredients", "note": "notes", "shelf": "shelves"}
	for edition, want := range tests {
		t.Run(string(edition), func(t *testing.T) {
			t.Parallel()
			var got []string
			for _, e := range buildOf(t, larder(), edition).entries() {
				slug := path.Base(path.Dir(e.Path))
				assert.Equal(t, folders[e.Kind], path.Dir(path.Dir(e.Path)))
				got = append(got, e.Kind+" "+slug)
				assert.Equal(t, slices.Contains([]string{"club", "cellar", "locking"}, slug), e.Members, e.Path)
				assert.False(t, e.Teaser, e.Path)
			}
			assert.Equal(t, want, got)
		})
	}
}

func TestEntry(t *testing.T) {
	t.Parallel()
	all := buildOf(t, larder(), OpenEdition).entries()
	may := time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC)
	june := time.Date(2026, 6, 11, 0, 0, 0, 0, time.UTC)
	assert.Equal(t, Entry{
		Path: "recipes/plain/index.html", Title: "Plain oil", Summary: "One oil.", Kind: "recipe", Tag: "body oil", Shelf: "Body oils",
		Words: []string{"Larder oil"}, Updated: &may,
		Facts: EntryFacts{Category: "leave-on", Versions: []EntryVersion{{Name: "As written", Takes: []string{"larder-oil"}}}},
	}, find(t, all, "recipes/plain/index.html"))
	assert.Equal(t, Entry{
		Path: "ingredients/larder-oil/index.html", Title: "Larder oil", Summary: "From the second shelf.", Kind: "ingredient", Tag: "oil, pH adjuster",
		Words: []string{"Oil of the larder", "Huile <d'office>", "Larderia Domestica Seed Oil", "Tocopherol"},
		Facts: EntryFacts{Material: "larder-oil"},
	}, find(t, all, "ingredients/larder-oil/index.html"))
	assert.Equal(t, Entry{Path: "notes/shelving/index.html", Title: "Shelving", Kind: "note", Updated: &june}, find(t, all, "notes/shelving/index.html"))
	assert.Equal(t, Entry{Path: "shelves/body-oils/index.html", Title: "Body oils", Summary: "For after the bath.", Kind: "shelf"},
		find(t, all, "shelves/body-oils/index.html"))
}

// A recipe is found by what its formula calls an ingredient, and by the name on the ingredient's page only where the edition has that page.
func TestRecipeWords(t *testing.T) {
	t.Parallel()
	tests := map[Edition][]string{
		OpenEdition: {
			"Oil of the larder", "Larder oil", "Plain oil", "Butter of the cellar", "Scent of the attic", "Jojoba oil", "Jojoba oil, golden", "Castor oil",
		},
		MembersEdition: {
			"Oil of the larder", "Larder oil", "Plain oil", "Butter of the cellar", "Cellar butter", "Scent of the attic", "Jojoba oil", "Jojoba oil, golden", "Castor oil",
		},
		MakerEdition: {
			"Oil of the larder", "Larder oil", "Plain oil", "Butter of the cellar", "Cellar butter", "Scent of the attic", "Attic scent", "Jojoba oil", "Jojoba oil, golden", "Castor oil",
		},
	}
	for edition, want := range tests {
		t.Run(string(edition), func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, want, find(t, buildOf(t, larder(), edition).entries(), "recipes/mixed/index.html").Words)
		})
	}
}

// Every entry of the demonstration leads to a file that the edition has, and each to its own.
func TestEntriesLeadSomewhere(t *testing.T) {
	t.Parallel()
	s := NewBuild(demoBook(t), OpenEdition, defaultTheme(t))
	entries, paths := s.entries(), s.Paths()
	require.Greater(t, len(entries), 50)
	seen := map[string]bool{}
	for _, e := range entries {
		assert.Contains(t, paths, e.Path)
		assert.False(t, seen[e.Path], e.Path)
		seen[e.Path] = true
	}
}

// No list for programs tells a word of what its edition is not for.
func TestListsKeepSilent(t *testing.T) {
	t.Parallel()
	for edition, allowed := range map[Edition]string{OpenEdition: "^$", MembersEdition: "^canarym", MakerEdition: "^canary[mk]"} {
		t.Run(string(edition), func(t *testing.T) {
			t.Parallel()
			s := NewBuild(bookIn(t, filesIn(t, "canaries.txtar")), edition, defaultTheme(t))
			entries := s.entries()
			day := time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC)
			for i := range entries {
				entries[i].Updated = &day
			}
			files := map[string]string{}
			put := func(name string, data []byte, err error) {
				require.NoError(t, err)
				require.NotEmpty(t, data)
				files[name] = string(data)
			}
			put(searchPath, searchJSON(oneByOne(entries)), nil)
			data, err := atomFeed(FeedInfo{Title: s.Title, Address: "https://larkrow.example/"}, entries)
			put(feedPath, data, err)
			for _, o := range sitemap("https://larkrow.example/", entries) {
				data, err := o.bytes()
				put(o.path, data, err)
			}
			words := canariesOf(files)
			for _, word := range words {
				assert.Regexp(t, allowed, word)
			}
			if edition != OpenEdition {
				assert.Greater(t, len(words), 8)
			}
		})
	}
}

// hostileWords are words that break a list where it is not written with care.
var hostileWords = []string{
	"]]>", "<script>alert(1)</script>", "Salt & <b>pepper</b> &amp; &#x26;", `"quoted" 'twice' \back\`, "a\x00b\x07c\x1bd\x7fe\u0085f",
	"one\ntwo\r\nthree\tfour", "מרקחת של שושנים", "\u202eturned round\u202c", "line\u2028paragraph\u2029end", "\xff\xfe broken \xc3", "\ufffe\uffff\ufdd0",
	"👩‍🌾 and 𝔉", "<!--", "<?xml version=\"1.1\"?>", "%00%zz+", "  spaces  ", "crème e\u0301", "\ud7ff\ue000\U0010ffff",
}

// hostilePages gives an entry for each hostile word, each a day older than the one before.
func hostilePages() []Entry {
	var all []Entry
	for i, word := range hostileWords {
		day := time.Date(2026, 6, 30-i, 0, 0, 0, 0, time.UTC)
		all = append(all, Entry{
			Path: fmt.Sprintf("recipes/h%02d/index.html", i), Title: word, Summary: "Of " + word, Kind: "recipe", Tag: word, Shelf: word,
			Words: []string{word, word + "!"}, Updated: &day, Members: i%5 == 0,
		})
	}
	return all
}

// manyPages gives entries as a large handbook has them.
func manyPages(n int) []Entry {
	all := make([]Entry, n)
	for i := range all {
		day := time.Date(2020, 1, 1+i%2000, 0, 0, 0, 0, time.UTC)
		all[i] = Entry{
			Path: fmt.Sprintf("recipes/hedgerow-hand-cream-%d/index.html", i), Title: fmt.Sprintf("Hedgerow hand cream %d", i),
			Summary: "A cream for hands that have been out in the weather, with rosehip and beeswax.", Kind: "recipe", Tag: "hand cream", Shelf: "Creams & lotions",
			Words:   []string{"Distilled water", "Vegetable glycerin", "Rosehip oil", "Beeswax", "Cetearyl alcohol", "Phenoxyethanol & ethylhexylglycerin blend"},
			Updated: &day,
		}
	}
	return all
}

func BenchmarkEntries(b *testing.B) {
	files := fstest.MapFS{}
	for name, data := range synthetic.Files(synthetic.Size{Recipes: 1000, Ingredients: 400, Notes: 50, Seed: 1}) {
		files[name] = &fstest.MapFile{Data: data}
	}
	s := newBuild(bookIn(b, files), OpenEdition, defaultTheme(b), nil)
	require.Greater(b, len(s.entries()), 1000)
	b.ReportAllocs()
	for b.Loop() {
		s.entries()
	}
}
