package site

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// shownHits lists the titles that the search shows.
const shownHits = `[...document.querySelectorAll('#search--found:not([hidden]) a')].map(a => a.textContent)`

// search types into the search box and waits for what is found.
func search(t testing.TB, p *browsertest.Page, words string) []string {
	t.Helper()
	p.Wait(t, `document.readyState === 'complete'`)
	browsertest.Ask[bool](t, p, `(field => { field.value = ''; field.dispatchEvent(new Event('input')); field.focus(); return true })(document.getElementById('search--field'))`)
	p.Type(t, words)
	p.Wait(t, `document.getElementById('search--said').textContent`)
	return browsertest.Ask[[]string](t, p, shownHits)
}

func TestSearchInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	d := newDoorway(t)
	h := serve(t, d.publish(t, d.door, d.members...))
	p := b.Open(t, h.at("recipes/perch-balm/index.html"), browsertest.View{Width: 500, Script: true})

	assert.Equal(t, []string{"Crème brûlée of the bench"}, search(t, p, "bench creme"), "words in any order, accents aside")
	assert.Equal(t, []string{}, search(t, p, "ench"), "a word's beginning counts, not its middle")
	assert.Equal(t, "Nothing found. Fewer letters may find it.", browsertest.Ask[string](t, p, `document.getElementById('search--said').textContent`))
	assert.Equal(t, []string{"Sunflower oil", "Perch balm"}, search(t, p, "sunfl"), "a title before what something is made of")
	assert.NotContains(t, search(t, p, "jojoba"), "Night balm")
	assert.Equal(t, []string{"Perch balm"}, search(t, p, "pecrh"))
	assert.Equal(t, "1 found that is spelt nearly so", browsertest.Ask[string](t, p, `document.getElementById('search--said').textContent`))

	// The keyboard: down, down, up, Escape to the box and away; Enter opens the first.
	search(t, p, "sunfl")
	p.Type(t, browsertest.ArrowDown+browsertest.ArrowDown)
	assert.Equal(t, "Perch balm", browsertest.Ask[string](t, p, `document.activeElement.textContent`))
	p.Type(t, browsertest.ArrowDown)
	assert.Equal(t, "Perch balm", browsertest.Ask[string](t, p, `document.activeElement.textContent`))
	p.Type(t, browsertest.ArrowUp+browsertest.ArrowUp)
	assert.Equal(t, "search--field", browsertest.Ask[string](t, p, `document.activeElement.id`))
	p.Type(t, browsertest.ArrowDown+browsertest.Escape)
	assert.Equal(t, "search--field", browsertest.Ask[string](t, p, `document.activeElement.id`))
	assert.True(t, browsertest.Ask[bool](t, p, `document.getElementById('search--found').hidden`))
	search(t, p, "sunfl")
	assert.Zero(t, browsertest.Ask[seen](t, p, lookFor("v1", "b1")).Sideways, "what is found fits a phone")
	p.Type(t, browsertest.Enter)
	p.Wait(t, `location.pathname.endsWith('ingredients/sunflower-oil/index.html')`)

	// Members find by what only members may read, and what has no page of its own in the open edition.
	p.Go(t, h.at(nightPage))
	typeCode(t, p, d.codes[0].String())
	p.Wait(t, isOpen)
	assert.Equal(t, []string{"Jojoba oil, golden", "Night balm"}, search(t, p, "jojoba"))
	assert.Regexp(t, `sealed/index\.html\?[0-9a-z]{24}$`, browsertest.Ask[string](t, p, `document.querySelector('#search--found a').href`))
	p.Go(t, h.at("index.html"))
	p.Wait(t, `document.documentElement.dataset.open`)
	assert.Contains(t, search(t, p, "night"), "Night balm")
}

