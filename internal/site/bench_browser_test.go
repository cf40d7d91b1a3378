package site

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// What is asked of a page at the bench.
const (
	headShown   = `[...document.querySelectorAll('section.version thead .b')].filter(e => e.checkVisibility()).map(e => e.textContent).join()`
	firstWeight = `document.querySelector('section.v1 tbody tr:not(.phase) .b0 .g')?.textContent ?? ''`
	totalShown  = `document.querySelector('section.v1 .total .b0')?.textContent ?? ''`
	fillShown   = `document.querySelector('section.v1 .fills .b0')?.textContent ?? ''`
	toldAtBench = `document.getElementById('bench--said').textContent`
	tallyShown  = `document.getElementById('bench--ticks').hidden ? '' : document.getElementById('bench--tally').textContent`
	sideways    = `document.documentElement.scrollWidth - document.documentElement.clientWidth`
	atBench     = `document.getElementById('bench--tools')`
)

// typeSize types a batch size and presses Enter.
func typeSize(t *testing.T, p *browsertest.Page, size string) {
	t.Helper()
	browsertest.Ask[bool](t, p, `(field => { field.value = ''; field.focus(); return true })(document.getElementById('bench--field'))`)
	p.Type(t, size+browsertest.Enter)
}

// act runs what a reader does on the page.
func act(t *testing.T, p *browsertest.Page, expression string) {
	t.Helper()
	browsertest.Ask[bool](t, p, `(`+expression+`, true)`)
}

// reload loads the page again, and waits for what the script makes of it.
func reload(t *testing.T, p *browsertest.Page, address string) {
	t.Helper()
	p.Go(t, "about:blank")
	p.Go(t, address)
	p.Wait(t, atBench)
}

