package site

import (
	"html/template"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/words"
)

// drawnIn gives what the program draws in a language, by the template in testdata/drawn that html/template draws the same with.
func drawnIn(l *words.Language, s string, href string) map[string]struct {
	data  any
	drawn template.HTML
} {
	findings := []FindingView{
		{Code: "hot", Level: "note", Message: s},
		{Code: toDeclare, Level: "note", Message: "Limonene " + s, Source: s, Market: "EU"},
		{Code: s, Level: "stop", Message: s, Mend: s, Source: s},
		{Code: "x", Level: "stop", Message: s, Accepted: s, Mend: s, Market: s},
		{Code: "plain", Message: "5 g of it"},
		{Level: "caution", Message: "1 + 1", Mend: "take 2 % less", Source: "a sheet"},
	}
	lines := []LabelLine{{Text: s}, {Text: s, When: s}, {Text: s, Rule: s}, {Text: s, When: s, Rule: "Article 19"}}
	labels := []LabelView{{Market: s, Heading: s, Ingredients: s, Contents: lines, Warnings: lines[:1], Lines: lines[2:], Notes: []string{s, "a"}}, {Market: "US"}}
	picture := &Picture{Href: href, Shows: s, Width: 640, Height: 480}
	cards := []Card{
		{Title: s, Href: href, Summary: s, Tag: s, Access: "members", Updated: s, Picture: picture},
		{Title: "Balm", Href: "balm/index.html", Access: "maker"},
		{Title: s, Picture: &Picture{Href: href, Shows: "a jar"}},
	}
	facts := []Fact{{Name: s, Value: s}, {Name: "Density", Value: "0.95 g/ml", Source: s}}
	chosen := &RecipeView{Versions: []VersionView{{ID: "v1", Name: s}, {ID: s, Name: "Night"}}, Batches: []BatchView{{"b1", s}, {s, "1 kg"}}}
	single := &RecipeView{Versions: chosen.Versions[:1], Batches: chosen.Batches}
	versions := []VersionView{
		{ID: s, Name: s, Kind: "base", Note: s, Changes: []string{s, "5 g of it"}, Findings: findings, Checked: true, Labels: labels},
		{ID: "v2", Name: "Night", Kind: "variant", Findings: findings[1:2], Labels: labels[:1]},
		{ID: "v3", Name: s, Kind: "split", Changes: []string{s}, Checked: true, Labels: labels[1:]},
		{Name: s, Kind: s, Note: s},
	}
	links := []Link{{Text: s, Href: href}, {Text: "weights.csv", Href: "weights.csv"}, {Text: s, Href: "../" + href}}
	told := &Frame{Title: s, Description: s, Kind: "recipe", Handbook: Handbook{Title: s}, Edition: string(OpenEdition), Canonical: href, Image: picture}
	home := &Frame{Title: s, Kind: "home", Handbook: Handbook{Title: s}, Edition: string(OpenEdition), Canonical: "https://larkrow.example/" + href, Image: &Picture{Href: href, Shows: s, Width: 1}}
	locked := &Frame{Title: "Balm", Description: s, Kind: s, Edition: string(MembersEdition), Canonical: href, Image: picture}
	type drawing = struct {
		data  any
		drawn template.HTML
	}
	return map[string]drawing{
		"finding.html":  {findings[3], template.HTML(strings.TrimPrefix(string(drawFinding(findings[3], l)), "\n"))},
		"checked.html":  {versions, drawChecked(versions, l)},
		"one-checked":   {versions[3:], drawChecked(versions[3:], l)},
		"labelled.html": {versions, drawLabelled(versions, l)},
		"one-labelled":  {versions[1:2], drawLabelled(versions[1:2], l)},
		"version.html":  {&versions[0], drawVersion(&versions[0], l)},
		"variant":       {&versions[1], drawVersion(&versions[1], l)},
		"split":         {&versions[2], drawVersion(&versions[2], l)},
		"bare-version":  {&versions[3], drawVersion(&versions[3], l)},
		"head.html":     {told, drawHead(told)},
		"home-head":     {home, drawHead(home)},
		"locked-head":   {locked, drawHead(locked)},
		"bare-head":     {&Frame{}, drawHead(&Frame{})},
		"trail.html":    {links, drawTrail(links)},
		"links.html":    {links, drawLinks(links)},
		"facts.html":    {facts, drawFacts(facts)},
		"entries.html":  {cards, drawEntries(cards, l)},
		"cards.html":    {cards, drawCards(cards, l)},
		"choose.html":   {chosen, drawChoose(chosen.Versions, chosen.Batches, l)},
		"single":        {single, drawChoose(single.Versions, single.Batches, l)},
	}
}

// asTemplatesDraw gives the templates that draw in the usual way what the program draws by hand, in a language.
func asTemplatesDraw(t testing.TB, l *words.Language) *template.Template {
	set, err := template.New("drawn").Funcs(speaking(l, nil)).ParseFS(os.DirFS("testdata/drawn"), "*.html")
	require.NoError(t, err)
	for name, as := range map[string]string{
		"single": "choose", "one-checked": "checked", "one-labelled": "labelled", "variant": "version", "split": "version", "bare-version": "version", "home-head": "head", "locked-head": "head", "bare-head": "head",
	} {
		_, err = set.New(name).Parse(`{{template "` + as + `.html" .}}`)
		require.NoError(t, err)
	}
	return set
}

func holdAgainstTemplates(t testing.TB, l *words.Language, set *template.Template, s, href string) {
	for name, piece := range drawnIn(l, s, href) {
		var b strings.Builder
		require.NoError(t, set.ExecuteTemplate(&b, name, piece.data))
		require.Equal(t, b.String(), string(piece.drawn), "%s in %s with %q and %q", name, l.Code(), s, href)
	}
}

// What is drawn in a template's place is what html/template would make of it, to the byte.
func TestDrawnAsTemplatesDraw(t *testing.T) {
	theme := defaultTheme(t)
	for _, code := range theme.languages.Codes() {
		l, _ := theme.languages.In(code)
		set := asTemplatesDraw(t, l)
		for _, s := range []string{
			"", "Hedgerow hand cream", "1 + 1 < 3 & \"so\" 'on'", "\x00\xff\u2028", "<script>alert(1)</script>", "</p>", "75 °C, 5 g and 3 %", "C++", "{count}", "Öl & Wachs",
		} {
			for _, href := range []string{
				"", "../../recipes/balm/index.html", "a b.html", "javascript:alert(1)", "JAVASCRIPT:x", "mailto:a@b.example", "https://larkrow.example/?a=1&b=%20%zz+", "ünicode/\"'()<>.svg", "a:b/c",
				"//larkrow.example", "#part--main", "data:image/png;base64,AA", "./x:y", "a?b:c", "a#b:c", "%", "%4", "\x00",
			} {
				holdAgainstTemplates(t, l, set, s, href)
			}
		}
	}
}

func FuzzDrawnAsTemplatesDraw(f *testing.F) {
	theme := defaultTheme(f)
	l, _ := theme.languages.In("de")
	set := asTemplatesDraw(f, l)
	f.Add("Hedgerow + hand cream", "../../recipes/balm/index.html")
	f.Fuzz(func(t *testing.T, s, href string) { holdAgainstTemplates(t, l, set, s, href) })
}
