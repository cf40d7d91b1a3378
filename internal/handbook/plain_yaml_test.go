package handbook

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
	"golang.org/x/tools/txtar"
	"pgregory.net/rapid"
)

// Every page of the demonstration is plain, and its tree is the library's.
func TestPlainYAML(t *testing.T) {
	t.Parallel()
	pages := 0
	for name, page := range demonstration(t) {
		pages++
		assert.True(t, held(t, page), "%s is not plain", name)
	}
	assert.Greater(t, pages, 50)
}

// What is a little off is left to the library.
func TestNotPlainYAML(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"", "a", "- ", "-", "a:\tb", "a: b\n c", "a: b: c", "a: b:", "a: 'b\n  c'", "a: \"b\\n\"", "a: 'b' c", "a: 'b'#c", "a: [b", "a: [b,\n  c]", "a: [b, c,]", "a: {b}", "a: {b: }", "a: {b:c}", "a: {\"b\":c}",
		"a: [b: c]", "a: &b c", "a: *b", "a: !b c", "a: |\n  b", "a: >\n  b", "? a", "%a", "---\na: b", "a: b\n---\nc: d", "a: b\n...", "...: a", "<<: a", "a: <<", " a: b", "a: b\n  c: d", "a:\n  b: c\n d: e",
		"a:\n  - b\n c: d", "- a\nb: c", "- - a", "a: b\n- c", "a: Red #40", "a: # 1\n  b: c\n #2\n", "a: b\r\n", "a: b\u0085", "\uFEFFa: b", "a: \x00", "a: \xff", "a: \uFFFE", strings.Repeat("x", 600) + ": a",
		nested(20), "a: " + strings.Repeat("[", 20) + strings.Repeat("]", 20), "a: @b", "a: `b`", "a: -b", "a: .5", "a: b # c\n   d",
	} {
		_, plain := readPlain(text)
		assert.False(t, plain, "%q", text)
	}
	assert.True(t, held(t, nested(12)), "what is not too deep is plain")
}

// nested gives groups inside groups.
func nested(depth int) string {
	text := ""
	for i := range depth {
		text += strings.Repeat(" ", i) + "a:\n"
	}
	return text
}

// FuzzPlainYAML holds the reading of plain YAML against the library's, wherever a text is plain.
func FuzzPlainYAML(f *testing.F) {
	for _, page := range demonstration(f) {
		f.Add(page)
	}
	archives, err := filepath.Glob("testdata/*/*.txtar")
	require.NoError(f, err)
	for _, name := range append(archives, "testdata/good.txtar") {
		a, err := txtar.ParseFile(name)
		require.NoError(f, err)
		for _, file := range a.Files {
			f.Add(facts(string(file.Data)))
		}
	}
	for _, text := range []string{
		"a:\nb: # c\n  - d\n  # e\n  - {f: [g, 'h''i'], \"j\": ~}\nk:\n- l: m\n  n: null\n- o\n\n# p\n", "- a: b\n  c:\n    d: e\n- f\n", "a b: c#d:e f\n'g': \"\"\nh: []\ni: {}\n", "ü: ß\nö: [ä, ❄ x, {é: 🜄}]\n",
		"a:\n  # b\n\n  c: d\n # e\nf:\n    - g: h\n      i:\n      - j\n", "a: [b, c] # d\ne: 'f' # g\nh: i # j", "a: https://b.example/c?d=e#f\n", "a: 1\nb: 2026-05-03\nc: true\nd: .\ne: 0x1F\n", "a: [{b: c}, d]\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { held(t, text) })
}

// Texts drawn from the signs of YAML come nearer to what is just plain, or just not, than changed bytes do.
func TestPlainYAMLDrawn(t *testing.T) {
	t.Parallel()
	sign := rapid.SampledFrom([]string{
		"a", "b", "ü", "1", "~", "null", "a: ", "b: ", "a:", ": ", ":", "- ", "-", "\n", "\n", "\n  ", "\n    ", "\n- ", "\n  - ", "\n\n", "{", "}", "{a: ", "[", "]", ", ", ",", "'", "''", "'a'", "\"", "\"b\"", "# c", " #", "#", " ", "  ",
		"? ", "| ", "> ", "& ", "* ", "! ", "%", "@", ".", "...", "---", "<<", "\\", "\t", "\u00a0", "❄",
	})
	rapid.Check(t, func(r *rapid.T) {
		text := strings.Join(rapid.SliceOfN(sign, 1, 25).Draw(r, "signs"), "")
		if drawn := rapid.Bool().Draw(r, "begins as most do"); drawn {
			text = "a: b\n" + text
		}
		held(r, text)
	})
}

// held holds the plain reading of a text against the library's. It says whether the text is plain.
func held(t interface {
	require.TestingT
	Helper()
}, text string,
) bool {
	t.Helper()
	got, plain := readPlain(text)
	if !plain {
		return false
	}
	var want yaml.Node
	require.NoError(t, yaml.Load([]byte(text), &want), "%q", text)
	require.Len(t, want.Content, 1)
	require.Equal(t, outline(want.Content[0], ""), outline(got, ""), "%q", text)
	return true
}

// outline writes all of a tree that pages are read by.
func outline(n *yaml.Node, in string) string {
	tag := n.Tag
	switch tag {
	case "!!int", "!!float", "!!bool", "!!timestamp":
		tag = "!!str" // values are read as words
	}
	cut := len(n.LineComment) > 1 && digit(n.LineComment, 1)
	all := fmt.Sprintf("%s%d %s %d %q %q %v %d:%d %v\n", in, n.Kind, tag, n.Style, n.Value, n.Anchor, n.Alias != nil, n.Line, n.Column, cut)
	for _, c := range n.Content {
		all += outline(c, in+" ")
	}
	return all
}

// facts gives the front matter of a page, or all of a text that has none.
func facts(text string) string {
	if from, to, _, fault := splitPage(text); fault == "" {
		return text[from:to]
	}
	return text
}

// demonstration gives the facts of each page of the demonstration, and its handbook.yaml.
func demonstration(t testing.TB) map[string]string {
	t.Helper()
	all := make(map[string]string)
	files := os.DirFS("../../content")
	require.NoError(t, fs.WalkDir(files, ".", func(name string, _ fs.DirEntry, err error) error {
		if strings.HasSuffix(name, ".md") || name == settingsFile {
			data, err := fs.ReadFile(files, name)
			all[name] = facts(string(data))
			return err
		}
		return err
	}))
	return all
}
