package site

import (
	"bytes"
	"encoding/json"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/golden"
)

// A searchEntry is one page in search.json as its reader has it, the file written down a second time. Members is left out where the page is for everyone, and so is what is not known: an ingredient
// without contains may hold any food allergen, one with an empty list is made from none of their sources.
type searchEntry struct {
	Path    string   `json:"path"`
	Title   string   `json:"title"`
	Kind    string   `json:"kind"`
	Summary string   `json:"summary"`
	Tag     string   `json:"tag"`
	Shelf   string   `json:"shelf"`
	Words   []string `json:"words"`
	Members bool     `json:"members,omitempty"`

	Category string          `json:"category,omitempty"` // of a recipe
	Minutes  json.Number     `json:"minutes,omitempty"`  // a recipe's working time
	Takes    []string        `json:"takes,omitempty"`    // ids of the materials of all a recipe's versions
	Versions []searchVersion `json:"versions,omitempty"` // of a recipe
	Material string          `json:"material,omitempty"` // an ingredient's id
	Origin   string          `json:"origin,omitempty"`   // plant, animal, mineral or synthetic
	Contains []string        `json:"contains,omitzero"`  // food-allergen sources of an ingredient
}

// A searchVersion is what a version of a recipe takes: materials by where they stand in the entry's takes, from 0, and the names of what
// has no page.
type searchVersion struct {
	Name   string   `json:"name"`
	Takes  []int    `json:"takes"`
	Others []string `json:"others,omitempty"`
}

// searched reads a search.json as its reader would; every key is one of the format's.
func searched(t testing.TB, data []byte) []searchEntry {
	t.Helper()
	var file struct {
		Schema  int           `json:"schema"`
		Entries []searchEntry `json:"entries"`
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&file), "%s", data)
	assert.False(t, dec.More())
	assert.Equal(t, 1, file.Schema)
	require.NotNil(t, file.Entries)
	return file.Entries
}

func TestSearchJSON(t *testing.T) {
	t.Parallel()
	data := searchJSON(buildOf(t, larder(), MembersEdition).eachEntry)
	golden.Equal(t, filepath.Join("testdata", "lists", searchPath), string(data))

	entries := hostilePages()
	data = searchJSON(oneByOne(entries))
	got := searched(t, data)
	require.Len(t, got, len(entries))
	for i, e := range entries {
		assert.Equal(t, searchEntry{
			Path: e.Path, Title: jsonText(e.Title), Kind: e.Kind, Summary: jsonText(e.Summary), Tag: jsonText(e.Tag), Shelf: jsonText(e.Shelf),
			Words: []string{jsonText(e.Title), jsonText(e.Title) + "!"}, Members: e.Members,
		}, got[i], "%q", e.Title)
	}
	assert.Equal(t, len(entries)+2, bytes.Count(data, []byte("\n")), "a page a line")
}

// jsonText is a text with each byte that is no part of a character as U+FFFD.
func jsonText(s string) string { return string([]rune(s)) }

// Of a teaser no word is told, whatever the entry holds; a list of no pages is still a list.
func TestSearchJSONOfTeasers(t *testing.T) {
	t.Parallel()
	data := searchJSON(oneByOne([]Entry{
		{Path: "recipes/club/index.html", Title: "Club oil", Summary: "S", Kind: "recipe", Tag: "T", Shelf: "H", Words: []string{"Secret"}, Members: true, Teaser: true},
	}))
	assert.Equal(t, `{"schema":1,"entries":[
{"path":"recipes/club/index.html","title":"Club oil","kind":"recipe","summary":"S","tag":"T","shelf":"H","words":[],"members":true}
]}
`, string(data))
	data = searchJSON(oneByOne(nil))
	assert.Empty(t, searched(t, data))
}

// The demonstration's file is what encoding/json writes of the same entries.
func TestSearchJSONAsTheLibraryWrites(t *testing.T) {
	t.Parallel()
	data := searchJSON(NewProof(bookIn(t, os.DirFS(demoFolder)), MakerEdition, defaultTheme(t)).everyEntry)
	entries := searched(t, data)
	require.Greater(t, len(entries), 50)
	lines := make([]string, len(entries))
	for i, e := range entries {
		lines[i] = byLibrary(t, e, false, false)
	}
	assert.Equal(t, `{"schema":1,"entries":[`+"\n"+strings.Join(lines, "\n,")+"\n]}\n", string(data))
}

func BenchmarkSearchJSON(b *testing.B) {
	entries := manyPages(10_000)
	b.ReportAllocs()
	for b.Loop() {
		data := searchJSON(oneByOne(entries))
		b.SetBytes(int64(len(data)))
	}
}

// oneByOne gives entries one at a time.
func oneByOne(entries []Entry) iter.Seq[*Entry] {
	return func(yield func(*Entry) bool) {
		for i := range entries {
			if !yield(&entries[i]) {
				return
			}
		}
	}
}
