package site

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// lost tells what of a page does not fit: pixels that it scrolls sideways, and texts that are cut off, but for those that are meant for screen
// readers alone and those in a place that scrolls.
const lost = `(() => {
	const root = document.documentElement, cut = []
	for (const e of document.querySelectorAll('body *')) {
		const style = getComputedStyle(e)
		if (!['hidden', 'clip'].includes(style.overflowX) || style.clipPath !== 'none' || !e.checkVisibility()) continue
		if (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1) cut.push(e.outerHTML.slice(0, 80))
	}
	if (root.scrollWidth > root.clientWidth) {
		const wide = [...document.querySelectorAll('main *')].filter(e => e.checkVisibility() && e.getBoundingClientRect().right > root.clientWidth + 1 && !e.closest('.table, pre, .away'))
		cut.push(...wide.slice(-5).map(e => 'too wide: ' + e.outerHTML.slice(0, 80)))
	}
	return { Sideways: root.scrollWidth - root.clientWidth, Cut: cut }
})()`

type loss struct {
	Sideways int
	Cut      []string
}

// wear lays a style sheet of the reader's over the page.
func wear(t testing.TB, p *browsertest.Page, css string) {
	t.Helper()
	browsertest.Ask[bool](t, p, fmt.Sprintf(`(s => { s.replaceSync(%q); document.adoptedStyleSheets = [s]; return true })(new CSSStyleSheet())`, css))
}

// Nothing is lost where readers make pages narrow (WCAG 2.2, 1.4.10: 320 px), twice as large (1.4.4: 1280 px at 200 % are 640) or wide-set
// (1.4.12, with its figures).
func TestPagesReflow(t *testing.T) {
	b := browsertest.Start(t)
	ways := []struct {
		name  string
		width int64
		css   string
	}{
		{"narrow", 320, ``},
		{"twice as large", 640, ``},
		{"wide-set", 360, `* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important } p { margin-bottom: 2em !important }`},
	}
	for edition, pages := range map[Edition][]string{
		OpenEdition:  {"index.html", findPath, "shelves/creams-lotions/index.html", "recipes/hedgerow-hand-cream/index.html", "recipes/larkrow-bar/index.html", ingredientsPath, "ingredients/glycerin/index.html", "recipes/first-frost-body-butter/index.html"},
		MakerEdition: {"recipes/larkrow-bar/index.html", "batches/index.html", "batches/hhc-260609-1/index.html", "stock/index.html"},
	} {
		h := hostDemo(t, edition)
		p := b.Open(t, "about:blank", browsertest.View{Width: 360, Script: true})
		for _, page := range pages {
			p.Go(t, h.at(page))
			p.Wait(t, `document.readyState === 'complete'`)
			for _, way := range ways {
				p.Resize(t, way.width)
				wear(t, p, way.css)
				assert.Equal(t, loss{Cut: []string{}}, browsertest.Ask[loss](t, p, lost), "%s: %s, %s", edition, page, way.name)
			}
		}
	}
}

// A stop is where the Tab key leads: what, whether it can be seen that it is there, and whether anything lies over it.
type stop struct {
	What          string
	Shown, Hidden bool
}

// stopped tells where the focus is. A choice among several shows it on its words.
const stopped = `(() => {
	const e = document.activeElement
	if (!e || e === document.body) return { What: '' }
	const seen = e.matches('.pick input') ? e.nextElementSibling : e
	const style = getComputedStyle(seen), box = seen.getClientRects()[0] ?? seen.getBoundingClientRect()
	const over = document.elementFromPoint(Math.min(box.left + box.width / 2, innerWidth - 1), Math.min(box.top + Math.min(box.height / 2, 20), innerHeight - 1))
	return {
		What: (e.localName + ' ' + (e.id ? '#' + e.id : e.getAttribute('aria-label') || e.textContent || e.name)).replace(/\s+/g, ' ').trim().slice(0, 60),
		Shown: style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2 || style.textDecorationLine === 'underline' && e.matches('.found a'),
		Hidden: !over || !(seen.contains(over) || over.contains(seen) || e.contains(over)),
	}
})()`

// tabbable counts what Tab should lead to on the page as it is: of a group of choices the chosen one.
const tabbable = `[...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')]
	.filter(e => e.checkVisibility({visibilityProperty: true}) && !e.disabled && e.tabIndex >= 0 && !e.closest('details:not([open]) > :not(summary)'))
	.filter(e => e.type !== 'radio' || e.checked || !document.querySelector('input[name="' + e.name + '"]:checked')).length`

// walk presses Tab until the page has been gone through, and gives the stops.
func walk(t testing.TB, p *browsertest.Page) []stop {
	t.Helper()
	var stops []stop
	for range 400 {
		p.Type(t, browsertest.Tab)
		s := browsertest.Ask[stop](t, p, stopped)
		if s.What == "" {
			return stops
		}
		stops = append(stops, s)
	}
	t.Fatal("the page has no end for those who go through it with Tab")
	return nil
}

// With the keyboard alone everything on a recipe's page can be reached, each stop is seen and nothing lies over it (WCAG 2.2, 2.1.1, 2.4.3, 2.4.7,
// 2.4.11), and a batch is chosen; with forced colours as well.
func TestRecipePageByKeyboard(t *testing.T) {
	b := browsertest.Start(t)
	h := hostDemo(t, OpenEdition)
	p := b.Open(t, h.at("recipes/rosehip-evening-oil/index.html"), browsertest.View{Width: 360, Script: true})
	p.Wait(t, `document.readyState === 'complete'`)
	for _, forced := range []string{"none", "active"} {
		p.Prefer(t, "forced-colors", forced)
		browsertest.Ask[string](t, p, `document.documentElement.style.scrollBehavior = 'auto'`) // or it is looked at while it scrolls
		stops := walk(t, p)
		require.NotEmpty(t, stops)
		assert.Equal(t, "a Straight to the page", stops[0].What)
		assert.Len(t, stops, browsertest.Ask[int](t, p, tabbable))
		for _, s := range stops {
			assert.True(t, s.Shown, "no sign that the focus is on %s, forced colours %s", s.What, forced)
			assert.False(t, s.Hidden, "something lies over %s", s.What)
		}
	}
	browsertest.Ask[string](t, p, `document.documentElement.style.scrollBehavior = ''`)
	p.Prefer(t, "prefers-reduced-motion", "reduce")
	assert.Equal(t, "auto", browsertest.Ask[string](t, p, `getComputedStyle(document.documentElement).scrollBehavior`))
	assert.Empty(t, browsertest.Ask[[]string](t, p, `document.getAnimations().map(String)`))

	p.Go(t, h.at("recipes/hedgerow-hand-cream/index.html"))
	p.Wait(t, `document.readyState === 'complete'`)
	browsertest.Ask[bool](t, p, `(document.getElementById('b1').focus(), true)`)
	p.Type(t, browsertest.ArrowDown+browsertest.ArrowDown)
	assert.Equal(t, "b3", browsertest.Ask[string](t, p, `document.activeElement.id`))
	s := browsertest.Ask[seen](t, p, lookFor("v1", "b3"))
	assert.Equal(t, []string{"24 × 100 ml jar"}, s.Batches)
	assert.Equal(t, s.Wanted, s.Amounts)
}
