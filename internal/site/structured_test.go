package site

import (
	"encoding/json"
	"html/template"
	"io/fs"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/synthetic"
)

// A readThing is a thing as a program reads it.
type readThing = map[string]any

// head gives what the head of a page says: its properties in order, and its things by type.
func head(t *testing.T, page string) (properties map[string][]string, things map[string]readThing) {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	properties, things = map[string][]string{}, map[string]readThing{}
	for n := range doc.Descendants() {
		if name := attr(n, "property"); name != "" {
			properties[name] = append(properties[name], attr(n, "content"))
		}
		if n.Data == "link" && attr(n, "rel") == "canonical" {
			properties["canonical"] = append(properties["canonical"], attr(n, "href"))
		}
		if n.Data != "script" || attr(n, "type") != "application/ld+json" {
			continue
		}
		var data struct {
			Context string      `json:"@context"`
			Graph   []readThing `json:"@graph"`
		}
		require.NoError(t, json.Unmarshal([]byte(n.FirstChild.Data), &data))
		require.Equal(t, "https://schema.org", data.Context)
		require.NotEmpty(t, data.Graph)
		for _, thing := range data.Graph {
			things[thing["@type"].(string)] = thing
		}
	}
	return properties, things
}

// knownThings are the types of schema.org that we use with those of their properties that we use (release 29, names from memory); text says
// which property is never without text.
var knownThings = map[string]string{
	"WebSite": "url name description inLanguage publisher potentialAction", "SearchAction": "target query-input", "EntryPoint": "urlTemplate",
	"Organization": "name", "WebPage": "url name description inLanguage isPartOf dateModified primaryImageOfPage isAccessibleForFree about",
	"CollectionPage": "url name description inLanguage isPartOf", "ImageObject": "contentUrl caption", "Thing": "name",
	"BreadcrumbList": "itemListElement", "ListItem": "position name item",
	"HowTo":       "name description inLanguage mainEntityOfPage image performTime totalTime supply tool yield step",
	"HowToSupply": "name requiredQuantity", "HowToTool": "name", "HowToStep": "text", "HowToTip": "text", "HowToSection": "name itemListElement",
}

// thingFaults tells what of a thing schema.org does not know, and addresses that are not the handbook's own.
func thingFaults(v any, address string) []string {
	var faults []string
	switch v := v.(type) {
	case []any:
		for _, in := range v {
			faults = append(faults, thingFaults(in, address)...)
		}
	case map[string]any:
		kind, typed := v["@type"].(string)
		known := " " + knownThings[kind] + " @type @id "
		for name, value := range v {
			if typed && !strings.Contains(known, " "+name+" ") || !typed && name != "@id" {
				faults = append(faults, kind+" has no "+name)
			}
			faults = append(faults, thingFaults(value, address)...)
			if text, is := value.(string); is {
				faults = append(faults, textFaults(name, text, address)...)
			}
		}
	}
	return faults
}

func textFaults(name, text, address string) []string {
	var bad bool
	switch name {
	case "@id", "url", "item", "contentUrl", "image", "urlTemplate":
		u, err := url.Parse(strings.NewReplacer("{", "", "}", "").Replace(text))
		bad = err != nil || !u.IsAbs() || !strings.HasPrefix(text, address)
	case "dateModified":
		_, err := time.Parse(time.DateOnly, text)
		bad = err != nil
	case "performTime", "totalTime":
		bad = !regexp.MustCompile(`^PT\d+[MS]$`).MatchString(text)
	default:
		bad = strings.TrimSpace(text) == ""
	}
	if bad {
		return []string{name + " is " + text}
	}
	return nil
}

