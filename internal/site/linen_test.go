package site

import (
	"bytes"
	"html/template"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"larkrow.example/stillroom/themes/linen"
)

// handCream is a formula with four batches and three phases, such as the pages are made to show.
func handCream(id, caption string) *FormulaView {
	w := func(pairs ...string) []WeightView {
		var ws []WeightView
		for i := 0; i < len(pairs); i += 2 {
			ws = append(ws, WeightView{G: pairs[i], Oz: pairs[i+1]})
		}
		return ws
	}
	return &FormulaView{
		ID: id, Caption: caption, PercentTotal: "100",
		Batches: []BatchColumn{
			{ID: "b1", Size: "250 g", TotalG: "250.0", TotalOz: "8.82", Fill: "2 × 4 fl oz jar, 49.9 g left"},
			{ID: "b2", Size: "32 oz", TotalG: "907.2", TotalOz: "32.00", Fill: "9 × 4 fl oz jar, 6.8 g left"},
			{ID: "b3", Size: "12 × 4 fl oz jar", TotalG: "1191.4", TotalOz: "42.02", Fill: "12 × 4 fl oz jar"},
			{ID: "b4", Size: "from 340 g Shea butter, refined", Missing: "no shea butter in this version"},
		},
		Phases: []PhaseView{
			{Letter: "A", Name: "Water", Heat: "heat to 75 °C (167 °F)", Rows: []RowView{
				{Name: "Distilled water", Href: "../../ingredients/distilled-water/index.html", Written: "q.s.", Percent: "72.15", Weights: w("180.4", "6.36", "654.6", "23.09", "859.6", "30.32", "", "")},
				{Name: "Glycerin", Href: "../../ingredients/glycerin/index.html", Written: "3 %", Percent: "3", Weights: w("7.5", "0.26", "27.2", "0.96", "35.7", "1.26", "", "")},
				{Name: "Sodium lactate", Href: "../../ingredients/sodium-lactate/index.html", Note: "may be left out", Written: "2 %", Percent: "2", Weights: w("5.0", "0.18", "18.1", "0.64", "23.8", "0.84", "", "")},
			}},
			{Letter: "B", Name: "Oil", Heat: "heat to 75 °C (167 °F)", Note: "weigh into the taller beaker", Rows: []RowView{
				{Name: "Sunflower oil", Href: "../../ingredients/sunflower-oil/index.html", Written: "12 %", Percent: "12", Weights: w("30.0", "1.06", "108.9", "3.84", "143.0", "5.04", "", "")},
				{Name: "Shea butter, refined", Href: "../../ingredients/shea-butter/index.html", Written: "5 %", Percent: "5", Weights: w("12.5", "0.44", "45.4", "1.60", "59.6", "2.10", "", "")},
				{Name: "Emulsifying wax", Href: "../../ingredients/emulsifying-wax/index.html", Written: "1 per 4 of Oil", Percent: "4.25", Weights: w("10.6", "0.37", "38.6", "1.36", "50.6", "1.78", "", "")},
			}},
			{Letter: "C", Name: "Cool-down", Heat: "below 40 °C (104 °F)", Rows: []RowView{
				{Name: "Phenoxyethanol & ethylhexylglycerin blend", Href: "../../ingredients/phenoxyethanol-blend/index.html", Written: "1 %", Percent: "1", Weights: w("2.5", "0.09", "9.1", "0.32", "11.9", "0.42", "", "")},
				{Name: "Cedarwood fragrance", Href: "../../ingredients/cedarwood-fragrance/index.html", Written: "0.6 %", Percent: "0.6", Mark: "caution", Weights: w("1.5", "0.05", "5.4", "0.19", "7.1", "0.25", "", "")},
			}},
		},
	}
}

// samplePortions is a batch in two parts.
func samplePortions() *PortionsView {
	w := []WeightView{{G: "125.0", Oz: "4.41"}, {G: "453.6", Oz: "16.00"}, {G: "595.7", Oz: "21.01"}, {G: "", Oz: ""}}
	return &PortionsView{
		Batches: handCream("v1", "").Batches,
		Rows: []PortionRow{
			{Name: "Plain", Share: "1/2", Base: w, Totals: w},
			{Name: "Rich", Share: "1/2", Base: w, Totals: w, Adds: []RowView{
				{Name: "Glycerin", Href: "../../ingredients/glycerin/index.html", Written: "1 oz per 10 oz", Weights: []WeightView{{G: "12.5", Oz: "0.44"}, {G: "45.4", Oz: "1.60"}, {G: "59.6", Oz: "2.10"}, {}}},
			}},
		},
	}
}