// The recipe's page at the bench, in a browser.
func TestBenchInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	dir := t.TempDir()
	buildInto(t, os.DirFS(demoFolder), MembersEdition, dir)
	const cream, butter = "recipes/hedgerow-hand-cream/index.html", "recipes/first-frost-body-butter/index.html"
	open := func(t *testing.T, page string, width int64) (*browsertest.Page, string) {
		t.Helper()
		address := serve(t, dir).at(page)
		p := b.Open(t, address, browsertest.View{Width: width, Script: true})
		t.Cleanup(p.Close)
		p.Prefer(t, "prefers-reduced-motion", "reduce")
		p.Wait(t, atBench)
		return p, address
	}

	t.Run("any size", func(t *testing.T) {
		p, address := open(t, cream, 360)
		typeSize(t, p, "500 g")
		p.Wait(t, `document.querySelector('#b0:checked')`)
		assert.Equal(t, "500 g", browsertest.Ask[string](t, p, headShown))
		assert.Equal(t, "Weighed out: 500 g.", browsertest.Ask[string](t, p, toldAtBench))
		assert.Contains(t, browsertest.Ask[string](t, p, totalShown), "500.")
		assert.Contains(t, browsertest.Ask[string](t, p, fillShown), "5 × 100 ml jar")
		assert.Zero(t, browsertest.Ask[int](t, p, sideways), "it scrolls sideways")
		amounts := browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('.amount > .v1 > .b0')].map(e => e.textContent)`)
		assert.Equal(t, browsertest.Ask[int](t, p, `document.querySelectorAll('.amount > .v1').length`), len(amounts))
		assert.Equal(t, amounts, browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('.amount')].map(e => e.innerText.trim())`))

		reload(t, p, address)
		p.Wait(t, `document.querySelector('#b0:checked')`)
		assert.Equal(t, "500 g", browsertest.Ask[string](t, p, headShown), "the size is kept")
		p.Click(t, `label[for="b1"]`)
		assert.Equal(t, "250 g", browsertest.Ask[string](t, p, headShown))
		assert.NotEqual(t, amounts, browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('.amount')].map(e => e.innerText.trim())`))

		typeSize(t, p, "a jarful")
		assert.Contains(t, browsertest.Ask[string](t, p, toldAtBench), "No such batch: “a jarful” cannot be weighed.")
		assert.Equal(t, "true", browsertest.Ask[string](t, p, `document.getElementById('bench--field').getAttribute('aria-invalid')`))
		assert.Equal(t, "250 g", browsertest.Ask[string](t, p, headShown), "what was chosen stays")

		typeSize(t, p, "2 g")
		p.Wait(t, `document.querySelector('#b0:checked')`)
		assert.Contains(t, browsertest.Ask[string](t, p, `[...document.querySelectorAll('.own-cautions')].find(e => e.checkVisibility()).textContent`), "One step of the scale is up to")
		p.Print(t)
		assert.Equal(t, "2 g not to be made", browsertest.Ask[string](t, p, headShown))
		assert.False(t, browsertest.Ask[bool](t, p, atBench+`.checkVisibility()`))
	})

	t.Run("a size that the scale is too coarse for", func(t *testing.T) {
		p, _ := open(t, cream, 360)
		typeSize(t, p, "1.7 g")
		p.Wait(t, `document.querySelector('#b0:checked')`)
		const own = `[...document.querySelectorAll('#bench--own-v1 .finding')]`
		stops := browsertest.Ask[int](t, p, own+`.filter(e => e.matches('.stop')).length`)
		require.Positive(t, stops)
		assert.Equal(t, stops, browsertest.Ask[int](t, p, own+`.findIndex(e => !e.matches('.stop'))`), "stops come first")
		assert.Regexp(t, fmt.Sprintf(`^not to be made Weighed out: 1\.7 g\. %d stops?, \d+ cautions?$`, stops), browsertest.Ask[string](t, p, toldAtBench))
		assert.Contains(t, browsertest.Ask[string](t, p, `document.getElementById('bench--own-v1').textContent`), "limits set by law may be passed")
		assert.Equal(t, stops, browsertest.Ask[int](t, p, `[...document.querySelectorAll('section.v1 tr .own-mark.stop')].filter(e => e.checkVisibility()).length`), "the lines are marked")
		assert.Zero(t, browsertest.Ask[int](t, p, sideways))
		p.Click(t, `#bench--said a`)
		p.Wait(t, `document.activeElement.id === 'bench--own-v1' && document.activeElement.getBoundingClientRect().top < innerHeight`)
		p.Click(t, `label[for="b1"]`)
		assert.Empty(t, browsertest.Ask[string](t, p, toldAtBench))
		assert.Zero(t, browsertest.Ask[int](t, p, `[...document.querySelectorAll('.own-mark')].filter(e => e.checkVisibility()).length`))
	})

	t.Run("what one version has and another has not", func(t *testing.T) {
		p, address := open(t, "recipes/gardeners-balm/index.html", 360)
		const shown = `[document.querySelector('input[name="version"]:checked').value, document.querySelector('input[name="batch"]:checked').value].join()`
		typeSize(t, p, "from 10 g candelilla wax")
		assert.Contains(t, browsertest.Ask[string](t, p, toldAtBench), "there is no candelilla wax in this version to use up. This can be had in: Without bees.")
		assert.False(t, browsertest.Ask[bool](t, p, `Boolean(document.getElementById('b0'))`))
		p.Click(t, `label[for="b2"]`)
		typeSize(t, p, "from 10 g beeswax, yellow")
		p.Wait(t, `document.querySelector('#b0:checked')`)
		p.Click(t, `label[for="v2"]`)
		assert.Equal(t, "v2,b2", browsertest.Ask[string](t, p, shown), "the batch chosen before")
		assert.Contains(t, browsertest.Ask[string](t, p, toldAtBench), "in this version to use up")
		reload(t, p, address)
		assert.Equal(t, "v2,b2", browsertest.Ask[string](t, p, shown))
		p.Click(t, `label[for="b0"]`)
		assert.Equal(t, "v2,b2", browsertest.Ask[string](t, p, shown))
		p.Click(t, `label[for="v1"]`)
		assert.Equal(t, "v1,b0", browsertest.Ask[string](t, p, shown), "it is taken up again")
	})

	t.Run("every column on a desk, and what a version lacks", func(t *testing.T) {
		p, _ := open(t, butter, 1280)
		wide := browsertest.Ask[[]int](t, p, `[...document.querySelectorAll('section.v1 tr')].map(row => [...row.cells].reduce((n, c) => n + c.colSpan, 0))`)
		for _, size := range []string{"450 g", "3 × 120 ml jar", "from 100 g Shea butter, refined"} {
			typeSize(t, p, size)
			p.Wait(t, `document.querySelector('label[for="b0"]')?.textContent === `+quoted(size))
			now := browsertest.Ask[[]int](t, p, `[...document.querySelectorAll('section.v1 tr:not(.own-row)')].map(row => [...row.cells].reduce((n, c) => n + c.colSpan, 0))`)
			for i := range now {
				now[i]--
			}
			assert.Equal(t, wide, now, "each row has one cell more, however often a size is typed")
		}
		assert.Contains(t, browsertest.Ask[string](t, p, headShown), "8 × 120 ml jar,from 100 g Shea")
	})

	t.Run("a size that the page has is shown as the page shows it", func(t *testing.T) {
		p, address := open(t, cream, 1280)
		for _, recipe := range []string{"hedgerow-hand-cream", "barley-field-body-lotion", "larkrow-bar", "first-frost-body-butter", "spoon-and-scale-cream"} {
			p.Go(t, strings.Replace(address, "hedgerow-hand-cream", recipe, 1))
			p.Wait(t, atBench)
			for batch := 1; batch <= 3; batch++ {
				id := batchID(batch - 1)
				typeSize(t, p, browsertest.Ask[string](t, p, `document.querySelector('label[for="`+id+`"]').textContent`))
				p.Wait(t, `document.querySelector('label[for="b0"]')?.textContent === document.querySelector('label[for="`+id+`"]').textContent`)
				different := browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('.formula .`+id+`, .amount .`+id+`')].flatMap(e => {
					const own = e.parentElement.querySelector(':scope > .b0')
					return own?.innerHTML.replace(/<!---->/g, '') === e.innerHTML ? [] : [e.outerHTML + ' and ' + own?.outerHTML]
				})`)
				assert.Empty(t, different, "%s, %s", recipe, id)
			}
		}
	})

	t.Run("grams or ounces", func(t *testing.T) {
		p, address := open(t, cream, 360)
		size := func(what string) float64 {
			return browsertest.Ask[float64](t, p, `parseFloat(getComputedStyle(document.querySelector('section.v1 tbody .b1 .`+what+`')).fontSize)`)
		}
		assert.Greater(t, size("g"), size("oz"))
		p.Click(t, `label[for="bench--oz"]`)
		assert.Less(t, size("g"), size("oz"))
		assert.Zero(t, browsertest.Ask[int](t, p, sideways))
		reload(t, p, address)
		assert.Less(t, size("g"), size("oz"), "the choice is kept")
		assert.True(t, browsertest.Ask[bool](t, p, `document.getElementById('bench--oz').checked`))
	})

	t.Run("ticks", func(t *testing.T) {
		p, address := open(t, cream, 360)
		assert.Empty(t, browsertest.Ask[string](t, p, tallyShown))
		p.Click(t, `section.v1 tbody tr:nth-child(2) .ticker`)
		p.Click(t, `section.v1 tbody tr:nth-child(3) .ticker`)
		p.Click(t, `.prose > ol > li:nth-child(2) > .ticker`)
		const all = "2 of 11 weighed, 1 of 8 steps done"
		assert.Equal(t, all, browsertest.Ask[string](t, p, tallyShown))
		assert.Equal(t, "Distilled water is weighed", browsertest.Ask[string](t, p, `document.getElementById('tick--v1-0').labels[0].textContent`))
		reload(t, p, address)
		assert.Equal(t, all, browsertest.Ask[string](t, p, tallyShown), "ticks are kept")
		assert.Equal(t, []bool{true, true, false}, browsertest.Ask[[]bool](t, p, `[0, 1, 2].map(i => document.getElementById('tick--v1-' + i).checked)`))
		p.Click(t, `label[for="b2"]`)
		assert.Equal(t, "0 of 11 weighed, 1 of 8 steps done", browsertest.Ask[string](t, p, tallyShown), "another batch has its own")
		p.Click(t, `label[for="b1"]`)
		p.Click(t, `#bench--afresh`)
		assert.Equal(t, "0 of 11 weighed, 0 of 8 steps done", browsertest.Ask[string](t, p, tallyShown))
		p.Click(t, `#bench--afresh`)
		assert.Equal(t, all, browsertest.Ask[string](t, p, tallyShown), "the ticks can be put back")

		act(t, p, `Object.keys(localStorage).filter(key => key.startsWith('stillroom-bench')).forEach(key => localStorage.setItem(key, localStorage.getItem(key).replace(/("lines v1 b1":\{"of":")/, '$1other')))`)
		reload(t, p, address)
		assert.Equal(t, "0 of 11 weighed, 1 of 8 steps done", browsertest.Ask[string](t, p, tallyShown), "a formula that changed has no ticks")
		assert.Contains(t, browsertest.Ask[string](t, p, toldAtBench), "has changed since you ticked")
	})

	t.Run("timers", func(t *testing.T) {
		p, address := open(t, cream, 360)
		shown := browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('.time > .start')].map(e => e.textContent)`)
		assert.Contains(t, shown, "20 min")
		assert.NotContains(t, shown, "24 h", "a day is for a calendar")
		act(t, p, `[...document.querySelectorAll('.time > .start')].slice(0, 2).forEach(e => e.click())`)
		assert.Equal(t, 2, browsertest.Ask[int](t, p, `document.querySelectorAll('#timers > li').length`))
		p.Wait(t, `/Step 3.*(20:00|19:5\d) left/.test(document.querySelector('#timers > li').textContent)`)
		assert.Contains(t, browsertest.Ask[string](t, p, `document.querySelectorAll('#timers > li')[1].textContent`), "up to 5:00", "a range counts the lower and tells the upper")
		assert.Contains(t, browsertest.Ask[string](t, p, `document.getElementById('timers--said').textContent`), "Timer started: Step 5")
		assert.Zero(t, browsertest.Ask[int](t, p, sideways))

		// The device sleeps for nineteen minutes and is woken: only the clock on the wall has gone on.
		act(t, p, `globalThis.asleep = 19 * 60e3, globalThis.clock = Date.now, Date.now = () => clock() + asleep, document.dispatchEvent(new Event('visibilitychange'))`)
		p.Wait(t, `/ (1:00|0:5\d) left/.test(document.querySelector('#timers > li').textContent)`)
		p.Wait(t, `/over since 1(5|6):/.test(document.querySelectorAll('#timers > li')[1].textContent)`)
		assert.Contains(t, browsertest.Ask[string](t, p, `document.getElementById('timers--said').textContent`), "Time is up: Step 5, 3:00. It may take up to 5:00.")

		reload(t, p, address)
		assert.Equal(t, 2, browsertest.Ask[int](t, p, `document.querySelectorAll('#timers > li').length`), "timers are kept")
		p.Wait(t, `/ left/.test(document.querySelector('#timers > li').textContent)`)
		p.Click(t, `#timers > li:first-child [data-more]`)
		p.Wait(t, `/ (21:00|20:5\d) left/.test(document.querySelector('#timers > li').textContent)`)
		p.Click(t, `#timers > li:first-child [data-stop]`)
		p.Click(t, `#timers > li:first-child [data-stop]`)
		assert.False(t, browsertest.Ask[bool](t, p, `document.getElementById('timers').checkVisibility()`))
	})

	t.Run("a screen that stays on", func(t *testing.T) {
		p, _ := open(t, cream, 360)
		act(t, p, `globalThis.asked = 0, navigator.wakeLock.request = async () => { asked++; globalThis.lock = new EventTarget(); lock.release = async () => lock.dispatchEvent(new Event('release')); return lock }`)
		p.Click(t, `#bench--awake`)
		p.Wait(t, `document.getElementById('bench--awake').getAttribute('aria-checked') === 'true' && asked === 1`)
		act(t, p, `lock.dispatchEvent(new Event('release')), document.dispatchEvent(new Event('visibilitychange'))`)
		p.Wait(t, `asked === 2`)
		p.Click(t, `#bench--awake`)
		assert.Equal(t, "false", browsertest.Ask[string](t, p, `document.getElementById('bench--awake').getAttribute('aria-checked')`))
		act(t, p, `document.dispatchEvent(new Event('visibilitychange'))`)
		assert.Equal(t, 2, browsertest.Ask[int](t, p, `asked`))
		act(t, p, `navigator.wakeLock.request = async () => { throw new Error('low') }`)
		p.Click(t, `#bench--awake`)
		p.Wait(t, toldAtBench+`.includes('does not keep the screen on')`)
		assert.Equal(t, "false", browsertest.Ask[string](t, p, `document.getElementById('bench--awake').getAttribute('aria-checked')`))
	})

	t.Run("weights while reading the steps", func(t *testing.T) {
		p, _ := open(t, cream, 360)
		assert.False(t, browsertest.Ask[bool](t, p, `document.getElementById('bench--bar').checkVisibility()`), "the table itself is in view, or nothing of the steps is")
		act(t, p, `document.querySelector('.prose > ol > li:nth-child(4)').scrollIntoView()`)
		p.Wait(t, `document.getElementById('bench--bar').checkVisibility()`)
		assert.Equal(t, "Weights for 250 g", browsertest.Ask[string](t, p, `document.getElementById('bench--open').textContent`))
		p.Click(t, `#bench--open`)
		p.Wait(t, `document.querySelector('dialog[open]')`)
		rows := browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('section.v1 tbody tr:not(.phase)')].map(r => r.querySelector('.b1').textContent)`)
		assert.Equal(t, rows, browsertest.Ask[[]string](t, p, `[...document.querySelectorAll('#bench--list .weight')].map(e => e.textContent)`))
		p.Click(t, `#bench--list label`)
		assert.True(t, browsertest.Ask[bool](t, p, `document.getElementById('tick--v1-0').checked`), "a tick in the list is one in the table")
		p.Type(t, browsertest.Escape)
		p.Wait(t, `!document.querySelector('dialog')`)
		assert.Equal(t, "bench--open", browsertest.Ask[string](t, p, `document.activeElement.id`))
	})
}