// What is told of the demonstration's pages is what they show, in words that schema.org and the Open Graph protocol (ogp.me) know.
func TestPagesTellPrograms(t *testing.T) {
	t.Parallel()
	const address = "https://larkrow.example/handbook/"
	dir := t.TempDir()
	buildInto(t, demoAt(t, address), OpenEdition, dir)
	pages := filesOf(t, dir)
	told := map[string]int{}
	for file, page := range pages {
		if !strings.HasSuffix(file, ".html") {
			continue
		}
		properties, things := head(t, page)
		if file == "404.html" {
			assert.Empty(t, properties)
			assert.Empty(t, things)
			continue
		}
		for _, name := range []string{"canonical", "og:title", "og:type", "og:image", "og:image:alt", "og:url", "og:site_name"} {
			require.Len(t, properties[name], 1, "%s: %s", file, name)
			assert.NotEmpty(t, properties[name][0], "%s: %s", file, name)
		}
		assert.Equal(t, absolute(address, file), properties["og:url"][0])
		assert.Equal(t, properties["canonical"], properties["og:url"])
		assert.Contains(t, pages, strings.TrimPrefix(properties["og:image"][0], address), "%s shows a picture that is not there", file)
		for kind, thing := range things {
			told[kind]++
			assert.Empty(t, thingFaults(thing, address), "%s: %s", file, kind)
		}
	}
	assert.Equal(t, 1, told["WebSite"])
	assert.Equal(t, told["WebPage"]+told["CollectionPage"], told["BreadcrumbList"])
	assert.Greater(t, told["HowTo"], 10)

	_, things := head(t, pages["recipes/hedgerow-hand-cream/index.html"])
	cream := things["HowTo"]
	assert.Equal(t, "PT50M", cream["totalTime"])
	assert.Equal(t, "250 g", cream["yield"])
	assert.Equal(t, map[string]any{"@type": "HowToSupply", "name": "Distilled water", "requiredQuantity": "176.87 g"}, cream["supply"].([]any)[0])
	steps := cream["step"].([]any)
	made := steps[0].(map[string]any)["itemListElement"].([]any)
	assert.Equal(t, "Stand both in the water bath until both read 75 °C, then hold them there for 20 min. The note on heat-and-hold says why.", made[2].(map[string]any)["text"])
	assert.Regexp(t, "^Caution: Oil and wax at 75 °C burn", made[len(made)-1].(map[string]any)["text"])
	assert.Contains(t, steps[len(steps)-1].(map[string]any)["text"], "no safety assessment")
}

// Of a page for members nothing is told but what its teaser shows; other editions, and a handbook without an address, tell programs nothing.
func TestWhoIsToldNothing(t *testing.T) {
	t.Parallel()
	d := newDoorway(t)
	settings := string(d.source["handbook.yaml"].Data)
	d.source["handbook.yaml"].Data = []byte(settings + "address: https://larkrow.example/\n")
	pages := filesOf(t, d.publish(t, d.door, d.members...))
	_, things := head(t, pages[nightPage])
	assert.Len(t, things, 2)
	assert.Equal(t, readThing{
		"@type": "WebPage", "@id": "https://larkrow.example/" + nightPage, "url": "https://larkrow.example/" + nightPage, "name": "Night balm", "inLanguage": "en",
		"description": "Richer, for winter.", "isAccessibleForFree": false, "isPartOf": map[string]any{"@id": "https://larkrow.example/"},
		"primaryImageOfPage": map[string]any{"@type": "ImageObject", "contentUrl": "https://larkrow.example/pictures/recipes/night.svg", "caption": "A jar at night"},
	}, things["WebPage"])
	for _, edition := range []Edition{MembersEdition, MakerEdition} {
		dir := t.TempDir()
		buildInto(t, d.source, edition, dir)
		properties, things := head(t, filesOf(t, dir)[nightPage])
		assert.Empty(t, things)
		assert.NotContains(t, properties, "og:title")
	}
	d.source["handbook.yaml"].Data = []byte(settings)
	_, things = head(t, filesOf(t, d.publish(t, d.door, d.members...))["index.html"])
	assert.Empty(t, things)
}

