package site

import (
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// What programs read of a handbook whose texts all attack them is well-formed, has the texts in full, and nothing in it runs.
func TestHostileWordsInFilesForPrograms(t *testing.T) {
	t.Parallel()
	words := attacks("elsewhere.example")
	kinds := map[string]int{}
	for _, edition := range []Edition{OpenEdition, MakerEdition} {
		dir := t.TempDir()
		buildInto(t, hostileBook("https://larkrow.example", "elsewhere.example", words), edition, dir)
		for file, text := range filesOf(t, dir) {
			switch ext := path.Ext(file); {
			case ext == ".json" || ext == ".webmanifest":
				var data any
				require.NoError(t, json.Unmarshal([]byte(text), &data), file)
			case ext == ".xml":
				assertPlainXML(t, file, text)
			case ext == ".csv":
				assertNothingRuns(t, file, text)
			case ext == ".svg" && !strings.HasPrefix(file, "assets/"):
				for _, bad := range []string{"pwned", "elsewhere", "javascript"} {
					assert.NotContains(t, text, bad, "%q", file)
				}
				assertPlainXML(t, file, text)
			case ext == ".html":
				assertPlainPage(t, file, text)
			default:
				continue
			}
			kinds[path.Ext(file)]++
		}
		files := filesOf(t, dir)
		var found struct{ Entries []struct{ Title string } }
		require.NoError(t, json.Unmarshal([]byte(files["search.json"]), &found))
		for i, w := range words {
			title := fmt.Sprintf("%s cream %d", w, i)
			assert.True(t, slices.ContainsFunc(found.Entries, func(e struct{ Title string }) bool { return e.Title == title }), "search.json has %q", title)
			var recipe struct{ Title string }
			require.NoError(t, json.Unmarshal([]byte(files[fmt.Sprintf("recipes/h-%d/formula.json", i)]), &recipe))
			assert.Equal(t, title, recipe.Title)
		}
	}
	for _, ext := range []string{".json", ".xml", ".csv", ".html", ".svg"} {
		assert.Positive(t, kinds[ext], "no file %s was looked at", ext)
	}
}

// assertPlainXML reads a file as programs do: it is well-formed and has no element that a text could have brought.
func assertPlainXML(t *testing.T, file, text string) {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err, file)
		if start, ok := token.(xml.StartElement); ok {
			assert.NotContains(t, []string{"x-h", "script", "img", "iframe", "meta", "base"}, start.Name.Local, file)
		}
	}
}

// assertPlainPage reads a page as browsers do without scripts: what is told to programs in it is JSON, and nothing in it was made by a text.
func assertPlainPage(t *testing.T, file, text string) {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(text))
	require.NoError(t, err)
	for n := range doc.Descendants() {
		if n.Type == html.CommentNode {
			t.Errorf("%s: a comment: %s", file, n.Data)
		}
		if n.Type != html.ElementNode {
			continue
		}
		require.NotContains(t, []string{"x-h", "iframe", "object", "embed", "base", "style"}, n.Data, file)
		kind, src := "", ""
		for _, a := range n.Attr {
			require.False(t, strings.HasPrefix(a.Key, "on") || a.Key == "x-h" || a.Key == "style" || a.Key == "http-equiv" || a.Key == "autofocus", "%s: <%s %s>", file, n.Data, a.Key)
			if a.Key == "href" || a.Key == "src" {
				require.NotContains(t, []string{"javascript", "data", "vbscript"}, scheme(a.Val), "%s: <%s %s=%q>", file, n.Data, a.Key, a.Val)
			}
			switch a.Key {
			case "type":
				kind = a.Val
			case "src":
				src = a.Val
			}
		}
		if n.Data != "script" || src != "" {
			continue
		}
		require.True(t, strings.HasSuffix(kind, "json"), "%s: a script stands in the page", file)
		var data any
		require.NoError(t, json.Unmarshal([]byte(n.FirstChild.Data), &data), file)
	}
}

// assertNothingRuns reads a table as spreadsheets do, with cells parted by commas or by semicolons: no cell is a formula.
func assertNothingRuns(t *testing.T, file, text string) {
	t.Helper()
	for _, comma := range []rune{',', ';', '\t'} {
		r := csv.NewReader(strings.NewReader(text))
		r.Comma, r.LazyQuotes, r.FieldsPerRecord = comma, true, -1
		rows, err := r.ReadAll()
		require.NoError(t, err, file)
		require.NotEmpty(t, rows)
		for _, row := range rows {
			for _, cell := range row {
				assert.NotContains(t, "=+-@＝＋－＠", string([]rune(strings.Trim(cell, " \"\t") + "x")[:1]), "%s, cells parted by %q: %q", file, comma, cell)
			}
		}
	}
}

func TestGuardOfParts(t *testing.T) {
	t.Parallel()
	for cell, want := range map[string]string{
		"": "", "Glycerin": "Glycerin", "oil-soluble": "oil-soluble", "5 %": "5 %", "a; b": "a; b", "=1+1": "'=1+1", " =1": "' =1", "+1": "'+1", "-1": "'-1", "@x": "'@x", "＝1": "'＝1", "\t=1": "'\t=1",
		"a;=1": "a;'=1", `a; "=1`: `a;' "=1`, "-1;+2": "'-1;'+2", "ä=1": "ä=1",
	} {
		assert.Equal(t, want, guard(cell), "%q", cell)
	}
}

// FuzzGuard writes any words as a cell beside others: no way of reading the table makes a formula of it, and the words are kept.
func FuzzGuard(f *testing.F) {
	for _, s := range append(attacks("elsewhere.example"), "a;=1", "\t@x", `";"=1`, "＝1", "-", "a; b") {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, words string) {
		words = strings.Join(strings.Fields(strings.ToValidUTF8(words, "")), " ") // as names are
		var b strings.Builder
		w := csv.NewWriter(&b)
		require.NoError(t, w.Write([]string{"base", guard(words), "5 %"}))
		w.Flush()
		assertNothingRuns(t, "cell", b.String())
		r := csv.NewReader(strings.NewReader(b.String()))
		row, err := r.Read()
		require.NoError(t, err)
		assert.Equal(t, strings.ReplaceAll(words, "'", ""), strings.ReplaceAll(row[1], "'", ""))
	})
}
