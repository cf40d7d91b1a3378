package site

import (
	"html/template"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

func TestDrawFormula(t *testing.T) {
	v := &FormulaView{
		ID: "v1", Caption: "Plain balm", PercentTotal: "100",
		Batches: []BatchColumn{
			{ID: "b1", Size: "100 g", TotalG: "100.0", TotalOz: "3.53", Fill: "1 × 60 ml tin"},
			{ID: "b2", Size: "from 1 lb Shea", Missing: "no shea here"},
		},
		Phases: []PhaseView{{Letter: "A", Name: "Oil", Heat: "heat to 70 °C", Rows: []RowView{
			{Name: "Olive oil", Href: "../olive/", Written: "q.s.", Percent: "80", Mark: "note", Weights: []WeightView{{G: "80.0", Oz: "2.82", Balance: true}, {G: "9", Oz: "9"}}},
			{Name: "Beeswax", Note: "grated", Written: "20 %", Percent: "20", Weights: []WeightView{{G: "20.0", Oz: "0.71"}}},
		}}},
	}
	const want = `<table class="formula"><caption>Plain balm</caption>
<thead><tr><th scope="col" class="name">Ingredient</th><th scope="col" class="pct">%</th><th scope="col" class="b b1">100 g</th><th scope="col" class="b b2">from 1 lb Shea</th><th scope="col" class="write">Weighed</th><th scope="col" class="write lot">Lot</th></tr></thead>
<tbody><tr class="phase"><th scope="rowgroup" colspan="6"><b class="letter">A</b> <span class="title">Oil</span> <span class="heat">heat to 70 °C</span></th></tr>
<tr><th scope="row" class="name"><a href="../olive/">Olive oil</a> <span class="mark">note</span> <span class="hint">q.s.</span></th><td class="pct">80</td><td class="b b1"><span class="g"><span class="evens">*</span> 80.0<small> g</small></span> <span class="oz">2.82 oz</span></td><td class="b b2"><span class="g">–</span></td><td class="write"></td><td class="write lot"></td></tr>
<tr><th scope="row" class="name">Beeswax <span class="hint">grated</span></th><td class="pct">20</td><td class="b b1"><span class="g">20.0<small> g</small></span> <span class="oz">0.71 oz</span></td><td class="b b2"><span class="g">–</span></td><td class="write"></td><td class="write lot"></td></tr>
</tbody>
<tfoot><tr class="total"><th scope="row" class="name">Total</th><td class="pct">100</td><td class="b b1"><span class="g">100.0<small> g</small></span> <span class="oz">3.53 oz</span></td><td class="b b2"><span class="g">–</span></td><td class="write"></td><td class="write lot"></td></tr>
<tr class="fills"><th scope="row" class="name">Fills</th><td class="pct"></td><td class="b b1">1 × 60 ml tin</td><td class="b b2"><span class="missing">no shea here</span></td><td class="write"></td><td class="write lot"></td></tr>
<tr class="legend"><td colspan="6"><span class="evens">*</span> takes up the rounding, as far as its scale reads</td></tr></tfoot></table>`
	assert.Equal(t, want, string(drawFormula(v)))
}

func TestDrawFormulaLeavesOutWhatIsNotThere(t *testing.T) {
	v := handCream("v1", "Cream")
	v.Batches = v.Batches[:1]
	v.Batches[0].Fill = ""
	v.Phases[0].Rows[0].Weights[0].Balance = false
	got := string(drawFormula(v))
	assert.Contains(t, got, `class="formula one"`)
	assert.NotContains(t, got, "Fills")
	assert.NotContains(t, got, "takes up the rounding")
	assert.NotContains(t, got, "b2")

	v.Batches = slices.Repeat(v.Batches, 5)
	assert.Contains(t, string(drawFormula(v)), `class="formula many"`)
}

func TestWrittenShowsWhereItTellsMore(t *testing.T) {
	tests := []struct {
		written, percent, g, oz string
		want                    bool
	}{
		{"", "3", "7.5", "0.26", false},
		{"3 %", "3", "7.5", "0.26", false},
		{"3%", "3", "7.5", "0.26", false},
		{"3\u00a0%", "3", "7.5", "0.26", false},
		{"3 %", "3.00", "7.5", "0.26", false},
		{"3.50 %", "3.5", "7.5", "0.26", false},
		{"30 %", "3", "7.5", "0.26", true},
		{"3 % of Oil", "3", "7.5", "0.26", true},
		{"q.s.", "72.15", "180.4", "6.36", true},
		{"280 g", "17.19", "280.0", "9.88", false},
		{"280 g", "17.19", "560.0", "19.75", true},
		{"1 oz", "12", "28.3", "1.00", false},
		{"120 g", "120", "7.5", "0.26", true},
	}
	for _, tt := range tests {
		r := RowView{Written: tt.written, Percent: tt.percent, Weights: []WeightView{{G: "1", Oz: "1"}, {G: tt.g, Oz: tt.oz}}}
		assert.Equal(t, tt.want, r.tellsMore(), "%q beside %s %%, %s g, %s oz", tt.written, tt.percent, tt.g, tt.oz)
	}
}

func TestDrawPortions(t *testing.T) {
	assert.Empty(t, drawPortions(nil))
	assert.Empty(t, drawPortions(&PortionsView{Batches: handCream("", "").Batches}))
	got := string(samplePortions().Table())
	checkBalance(t, got)
	assert.Contains(t, got, `<span class="title">Rich</span> <span class="hint">base to weigh off</span></th><td class="pct">1/2</td><td class="b b1"><span class="g">125.0`)
	assert.Contains(t, got, `add <a href="../../ingredients/glycerin/index.html">Glycerin</a> <span class="hint">1 oz per 10 oz</span></th><td class="pct"></td><td class="b b1"><span class="g">12.5`)
	assert.Contains(t, got, `<span class="missing">no shea butter in this version</span>`)
	assert.Equal(t, 2, strings.Count(got, "Comes to"))
}

func TestDrawUsedInGathersTheVersionsOfARecipe(t *testing.T) {
	cream, wash := Link{Text: "Cream", Href: "../cream/"}, Link{Text: "Wash", Href: "../wash/"}
	got := drawUsedIn([]UsedView{{Recipe: cream, Percent: "0.6 %"}, {Recipe: cream, Version: "Night", Percent: "2.4 %"}, {Recipe: wash, Percent: "1 %"}})
	want := "<ul class=\"used\">\n" +
		"<li><a href=\"../cream/\">Cream</a> <span class=\"rates\"><span class=\"rate\">0.6 %</span> <span class=\"rate\"><span class=\"of\">Night</span> 2.4 %</span></span></li>\n" +
		"<li><a href=\"../wash/\">Wash</a> <span class=\"rates\"><span class=\"rate\">1 %</span></span></li>\n</ul>"
	assert.Equal(t, template.HTML(want), got)
	assert.Empty(t, drawUsedIn(nil))
}

// hostile gives every value of the drawn pieces the same text.
func hostile(s string) []template.HTML {
	row := RowView{Name: s, Href: s, Note: s, Written: s, Percent: s, Mark: s, Weights: []WeightView{{s, s, true}, {s, s, false}}}
	batches := []BatchColumn{{ID: s, Size: s, TotalG: s, TotalOz: s, Fill: s}, {ID: s, Size: s, Missing: s}}
	return []template.HTML{
		drawFormula(&FormulaView{ID: s, Caption: s, PercentTotal: s, Batches: batches, Phases: []PhaseView{{s, s, s, s, []RowView{row, {}}, []WeightView{{G: s}}}}}),
		drawPortions(&PortionsView{Batches: batches, Rows: []PortionRow{{Name: s, Share: s, Base: row.Weights, Adds: []RowView{row}, Totals: row.Weights}}}),
		drawUsedIn([]UsedView{{Recipe: Link{Text: s, Href: s}, Version: s, Percent: s}}),
		drawLye(&LyeView{
			ID: s, Alkalis: []string{s}, Fats: []LyeRow{{s, s, s, s, s, s, []string{s}}}, Total: LyeRow{Name: s},
			Steps: []Fact{{s, s, s}}, MakeUp: []Fact{{s, s, s}},
		}),
	}
}

func TestDrawnValuesAreEscaped(t *testing.T) {
	const mean = `"><script>alert('x')</script>&amp;<img src=x onerror=y>` + "\x00"
	for _, piece := range hostile(mean) {
		checkDrawn(t, string(piece))
		assert.NotContains(t, piece, "<script")
		assert.NotContains(t, piece, "<img")
		assert.NotContains(t, piece, "\x00")
		assert.Contains(t, piece, template.HTMLEscapeString(mean))
	}
}

func TestDrawnLinksLeadOnlyWithin(t *testing.T) {
	for href, safe := range map[string]bool{
		"../glycerin/index.html": true, "./a:b": true, "a?b:c": true, "#x:y": true, "/rooted": true,
		"javascript:alert(1)": false, " javascript:alert(1)": false, "java\nscript:x": false, "data:text/html,x": false, ":x": false, "": false,
	} {
		var k ink
		k.link("words", href)
		assert.Equal(t, safe, strings.Contains(string(k), "<a "), "%q", href)
		assert.Contains(t, string(k), "words")
	}
}

func TestTextEscapesAsTheTemplatesDo(t *testing.T) {
	for _, s := range []string{"", "plain", "<", "a<b>&c\"d'e\x00f", "½ °C é <", "'", "\xff<"} {
		var k ink
		k.text(s)
		assert.Equal(t, template.HTMLEscapeString(s), string(k))
	}
}

// checkDrawn holds a drawn piece against the elements and attributes that the program writes.
func checkDrawn(t testing.TB, piece string) {
	t.Helper()
	allowed := map[string][]string{
		"table": {"class"}, "caption": nil, "thead": nil, "tbody": nil, "tfoot": nil, "tr": {"class"},
		"th": {"scope", "class", "colspan"}, "td": {"class", "colspan"}, "span": {"class"}, "b": {"class"},
		"small": nil, "a": {"href"}, "ul": {"class"}, "li": nil,
		"section": {"class", "aria-labelledby"}, "h4": {"id"}, "dl": {"class"}, "div": {"class"}, "dt": nil, "dd": nil,
	}
	checkBalance(t, piece)
	z := html.NewTokenizer(strings.NewReader(piece))
	for z.Next() != html.ErrorToken {
		token := z.Token()
		if token.Type == html.TextToken || token.Type == html.EndTagToken {
			continue
		}
		require.Equal(t, html.StartTagToken, token.Type, "%s", token)
		attrs, ok := allowed[token.Data]
		require.True(t, ok, "element %s", token)
		for _, a := range token.Attr {
			require.Contains(t, attrs, a.Key, "%s", token)
			require.False(t, a.Key == "href" && scheme(a.Val) != "", "%s", token)
		}
	}
}

// wordsOf gives the text of a piece as a reader sees it.
func wordsOf(t testing.TB, piece string) string {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(piece))
	require.NoError(t, err)
	var b strings.Builder
	for n := range doc.Descendants() {
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
		}
	}
	return b.String()
}

