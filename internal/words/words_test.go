package words_test

import (
	"html/template"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/words"
	"larkrow.example/stillroom/themes/linen"
)

// files makes a folder of languages.
func files(pairs ...string) fs.FS {
	m := fstest.MapFS{}
	for i := 0; i < len(pairs); i += 2 {
		m["words/"+pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
	}
	return m
}

// in gives a language of the default theme.
func in(t testing.TB, code string) *words.Language {
	t.Helper()
	set, err := words.Load(linen.FS, nil)
	require.NoError(t, err)
	l, ok := set.In(code)
	require.True(t, ok, "there is no %s", code)
	return l
}

func TestSay(t *testing.T) {
	set, err := words.Load(files(
		"en.yaml", "plain: Weigh\nplace: More from {shelf}\nn: {one: \"{count} jar\", other: \"{count} jars\"}\nnumber.group: \",\"\n",
		"pl.yaml", "n: {one: \"{count} słoik\", few: \"{count} słoiki\", many: \"{count} słoików\", other: \"{count} słoika\"}\n",
	), nil)
	require.NoError(t, err)
	en, _ := set.In("en")
	pl, _ := set.In("pl")
	assert.Equal(t, "Weigh", en.Say("plain"))
	assert.Equal(t, "More from Creams", en.Say("place", "shelf", "Creams"))
	assert.Equal(t, "Weigh", pl.Say("plain"), "lent by English")
	assert.Equal(t, []string{"number.group", "place", "plain"}, pl.Missing())
	assert.Equal(t, "no.such", en.Say("no.such"))
	for n, want := range map[int]string{0: "0 jars", 1: "1 jar", 2: "2 jars", 1234567: "1,234,567 jars"} {
		assert.Equal(t, want, en.Say("n", "count", n))
	}
	// The forms of Polish by CLDR 38, https://www.unicode.org/cldr/charts/38/supplemental/language_plural_rules.html (rules from memory): few where a number ends in 2–4 but not in 12–14.
	for n, want := range map[int]string{1: "1 słoik", 2: "2 słoiki", 5: "5 słoików", 12: "12 słoików", 22: "22 słoiki", 1000002: "1,000,002 słoiki", 112: "112 słoików"} {
		assert.Equal(t, want, pl.Say("n", "count", n))
	}
	said, err := en.Try("place", "shelf", template.HTML("<b>Creams</b>"))
	require.NoError(t, err)
	assert.Equal(t, template.HTML("More from <b>Creams</b>"), said)
	_, err = en.Try("place")
	assert.EqualError(t, err, `the text "place" needs a value for {shelf}`)
	_, err = en.Try("plaice")
	assert.EqualError(t, err, `there is no text "plaice" in words/en.yaml`)
	_, err = en.Try("place", "shelf")
	assert.ErrorContains(t, err, "a place without a value")
}

func TestHTMLEscapesTheRest(t *testing.T) {
	set, err := words.Load(files("en.yaml", "a: \"<i>{what}</i> & {link}\"\n"), nil)
	require.NoError(t, err)
	en, _ := set.In("en")
	said, err := en.Try("a", "what", "<script>", "link", template.HTML("<a>x</a>"))
	require.NoError(t, err)
	assert.Equal(t, template.HTML("&lt;i&gt;&lt;script&gt;&lt;/i&gt; &amp; <a>x</a>"), said)
}

func TestOwnTextsAreLaidOver(t *testing.T) {
	set, err := words.Load(files("en.yaml", "a: A\nb: B\n", "de.yaml", "a: Ä\nb: Be\n"), files("de.yaml", "b: Bee\n", "nl.yaml", "a: aa\n", "en.yaml", "b: bee\nc: own\n"))
	require.NoError(t, err)
	assert.Equal(t, []string{"en", "de", "nl"}, set.Codes())
	tests := map[string][3]string{"en": {"A", "bee", "own"}, "de": {"Ä", "Bee", "own"}, "nl": {"aa", "bee", "own"}}
	for code, want := range tests {
		l, ok := set.In(code)
		require.True(t, ok)
		assert.Equal(t, want, [3]string{l.Say("a"), l.Say("b"), l.Say("c")}, code)
	}
	l, ok := set.In("fr")
	assert.False(t, ok)
	assert.True(t, l.IsEnglish())
}

func TestFaults(t *testing.T) {
	tests := map[string][2]string{ // a file and its fault
		"not yaml":         {"a: \"x\n", "words/de.yaml: "},
		"a list":           {"- a\n", "words/de.yaml:1:1: a list of keys"},
		"twice":            {"a: x\na: y\n", `words/de.yaml:2:1: the key "a" stands here twice`},
		"open place":       {"a: x\nb: \"{n\"\n", "words/de.yaml:2:4: b: a place is a name"},
		"closed place":     {"a: \"x}\"\n", "words/de.yaml:1:4: a: a } has no { before it"},
		"no form":          {"a: {once: x, other: y}\n", `words/de.yaml:1:5: a: "once" is no form`},
		"other missing":    {"a: {one: x}\n", "words/de.yaml:1:4: a: the form other is missing"},
		"nested":           {"a: [x]\n", "words/de.yaml:1:4: a: a text, or its forms"},
		"unknown key":      {"aa.b: x\n", `words/de.yaml: English has no key "aa.b"; did you mean “aa.bb”?`},
		"unknown place":    {"a: \"{m}\"\n", "words/de.yaml: a has the place {m}, which the English text has not"},
		"unknown way":      {"dir: up\n", `words/de.yaml: dir is "up"`},
		"broken structure": {"a: {\n", "words/de.yaml: "},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			_, err := words.Load(files("en.yaml", "a: \"{n}\"\nb: b\naa.bb: c\ndir: ltr\n", "de.yaml", test[0]), nil)
			assert.ErrorContains(t, err, test[1])
		})
	}
	_, err := words.Load(files("en.yaml", "", "deutsch sprache.yaml", "a: x\n"), nil)
	assert.ErrorContains(t, err, "is no language; a file is named by the language's code")
}

