package site

import (
	"bytes"
	"io/fs"
	"maps"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/themes/linen"
)

// folder makes a file system of paths and texts.
func folder(pairs ...string) fstest.MapFS {
	m := fstest.MapFS{}
	for i := 0; i < len(pairs); i += 2 {
		m[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
	}
	return m
}

// bare is the smallest whole theme.
func bare(more ...string) fstest.MapFS {
	m := folder(more...)
	for _, kind := range pageKinds() {
		if _, ok := m[pagePath(kind)]; !ok {
			m[pagePath(kind)] = &fstest.MapFile{Data: []byte(`{{template "pieces/top.html" .}}` + kind)}
		}
	}
	if _, ok := m["pieces/top.html"]; !ok {
		m["pieces/top.html"] = &fstest.MapFile{Data: []byte(`<title>{{.Title}}</title>`)}
	}
	return m
}

func render(t *testing.T, theme *Theme, kind string, view any) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, theme.Render(&b, kind, view))
	return b.String()
}

func TestOwnFilesReplaceDefaults(t *testing.T) {
	own := folder(
		"pages/note.html", "\ufeff{{template \"pieces/top.html\" .}}our note",
		"pieces/top.html", "<h1>{{.Title}}</h1>",
		"assets/plain.css", "p{}", "assets/.keep", "", "README.md", "not of the theme",
	)
	theme, err := LoadTheme(bare("assets/plain.css", "a{}", "assets/still.svg", "<svg/>"), own)
	require.NoError(t, err)
	note := &NoteView{Frame: Frame{Title: "Drops & <b>"}}
	assert.Equal(t, "<h1>Drops &amp; &lt;b&gt;</h1>our note", render(t, theme, "note", note))
	assert.Equal(t, "<h1></h1>home", render(t, theme, "home", &HomeView{}))
	assets := theme.Assets()
	require.Len(t, assets, 2)
	assert.Equal(t, "p{}", string(assets["plain.css"].Bytes))
	assert.Contains(t, assets, "still.svg")
}

func TestThemeFaults(t *testing.T) {
	without := bare()
	delete(without, "pages/shelf.html")
	tests := []struct {
		name  string
		files fs.FS
		want  []string
	}{
		{"page missing", without, []string{"theme: pages/shelf.html is missing"}},
		{"broken template", bare("pages/home.html", "a\nb {{if}}"), []string{"theme: pages/home.html:2: missing value for if"}},
		{"two at once", bare("pages/home.html", "{{", "pages/note.html", "\n\n{{end}}"), []string{"pages/home.html:1:", "pages/note.html:3:"}},
		{"no such field", bare("pages/note.html", "\n{{.Weight}}"), []string{"theme: pages/note.html:2:2: executing", "Weight"}},
		{"field deep in a list", bare("pages/recipe.html", "{{range .Versions}}{{range .Findings}}{{if eq .Level `note`}}\n{{.Colour}}{{end}}{{end}}{{end}}"), []string{"theme: pages/recipe.html:2:2:", "Colour"}},
		{"no such piece", bare("pages/home.html", `{{template "pieces/lid.html" .}}`), []string{"pages/home.html:1:", "pieces/lid.html"}},
		{"unsafe place", bare("pages/home.html", "<a href='{{.Title}}"), []string{"pages/home.html", "ends in a non-text context"}},
		{"wrong kind", bare("pages/recipes.html", "x"), []string{"theme: pages/recipes.html: there is no such kind of page; did you mean “recipe”?"}},
		{"css to nowhere", bare("assets/a.css", "/* url(b.png) */\n\na{background:url( 'gone.svg' )}"), []string{`theme: assets/a.css:3: "gone.svg" is not among the theme's assets`}},
		{"css in a circle", bare("assets/a.css", `@import "b.css";`, "assets/b.css", "@import url(a.css);"), []string{`theme: assets/b.css:1: "a.css" leads in a circle`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := LoadTheme(folder(), tt.files)
			require.Error(t, err)
			for _, want := range tt.want {
				assert.ErrorContains(t, err, want)
			}
		})
	}
}

// The default theme is tried out here, and not whenever a command starts.
func TestDefaultThemeIsSound(t *testing.T) {
	theme := defaultTheme(t)
	assert.Empty(t, theme.tryOut(pageKinds()))
	assert.Empty(t, tryPrint(theme.print))
}