// quoted writes a text as JavaScript.
func quoted(text string) string { return `"` + text + `"` }

// A members' page at the bench: what the door opened is weighed and ticked, and nothing of it is kept.
func TestBenchBehindTheDoorInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	d := newDoorway(t)
	h := serve(t, d.publish(t, d.door, d.members...))
	p := b.Open(t, h.at(nightPage), browsertest.View{Width: 360, Script: true})
	typeCode(t, p, d.codes[0].String())
	p.Wait(t, isOpen)
	p.Wait(t, atBench)
	size := "from 30 g " + browsertest.Ask[string](t, p, `JSON.parse(document.getElementById('weigh--data').textContent).versions[0].items[0].name`)
	typeSize(t, p, size)
	p.Wait(t, `document.querySelector('#b0:checked')`)
	assert.Contains(t, browsertest.Ask[string](t, p, firstWeight), "30")
	act(t, p, `document.getElementById('tick--v1-0').click()`)
	assert.Contains(t, browsertest.Ask[string](t, p, tallyShown), "1 of ")
	act(t, p, `document.querySelector('.time > .start')?.click()`)
	kept := browsertest.Ask[string](t, p, `JSON.stringify(Object.entries(localStorage))`)
	assert.Contains(t, kept, "lines v1 b0")
	assert.NotContains(t, kept, "30 g", "the size names an ingredient")
	assert.Empty(t, browsertest.Await[[]string](t, p, leaks))

	p.Go(t, "about:blank")
	p.Go(t, h.at(nightPage))
	p.Wait(t, isOpen)
	p.Wait(t, atBench)
	assert.Empty(t, browsertest.Ask[string](t, p, firstWeight))
	typeSize(t, p, size)
	p.Wait(t, `document.querySelector('#b0:checked')`)
	assert.Contains(t, browsertest.Ask[string](t, p, tallyShown), "1 of ", "the ticks are kept, and found by what they are ticks of")
}
