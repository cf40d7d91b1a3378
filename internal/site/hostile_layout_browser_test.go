package site

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// spread gives words that are hard to set: without a space, wide, read from the right, drawn of many characters.
func spread() []string {
	return []string{
		strings.Repeat("W", 150), strings.Repeat("feuchtigkeits", 11), strings.Repeat("蜜蜂蠟", 50), strings.Repeat("קרם ידיים ", 14), strings.Repeat("ידיים", 30),
		strings.Repeat("👩\u200d🔬", 40), strings.Repeat("e\u0301\u0302\u0303\u0304\u0308\u030c", 20), strings.Repeat("a/b.c_d-", 18), strings.Repeat("0123456789", 14),
	}
}

// spills tells of texts that stand outside the block that they belong to; what scrolls by itself is left out.
const spills = `(() => {
	const out = []
	const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
	const range = document.createRange()
	for (let n = walker.nextNode(); n; n = walker.nextNode()) {
		if (!n.data.trim() || !n.parentElement.checkVisibility({visibilityProperty: true}) || n.parentElement.closest('.table, pre, .away, script, select, option, svg')) continue
		let block = n.parentElement
		while (['inline', 'contents'].includes(getComputedStyle(block).display)) block = block.parentElement
		if (getComputedStyle(block).clipPath !== 'none' || getComputedStyle(block).position === 'absolute') continue
		range.selectNodeContents(n)
		const box = block.getBoundingClientRect()
		for (const r of range.getClientRects()) {
			if (r.width && (r.left < box.left - 2 || r.right > box.right + 2)) { out.push(block.localName + '.' + block.className + ': ' + n.data.trim().slice(0, 40)); break }
		}
	}
	return out
})()`

// TestHardWordsKeepTheirPlace opens pages with words that are hard to set on a phone: they stay in their blocks and cells, nothing scrolls sideways and nothing is
// cut off.
func TestHardWordsKeepTheirPlace(t *testing.T) {
	b := browsertest.Start(t)
	dir := t.TempDir()
	h := newTrap(t, dir)
	book := hostileBook(h.home.URL, "elsewhere.example", spread())
	delete(book, "pictures/"+hostilePicture)
	for file, f := range book {
		book[file].Data = []byte(strings.ReplaceAll(string(f.Data), "picture: {file: "+asYAML(hostilePicture), "picture: {file: a.svg"))
	}
	buildInto(t, book, MakerEdition, dir)
	p := b.Open(t, "about:blank", browsertest.View{Width: 360, Script: true})
	pages := []string{"index.html", "ingredients/index.html", "batches/index.html", "stock/index.html", findPath}
	for i := range spread() {
		pages = append(pages, fmt.Sprintf("recipes/h-%d/index.html", i), fmt.Sprintf("ingredients/i-%d/index.html", i))
	}
	pages = append(pages, "notes/n-0/index.html", "batches/c-0/index.html", "notes/n-6/index.html", "batches/c-4/index.html")
	for _, page := range pages {
		p.Go(t, h.home.URL+"/"+page)
		p.Wait(t, `document.readyState === 'complete'`)
		assert.Equal(t, loss{Cut: []string{}}, browsertest.Ask[loss](t, p, lost), page)
		assert.Empty(t, browsertest.Ask[[]string](t, p, spills), page)
	}
}
