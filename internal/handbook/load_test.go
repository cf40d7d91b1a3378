package handbook_test

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io/fs"
	"os"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

const plainRecipe = `---
title: Plain
product: hand cream
shelf: Creams
formula:
  - phase: Öl
    weigh:
      Crème: 3 drops
      Sunflower oil: 97 %
batches: [250 g]
---
Stir :amount[Öl].
`

const soundRecipe = `---
title: Sound crème
product: hand cream
shelf: Creams
formula:
  - phase: A
    weigh: {Sunflower oil: 97 %, Crème: 3 %}
---
Stir.
`

// A page saved in another way has the same problems in the same places, and the same model.
func TestEncodings(t *testing.T) {
	t.Parallel()
	ways := map[string]func(string) []byte{
		"LF":                    func(s string) []byte { return []byte(s) },
		"CRLF":                  func(s string) []byte { return []byte(strings.ReplaceAll(s, "\n", "\r\n")) },
		"lone CR":               func(s string) []byte { return []byte(strings.ReplaceAll(s, "\n", "\r")) },
		"BOM":                   func(s string) []byte { return []byte("\uFEFF" + s) },
		"BOM and CRLF":          func(s string) []byte { return []byte("\uFEFF" + strings.ReplaceAll(s, "\n", "\r\n")) },
		"UTF-16 LE":             func(s string) []byte { return utf16With(s, 0xFF, 0xFE) },
		"UTF-16 BE":             func(s string) []byte { return utf16With(s, 0xFE, 0xFF) },
		"accents by themselves": func(s string) []byte { return []byte(strings.NewReplacer("è", "e\u0300", "Ö", "O\u0308").Replace(s)) },
	}
	for name, way := range ways {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for file, text := range map[string]string{"recipes/plain.md": plainRecipe, "recipes/sound.md": soundRecipe} {
				h, problems := handbook.Load(with(file, string(way(text))))
				want, wantProblems := handbook.Load(with(file, text))
				assert.Equal(t, wantProblems.Error(), problems.Error())
				require.Len(t, h.Recipes, 1)
				assert.Equal(t, want.Recipes[0], h.Recipes[0])
			}
			_, problems := handbook.Load(with("recipes/plain.md", string(way(plainRecipe))))
			assert.Equal(t, "recipes/plain.md:8:16: “drops” cannot be weighed", problems.Error())
			h, problems := handbook.Load(with("handbook.yaml", string(way(baseSettings)), "ingredients/sunflower-oil.md", string(way(baseMaterial))))
			require.NoError(t, problems.Err())
			assert.Equal(t, "The Larkrow stillroom", h.Title)
			assert.NotNil(t, h.Materials.Find("helianthus oil"))
		})
	}
}

// utf16With writes UTF-16 with a byte order mark, whose two bytes are given.
func utf16With(s string, first, second byte) []byte {
	raw := []byte{first, second}
	for _, u := range utf16.Encode([]rune(s)) {
		if first == 0xFF {
			raw = append(raw, byte(u), byte(u>>8))
		} else {
			raw = append(raw, byte(u>>8), byte(u))
		}
	}
	return raw
}

