package site

import (
	"net/url"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// What the finder shows: each recipe with its remarks, its count, and whether the page scrolls sideways.
const (
	foundLines = `[...document.querySelectorAll('#find--found > li')].map(li => [li.querySelector('a').textContent, ...[...li.querySelectorAll(':scope > p + p, :scope > details')].map(part => part.matches('details') ? [...part.querySelectorAll('summary, li')].map(e => e.textContent).join(' / ') : part.textContent)].join(' | '))`
	foundCount = `document.getElementById('find--said')?.textContent`
)

// choose sets a field of the finder as a reader does.
func choose(t testing.TB, p *browsertest.Page, field, value string) {
	t.Helper()
	browsertest.Ask[bool](t, p, `((field, value) => {
		if (field.type === 'checkbox') field.checked = Boolean(value)
		else field.value = value
		field.dispatchEvent(new Event('input', { bubbles: true }))
		field.dispatchEvent(new Event('change', { bubbles: true }))
		return true
	})(document.querySelector('#find [name="`+field+`"], #find input[value="`+field+`"]'), "`+value+`")`)
}

func TestFindInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	d := newDoorway(t)
	d.source = filesIn(t, "find.txtar")
	dir := d.publish(t, d.door, d.members...)
	h := serve(t, dir)
	p := b.Open(t, h.at(findPath), browsertest.View{Width: 360, Script: true})
	found := func() []string { return browsertest.Ask[[]string](t, p, foundLines) }
	count := func() string { return browsertest.Ask[string](t, p, foundCount) }
	visit := func(query string) {
		t.Helper()
		p.Go(t, h.at(findPath+query))
		p.Wait(t, foundCount)
	}

	p.Wait(t, foundCount)
	assert.Equal(t, []string{"Bench balm", "Cliff oil", "Moth salve", "Orchard balm", "Tide soak"}, found())
	assert.Equal(t, "5 of 5 recipes", count())
	assert.Zero(t, browsertest.Ask[int](t, p, `document.documentElement.scrollWidth - document.documentElement.clientWidth`))
	assert.True(t, browsertest.Ask[bool](t, p, `document.getElementById('find--else').hidden`))

	for _, test := range []struct {
		name, query, count string
		want               []string
	}{
		{"words", "?q=tide", "1 of 5 recipes", []string{"Tide soak"}},
		{"a slip", "?q=orchrad", "1 of 5 recipes · spelt nearly so", []string{"Orchard balm"}},
		{"another name of an ingredient", "?q=rizinusol", "1 of 5 recipes", []string{"Bench balm"}},
		{"no such words", "?q=xylophone", "No recipe has these words.", nil},
		{"shelf", "?shelf=Baths", "1 of 5 recipes", []string{"Tide soak"}},
		{"kind", "?kind=balm", "2 of 5 recipes", []string{"Bench balm", "Orchard balm"}},
		{"rinsed off", "?stays=rinse-off", "1 of 5 recipes", []string{"Tide soak"}},
		{"time", "?time=30", "2 of 5 recipes · 1 gives no working time and is left out", []string{"Bench balm", "Tide soak"}},
		{"one version uses it", "?uses=olive-oil", "1 of 5 recipes", []string{"Orchard balm | As “From olives”"}},
		{"vegan", "?vegan=1", "3 of 5 recipes · of 1 it is not known", []string{
			"Orchard balm | By the catalogue nothing of animal origin.", "Tide soak | By the catalogue nothing of animal origin.",
			"Cliff oil | Nothing of animal origin: not known of 1 ingredient / Attic drops",
		}},
		{"without nuts", "?without=tree+nuts", "4 of 5 recipes · of 1 it is not known", []string{
			"Bench balm | By the catalogue no tree nuts.", "Orchard balm | As “From olives” | By the catalogue no tree nuts.", "Tide soak | By the catalogue no tree nuts.",
			"Cliff oil | No tree nuts: not known of 2 ingredients / Argan oil / Attic drops",
		}},
		{"what names other sources is not known", "?without=peanuts&uses=almond-oil-sweet", "1 of 5 recipes · of 1 it is not known", []string{
			"Orchard balm | No peanuts: not known of 1 ingredient / Sweet almond oil (made from: tree nuts)",
		}},
		{"what is not known of the same is said once", "?without=peanuts&without=sesame&uses=almond-oil-sweet", "1 of 5 recipes · of 1 it is not known", []string{
			"Orchard balm | No peanuts and no sesame: not known of 1 ingredient / Sweet almond oil (made from: tree nuts)",
		}},
		{"all at once", "?shelf=Baths&uses=olive-oil", "No recipe is all of this. Fewer choices may find one.", nil},
		{"nothing ticked", "?missing=0", "5 of 5 recipes · Tick what you have, and what is missing is counted.", []string{"Bench balm", "Cliff oil", "Moth salve", "Orchard balm", "Tide soak"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			visit(test.query)
			assert.Equal(t, test.count, count())
			assert.ElementsMatch(t, test.want, found())
			if len(test.want) > 1 {
				assert.Equal(t, test.want, found())
			}
			warned := browsertest.Ask[bool](t, p, `!document.getElementById('find--caution').hidden`)
			assert.Equal(t, test.name == "vegan" || test.name == "without nuts" || strings.HasPrefix(test.name, "what "), warned)
		})
	}

	t.Run("what is chosen can be gone back to", func(t *testing.T) {
		visit("")
		choose(t, p, "shelf", "Balms")
		choose(t, p, "tree nuts", "1")
		assert.Equal(t, "?shelf=Balms&without=tree+nuts", browsertest.Ask[string](t, p, `location.search`))
		assert.Len(t, found(), 3)
		browsertest.Ask[bool](t, p, `(history.back(), true)`)
		p.Wait(t, `location.search === '?shelf=Balms' && document.querySelectorAll('#find--found > li').length === 4`)
		assert.False(t, browsertest.Ask[bool](t, p, `document.querySelector('#find [value="tree nuts"]').checked`))
		browsertest.Ask[bool](t, p, `(history.back(), true)`)
		p.Wait(t, `location.search === '' && document.querySelectorAll('#find--found > li').length === 5`)
		choose(t, p, "kind", "balm")
		p.Click(t, "#find--clear")
		p.Wait(t, `location.search === '' && document.querySelectorAll('#find--found > li').length === 5`)
		browsertest.Ask[bool](t, p, `(document.getElementById('find--q').focus(), true)`)
		p.Type(t, "tid")
		p.Wait(t, `location.search === '?q=tid' && document.querySelectorAll('#find--found > li').length === 1`)
		p.Type(t, browsertest.Enter)
		assert.Equal(t, "Tide soak", browsertest.Ask[string](t, p, `document.activeElement.textContent`))
	})

	t.Run("what I have is remembered here", func(t *testing.T) {
		visit("?missing=all")
		browsertest.Ask[bool](t, p, `(document.getElementById('find--have').open = true)`)
		p.Click(t, `label[for="`+browsertest.Ask[string](t, p, `document.querySelector('input[value="candelilla-wax"]').id`)+`"]`)
		choose(t, p, "olive-oil", "1")
		choose(t, p, "epsom-salt", "1")
		want := []string{
			"Orchard balm | As “From olives” | You have all of it.", "Tide soak | Missing 1: Sea salt",
			"Bench balm | Missing 2: Castor oil and Beeswax, yellow", "Cliff oil | Missing 2: Argan oil and Attic drops",
		}
		assert.Equal(t, want, found())
		visit("?missing=all")
		assert.Equal(t, want, found())
		assert.Equal(t, "What I have (3 ingredients)", browsertest.Ask[string](t, p, `document.querySelector('#find--have summary').textContent`))
		assert.Equal(t, `["candelilla-wax","olive-oil","epsom-salt"]`, browsertest.Ask[string](t, p, `localStorage.getItem('stillroom-have /')`))
		choose(t, p, "missing", "1")
		assert.Equal(t, want[:2], found())
		choose(t, p, "missing", "0")
		assert.Equal(t, want[:1], found())
		browsertest.Ask[bool](t, p, `(localStorage.setItem('stillroom-have /', '{"a":'), true)`)
		visit("?missing=0")
		assert.Len(t, found(), 5, "a spoilt note is as none")
		browsertest.Ask[bool](t, p, `(localStorage.clear(), true)`)
	})

	t.Run("a bare page is filled again", func(t *testing.T) {
		visit("?kind=balm")
		browsertest.Ask[bool](t, p, `(document.getElementById('find--here').replaceChildren(), document.getElementById('find--else').hidden = false, true)`)
		p.Wait(t, `document.querySelectorAll('#find--found > li').length === 2 && document.getElementById('find--else').hidden`)
	})

	t.Run("members find theirs while the door is open", func(t *testing.T) {
		visit("?vegan=1")
		assert.NotContains(t, found(), "Moth salve | By the catalogue nothing of animal origin.")
		assert.Zero(t, browsertest.Ask[int](t, p, `document.querySelectorAll('#find [value="jojoba-oil"]').length`))
		p.Go(t, h.at("recipes/moth-salve/index.html"))
		typeCode(t, p, d.codes[0].String())
		p.Wait(t, isOpen)
		visit("?vegan=1")
		p.Wait(t, `document.querySelectorAll('#find--found > li').length === 4`)
		assert.Contains(t, found(), "Moth salve | By the catalogue nothing of animal origin.")
		visit("?uses=jojoba-oil")
		p.Wait(t, `document.querySelectorAll('#find--found > li').length === 1`)
		p.Click(t, "#door--forget")
		p.Wait(t, `document.querySelectorAll('#find--found > li').length === 0 && `+foundCount)
		assert.NotContains(t, browsertest.Ask[string](t, p, `document.documentElement.textContent`), "Jojoba")
	})

	t.Run("says so where the list cannot be read", func(t *testing.T) {
		h.put("search.json", "{")
		p.Go(t, h.at(findPath))
		p.Wait(t, `document.getElementById('find--why').getAttribute('role') === 'alert'`)
		assert.Equal(t, 3, browsertest.Ask[int](t, p, `document.querySelectorAll('#find--else a').length`), "and leads on")
	})

	t.Run("without a script", func(t *testing.T) {
		bare := b.Open(t, (&url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(dir, findPath))}).String(), browsertest.View{Width: 360})
		assert.Equal(t, 3, browsertest.Ask[int](t, bare, `[...document.querySelectorAll('#find--else a')].filter(a => a.checkVisibility()).length`))
		assert.Zero(t, browsertest.Ask[int](t, bare, `document.querySelectorAll('input:not([type=search]), select').length`))
	})
}