func FuzzDraw(f *testing.F) {
	for _, s := range []string{"", "Glycerin", `"><script>x</script>`, "javascript:x", "</table>", "<!--", "&lt;", "\x00\xff", "a\r\nb", "stop"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, piece := range hostile(s) {
			checkDrawn(t, string(piece))
			if !strings.ContainsAny(s, "\x00\r") {
				require.Contains(t, wordsOf(t, string(piece)), s, "what was given can be read")
			}
		}
	})
}

func BenchmarkDrawFormula(b *testing.B) {
	v := handCream("v1", "Hedgerow hand cream")
	v.Phases[1].Rows = append(v.Phases[1].Rows, slices.Concat(v.Phases[0].Rows, v.Phases[1].Rows, v.Phases[2].Rows[:1])...)
	rows := 0
	for _, p := range v.Phases {
		rows += len(p.Rows)
	}
	require.Equal(b, 15, rows)
	b.ReportAllocs()
	for b.Loop() {
		drawFormula(v)
	}
}

func BenchmarkDrawUsedIn(b *testing.B) {
	rows := make([]UsedView, 1000)
	for i := range rows {
		rows[i] = UsedView{Recipe: Link{Text: "Hedgerow hand cream", Href: "../../recipes/hedgerow-hand-cream/index.html"}, Version: "Night", Percent: "2.4 %"}
	}
	b.ReportAllocs()
	for b.Loop() {
		drawUsedIn(rows)
	}
}
