package site

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"larkrow.example/stillroom/internal/browser/browsertest"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/words"
	"larkrow.example/stillroom/themes/linen"
)

// spoken gives the default theme's languages.
func spoken(t testing.TB) *words.Set {
	t.Helper()
	set, err := words.Load(linen.FS, nil)
	require.NoError(t, err)
	return set
}

func TestLanguagesAreWhole(t *testing.T) {
	set := spoken(t)
	require.Equal(t, []string{"en", "de"}, set.Codes())
	for _, code := range set.Codes() {
		l, _ := set.In(code)
		assert.Empty(t, l.Missing(), code)
		for _, key := range l.Keys() {
			assert.Equal(t, english().Places(key), l.Places(key), "%s of %s", key, code)
		}
	}
	for kind, all := range map[string][]string{"role": material.Roles(), "product": law.ProductNames()} {
		for _, word := range all {
			assert.True(t, english().Has(kind+"."+word), "%s.%s", kind, word)
		}
	}
}

// sources gives the texts of files that match, by path, tests left out.
func sources(t testing.TB, fsys fs.FS, pattern string) map[string]string {
	t.Helper()
	names, err := fs.Glob(fsys, pattern)
	require.NoError(t, err)
	all := map[string]string{}
	for _, name := range names {
		if !strings.HasSuffix(name, "_test.go") {
			data, err := fs.ReadFile(fsys, name)
			require.NoError(t, err)
			all[name] = string(data)
		}
	}
	require.NotEmpty(t, all, pattern)
	return all
}

// Every text is said somewhere: in a template or in Go by its key, or by the beginning of its key where the rest is worked out; in a script by what
// follows the script's name in its key.
func TestEveryTextIsSaid(t *testing.T) {
	quoted := regexp.MustCompile(`"([a-zA-Z0-9. -]+)"`)
	said := map[string]bool{}
	for _, all := range []map[string]string{sources(t, os.DirFS("."), "*.go"), sources(t, os.DirFS("../words"), "*.go"), sources(t, linen.FS, "pages/*.html"), sources(t, linen.FS, "pieces/*.html")} {
		for _, text := range all {
			for _, m := range quoted.FindAllStringSubmatch(text, -1) {
				said[m[1]] = true
			}
		}
	}
	kinds := []string{"role", "product", "category", "use", "food", "origin", "mark", "fact.against", "fact.how", "fact.dissolves"} // what named is asked for
	scripts := sources(t, linen.FS, "assets/*.js")
	for _, key := range english().Keys() {
		if rest, ok := strings.CutPrefix(key, words.ScriptKeys); ok {
			script, name, _ := strings.Cut(rest, ".")
			by := regexp.MustCompile(`\b` + regexp.QuoteMeta(name) + `\b|'` + regexp.QuoteMeta(script) + `\.(open-)?'`)
			assert.True(t, by.MatchString(scripts["assets/"+script+".js"]+scripts["assets/weigh.js"]), "%s is never said", key)
			continue
		}
		known := said[key]
		for i := range key {
			known = known || key[i] == '.' && (said[key[:i+1]] || slices.Contains(kinds, key[:i]))
		}
		assert.True(t, known, "%s is never said", key)
	}
}

// No words stand in a template itself, but those that are the same in every language.
func TestTemplatesHaveNoWords(t *testing.T) {
	action := regexp.MustCompile(`(?s)\{\{.*?\}\}`)
	attribute := regexp.MustCompile(`\b(aria-label|title|placeholder|alt)="[^"{]*\p{L}`)
	tag := regexp.MustCompile(`(?s)<[^>]*>`)
	letters := regexp.MustCompile(`\p{L}+`)
	for _, folder := range []string{"pages", "pieces"} {
		for name, text := range sources(t, linen.FS, folder+"/*.html") {
			bare := action.ReplaceAllString(text, "{}")
			assert.NotRegexp(t, attribute, bare, name)
			assert.Empty(t, letters.FindAllString(tag.ReplaceAllString(bare, " "), -1), "words in %s", name)
		}
	}
}

// inGerman is a handbook of every kind of page, in German.
func inGerman(t testing.TB) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(os.DirFS(demoFolder), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(os.DirFS(demoFolder), name)
		if name == "handbook.yaml" {
			data = append(data, "language: de\n"...)
		}
		files[name] = &fstest.MapFile{Data: data}
		return err
	}))
	return files
}

