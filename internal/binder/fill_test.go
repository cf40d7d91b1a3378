package binder

import (
	"io/fs"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

func TestFill(t *testing.T) {
	t.Parallel()
	text := []byte(`a <!--page r-a--> b <!--pages r-a r-b r-c--> c <!-- page -->`)
	tests := []struct {
		name  string
		pages Pages
		want  string
		fault string
	}{
		{"before printing", nil, `a 000 b <a href="#r-a">000</a>, <a href="#r-b">000</a>, <a href="#r-c">000</a> c <!-- page -->`, ""},
		{"each on its page", Pages{"r-a": 5, "r-b": 7, "r-c": 12}, `a 5 b <a href="#r-a">5</a>, <a href="#r-b">7</a>, <a href="#r-c">12</a> c <!-- page -->`, ""},
		{"two on one page", Pages{"r-a": 5, "r-b": 5, "r-c": 12}, `a 5 b <a href="#r-a">5</a>, <a href="#r-c">12</a> c <!-- page -->`, ""},
		{"one is nowhere", Pages{"r-a": 5, "r-c": 12}, "", "r-b"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			got, err := test.pages.fill(text)
			if test.fault != "" {
				assert.ErrorContains(t, err, test.fault)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, test.want, string(got))
		})
	}
	assert.Equal(t, `a  b <a href="#r-a">A &amp; B</a>, <a href="#r-b"></a>, <a href="#r-c"></a> c <!-- page -->`,
		string(fillNames(text, map[string]string{"r-a": "A & B"})))
}

func TestTurned(t *testing.T) {
	t.Parallel()
	b := &Binder{units: []*unit{{ID: "title"}, {ID: "contents", Back: true}, {ID: "r-a", Back: true}, {ID: "r-b", Back: true}, {ID: "letter-a"}, {ID: "index"}}}
	found := Pages{"title": 1, "contents": 3, "r-a": 4, "r-a-v2": 5, "r-b": 7, "letter-a": 9, "index": 10}
	backs, pages := b.turned(found, 10, nil)
	assert.Equal(t, map[string]bool{"contents": true, "r-a": true}, backs)
	assert.Equal(t, Pages{"title": 1, "contents": 3, "r-a": 5, "r-a-v2": 6, "r-b": 9, "letter-a": 11, "index": 12}, pages)
	again, same := b.turned(pages, 12, backs)
	assert.Equal(t, backs, again, "once the backs are in, nothing more is wanted")
	assert.Equal(t, pages, same)
	b.options.OneSided = true
	backs, pages = b.turned(found, 10, nil)
	assert.Empty(t, backs)
	assert.Equal(t, found, pages)
}

func TestCompare(t *testing.T) {
	t.Parallel()
	old := Manifest{Schema: 1, Look: "l", Sheets: []Sheet{
		{ID: "a", Title: "A", From: 1, To: 2, Words: "a", Drawn: "a"}, {ID: "b", Title: "B", From: 3, To: 4, Words: "b", Drawn: "b"}, {ID: "c", Title: "C", From: 5, To: 6, Words: "c", Drawn: "c"},
	}}
	now := Manifest{Schema: 1, Look: "l", Sheets: []Sheet{
		{ID: "a", Title: "A", From: 1, To: 2, Words: "a", Drawn: "x"}, {ID: "d", Title: "D", From: 3, To: 3, Words: "d", Drawn: "d"}, {ID: "c", Title: "C", From: 5, To: 7, Words: "y", Drawn: "y"},
	}}
	var got []string
	for _, r := range old.Compare(now) {
		got = append(got, r.Title+": "+r.Why+" -"+r.Out+" +"+r.In)
	}
	assert.Equal(t, []string{"A: points at other page numbers -1–2 +1–2", "D: new - +3", "C: changed -5–6 +5–7", "B: no longer in the binder -3–4 +"}, got)
	raw, err := old.Encode()
	require.NoError(t, err)
	again, err := ReadManifest(raw)
	require.NoError(t, err)
	assert.Equal(t, old, again)
	moved := old
	moved.Look = "m"
	assert.Len(t, old.Compare(moved), 3, "another look is another of every sheet")
	moved = old
	moved.Tabs = "m"
	moved.Sheets = slices.Clone(old.Sheets)
	moved.Sheets[1].Tab = true
	assert.Len(t, old.Compare(moved), 1, "other tabs are another of every sheet that has one")
	for _, bad := range []string{"", "[]", `{"schema": 2}`} {
		_, err := ReadManifest([]byte(bad))
		assert.Error(t, err, bad)
	}
}

func TestDivided(t *testing.T) {
	t.Parallel()
	v := &site.FormulaView{Phases: []site.PhaseView{{Rows: []site.RowView{{Name: "Wax"}}}}}
	for _, g := range []string{"1", "2", "3", "4", "5"} {
		b := site.BatchColumn{Size: g}
		if g == "2" {
			b.Missing = "there is none"
		}
		v.Batches = append(v.Batches, b)
		v.Phases[0].Rows[0].Weights = append(v.Phases[0].Rows[0].Weights, site.WeightView{G: g})
	}
	var got []string
	for _, part := range divided(v, 3) {
		words := ""
		for i, b := range part.Batches {
			assert.Equal(t, b.Size, part.Phases[0].Rows[0].Weights[i].G, "a weight stands under its batch")
			words += b.Size
		}
		got = append(got, words)
	}
	assert.Equal(t, []string{"134", "5"}, got)
	assert.Len(t, v.Phases[0].Rows[0].Weights, 5, "the table itself is left as it is")
}

// A transform would be painted again on every page of a printing.
func TestNoTransform(t *testing.T) {
	t.Parallel()
	sheets, err := fs.Glob(linen.FS, "print/*.css")
	require.NoError(t, err)
	require.NotEmpty(t, sheets)
	for _, file := range sheets {
		css, err := fs.ReadFile(linen.FS, file)
		require.NoError(t, err)
		assert.NotRegexp(t, `(?m)[{;]\s*(-webkit-)?(transform|rotate|scale|translate)\s*:`, string(css), file)
	}
}

func TestQuoted(t *testing.T) {
	t.Parallel()
	for words, want := range map[string]string{
		`Balms & butters`: `"Balms \26  butters"`,
		`the "dry" ones`:  `"the \22 dry\22  ones"`,
		"a\\b\nc":         `"a\5c b c"`,
		"</style>":        `"\3c /style\3e "`,
	} {
		assert.Equal(t, want, quoted(words))
		assert.False(t, strings.ContainsAny(strings.Trim(quoted(words), `"`), "\"\n<&"))
	}
}