// sampleAmount is what the Markdown of a method gives for an amount of two versions in four batches.
func sampleAmount(of string, v1, v2 []string) string {
	var b strings.Builder
	b.WriteString(`<span class="amount" data-of="` + of + `">`)
	for i, ws := range [][]string{v1, v2} {
		b.WriteString(`<span class="v` + strconv.Itoa(i+1) + `">`)
		for j, s := range ws {
			b.WriteString(`<span class="b` + strconv.Itoa(j+1) + `">` + s + `</span>`)
		}
		b.WriteString(`</span>`)
	}
	return b.String() + `</span>`
}

// sampleFrame is what the pages of a small handbook have around them.
func sampleFrame(kind, title, root string, assets map[string]string) Frame {
	return Frame{
		Lang: "en", Title: title, Kind: kind, Root: root, Edition: "open", Assets: assets,
		Description: "Creams, balms and soaps as we make them, with the weights for the batch on the bench.",
		Handbook:    Handbook{Title: "The Larkrow stillroom", Maker: "Larkrow stillroom", About: "Creams, balms and soaps as we make them, with the weights for the batch on the bench."},
		Menu:        []Link{{Text: "Recipes", Href: root + "index.html", Current: kind == "home"}, {Text: "Ingredients", Href: root + "ingredients/index.html", Current: kind == "ingredients"}, {Text: "Notes", Href: root + "notes/index.html", Current: kind == "notes"}},
		Trail:       []Link{{Text: "The Larkrow stillroom", Href: root + "index.html"}, {Text: "Creams & lotions", Href: root + "shelves/creams-lotions/index.html"}},
	}
}

// sealedFrame is what a page of an edition with sealed pages has around it.
func sealedFrame(assets map[string]string) Frame {
	f := sampleFrame("teaser", "Night cream with cocoa butter", "", assets)
	f.Door = &DoorView{Ring: "sealed/ring.js", Search: "sealed/4n5t06rmpxsrrfbgft7qta0f.bin", Path: "recipes/night-cream/index.html"}
	return f
}