// What is no text is one problem, at the first bad character.
func TestNoText(t *testing.T) {
	t.Parallel()
	utf16le := utf16With(soundRecipe, 0xFF, 0xFE)
	cases := map[string]struct{ page, want string }{
		"Latin-1":        {"---\ntitle: é Cr\xe8me br\xfbl\xe9e\n---\n", "2:12: this is not UTF-8 text"},
		"Latin-1 body":   {soundRecipe + "sch\xf6n", "10:4: this is not UTF-8 text"},
		"zero byte":      {"---\ntitle: a\x00b\n---\n", "2:9: there is a zero byte here"},
		"UTF-16, no BOM": {string(utf16le[2:]), "1:2: there is a zero byte here"},
		"odd UTF-16":     {string(utf16le[:len(utf16le)-1]), "1:1: the file cannot be read as text: it ends in the middle of a UTF-16 character"},
		"half a pair":    {string(append(utf16With("---\ntitle: é", 0xFF, 0xFE), 0x00, 0xD8, '\n', 0)), "2:9: a character was lost here"},
		"lost earlier":   {"---\ntitle: Cr\uFFFDme\n---\n", "2:10: a character was lost here"},
		"too large":      {"---\ntitle: x\n---\n" + strings.Repeat("x", 2<<20), "1:1: the file is larger than the 2 MB"},
		"facts too long": {"---\ntitle: x\n" + strings.Repeat("# x\n", 100_000) + "---\n", "2:1: the facts are longer than the 256 KB"},
		"picture":        {"\x89PNG\r\n\x1a\n\x00", "3:1: there is a zero byte here"},
	}
	for name, c := range cases {
		for _, file := range []string{"recipes/page.md", "ingredients/page.md", "notes/page.md", "handbook.yaml"} {
			if file == "handbook.yaml" && name == "facts too long" {
				continue // its facts begin on line 1
			}
			t.Run(name+"/"+file, func(t *testing.T) {
				t.Parallel()
				_, problems := handbook.Load(with(file, c.page))
				placed(t, problems)
				all := problems.All()
				require.Len(t, all, 1, "%v", problems)
				assert.True(t, strings.HasPrefix(all[0].Error(), file+":"+c.want), "%v", all[0])
			})
		}
	}
}

// A file's name is its address, so some names are refused; each cause is told once.
func TestFileNames(t *testing.T) {
	t.Parallel()
	note := "---\ntitle: X\n---\n"
	cases := map[string]struct {
		files fs.FS
		want  []string
	}{
		"not a slug":     {with("notes/Water Bath.md", note), []string{"notes/Water Bath.md:1:1: the file's name becomes the page's address"}},
		"accents":        {with("notes/crème.md", note), []string{"notes/crème.md:1:1: the file's name becomes"}},
		"no name":        {with("notes/-.md", note), []string{"notes/-.md:1:1: the file's name becomes"}},
		"sub-folders":    {with("notes/a/x.md", note, "notes/b/x.md", note), []string{"notes/b/x.md:1:1: the page would have the same address as notes/a/x.md"}},
		"other kinds":    {with("notes/x.md", note, "ingredients/x.md", "---\nname: X\n---\n"), nil},
		"case":           {with("notes/x.md", note, "notes/X.md", note), []string{"notes/x.md:1:1: the name differs from notes/X.md only in small", "notes/X.md:1:1: the file's name becomes"}},
		"case of .md":    {with("notes/x.md", note, "notes/x.MD", note), []string{"notes/x.md:1:1: the name differs from notes/x.MD only in small"}},
		"picture case":   {with("pictures/Hedgerow.svg", "<svg/>"), []string{"pictures/hedgerow.svg:1:1: the name differs from pictures/Hedgerow.svg only"}},
		"passed over":    {with("notes/_draft.md", "x", "notes/.x.md", "x", "_old/x.md", "x", ".git/x.md", "x", "recipes/_old/x.md", "x"), nil},
		"other files":    {with("notes/x.txt", "x", "README.md", "x", "recipes/prices.csv", "x", "batches/2026.yaml", "x"), nil},
		"two endings":    {with("notes/x.md.txt", note), []string{"notes/x.md.txt:1:1: a page's name ends in .md"}},
		"other ending":   {with("recipes/x.markdown", note), []string{"recipes/x.markdown:1:1: a page's name ends in .md"}},
		"folder's name":  {with("recipe/x.md", note), []string{"recipe:1:1: no part of a handbook has this name"}},
		"folder's case":  {with("Notes/x.md", note), []string{"Notes:1:1: no part of a handbook has this name"}},
		"settings, .yml": {without(with("handbook.yml", baseSettings), "handbook.yaml"), []string{"handbook.yaml:1:1: the file is missing", "handbook.yml:1:1: no part of a handbook has this name"}},
		"no settings":    {without(with("recipes/x.md", soundRecipe), "handbook.yaml"), []string{"handbook.yaml:1:1: the file is missing"}},
		"nothing":        {fstest.MapFS{}, []string{"handbook.yaml:1:1: the file is missing"}},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h, problems := handbook.Load(c.files)
			placed(t, problems)
			all := problems.All()
			require.Len(t, all, len(c.want), "%v", problems)
			for _, w := range c.want {
				assert.Contains(t, problems.Error(), w)
			}
			require.NotNil(t, h.Materials)
		})
	}
}