// The rules find what is wrong.
func TestThingFaults(t *testing.T) {
	t.Parallel()
	const address = "https://larkrow.example/"
	assert.Empty(t, thingFaults(map[string]any{"@type": "WebPage", "url": address + "a", "about": map[string]any{"@type": "Thing", "name": "a"}}, address))
	for _, bad := range []map[string]any{
		{"@type": "Recipe", "name": "a"},
		{"@type": "WebPage", "title": "a"},
		{"@type": "WebPage", "url": "a"},
		{"@type": "WebPage", "name": " "},
		{"@type": "HowTo", "totalTime": "50 minutes"},
		{"@type": "WebPage", "dateModified": "May"},
		{"@type": "HowTo", "step": []any{map[string]any{"@type": "Step"}, map[string]any{"name": "a"}}},
	} {
		assert.NotEmpty(t, thingFaults(bad, address), "%v", bad)
	}
}

// Nothing that a page says ends the element that its data stand in.
func TestDataStandsInAScript(t *testing.T) {
	t.Parallel()
	const words = "</script><script>alert(1)//<!--\u2028"
	page := &RecipeView{Frame: Frame{Canonical: words, Lang: words}, Batches: []BatchView{{Size: words}}, Caution: words, Method: template.HTML("<h2>a</h2><p>" + template.HTMLEscapeString(words) + "</p>")}
	recipe := &handbook.Recipe{Page: handbook.Page{Title: words, Summary: words}, Tools: []string{words}}
	f := Frame{Things: []Thing{
		&webPage{kind: "WebPage", address: words, name: words, description: words, lang: words, site: words, about: words, picture: &Picture{Href: words, Shows: words}},
		breadcrumbs{words, []Link{{Text: words, Href: words}}},
		website{words, words, words, words, words, words},
		howTo{page: page, recipe: recipe, image: words},
	}}
	data := string(f.Data())
	assert.True(t, json.Valid([]byte(data)))
	assert.NotContains(t, data, "<")
	assert.NotContains(t, data, "\u2028")
	escaped, err := json.Marshal(words)
	require.NoError(t, err)
	assert.Equal(t, 27, strings.Count(data, strings.Trim(string(escaped), `"`)), "every text of every thing, but for the paragraph, which has no separators of lines")
}

func TestHowToSteps(t *testing.T) {
	t.Parallel()
	step := func(text string) any { return readThing{"@type": "HowToStep", "text": text} }
	tip := func(text string) any { return readThing{"@type": "HowToTip", "text": text} }
	for name, test := range map[string]struct {
		method string
		want   []any
	}{
		"nothing":    {"", []any{}},
		"points":     {"<p>First of all.</p><ol><li><p>Melt</p><p>it.</p></li>\n<li>Pour.</li></ol>", []any{step("Melt it."), step("Pour.")}},
		"paragraphs": {"<p>Melt.</p><ul><li>a</li></ul><p>Pour.</p>", []any{step("Melt."), step("Pour.")}},
		"the first version and batch": {
			`<p>Melt <span class="amount"><span class="v1"><span class="b1">5 g <small>0.2 oz</small></span><span class="b2">6 g</span></span><span class="v12"><span class="b1">7 g</span></span></span> of <em>it</em>.</p>`,
			[]any{step("Melt 5 g of it.")},
		},
		"sections": {
			`<aside class="block caution"><p class="block-name">Caution</p><p>Hot.</p></aside><h2>Make</h2><ol><li>Melt.</li></ol><h2>Empty</h2><table><tr><td>5</td></tr></table>`,
			[]any{tip("Caution: Hot."), readThing{"@type": "HowToSection", "name": "Make", "itemListElement": []any{step("Melt.")}}},
		},
		"a line's end, a picture and signs": {`<p>Melt<br>at 5&nbsp;&deg;C<img src="a.png" alt="a > b" /> &amp; pour ( <b>all</b> ) .</p>`, []any{step("Melt at 5 °C & pour ( all).")}},
		"a list in a point":                 {"<ol><li>Melt:\n<ol><li>oil</li><li>wax</li></ol></li></ol><ul><li>a</li></ul>", []any{step("Melt: oil wax")}},
		"no list of its own":                {"<aside class=\"block\"><ol><li>Wait.</li></ol></aside><p>Pour.</p>", []any{tip("Wait."), step("Pour.")}},
		"a heading without words":           {"<h2></h2><p>Pour.</p>", []any{step("Pour.")}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			text := inked(jsonInk{}, func(o *jsonInk) {
				o.object("", func() { o.steps(methodParts(test.method), "Care.") })
			})
			var got struct{ Step []any }
			require.NoError(t, json.Unmarshal(text, &got))
			assert.Equal(t, append(test.want, tip("Care.")), got.Step)
			assert.Equal(t, partsByParser(t, test.method), methodParts(test.method))
		})
	}
}

