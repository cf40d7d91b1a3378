package preview

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// The page that a writer works at can be used by everyone as far as a program can tell (axe-core: WCAG 2.2 at AA, good practice): with what a
// change did beside it, and with problems at its foot.
func TestPreviewIsOpenToAll(t *testing.T) {
	b := newBench(t)
	p := b.visit(t, browsertest.Start(t), creamPage, browsertest.View{Width: 1280})
	look := func(what string) {
		t.Helper()
		browsertest.Ask[bool](t, p, `(document.getElementById('jotting').closest('form').remove(), true)`) // which is the bench's own
		for _, width := range []int64{360, 1280} {
			p.Resize(t, width)
			p.Prefer(t, "prefers-color-scheme", "light")
			assert.Empty(t, browsertest.Barriers(t, p, "tag", browsertest.ForAll...), "%s, %d wide", what, width)
			p.Prefer(t, "prefers-color-scheme", "dark")
			assert.Empty(t, browsertest.Barriers(t, p, "rule", "color-contrast", "link-in-text-block"), "%s, %d wide, by night", what, width)
		}
	}
	b.change(t, creamFile, cetyl, moreCetyl)
	b.upToDate(t, p)
	look("a change")
	b.change(t, creamFile, moreCetyl, "Cetyl alcohol: 2 gr")
	p.Wait(t, `document.querySelector('#preview--problems')`)
	look("a problem")
}