func without(files fstest.MapFS, file string) fstest.MapFS {
	delete(files, file)
	return files
}

// A faulty file is not told again by the pages that need it.
func TestNoConsequences(t *testing.T) {
	t.Parallel()
	volumes := strings.Replace(soundRecipe, "97 %", "97 ml", 1)
	pictured := "---\ntitle: X\npicture: hedgerow.svg\n---\n"
	cases := map[string]struct {
		files fs.FS
		want  string
	}{
		"settings unreadable":     {with("handbook.yaml", "title: [", "recipes/x.md", soundRecipe), "handbook.yaml:1"},
		"shelves with a problem":  {with("handbook.yaml", "title: x\nshelves: [Soaps, {nam: Creams}]\n", "recipes/x.md", soundRecipe), "handbook.yaml:2:19: a shelf has no “nam”"},
		"density with a problem":  {with("ingredients/sunflower-oil.md", strings.Replace(baseMaterial, "g/ml", "", 1), "recipes/x.md", volumes), "ingredients/sunflower-oil.md:5:10: a density"},
		"material not read":       {with("ingredients/sunflower-oil.md", "---\nname: [\n---\n", "recipes/x.md", volumes), "ingredients/sunflower-oil.md:3:1: a bracket"},
		"material no text":        {with("ingredients/sunflower-oil.md", "\xff", "recipes/x.md", volumes), "ingredients/sunflower-oil.md:1:1: this is not UTF-8"},
		"density not given":       {with("ingredients/sunflower-oil.md", "---\nname: Sunflower oil\n---\n", "recipes/x.md", volumes), "recipes/x.md:7:28: “97 ml” is a volume"},
		"picture not readable":    {refusing{with("notes/x.md", pictured), "pictures/hedgerow.svg"}, "pictures/hedgerow.svg:1:1: this cannot be read: permission denied"},
		"page not readable":       {refusing{with("notes/x.md", pictured), "notes/x.md"}, "notes/x.md:1:1: this cannot be read: permission denied"},
		"folder not readable":     {refusing{with("notes/x.md", pictured), "notes"}, "notes:1:1: this cannot be read: permission denied"},
		"settings not readable":   {refusing{with("recipes/x.md", soundRecipe), "handbook.yaml"}, "handbook.yaml:1:1: this cannot be read: permission denied"},
		"ingredients' sub-folder": {refusing{with("ingredients/a/x.md", "---\nname: X\n---\n"), "ingredients/a"}, "ingredients/a:1:1: this cannot be read: permission denied"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h, problems := handbook.Load(c.files)
			placed(t, problems)
			require.Len(t, problems.All(), 1, "%v", problems)
			assert.True(t, strings.HasPrefix(problems.Error(), c.want), "%v", problems)
			for _, r := range h.Recipes {
				h.Work(r)
			}
		})
	}
}

// refusing is a file system in which one file or folder may not be opened.
type refusing struct {
	fs.FS
	name string
}

func (r refusing) Open(name string) (fs.File, error) {
	if name == r.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return r.FS.Open(name)
}