// larkrow gives a filled view of every page kind.
func larkrow(assets map[string]string) map[string]any {
	picture := &Picture{Href: "hedgerow.svg", Shows: "A jar of cream beside a sprig of sloes", Width: 640, Height: 480}
	cards := []Card{
		{Title: "Hedgerow hand cream", Href: "recipe.html", Summary: "A plain, quick-sinking cream for hands that wash up a lot.", Tag: "hand cream", Picture: picture},
		{Title: "Night cream with cocoa butter", Href: "recipe.html", Summary: "Heavier, for winter and for elbows.", Tag: "body lotion", Access: "members", Picture: picture},
		{Title: "Garden hand wash", Href: "recipe.html", Tag: "hand wash"},
	}
	methodAmount := sampleAmount("Water", []string{"192.9 g <small>6.80 oz</small>", "699.9 g <small>24.69 oz</small>", "919.1 g <small>32.42 oz</small>", "–"}, []string{"187.9 g <small>6.63 oz</small>", "681.8 g <small>24.05 oz</small>", "895.3 g <small>31.58 oz</small>", "–"})
	method := `<ol><li><p>Heat both phases to <span class="temp">75 °C <small>167 °F</small></span> and hold them there for <span class="time">20 min</span>.</p></li>
<li><p>Pour ` + methodAmount + ` of the water phase into the oil phase and blend for <span class="time">3–5 min</span>, with rests, until it is white and even.</p></li>
<li><p>Stir by hand while it cools. Below <span class="temp">40 °C <small>104 °F</small></span> stir in the preservative, then the fragrance.</p></li></ol>
<aside class="block caution" role="note"><p class="block-name">Caution</p><p>Hot wax burns. Wear gloves and keep a lid at hand.</p></aside>
<h3>If it will not thicken</h3><p>Wait a day. The wax goes on setting overnight.</p>
<aside class="block note" role="note"><p class="block-name">Note</p><p>Write the room’s temperature into the record.</p></aside>
<aside class="block tip" role="note"><p class="block-name">Tip</p><p>Warm the jars first.</p></aside>
<pre class="chroma"><code><span class="c"># our scale</span>
<span class="nt">scales</span><span class="p">:</span>
  - {<span class="nt">reads</span>: <span class="m">0.1</span> g, <span class="nt">note</span>: <span class="s">"bench"</span>}</code></pre>
<table><thead><tr><th>Jar</th><th>Takes</th></tr></thead><tbody><tr><td>60 ml tin</td><td>52 g</td></tr><tr><td>4 fl oz jar</td><td>3.4 oz</td></tr></tbody></table>`
	findings := []FindingView{
		{Code: "fragrance-above-maximum", Level: "stop", Subject: "Cedarwood fragrance", Message: "Cedarwood fragrance is at 2.4 %; its certificate allows 1.8 % in a hand cream.", Mend: "bring it to 1.8 % or less.", Source: "supplier’s certificate of 2026-03, category 5C"},
		{Code: "fragrance-no-certificate", Level: "stop", Subject: "Cedarwood fragrance", Message: "There is no certificate for Cedarwood fragrance, so its limit is not known.", Mend: "ask the supplier for it.", Accepted: "asked for on 2 May; the old one allowed 2 %"},
		{Code: "will-discolour", Level: "caution", Subject: "Cedarwood fragrance", Message: "The fragrance brings 0.015 % vanillin; a white cream may turn tan within a day or two.", Mend: "make a small jar first and let it stand by a window.", Source: "common practice"},
		{Code: "allergen-to-declare", Level: "note", Subject: "Limonene", Message: "Limonene comes to 0.072 %: name it on the label.", Source: "Regulation (EC) No 1223/2009, Annex III", Market: "EU"},
		{Code: "hot", Level: "note", Message: "Hot oil and wax burn: keep sleeves and children away."},
	}
	facts := []Fact{{Name: "Working time", Value: "45 min"}, {Name: "Keeps", Value: "6 months"}, {Name: "pH", Value: "5.0–5.5"}, {Name: "Updated", Value: "3 May 2026"}}
	recipe := &RecipeView{
		Frame: sampleFrame("recipe", "Hedgerow hand cream", "", assets), Name: "Hedgerow hand cream",
		Summary: "A plain, quick-sinking cream for hands that wash up a lot.", Product: "hand cream", Category: "leave-on",
		Shelf: Link{Text: "Creams & lotions", Href: "shelf.html"}, Picture: picture, Access: "members", Facts: facts,
		Tools: []string{"Stick blender", "Thermometer", "Two heatproof beakers"}, Method: template.HTML(method), Portions: samplePortions(),
		Versions: []VersionView{
			{ID: "v1", Name: "Base", Kind: "base", Findings: findings[1:], Formula: drawFormula(handCream("v1", "Hedgerow hand cream"))},
			{ID: "v2", Name: "Night version", Kind: "variant", Note: "For winter.", Changes: []string{"Glycerin: 6 % for 3 %", "Cocoa butter for Shea butter, refined", "without Sodium lactate"}, Findings: findings, Formula: drawFormula(handCream("v2", "Hedgerow hand cream, Night version"))},
			{ID: "v3", Name: "Rich", Kind: "split", Checked: true, Formula: drawFormula(handCream("v3", "Hedgerow hand cream, Rich"))},
		},
		Video: &VideoView{Href: "https://film.larkrow.example/stirring", Title: "Stirring a cream while it cools", Host: "film.larkrow.example"},
		Changed: []ChangeView{
			{Day: "2026-06-11", On: "11 June 2026", Lines: []ChangedLine{{Name: "Cedarwood fragrance", How: "0.6 %, added"}, {Name: "Sodium lactate", How: "3 %, taken out"}}},
			{Day: "2026-05-03", On: "3 May 2026", Lines: []ChangedLine{{Name: "Phenoxyethanol & ethylhexylglycerin blend", How: "0.8 → 1 %"}}, Note: "the challenge test asked for more"},
		},
		Downloads: []Link{{Text: "formula.json", Href: "formula.json"}, {Text: "weights.csv", Href: "weights.csv"}},
		Caution:   "Follow local rules. Have products you sell assessed by a qualified person where the law asks for it; this is no safety assessment.",
	}
	for _, b := range handCream("", "").Batches {
		recipe.Batches = append(recipe.Batches, BatchView{ID: b.ID, Size: b.Size})
	}
	shelf := ShelfView{Name: "Creams & lotions", Href: "shelf.html", About: "Water and oil, bound and preserved.", Recipes: cards}
	balms := ShelfView{Name: "Balms & butters", Href: "shelf.html", About: "No water, so no preservative.", Recipes: cards[1:]}
	ingredients := []Group{{Name: "C", Cards: []Card{{Title: "Cedarwood fragrance", Href: "ingredient.html", Tag: "fragrance"}, {Title: "Cocoa butter", Href: "ingredient.html", Tag: "butter", Summary: "Hard, and smells of itself."}}}, {Name: "G", Cards: []Card{{Title: "Glycerin", Href: "ingredient.html", Tag: "humectant"}}}}
	return map[string]any{
		"home":        &HomeView{Frame: sampleFrame("home", "The Larkrow stillroom", "", assets), Shelves: []ShelfView{shelf, balms}, Notes: cards[2:], Ingredients: 64},
		"shelf":       &ShelfView{Frame: sampleFrame("shelf", "Creams & lotions", "", assets), Name: shelf.Name, About: shelf.About, Recipes: cards},
		"recipe":      recipe,
		"ingredients": &ListView{Frame: sampleFrame("ingredients", "Ingredients", "", assets), Groups: ingredients},
		"find":        &FindView{Frame: sampleFrame("find", "Find", "../", assets), Shelves: []Link{{Text: "Creams & lotions", Href: "../shelves/creams-lotions/index.html"}}, Ingredients: "../ingredients/index.html"},
		"notes":       &ListView{Frame: sampleFrame("notes", "Notes", "", assets), Groups: []Group{{Cards: cards}}},
		"note":        &NoteView{Frame: sampleFrame("note", "Weighing by the drop", "", assets), Name: "Weighing by the drop", Summary: "Why we do not.", Video: &VideoView{Href: "https://film.larkrow.example/drops", Host: "film.larkrow.example"}, Facts: []Fact{{Name: "Updated", Value: "3 May 2026"}}, Body: template.HTML(method)},
		"teaser":      &TeaserView{Frame: sealedFrame(assets), Name: "Night cream with cocoa butter", Summary: "Heavier, for winter and for elbows.", What: "recipe", Shelf: Link{Text: "Creams & lotions", Href: "shelf.html"}, Picture: picture, Sealed: drawSealed("recipes/night-cream/index.html", []byte("sealed"))},
		"batch":       sampleRecord(assets),
		"batches": &RecordsView{Frame: sampleFrame("batches", "Batches", "", assets), Groups: []RecordGroup{{Name: "Made", Records: []RecordEntry{
			{Code: "HHC-1", Href: "batch.html", Recipe: "Hedgerow hand cream, Night version", Size: "250 g", Made: "2026-06-09", Yield: "241 g", Until: "2026-12-09", Released: "released"},
			{Code: "HHC-2", Href: "batch.html", Size: "1 kg"},
		}}}},
		"stock":   sampleStock(assets),
		"missing": &MissingView{Frame: sampleFrame("missing", "No such page", "./", assets)},
		"ingredient": &IngredientView{
			Frame: sampleFrame("ingredient", "Cedarwood fragrance", "", assets), Name: "Cedarwood fragrance", Also: []string{"cedar scent", "Atlas accord"}, Roles: []string{"fragrance"},
			Summary: "Dry and warm, and kind to white creams in small amounts.", Picture: picture, Access: "maker",
			Video:    &VideoView{Href: "https://film.larkrow.example/cedar", Title: "How it smells", Host: "film.larkrow.example"},
			Facts:    []Fact{{Name: "INCI", Value: "Parfum"}, {Name: "Dissolves in", Value: "oil"}, {Name: "Density", Value: "0.95 g/ml", Source: "supplier’s sheet of 2026-03"}, {Name: "Keep below", Value: "60 °C (140 °F)"}, {Name: "Keeps", Value: "24 months", Source: "common practice"}},
			Uses:     []UseView{{For: "leave-on", From: "0.5 %", To: "2 %", Source: "supplier’s sheet of 2026-03"}, {For: "rinse-off", To: "6 %", Source: "common practice"}},
			Cautions: []string{"Keep away from eyes.", "Flammable: no open flame near the bottle."}, Body: "<p>We buy it by the hundred millilitres and use it up within a year.</p>",
			UsedIn:  drawUsedIn([]UsedView{{Recipe: Link{Text: "Hedgerow hand cream", Href: "recipe.html"}, Percent: "0.6 %"}, {Recipe: Link{Text: "Hedgerow hand cream", Href: "recipe.html"}, Version: "Night version", Percent: "2.4 %"}, {Recipe: Link{Text: "Garden hand wash", Href: "recipe.html"}, Percent: "1 %"}}),
			Private: []Fact{{Name: "Supplier", Value: "Fernlea Supplies"}, {Name: "Price", Value: "18.50 per 100 ml"}, {Name: "Lot C-104", Value: "opened 2 March 2026, use by 1 March 2028"}},
		},
	}
}

