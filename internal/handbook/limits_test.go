package handbook_test

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// Each limit lets through what just fits and refuses one more, with the figure in its message.
func TestLimits(t *testing.T) {
	t.Parallel()
	in := func(line string) string {
		return strings.Replace(soundRecipe, "shelf: Creams\n", "shelf: Creams\n"+line, 1)
	}
	titled := func(n int) string {
		_, rest, _ := strings.Cut(strings.TrimPrefix(soundRecipe, "---\n"), "\n")
		return "---\ntitle: " + strings.Repeat("é", n) + "\n" + rest
	}
	padded := func(size int) string { return soundRecipe + strings.Repeat("x", size-len(soundRecipe)) }
	remark := func(size int) string {
		facts := strings.Split(soundRecipe, "---\n")[1]
		return strings.Replace(soundRecipe, "title:", "#"+strings.Repeat("x", size-len(facts)-2)+"\ntitle:", 1)
	}
	for _, row := range []struct {
		name        string
		fits, tells string
		not         string
	}{
		{"a file", padded(2 << 20), "the file is larger than the 2 MB that a page may have", padded(2<<20 + 1)},
		{"the facts", remark(256 << 10), "the facts are longer than the 256 KB that they may have", remark(256<<10 + 1)},
		{"a list", in("tools: [" + numbered("t%d, ", 1000) + "]\n"), "this list has 1001 values, and none can have more than 1000", in("tools: [" + numbered("t%d, ", 1001) + "]\n")},
		{"a value", in("summary: " + strings.Repeat("é", 4000) + "\n"), "this has 4001 characters, and 4000 are the most that can stand here", in("summary: " + strings.Repeat("é", 4001) + "\n")},
		{"a title", titled(200), "the name has 201 characters, and a page's name can have 200", titled(201)},
		{"versions", in("variants: [" + numbered("{name: V%d, add: {Shea butter: 1 %%}}, ", 11) + "]\n"), "a page can show 12 versions", in("variants: [" + numbered("{name: V%d, add: {Shea butter: 1 %%}}, ", 12) + "]\n")},
		{"batches", in("batches: [" + numbered("10%d g, ", 8) + "]\n"), "a page can show 8 batches, not 9", in("batches: [" + numbered("10%d g, ", 9) + "]\n")},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			_, problems := loadBounded(t, "recipes/page.md", []byte(row.fits))
			require.NoError(t, problems.Err())
			_, problems = loadBounded(t, "recipes/page.md", []byte(row.not))
			require.Len(t, problems.All(), 1, "%v", problems)
			assert.Contains(t, problems.Error(), "recipes/page.md:")
			assert.Contains(t, problems.Error(), row.tells)
		})
	}
}

// A formula of 200 ingredients is read, one of 201 is not; a name of 200 characters is read, one of 201 is not.
func TestFormulaLimits(t *testing.T) {
	t.Parallel()
	formula := func(lines string) []byte {
		return []byte("---\ntitle: X\nproduct: hand cream\nshelf: Creams\nformula:\n  - phase: A\n    weigh:\n      Sunflower oil: q.s.\n" + lines + "---\n")
	}
	_, problems := loadBounded(t, "recipes/page.md", formula(numbered("      dust %d: 0.1 %%\n", 199)))
	require.NoError(t, problems.Err())
	_, problems = loadBounded(t, "recipes/page.md", formula(numbered("      dust %d: 0.1 %%\n", 200)))
	assert.Contains(t, problems.Error(), "a formula can have 200 ingredients, and this one has 201")

	_, problems = loadBounded(t, "recipes/page.md", formula("      "+strings.Repeat("x", 200)+": 1 %\n"))
	require.NoError(t, problems.Err())
	_, problems = loadBounded(t, "recipes/page.md", formula("      "+strings.Repeat("x", 201)+": 1 %\n"))
	assert.Contains(t, problems.Error(), "this has 201 characters, and 200 are the most that can stand here")
}

// handbook.yaml and every folder have the same limits.
func TestLimitsEverywhere(t *testing.T) {
	t.Parallel()
	for file, text := range map[string]string{
		"handbook.yaml":     "title: X\nshelves: [" + numbered("S%d, ", 20_000) + "]\n",
		"ingredients/i.md":  "---\nname: X\nlots:\n" + numbered("  - {lot: L%d}\n", 1001) + "---\n",
		"ingredients/c.md":  "---\nname: X\ninci: {" + numbered("A%d: 0.01 %%, ", 1001) + "}\n---\n",
		"batches/c-1.md":    "---\nbatch: C-1\nrecipe: x\nsize: 1 g\nweighed:\n" + numbered("  T%d: {weighed: 1 g}\n", 1001) + "---\n",
		"notes/n.md":        "---\ntitle: X\nsummary: {" + numbered("a%d: b, ", 1001) + "}\n---\n",
		"notes/sequence.md": "---\n" + numbered("- a%d\n", 1001) + "---\n",
	} {
		t.Run(file, func(t *testing.T) {
			t.Parallel()
			_, problems := loadBounded(t, file, []byte(text))
			var told []string
			for _, p := range problems.All() {
				if p.Span.File() == file {
					told = append(told, p.Message)
				}
			}
			require.Len(t, told, 1)
			assert.Contains(t, told[0], "and none can have more than 1000")
		})
	}
}

// A large file is not held in memory to be measured: its size alone is asked for.
type large struct {
	fs.FileInfo
	size int64
}

func (l large) Size() int64 { return l.size }

type largeFile struct {
	fs.File
	size int64
}

func (f largeFile) Stat() (fs.FileInfo, error) {
	info, err := f.File.Stat()
	return large{info, f.size}, err
}