// The matching, apart from any page.
func TestMatchScript(t *testing.T) {
	b := browsertest.Start(t)
	h := serve(t, t.TempDir())
	h.put("try.html", `<!DOCTYPE html><title>t</title><script src="match.js"></script>`)
	h.put("match.js", string(defaultTheme(t).Assets()["match.js"].Bytes))
	p := b.Open(t, h.at("try.html"), browsertest.View{Width: 500, Script: true})
	entries := []Entry{
		{Title: "Shea butter, refined", Kind: "ingredient", Tag: "butter", Words: []string{"Karité", "Butyrospermum Parkii Butter"}, Facts: EntryFacts{Material: "shea"}},
		{Title: "Whipped shea", Kind: "recipe", Tag: "body butter", Shelf: "Balms & butters", Words: []string{"Shea butter, refined", "Straßenöl"}, Facts: EntryFacts{Versions: []EntryVersion{{Takes: []string{"shea"}}}}},
		{Title: "Butter knife", Kind: "note", Summary: "On shea and spoons."},
		{Title: "Ærø salt", Kind: "recipe", Tag: "bath salts", Words: []string{"Sea salt", "Vitamin E", "5-HTP"}},
		{Title: "Сольная ванна", Kind: "recipe", Tag: "bath salts"},
	}
	list := searchJSON(oneByOne(entries))
	tests := []struct {
		query string
		want  []string
	}{
		{"", []string{}},
		{" -- ", []string{}},
		{"shea", []string{"Shea butter, refined", "Whipped shea", "Butter knife"}},
		{"butter shea", []string{"Shea butter, refined", "Whipped shea", "Butter knife"}},
		{"BUT", []string{"Butter knife", "Shea butter, refined", "Whipped shea"}},
		{"butter knife", []string{"Butter knife"}},
		{"karite", []string{"Shea butter, refined", "Whipped shea"}},
		{"karite whip", []string{"Whipped shea"}},
		{"strassenol", []string{"Whipped shea"}},
		{"STRASSENÖL", []string{"Whipped shea"}},
		{"aero", []string{"Ærø salt"}},
		{"salts vit", []string{"Ærø salt"}},
		{"e vitamin", []string{"Ærø salt"}},
		{"5 htp", []string{"Ærø salt"}},
		{"сол", []string{"Сольная ванна"}},
		{"utter", []string{}},
		{"shea shea", []string{"Shea butter, refined", "Whipped shea", "Butter knife"}},
		{"spoons shea lye", []string{}},
		{".*", []string{}},
	}
	near := []struct {
		query string
		want  []string
	}{
		{"shae", []string{"Shea butter, refined", "Whipped shea", "Butter knife"}}, // swapped
		{"sha", []string{}}, // too short for a slip
		{"buttr", []string{"Butter knife", "Shea butter, refined", "Whipped shea"}},
		{"wipped", []string{"Whipped shea"}},
		{"whiped shea", []string{"Whipped shea"}},
		{"Karrité", []string{"Shea butter, refined", "Whipped shea"}},
		{"karirte", []string{"Shea butter, refined", "Whipped shea"}},
		{"butyrospremun", []string{"Shea butter, refined", "Whipped shea"}}, // two slips
		{"butyrosprnmun", []string{}},                                       // three
		{"vitamni", []string{"Ærø salt"}},
		{"butyrsp", []string{"Shea butter, refined", "Whipped shea"}}, // half typed
		{"buttr spoons", []string{"Butter knife"}},
		{"qhea", []string{}}, // another first letter
		{"5-HTQ", []string{}},
	}
	for _, test := range near {
		query, err := json.Marshal(test.query)
		require.NoError(t, err)
		type found struct {
			Titles []string
			Nearly bool
		}
		got := browsertest.Ask[found](t, p, `(({ entries, nearly }) => ({ Titles: entries.map(entry => entry.title), Nearly: nearly }))(match.find(match.index((`+string(list)+`).entries), `+string(query)+`))`)
		assert.Equal(t, found{test.want, true}, got, test.query)
	}
	for _, test := range tests {
		query, err := json.Marshal(test.query)
		require.NoError(t, err)
		got := browsertest.Ask[[]string](t, p, `match.find(match.index((`+string(list)+`).entries), `+string(query)+`).entries.map(entry => entry.title)`)
		assert.Equal(t, test.want, got, test.query)
	}
}

// What is new since the last visit: nothing at first, then what changed or came, until it is read.
func TestLatelyInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	d := newDoorway(t)
	h := serve(t, d.publish(t, d.door, d.members...))
	const news = `[...document.querySelectorAll('#lately:not([hidden]) li')].map(li => li.textContent)`
	p := b.Open(t, h.at("index.html"), browsertest.View{Width: 500, Script: true})
	visit := func() []string {
		p.Go(t, h.at("index.html"))
		p.Wait(t, `document.readyState === 'complete'`)
		return browsertest.Ask[[]string](t, p, news)
	}
	p.Wait(t, `document.readyState === 'complete'`)
	assert.Empty(t, browsertest.Ask[[]string](t, p, news), "nothing at the first visit")
	assert.Empty(t, visit(), "nothing where nothing changed")

	browsertest.Ask[bool](t, p, `(note => {
		const key = Object.keys(localStorage).find(key => key.startsWith('stillroom-lately'))
		localStorage.setItem(key, JSON.stringify({ ...JSON.parse(localStorage.getItem(key)), on: '2026-05-03' }))
		return true
	})()`)
	h.put("index.html", strings.NewReplacer(`data-updated="2026-05-03"`, `data-updated="2026-06-11"`).Replace(h.read(t, "index.html")))
	year := browsertest.Ask[string](t, p, `new Date().getFullYear() === 2026 ? '' : ' 2026'`)
	assert.Equal(t, []string{"Perch balm changed 11 June" + year}, visit())
	assert.Equal(t, "New since you were last here (3 May"+year+")", browsertest.Ask[string](t, p, `document.querySelector('#lately h2').textContent`))
	assert.NotEmpty(t, visit(), "it stays until it was read")

	p.Click(t, "#lately button")
	assert.Empty(t, browsertest.Ask[[]string](t, p, news))
	assert.Equal(t, "H1", browsertest.Ask[string](t, p, `document.activeElement.tagName`))
	assert.Empty(t, visit())

	h.put("index.html", strings.NewReplacer(`data-updated="2026-05-03"`, `data-updated="2026-07-01"`).Replace(h.read(t, "index.html")))
	assert.NotEmpty(t, visit())
	p.Click(t, "#lately li a")
	p.Wait(t, `location.pathname.endsWith('perch-balm/index.html')`)
	assert.Empty(t, visit(), "what was looked at is no news")

	browsertest.Ask[bool](t, p, `(Object.keys(localStorage).forEach(key => localStorage.setItem(key, '{"known":7')), true)`)
	assert.Empty(t, visit(), "a spoilt note is as none")
}