// A page may say that the checks found nothing only where they were run.
func TestSilenceOfTheChecks(t *testing.T) {
	theme := defaultTheme(t)
	for _, checked := range []bool{false, true} {
		page := render(t, theme, "recipe", &RecipeView{Frame: Frame{Assets: theme.assetPaths()}, Versions: []VersionView{{ID: "v1", Checked: checked}}})
		assert.Equal(t, checked, strings.Contains(page, "found nothing"))
		assert.Equal(t, checked, strings.Contains(page, `href="#part--checks"`))
		checkPage(t, page)
	}
}

// defaultTheme gives the theme that comes with the program, read once.
func defaultTheme(t testing.TB) *Theme {
	theme, err := linenTheme()
	require.NoError(t, err)
	return theme
}

var linenTheme = sync.OnceValues(func() (*Theme, error) { return LoadTheme(linen.FS, nil) })

func TestLinenPages(t *testing.T) {
	theme := defaultTheme(t)
	views := larkrow(theme.assetPaths())
	for _, kind := range pageKinds() {
		t.Run(kind, func(t *testing.T) {
			require.Contains(t, views, kind)
			var page bytes.Buffer
			require.NoError(t, theme.Render(&page, kind, views[kind]))
			checkPage(t, page.String())
		})
	}
}