type swollen struct {
	fstest.MapFS
	sizes map[string]int64
}

func (s swollen) Open(name string) (fs.File, error) {
	f, err := s.MapFS.Open(name)
	if size, is := s.sizes[name]; is && err == nil {
		return largeFile{f, size}, nil
	}
	return f, err
}

func TestPictureLimits(t *testing.T) {
	t.Parallel()
	files, sizes := base(), map[string]int64{
		"pictures/fits.jpg": 32 << 20, "pictures/large.JPG": 32<<20 + 1, "pictures/fits.svg": 4 << 20, "pictures/large.SVG": 40 << 20,
	}
	for file := range sizes {
		files[file] = &fstest.MapFile{Data: []byte("x")}
	}
	r := handbook.NewReader(swollen{files, sizes})
	for range 2 { // told each time that it is read
		_, problems := r.Read(handbook.Everything)
		require.Equal(t, []string{
			"pictures/large.JPG:1:1: the file has 33 MB, and a picture can have 32",
			"pictures/large.SVG:1:1: the file has 40 MB, and a drawing can have 4",
		}, strings.Split(problems.Error(), "\n"))
		assert.Contains(t, problems.All()[0].Hint, "save it smaller")
		assert.Contains(t, problems.All()[1].Hint, "fewer details")
	}
}

// Names of files and folders that would drive a terminal or show as others are refused, and what is in such a folder is passed over.
func TestBadNames(t *testing.T) {
	t.Parallel()
	files := with("recipes/\x1b[2J/a.md", soundRecipe, "notes/a\nb.md", "x", "pictures/a\u202Egnp.svg", "<svg/>", "notes/\u200B.md", "x", "notes/bad\xff.md", "x")
	h, problems := handbook.Load(files)
	var told []string
	for _, p := range problems.All() {
		told = append(told, p.Error())
		assert.Equal(t, "rename it; letters, digits and hyphens are read everywhere", p.Hint)
	}
	assert.Equal(t, []string{
		"notes/a▯b.md:1:1: the name has a control character in it (U+000A), so it is passed over",
		"notes/bad\uFFFD.md:1:1: the name is not UTF-8 text, so it is passed over",
		"notes/▯.md:1:1: the name has a character in it that does not show (U+200B), so it is passed over",
		"pictures/a▯gnp.svg:1:1: the name has a character in it that does not show (U+202E), so it is passed over",
		"recipes/▯[2J:1:1: the name has a control character in it (U+001B), so it is passed over",
	}, told)
	assert.Empty(t, h.Recipes)
	assert.Empty(t, h.Notes)
}

// UTF-16 with half a pair, and other bytes that are no text, are told with their place.
func TestBrokenUTF16(t *testing.T) {
	t.Parallel()
	encode := func(units ...uint16) []byte {
		page := []byte{0xFF, 0xFE}
		for _, u := range units {
			page = append(page, byte(u), byte(u>>8))
		}
		return page
	}
	text := utf16.Encode([]rune(soundRecipe))
	_, problems := loadBounded(t, "recipes/page.md", encode(text...))
	require.NoError(t, problems.Err(), "the same in order")
	for name, page := range map[string][]byte{
		"half a pair":             encode(append(text[:len(text):len(text)], 0xD83D, 'x')...),
		"the second half":         encode(append(text[:len(text):len(text)], 0xDE00)...),
		"half a pair at the end":  encode(append(text[:len(text):len(text)], 0xD83D)...),
		"cut in a character":      encode(text...)[:41],
		"zeroes":                  append([]byte(soundRecipe), 0),
		"UTF-16 without its mark": encode(text...)[2:],
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, problems := loadBounded(t, "recipes/page.md", page)
			require.Len(t, problems.All(), 1, "%v", problems)
			assert.Contains(t, problems.All()[0].Hint, "UTF-8", "%v", problems)
		})
	}
}

// FuzzLegible reads any words as every sort of value of a recipe: what is taken shows as it is written, and what is refused is told once.
func FuzzLegible(f *testing.F) {
	for _, s := range []string{"Sunflower oil", "Glyc\u0435rin", "a\u202Eb", "\u200B", "👩\u200D🔬", "a\x1b[2J", strings.Repeat("x", 300), "می\u200Cخواهم", "=1+1", "<b>"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, words string) {
		quoted := fmt.Sprintf("%q", strings.ToValidUTF8(words, ""))
		if strings.Contains(quoted, `\x`) { // YAML's \x is a character, ours a byte
			t.Skip()
		}
		page := "---\ntitle: " + quoted + "\nproduct: hand cream\nshelf: Creams\nsummary: " + quoted + "\ntools: [" + quoted + "]\nformula:\n  - phase: Oil\n    weigh: {Sunflower oil: q.s., " + quoted + ": 1 %}\n---\n"
		h, problems := loadBounded(t, "recipes/page.md", []byte(page))
		require.Len(t, h.Recipes, 1)
		r := h.Recipes[0]
		shown := append([]string{r.Title, r.Summary}, r.Tools...)
		for _, v := range r.Versions {
			for _, item := range v.Items {
				shown = append(shown, item.Name)
			}
		}
		for _, s := range shown {
			for _, c := range s {
				if c < ' ' || c >= 0x7F && c < 0xA0 || c >= 0x202A && c <= 0x202E || c >= 0x2066 && c <= 0x2069 || c == 0x200B || c == 0xFEFF || c == 0xAD {
					t.Errorf("%q is taken with U+%04X", s, c)
				}
			}
		}
		places := make(map[string]bool)
		for _, p := range problems.All() {
			assert.False(t, places[p.Error()], "%v is told twice", p)
			places[p.Error()] = true
		}
	})
}