// Of a maker's own theme that is tried out which his files can have broken.
func TestKindsWith(t *testing.T) {
	for name, want := range map[string][]string{
		"pages/note.html": {"note"}, "pieces/top.html": pageKinds(), "words/en.yaml": pageKinds(), "assets/linen.css": {}, "print/binder.css": {},
	} {
		assert.Equal(t, want, kindsWith(map[string][]byte{name: nil}), name)
	}
	_, err := LoadTheme(linen.FS, folder("words/en.yaml", "page.more: \"{shelve}\"\n", "words/de.yaml", "page.more: \"{shelve}\"\n"))
	assert.ErrorContains(t, err, "needs a value for {shelve}", "a page of the default theme says it")
	_, err = LoadTheme(linen.FS, folder("pieces/top.html", "{{.Colour}}"))
	assert.ErrorContains(t, err, "pieces/top.html:1:2:")
}

// A fault in a shared piece shows on every page and is told once.
func TestSharedFaultIsToldOnce(t *testing.T) {
	_, err := LoadTheme(folder(), bare("pieces/top.html", "{{.Nothing.Here}}"))
	require.Error(t, err)
	seen := map[string]bool{}
	for _, e := range err.(interface{ Unwrap() []error }).Unwrap() {
		assert.False(t, seen[e.Error()], "twice: %v", e)
		seen[e.Error()] = true
	}
	assert.NotEmpty(t, seen)
}

func TestOwnFolderMustExist(t *testing.T) {
	_, err := LoadTheme(bare(), gone{})
	assert.ErrorIs(t, err, fs.ErrNotExist)
}

// gone is a folder that is not there.
type gone struct{}

func (gone) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
}

func TestRenderNamesAnUnknownKind(t *testing.T) {
	theme, err := LoadTheme(bare(), nil)
	require.NoError(t, err)
	assert.EqualError(t, theme.Render(&bytes.Buffer{}, "recipes", &NoteView{}), `theme: no page kind "recipes"`)
}

func TestAssetNamesFollowContent(t *testing.T) {
	css := `@import 'more/extra.css'; @font-face{src:url("fonts/f.woff2?v=1#x")}
a{background:url(data:image/png;base64,AA==)} b{background:url(https://larkrow.example/x.png)} i::after{content:"url(no.svg)"}
/* url(nor-this.svg) */ u{mask:url(still.svg)}`
	files := []string{"assets/linen.css", css, "assets/more/extra.css", "p{background:url(../still.svg)}", "assets/fonts/f.woff2", "F", "assets/still.svg", "<svg/>", "assets/LICENCE", "L"}
	load := func(files ...string) map[string]Asset {
		theme, err := LoadTheme(bare(files...), nil)
		require.NoError(t, err)
		return theme.Assets()
	}
	first := load(files...)
	// The digits are the beginning of what sha256sum prints for "F", "<svg/>" and "L".
	assert.Equal(t, "assets/fonts/f.f67ab10a.woff2", first["fonts/f.woff2"].Path)
	assert.Equal(t, "assets/still.d4dc5666.svg", first["still.svg"].Path)
	assert.Equal(t, "assets/LICENCE.72dfcfb0", first["LICENCE"].Path)
	extra := first["more/extra.css"]
	assert.Equal(t, `p{background:url("../still.d4dc5666.svg")}`, string(extra.Bytes))
	assert.Equal(t, `@import "`+extra.Path[len("assets/"):]+`"; @font-face{src:url("fonts/f.f67ab10a.woff2?v=1#x")}
a{background:url("data:image/png;base64,AA==")} b{background:url("https://larkrow.example/x.png")} i::after{content:"url(no.svg)"}
/* url(nor-this.svg) */ u{mask:url("still.d4dc5666.svg")}`, string(first["linen.css"].Bytes))

	assert.Equal(t, first, load(files...), "the same files give the same names")
	files[7] = "<svg></svg>"
	second := load(files...)
	for _, name := range []string{"still.svg", "more/extra.css", "linen.css"} {
		assert.NotEqual(t, first[name].Path, second[name].Path, "%s points at the changed picture", name)
	}
	assert.Equal(t, first["fonts/f.woff2"], second["fonts/f.woff2"])
}

// Every asset that the default theme's pages name is there, and nothing is fetched from elsewhere.
func TestLinenAssets(t *testing.T) {
	theme := defaultTheme(t)
	assets := theme.Assets()
	for _, name := range []string{"linen.css", "mark.svg"} {
		assert.Contains(t, assets, name)
	}
	assert.NotContains(t, string(assets["linen.css"].Bytes), "//")
	again, err := LoadTheme(linen.FS, folder())
	require.NoError(t, err)
	assert.True(t, maps.Equal(theme.assetPaths(), again.assetPaths()))
}

// BenchmarkLoadTheme reads the default theme, as every start of publish and preview does.
func BenchmarkLoadTheme(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, err := LoadTheme(linen.FS, nil)
		require.NoError(b, err)
	}
}
