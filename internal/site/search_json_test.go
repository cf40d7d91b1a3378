package site

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/golden"
)

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
	data, err := searchJSON(buildOf(t, larder(), MembersEdition).entries())
	require.NoError(t, err)
	golden.Equal(t, filepath.Join("testdata", "lists", searchPath), string(data))

	entries := hostilePages()
	data, err = searchJSON(entries)
	require.NoError(t, err)
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
	data, err := searchJSON([]Entry{
		{Path: "recipes/club/index.html", Title: "Club oil", Summary: "S", Kind: "recipe", Tag: "T", Shelf: "H", Words: []string{"Secret"}, Members: true, Teaser: true},
	})
	require.NoError(t, err)
	assert.Equal(t, `{"schema":1,"entries":[
{"path":"recipes/club/index.html","title":"Club oil","kind":"recipe","summary":"S","tag":"T","shelf":"H","words":[],"members":true}
]}
`, string(data))
	data, err = searchJSON(nil)
	require.NoError(t, err)
	assert.Empty(t, searched(t, data))
}

func BenchmarkSearchJSON(b *testing.B) {
	entries := manyPages(10_000)
	b.ReportAllocs()
	for b.Loop() {
		data, err := searchJSON(entries)
		if err != nil {
			b.Fatal(err)
		}
		b.SetBytes(int64(len(data)))
	}
}