// What cannot be read is for the maker's eyes alone, whatever it was meant to be.
func TestUnreadAccess(t *testing.T) {
	t.Parallel()
	open := "title: X\naccess: open\n"
	cases := map[string]struct {
		files fs.FS
		want  handbook.Access
	}{
		"open by the handbook":     {with("notes/x.md", "---\ntitle: X\n---\n"), handbook.Open},
		"bad word":                 {with("notes/x.md", "---\ntitle: X\naccess: opn\n---\n"), handbook.Maker},
		"front matter not read":    {with("notes/x.md", "---\naccess: open\ntitle: [\n---\n"), handbook.Maker},
		"no front matter":          {with("notes/x.md", "Words."), handbook.Maker},
		"not text":                 {with("notes/x.md", "---\n"+open+"---\n\xff"), handbook.Maker},
		"settings not read":        {with("handbook.yaml", "title: [", "notes/x.md", "---\ntitle: X\n---\n"), handbook.Maker},
		"settings with a bad word": {with("handbook.yaml", "title: x\naccess: member\n", "notes/x.md", "---\ntitle: X\n---\n"), handbook.Maker},
		"no settings, open page":   {without(with("notes/x.md", "---\n"+open+"---\n"), "handbook.yaml"), handbook.Open},
		"no settings":              {without(with("notes/x.md", "---\ntitle: X\n---\n"), "handbook.yaml"), handbook.Maker},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h, _ := handbook.Load(c.files)
			require.Len(t, h.Notes, 1)
			assert.Equal(t, c.want, h.Notes[0].Access)
		})
	}
}

// All problems come in one run: in the settings, in pages of every kind, and in pages that cannot be read at all.
func TestAllAtOnce(t *testing.T) {
	t.Parallel()
	_, problems := handbook.Load(with(
		"handbook.yaml", "title: x\nacces: open\nshelves: [Creams]\n",
		"ingredients/a.md", "---\nname: [\n---\n",
		"ingredients/b.md", "---\nname: B\nhlb: many\n---\n",
		"notes/a.md", "\xff",
		"notes/b.md", "---\ntitel: B\n---\n",
		"recipes/a.md", "",
		"recipes/b.md", plainRecipe,
		"recipes/c.md", strings.Replace(soundRecipe, "Creams", "Creme", 1),
	))
	var files []string
	for _, p := range problems.All() {
		line, _ := p.Span.Position()
		files = append(files, fmt.Sprintf("%s:%d", p.Span.File(), line))
	}
	assert.Equal(t, []string{
		"handbook.yaml:2", "ingredients/a.md:3", "ingredients/b.md:3", "notes/a.md:1", "notes/b.md:2", "recipes/a.md:1", "recipes/b.md:8", "recipes/c.md:4",
	}, files)
}

// Hostile YAML and long pages are read in bounded time and memory; the limit is that of the fuzz targets.
func TestBombs(t *testing.T) {
	t.Parallel()
	pages := map[string]string{
		"brackets":         "title: " + strings.Repeat("[", 100_000),
		"closed brackets":  "title: " + strings.Repeat("[", 9_000) + strings.Repeat("]", 9_000),
		"curly brackets":   "title: " + strings.Repeat("{a: ", 50_000),
		"dashes":           strings.Repeat("- ", 100_000),
		"question marks":   strings.Repeat("? ", 100_000),
		"one name":         strings.Repeat("title: x\n", 25_000),
		"many names":       numbered("n%d: x\n", 20_000),
		"many ingredients": "formula:\n - phase: A\n   weigh:\n" + numbered("    n%d: 1 %%\n", 15_000),
		"many bad amounts": "formula:\n - phase: A\n   weigh:\n" + numbered("    n%d: x\n", 15_000),
		"many measured":    "formula:\n - phase: A\n   weigh:\n" + numbered("    n%d: 1 per 4 of B\n", 5_000) + " - phase: B\n   weigh:\n" + numbered("    n%d: 1 %%\n", 5_000),
		"many phases":      "formula:\n" + numbered(" - {phase: P%d, weigh: {A: 1 %%}}\n", 6_000),
		"many batches":     "batches: [" + strings.Repeat("1 g, ", 40_000) + "]",
		"long number":      "keeps: " + strings.Repeat("9", 200_000) + " months",
		"long name":        strings.Repeat("x", 200_000) + ": y",
		"long amount":      "formula: [{phase: A, weigh: {B: " + strings.Repeat("1 kg ", 40_000) + "}}]",
		"long quote":       "title: \"" + strings.Repeat("\\x41", 50_000),
		"long comment":     strings.Repeat("# x\n", 60_000) + "title: x",
	}
	for name, facts := range pages {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h, problems := loadBounded(t, "recipes/page.md", []byte("---\n"+facts+"\n---\n"))
			assert.Positive(t, problems.Len())
			require.Len(t, h.Recipes, 1)
			assert.Empty(t, h.Work(h.Recipes[0]))
		})
	}
}