func TestNumbers(t *testing.T) {
	en, de := in(t, "en"), in(t, "de")
	tests := []struct{ in, de string }{
		{"1191.4", "1191,4"}, {"0.05", "0,05"}, {"250", "250"}, {"", ""}, {"-3.5", "-3,5"},
	}
	for _, test := range tests {
		assert.Equal(t, test.in, en.Number(test.in))
		assert.Equal(t, test.de, de.Number(test.in))
	}
	figures := []struct{ in, de string }{
		{"0.5–2 %", "0,5–2 %"},
		{"41.5 / 83 g", "41,5 / 83 g"},
		{"pH 5.0–5.5", "pH 5,0–5,5"},
		{"3.", "3."},
		{"q.s.", "q.s."},
		{"on 2.5.2026", "on 2.5.2026"},
		{"v1.2", "v1.2"},
		{"ends in 4.5.", "ends in 4,5."},
		{"½ 1.5", "½ 1,5"},
		{"(0.95 g/ml)", "(0,95 g/ml)"},
	}
	for _, test := range figures {
		assert.Equal(t, test.in, en.Figures(test.in))
		assert.Equal(t, test.de, de.Figures(test.in))
	}
	counts := map[int64][2]string{0: {"0", "0"}, 999: {"999", "999"}, 1000: {"1,000", "1.000"}, 12345678: {"12,345,678", "12.345.678"}, -1000: {"−1,000", "−1.000"}}
	for n, want := range counts {
		assert.Equal(t, want, [2]string{en.Count(n), de.Count(n)})
	}
}

// A number in another language has the same digits in the same order.
func TestNumbersKeepTheirDigits(t *testing.T) {
	de := in(t, "de")
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`-?[0-9]{1,30}(\.[0-9]{1,30})?`).Draw(t, "number")
		if back := strings.Replace(de.Number(s), ",", ".", 1); back != s {
			t.Fatalf("%s became %s", s, de.Number(s))
		}
		if de.Figures(s) != de.Number(s) {
			t.Fatalf("Figures(%s) is %s", s, de.Figures(s))
		}
	})
}