// What is read of the methods of all pages is what a parser reads in them that reads as browsers do.
func TestMethodsReadAsBrowsersDo(t *testing.T) {
	t.Parallel()
	files := fstest.MapFS{}
	for name, data := range synthetic.Files(synthetic.Size{Recipes: 60, Seed: 5}) {
		files[name] = &fstest.MapFile{Data: data}
	}
	parts := 0
	for _, source := range []fs.FS{os.DirFS(demoFolder), files} {
		s := NewProof(bookIn(t, source), MakerEdition, defaultTheme(t))
		for _, r := range s.recipes {
			v, err := s.ViewRecipe(r)
			require.NoError(t, err)
			got := methodParts(string(v.Method))
			require.Equal(t, partsByParser(t, string(v.Method)), got, r.File)
			parts += len(got)
		}
	}
	assert.Greater(t, parts, 500)
}

// partsByParser finds the parts of a method by way of the tree that golang.org/x/net/html makes of it.
func partsByParser(t testing.TB, method string) []methodPart {
	t.Helper()
	body := &html.Node{Type: html.ElementNode, Data: "body", DataAtom: atom.Body}
	nodes, err := html.ParseFragment(strings.NewReader(method), body)
	require.NoError(t, err)
	numbered := slices.ContainsFunc(nodes, func(n *html.Node) bool { return n.DataAtom == atom.Ol })
	var parts []methodPart
	add := func(kind methodKind, n *html.Node) {
		if text := firstWords(n); text != "" || kind == methodHeading {
			parts = append(parts, methodPart{kind, text})
		}
	}
	for _, n := range nodes {
		switch n.DataAtom {
		case atom.H2, atom.H3, atom.H4:
			add(methodHeading, n)
		case atom.Ol:
			for li := range n.ChildNodes() {
				add(methodStep, li)
			}
		case atom.P:
			if !numbered {
				add(methodStep, n)
			}
		case atom.Aside, atom.Div:
			if strings.HasPrefix(attr(n, "class"), "block") {
				add(methodBox, n)
			}
		}
	}
	return parts
}

var (
	otherVersion = regexp.MustCompile(`^[vb]([2-9]|[1-9]\d+)$`)
	closeUp      = strings.NewReplacer(" ,", ",", " .", ".", " )", ")")
)

// firstWords gives the words of a node for the first version and batch, without what stands small.
func firstWords(n *html.Node) string {
	var b strings.Builder
	var read func(n *html.Node)
	read = func(n *html.Node) {
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
		}
		if otherVersion.MatchString(attr(n, "class")) || n.DataAtom == atom.Small {
			return
		}
		for c := range n.ChildNodes() {
			read(c)
		}
		switch n.DataAtom {
		case atom.P, atom.Li, atom.Br, atom.Div:
			b.WriteString(map[bool]string{true: ": ", false: " "}[attr(n, "class") == "block-name"])
		}
	}
	read(n)
	return closeUp.Replace(strings.Join(strings.Fields(b.String()), " "))
}

// BenchmarkStructuredData writes what programs are told of recipes' pages that are drawn.
func BenchmarkStructuredData(b *testing.B) {
	pages := make(map[*handbook.Recipe]*RecipeView)
	eachRecipe(b, func(s *Build, r *handbook.Recipe) {
		if pages[r] == nil {
			b.StopTimer()
			v, err := s.ViewRecipe(r)
			require.NoError(b, err)
			pages[r] = v
			b.StartTimer()
		}
		pages[r].Data()
	})
}