func numbered(form string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, form, i)
	}
	return b.String()
}

// Loading twice gives the same, though pages are read on all cores.
func TestDeterministic(t *testing.T) {
	t.Parallel()
	files := with(pairs(300)...)
	for i := range 60 {
		files[fmt.Sprintf("recipes/bad-%d.md", i)] = &fstest.MapFile{Data: []byte(plainRecipe + "\nMore.\n")}
	}
	first, firstProblems := handbook.Load(files)
	require.Len(t, firstProblems.All(), 60)
	for range 5 {
		h, problems := handbook.Load(files)
		assert.Equal(t, firstProblems.Error(), problems.Error())
		for what, same := range map[string]bool{
			"recipes": reflect.DeepEqual(first.Recipes, h.Recipes), "ingredients": reflect.DeepEqual(first.Ingredients, h.Ingredients), "notes": reflect.DeepEqual(first.Notes, h.Notes),
			"records": reflect.DeepEqual(first.Records, h.Records), "pictures": reflect.DeepEqual(first.Pictures, h.Pictures), "shelves": reflect.DeepEqual(first.Shelves, h.Shelves),
		} {
			require.True(t, same, "%s differ", what) // and are too many to tell how
		}
	}
}

func TestPictureSizes(t *testing.T) {
	t.Parallel()
	var raster bytes.Buffer
	require.NoError(t, png.Encode(&raster, image.NewRGBA(image.Rect(0, 0, 7, 3))))
	svg := func(box string) string { return `<svg viewBox="` + box + `"><rect/></svg>` }
	cases := map[string]struct {
		content       string
		width, height int
	}{
		"a.png":  {raster.String(), 7, 3},
		"b.png":  {"no picture", 0, 0},
		"c.jpg":  {raster.String(), 7, 3}, // by what it is, not by its name
		"d.png":  {"", 0, 0},
		"e.svg":  {svg("0 0 120 80"), 120, 80},
		"f.svg":  {svg("0,0,120.6,80.2"), 121, 80},
		"g.svg":  {svg("0 0 -120 80"), 0, 80},
		"h.svg":  {svg("0 0 1e300 NaN"), 0, 0},
		"i.svg":  {svg("0 0 120"), 0, 0},
		"j.svg":  {"<svg", 0, 0},
		"k.svg":  {strings.Repeat(" ", 2<<20) + svg("0 0 1 1"), 0, 0},
		"l.svg":  {"<!DOCTYPE svg [<!ENTITY a 'b'>]>" + svg("0 0 5 6"), 5, 6},
		"m.SVG":  {"\uFEFF<?xml version='1.0'?>\r\n" + svg("0 0 5 6"), 5, 6},
		"n.gif":  {"GIF89a\x02\x00\x04\x00\x00\x00\x00", 2, 4},
		"o.webp": {"RIFF", 0, 0},
	}
	files := base()
	for name, c := range cases {
		files["pictures/"+name] = &fstest.MapFile{Data: []byte(c.content)}
	}
	files["recipes/beside.svg"] = &fstest.MapFile{Data: []byte(svg("0 0 9 9"))}
	h, problems := handbook.Load(files)
	require.NoError(t, problems.Err())
	for name, c := range cases {
		p := h.Pictures["pictures/"+name]
		require.NotNil(t, p, name)
		assert.Equal(t, [2]int{c.width, c.height}, [2]int{p.Width, p.Height}, name)
	}
	assert.Equal(t, 9, h.FindPicture("recipes/x.md", "beside.svg").Width)
	assert.Nil(t, h.FindPicture("notes/x.md", "beside.svg"))
	assert.Equal(t, 120, h.FindPicture("notes/a/x.md", "e.svg").Width)
	assert.Equal(t, 120, h.FindPicture("notes/a/x.md", "../../pictures/e.svg").Width)
	for _, outside := range []string{"", ".", "..", "../e.svg", "/pictures/e.svg", "../../../../etc/passwd"} {
		assert.Nil(t, h.FindPicture("notes/a/x.md", outside), outside)
	}
}

