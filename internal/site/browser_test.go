package site

import (
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// seen is what a reader sees of a recipe's page.
type seen struct {
	Sideways int      // pixels that the page is wider than the window
	Versions []string // the versions whose tables are shown, by id
	Batches  []string // the batch columns shown in these tables, by their heads
	Amounts  []string // the words of the method's amounts
	Wanted   []string // what these amounts are for the version and batch looked for
	Chooser  bool
}

// lookFor gives the expression that reads a page into seen; the amounts wanted are those of one version and batch.
func lookFor(version, batch string) string {
	return `(() => {
	const shown = e => e.checkVisibility(), words = s => s.replace(/\s+/g, ' ').trim()
	const all = (selector, from = document) => [...from.querySelectorAll(selector)]
	const root = document.documentElement
	return {
		Sideways: root.scrollWidth - root.clientWidth,
		Versions: all('section.version').filter(shown).map(e => e.className.split(' ').pop()),
		Batches: all('section.version thead .b').filter(shown).map(e => words(e.textContent)),
		Amounts: all('.amount').map(e => words(e.innerText)),
		Wanted: all('.amount > .` + version + `').map(e => words(all('.` + batch + `', e)[0].textContent)),
		Chooser: all('.choose').some(shown),
	}
})()`
}

// A recipe's page in a browser, straight from the disk and with scripts switched off: it fits a phone and a desk, choosing a
// version and a batch shows these and no others, and what is printed is what was chosen.
func TestRecipePageInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	dir := t.TempDir()
	buildInto(t, os.DirFS(demoFolder), OpenEdition, dir)
	all := []string{"250 g", "32 oz", "24 × 100 ml jar", "12 × 4 fl oz jar"}
	address := func(recipe string) string {
		return (&url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(dir, "recipes", recipe, "index.html"))}).String()
	}
	check := func(t *testing.T, p *browsertest.Page, version, batch string, batches []string) {
		t.Helper()
		s := browsertest.Ask[seen](t, p, lookFor(version, batch))
		assert.Zero(t, s.Sideways, "it scrolls sideways")
		assert.Equal(t, []string{version}, s.Versions)
		assert.Equal(t, batches, s.Batches)
		require.NotEmpty(t, s.Amounts)
		assert.Equal(t, s.Wanted, s.Amounts)
	}
	for width, columns := range map[int64]func(chosen string) []string{
		360:  func(chosen string) []string { return []string{chosen} },
		1280: func(string) []string { return all },
	} {
		t.Run(map[int64]string{360: "phone", 1280: "desk"}[width], func(t *testing.T) {
			p := b.Open(t, address("hedgerow-hand-cream"), browsertest.View{Width: width})
			check(t, p, "v1", "b1", columns("250 g"))
			p.Click(t, `label[for="b3"]`)
			check(t, p, "v1", "b3", columns("24 × 100 ml jar"))
			p.Click(t, `label[for="v4"]`)
			check(t, p, "v4", "b3", columns("24 × 100 ml jar"))
			assert.True(t, browsertest.Ask[seen](t, p, lookFor("v4", "b3")).Chooser)

			p.Print(t)
			s := browsertest.Ask[seen](t, p, lookFor("v4", "b3"))
			assert.Equal(t, []string{"v4"}, s.Versions)
			assert.Equal(t, []string{"24 × 100 ml jar"}, s.Batches)
			assert.Equal(t, s.Wanted, s.Amounts)
			assert.False(t, s.Chooser, "there is nothing to choose on paper")
		})
	}
	t.Run("no page is too wide", func(t *testing.T) {
		recipes, err := os.ReadDir(filepath.Join(dir, "recipes"))
		require.NoError(t, err)
		p := b.Open(t, "about:blank", browsertest.View{Width: 360})
		for _, r := range recipes {
			p.Go(t, address(r.Name()))
			assert.Zero(t, browsertest.Ask[seen](t, p, lookFor("v1", "b1")).Sideways, r.Name())
		}
	})
}
