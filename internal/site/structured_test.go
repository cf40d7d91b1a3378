package site

import (
	"encoding/json"
	"html/template"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// head gives what the head of a page says: its properties in order, and its things by type.
func head(t *testing.T, page string) (properties map[string][]string, things map[string]Thing) {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	properties, things = map[string][]string{}, map[string]Thing{}
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
			Context string  `json:"@context"`
			Graph   []Thing `json:"@graph"`
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
			assert.Empty(t, thingFaults(map[string]any(thing), address), "%s: %s", file, kind)
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
	assert.Equal(t, Thing{
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
	f := Frame{Things: []Thing{newThing("WebPage").with("name", "</script><script>alert(1)//<!--\u2028")}}
	data, err := f.Data()
	require.NoError(t, err)
	assert.NotContains(t, string(data), "<")
	assert.NotContains(t, string(data), "\u2028")
}

func TestHowToSteps(t *testing.T) {
	t.Parallel()
	step := func(text string) Thing { return Thing{"@type": "HowToStep", "text": text} }
	for name, test := range map[string]struct {
		method string
		want   []Thing
	}{
		"nothing":    {"", nil},
		"points":     {"<p>First of all.</p><ol><li><p>Melt</p><p>it.</p></li>\n<li>Pour.</li></ol>", []Thing{step("Melt it."), step("Pour.")}},
		"paragraphs": {"<p>Melt.</p><ul><li>a</li></ul><p>Pour.</p>", []Thing{step("Melt."), step("Pour.")}},
		"the first version and batch": {
			`<p>Melt <span class="amount"><span class="v1"><span class="b1">5 g <small>0.2 oz</small></span><span class="b2">6 g</span></span><span class="v12"><span class="b1">7 g</span></span></span> of <em>it</em>.</p>`,
			[]Thing{step("Melt 5 g of it.")},
		},
		"sections": {
			`<aside class="block caution"><p class="block-name">Caution</p><p>Hot.</p></aside><h2>Make</h2><ol><li>Melt.</li></ol><h2>Empty</h2><table><tr><td>5</td></tr></table>`,
			[]Thing{tip("Caution: Hot."), {"@type": "HowToSection", "name": "Make", "itemListElement": []Thing{step("Melt.")}}},
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, test.want, howToSteps(template.HTML(test.method)))
		})
	}
}