// On a real disk: what is no ordinary file is passed over, and nothing outside the folder is read.
func TestRealFolder(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, with("recipes/sound.md", soundRecipe)))
	require.NoError(t, os.Mkdir(dir+"/notes", 0o755))
	require.NoError(t, os.Mkdir(dir+"/notes/folder.md", 0o755))
	if err := os.Symlink("/etc/hostname", dir+"/notes/outside.md"); err != nil {
		t.Log("without a link: this system makes none")
		return
	}
	require.NoError(t, os.Symlink("../recipes/sound.md", dir+"/notes/inside.md"))
	root, err := os.OpenRoot(dir)
	require.NoError(t, err)
	defer root.Close()
	h, problems := handbook.Load(root.FS())
	require.Len(t, h.Notes, 2)
	for _, p := range problems.All() {
		assert.Contains(t, []string{"notes/outside.md", "notes/inside.md"}, p.Span.File())
	}
	outside := h.PageOf("notes/outside.md")
	require.NotNil(t, outside)
	assert.Empty(t, outside.Source.Text, "nothing outside the folder is read")
}

func TestSlug(t *testing.T) {
	t.Parallel()
	for words, want := range map[string]string{
		"Hedgerow hand cream": "hedgerow-hand-cream", "Crème brûlée": "creme-brulee", "Maker's — No. 2!": "makers-no-2",
		"": "page", "!!!": "page", "--a--": "a", "50 % shea": "50-shea", "ﬁne": "fine", "水": "page",
	} {
		assert.Equal(t, want, handbook.Slug(words), words)
	}
}

// pairs gives n sound recipes as files for with.
func pairs(n int) []string {
	var all []string
	for i := range n {
		all = append(all, fmt.Sprintf("recipes/r-%d.md", i), strings.Replace(soundRecipe, "Sound", fmt.Sprintf("Sound %d", i), 1))
	}
	return all
}

func BenchmarkLoad(b *testing.B) {
	page := goodPage(b, "recipes/hands/hedgerow-hand-cream.md")
	files := fstest.MapFS{}
	for _, f := range goodFiles(b) {
		files[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	for i := range 1_000 {
		files[fmt.Sprintf("recipes/r-%d.md", i)] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(page, "../../", "../"))}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, problems := handbook.Load(files); problems.Len() > 0 {
			b.Fatal(problems)
		}
	}
}

// An error of the file system that is none of a path is told as it is.
func TestOtherError(t *testing.T) {
	t.Parallel()
	_, problems := handbook.Load(broken{})
	require.Len(t, problems.All(), 6, "handbook.yaml and five folders")
	assert.Contains(t, problems.Error(), "handbook.yaml:1:1: this cannot be read: the disk is gone")
}

type broken struct{}

func (broken) Open(string) (fs.File, error) { return nil, errors.New("the disk is gone") }