func TestDatesAndLists(t *testing.T) {
	en, de := in(t, "en"), in(t, "de")
	may := time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC)
	assert.Equal(t, "3 May 2026", en.Date(may))
	assert.Equal(t, "3. Mai 2026", de.Date(may))
	for month := time.January; month <= time.December; month++ {
		day := time.Date(2026, month, 28, 0, 0, 0, 0, time.UTC)
		assert.Equal(t, day.Format("2 January 2006"), en.Date(day))
	}
	assert.Equal(t, [4]string{"", "a", "a and b", "a, b and c"}, [4]string{en.List(nil), en.List([]string{"a"}), en.List([]string{"a", "b"}), en.List([]string{"a", "b", "c"})})
	assert.Equal(t, "a, b und c", de.List([]string{"a", "b", "c"}))
	assert.Equal(t, "a, b, c", en.Commas([]string{"a", "b", "c"}))
}

func TestScript(t *testing.T) {
	set, err := words.Load(files("en.yaml", "locale: en-GB\nscript.a.one: \"x {n} </script>\"\nscript.a.two: {one: i, other: ii}\nb: no\n"), nil)
	require.NoError(t, err)
	en, _ := set.In("en")
	script := string(en.Script())
	assert.NotContains(t, script, "</script", "the text could end a script")
	assert.Contains(t, script, `"a.one": "x {n} \u003c/script\u003e"`)
	assert.Contains(t, script, `"one": "i"`)
	assert.Contains(t, script, `"locale": "en-GB"`)
	assert.NotContains(t, script, `"no"`)
	assert.Equal(t, en.Script(), en.Script())
}

func FuzzLoad(f *testing.F) {
	for _, seed := range []string{"a: x\n", "a: {one: \"{count}\", other: x}\n", "a: \"{n}\"\nb: [", "\ufeffa: é\r\n", "a: &x {other: *x}\n"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		set, err := words.Load(files("en.yaml", text), nil)
		if err != nil {
			assert.Contains(t, err.Error(), "words/en.yaml")
			return
		}
		l, ok := set.In("en")
		require.True(t, ok)
		for _, key := range l.Keys() {
			if said, err := l.Try(key); err == nil {
				assert.NotContains(t, said, "{")
			}
		}
		assert.True(t, strings.HasPrefix(string(l.Script()), "//"))
	})
}

func TestAppended(t *testing.T) {
	set, err := words.Load(files("en.yaml", "plain: Weigh\nn: {one: \"{count} jar of {what}\", other: \"{count} jars\"}\nkind.a: an A\nnumber.group: \",\"\nnumber.decimal: .\n",
		"de.yaml", "number.decimal: \",\"\nnumber.group: \".\"\n"), nil)
	require.NoError(t, err)
	en, _ := set.In("en")
	de, _ := set.In("de")
	for _, l := range []*words.Language{en, de, nil} {
		assert.Equal(t, "so: "+l.Say("plain"), string(l.Append([]byte("so: "), "plain")))
		assert.Equal(t, l.Say("n", "count", 1, "what", "balm"), string(l.Append(nil, "n", "count", 1, "what", "balm")))
		assert.Equal(t, l.Say("gone"), string(l.Append(nil, "gone")))
		for _, decimal := range []string{"", "12", "1191.4", "0.05"} {
			assert.Equal(t, l.Number(decimal), string(l.AppendNumber(nil, []byte(decimal))))
		}
	}
	assert.Equal(t, "1.191 jars", de.Say("n", "count", 1191))
	assert.Equal(t, "n", en.Say("n", "count", 1), "a place without its value")
	assert.Equal(t, "n", en.Say("n", "count", 1, "what", 0.5), "a value that is no text and no whole number")
	assert.Equal(t, "an A", en.Named("kind", "a"))
	assert.Equal(t, "b", en.Named("kind", "b"))
	assert.Equal(t, "a", (*words.Language)(nil).Named("kind", "a"))
	assert.Zero(t, testing.AllocsPerRun(100, func() { en.Named("kind", "a"); en.Say("plain") }))
}