// checkPage holds a page against what every page promises: it is well formed, ids are used once and found, every
// field has a label, there is one main heading, and a strict content policy would let all of it stand.
func checkPage(t *testing.T, page string) {
	t.Helper()
	checkBalance(t, page)
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	ids, count := map[string]int{}, map[string]int{}
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		count[n.Data]++
		if id := attr(n, "id"); id != "" {
			ids[id]++
		}
		assert.Empty(t, attr(n, "style"), "a style attribute on %s", n.Data)
		for _, a := range n.Attr {
			assert.False(t, strings.HasPrefix(a.Key, "on"), "a handler %s on %s", a.Key, n.Data)
		}
	}
	for id, times := range ids {
		assert.Equal(t, 1, times, "id %q", id)
	}
	assert.Equal(t, 1, count["h1"], "main headings")
	assert.Equal(t, 1, count["main"])
	assert.Zero(t, count["style"])
	for n := range doc.Descendants() {
		if n.Type == html.ElementNode && n.Data == "script" && attr(n, "id") != sealedID && attr(n, "type") != "application/ld+json" && attr(n, "id") != weighID {
			assert.Regexp(t, `^(\.\.?/|https://[a-z./]+/)*assets/[a-z]+\.[0-9a-f]{8}\.js$`, attr(n, "src"), "a script that is not a file of the theme")
			assert.Nil(t, n.FirstChild, "words in a script")
		}
	}
	checkReferences(t, doc, ids)
	assert.NotContains(t, page, "ZgotmplZ")
}

// checkReferences looks for labels without a field, fields without a label, and fragments that lead nowhere.
func checkReferences(t *testing.T, doc *html.Node, ids map[string]int) {
	t.Helper()
	labelled := map[string]bool{}
	for n := range doc.Descendants() {
		if n.Type == html.ElementNode && n.Data == "label" {
			labelled[attr(n, "for")] = true
		}
	}
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		for _, key := range []string{"for", "aria-labelledby"} {
			if id := attr(n, key); id != "" {
				assert.Contains(t, ids, id, "%s on %s", key, n.Data)
			}
		}
		if href := attr(n, "href"); len(href) > 1 && href[0] == '#' {
			assert.Contains(t, ids, href[1:], "link to %s", href)
		}
		switch n.Data {
		case "input":
			assert.True(t, labelled[attr(n, "id")], "input %q has a label", attr(n, "id"))
		case "img":
			assert.True(t, hasAttr(n, "alt"), "alt on %q", attr(n, "src"))
		}
	}
}

// checkBalance reads the tags in order: every element that must be closed is, in its place.
func checkBalance(t testing.TB, page string) {
	t.Helper()
	void := map[string]bool{"meta": true, "link": true, "img": true, "input": true, "br": true, "hr": true}
	var open []string
	z := html.NewTokenizer(strings.NewReader(page))
	for {
		switch z.Next() {
		case html.ErrorToken:
			require.Empty(t, open, "left open")
			return
		case html.StartTagToken:
			name, _ := z.TagName()
			if !void[string(name)] {
				open = append(open, string(name))
			}
		case html.EndTagToken:
			name, _ := z.TagName()
			require.NotEmpty(t, open, "</%s> closes nothing", name)
			require.Equal(t, open[len(open)-1], string(name), "open: %v", open)
			open = open[:len(open)-1]
		}
	}
}

// attr gives an attribute's value, or "".
func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// hasAttr reports whether an attribute stands, empty or not.
func hasAttr(n *html.Node, key string) bool {
	for _, a := range n.Attr {
		if a.Key == key {
			return true
		}
	}
	return false
}