// englishIn lists the theme's English texts that a page in another language shows, as far as that language says them otherwise.
func englishIn(page *html.Node, other *words.Language) []string {
	texts := map[string]bool{}
	for _, key := range english().Keys() {
		if len(english().Places(key)) == 0 && !strings.HasPrefix(key, words.ScriptKeys) && english().Say(key) != other.Say(key) && len(english().Say(key)) > 1 {
			texts[english().Say(key)] = true
		}
	}
	var found []string
	var walk func(*html.Node, bool)
	walk = func(n *html.Node, ours bool) {
		// what the maker wrote, and what is marked as English
		ours = ours && attr(n, "class") != "prose" && !strings.Contains(attr(n, "class"), "prose") && (attr(n, "lang") == "" || n.Data == "html") && n.Data != "script"
		if n.Type == html.TextNode && ours && texts[strings.TrimSpace(n.Data)] {
			found = append(found, strings.TrimSpace(n.Data))
		}
		for c := range n.ChildNodes() {
			walk(c, ours)
		}
	}
	walk(page, true)
	return found
}

// A handbook in German says nothing of its own in English, writes decimals and dates as German does, and leaves what programs read as it is.
func TestGermanHandbook(t *testing.T) {
	german, _ := spoken(t).In("de")
	dir := t.TempDir()
	buildInto(t, inGerman(t), MakerEdition, dir)
	files := filesOf(t, dir)
	makers := []string{"Total", "Water", "Fat", "water", "salt", "wax", "perfume", "soap", "milk", "Sodium hydroxide", "Stearic acid"} // names of the maker's own that are texts, too
	for _, name := range []string{
		"index.html", "404.html", "ingredients/index.html", "notes/index.html", "find/index.html", "ingredients/olive-oil/index.html",
		"notes/heat-and-hold/index.html", "shelves/balms-butters/index.html", "recipes/larkrow-bar/index.html", "recipes/barley-field-body-lotion/index.html",
		"batches/index.html", "batches/hhc-260609-1/index.html", "batches/gb-260616-1/index.html", "stock/index.html",
	} {
		require.Contains(t, files, name)
		doc, err := html.Parse(strings.NewReader(files[name]))
		require.NoError(t, err)
		assert.Contains(t, files[name], `<html lang="de" dir="ltr"`, name)
		found := slices.DeleteFunc(englishIn(doc, german), func(s string) bool { return slices.Contains(makers, s) })
		assert.Empty(t, found, name)
		checkPage(t, files[name])
	}
	spaced := func(name string) string { return strings.ReplaceAll(files[name], "\u00a0", " ") } // a unit stays by its figure
	soap := spaced("recipes/larkrow-bar/index.html")
	for _, want := range []string{"Laugenberechnung", "2. Juni 2026", "1 Stunde 30 Minuten", `<span class="g">139,37<small> g</small></span>`, "12 Monate", "Natriumhydroxid", "auf 40 °C / 104 °F erwärmen", `<span lang="en">Sodium hydroxide burns skin`} {
		assert.Contains(t, soap, want)
	}
	assert.Contains(t, files["index.html"], "Zutaten sind beschrieben")
	for _, want := range []string{
		"2231 g, 98,1 % des Gewogenen", "von EM am 11. Juni 2026", "<td>1609,1</td>", "SF-0719 (200 g), SF-0802 (27,5 g)", "<dt>pH-Wert</dt><dd>5,4</dd>",
		`9. Dezember 2026 <small class="source">Haltbarkeit laut Rezept: 6 Monate</small>`,
	} {
		assert.Contains(t, spaced("batches/hhc-260609-1/index.html"), want)
	}
	assert.Contains(t, spaced("batches/index.html"), `hergestellt 2026-06-09, Ausbeute 2231 g, haltbar bis 2026-12-09 <span class="badge">freigegeben</span>`)

	plain := t.TempDir()
	buildInto(t, os.DirFS(demoFolder), MakerEdition, plain)
	for _, name := range []string{"recipes/larkrow-bar/formula.json", "recipes/larkrow-bar/weights.csv"} {
		want, err := os.ReadFile(filepath.Join(plain, filepath.FromSlash(name)))
		require.NoError(t, err)
		assert.Equal(t, string(want), files[name])
	}
}

func TestCheckLanguage(t *testing.T) {
	theme, err := LoadTheme(linen.FS, folder("words/nl.yaml", "menu.recipes: Recepten\n"))
	require.NoError(t, err)
	tests := []struct{ code, want string }{
		{"de", ""}, {"nl", ""}, {"en", ""}, {"fr", "handbook.yaml:2:11: the pages cannot be in the language “fr”"}, {"den", "handbook.yaml:2:11: the pages cannot be in the language “den”"},
	}
	for _, test := range tests {
		h, problems := handbook.Load(folder("handbook.yaml", "title: A\nlanguage: "+test.code+"\n"))
		require.Zero(t, problems.Len())
		theme.CheckLanguage(h, problems)
		if test.want == "" {
			assert.Zero(t, problems.Len(), test.code)
			continue
		}
		require.Equal(t, 1, problems.Len())
		p := problems.All()[0]
		assert.Equal(t, test.want, p.Error())
		assert.Contains(t, p.Hint, map[string]string{"fr": "there are en, de, nl", "den": "did you mean “en”?"}[test.code])
	}
	build := NewBuild(Prepare(&handbook.Handbook{Language: "nl"}, &problem.List{}), OpenEdition, theme)
	assert.Equal(t, "Recepten", build.words.Say("menu.recipes"))
	assert.Equal(t, "Notes", build.words.Say("menu.notes"), "lent by English")
}

func TestWordsOfATheme(t *testing.T) {
	tests := map[string][2]string{
		"no such text":     {`{{say "home.nothing"}}`, `pages/home.html:1:2: executing "pages/home.html" at <say "home.nothing">: error calling say: there is no text "home.nothing" in words/en.yaml`},
		"a place left":     {`{{say "page.more"}}`, "needs a value for {shelf}"},
		"no such function": {`{{speak "page.more"}}`, `function "speak" not defined`},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			_, err := LoadTheme(linen.FS, folder("pages/home.html", test[0]))
			assert.ErrorContains(t, err, test[1])
		})
	}
	_, err := LoadTheme(linen.FS, folder("words/de.yaml", "page.more: \"{shelve}\"\n"))
	assert.ErrorContains(t, err, "words/de.yaml: page.more has the place {shelve}")
	_, err = LoadTheme(linen.FS, folder("assets/words.js", ""))
	assert.ErrorContains(t, err, "assets/words.js is made from words/")
}

// German pages in a browser: they fit a phone and a desk, and the scripts say their words in German.
func TestGermanInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	german, _ := spoken(t).In("de")
	dir := t.TempDir()
	buildInto(t, inGerman(t), MakerEdition, dir)
	h := serve(t, dir)
	for _, width := range []int64{360, 1280} {
		p := b.Open(t, h.at("recipes/hedgerow-hand-cream/index.html"), browsertest.View{Width: width, Script: true})
		p.Wait(t, `document.readyState === 'complete' && document.querySelector('#bench--form')`)
		assert.Equal(t, "Andere Größe", browsertest.Ask[string](t, p, `document.querySelector('#bench--form label').textContent`))
		browsertest.Ask[bool](t, p, `(field => { field.value = '300,5 g'; field.form.requestSubmit(); return true })(document.getElementById('bench--field'))`)
		p.Wait(t, `document.querySelector('.total .b0 .g')`)
		assert.Equal(t, "300,50 g", browsertest.Ask[string](t, p, `document.querySelector('.total .b0 .g').textContent.trim()`))
		browsertest.Ask[bool](t, p, `(field => { field.value = '2 l'; field.form.requestSubmit(); return true })(document.getElementById('bench--field'))`)
		p.Wait(t, `document.getElementById('bench--said').textContent.includes('Volumen')`)
		assert.Equal(t, "Kein solcher Ansatz: ein Ansatz wird nach Gewicht gemacht, und das ist ein Volumen. "+german.Say("script.weigh.hintBatch"),
			browsertest.Ask[string](t, p, `document.getElementById('bench--said').textContent`))
		for _, page := range []string{
			"recipes/hedgerow-hand-cream/index.html", "recipes/larkrow-bar/index.html", "index.html", "ingredients/olive-oil/index.html", "find/index.html",
			"batches/index.html", "batches/hhc-260609-1/index.html", "stock/index.html",
		} {
			p.Go(t, h.at(page))
			assert.Zero(t, browsertest.Ask[int](t, p, `document.documentElement.scrollWidth - document.documentElement.clientWidth`), "%s is too wide at %d", page, width)
		}
		assert.Equal(t, "3. Mai", browsertest.Ask[string](t, p, `speech.day(new Date().getFullYear() + '-05-03')`))
		assert.Equal(t, "2 Treffer mit ähnlicher Schreibweise", browsertest.Ask[string](t, p, `speech.all('search').nearly.other.replace('{n}', 2)`))
	}
}
