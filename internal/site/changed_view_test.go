package site

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBecame(t *testing.T) {
	for _, tt := range []struct{ before, after, want string }{
		{"0.8 %", "1 %", "0.8 → 1 %"},
		{"0.8%", "1 %", "0.8 → 1 %"},
		{"1/2 %", "1 %", "1/2 → 1 %"},
		{"0.8 percent", "1 %", "0.8 percent → 1 %"},
		{"3 %", "q.s.", "3 % → q.s."},
		{"3 %", "q.s. to 100 %", "3 % → q.s. to 100 %"},
		{"3 % of Oil", "4 %", "3 % of Oil → 4 %"},
		{"3 %", "4 % of Oil", "3 % → 4 % of Oil"},
		{"5 g", "6 g", "5 g → 6 g"},
		{"8 %", "worked out from the fats", "8 % → worked out from the fats"},
		{"", "0.6 %", "0.6 %, added"},
		{"3 %", "", "3 %, taken out"},
	} {
		assert.Equal(t, tt.want, became(tt.before, tt.after, english()))
	}
}

// changedBook is a handbook whose recipe, ingredient and note have a film each, and whose recipe was changed twice.
func changedBook() fstest.MapFS {
	return folder(
		"handbook.yaml", "title: The Larkrow stillroom\n",
		"recipes/cream.md", `---
title: Cream
product: hand cream
shelf: Creams
video: {address: "https://film.larkrow.example/w?v=1&t=2", title: Stirring & <i>waiting</i>}
formula:
  - phase: A
    weigh: {Distilled water: q.s., "Phenoxyethanol & ethylhexylglycerin blend": 1 %, Cedarwood fragrance: 0.6 %}
changes:
  - {on: 2026-05-03, before: {"Phenoxyethanol & ethylhexylglycerin blend": 0.8 %}, note: the challenge test <b>asked</b> for more}
  - {on: 2026-06-11, before: {Cedarwood fragrance: out, Glycerin: 3 %}}
---
Stir.
`,
		"ingredients/cedarwood-fragrance.md", "---\nname: Cedarwood fragrance\nvideo: https://film.larkrow.example/cedar\n---\n",
		"notes/stirring.md", "---\ntitle: Stirring\nvideo: https://film.larkrow.example/spoon\n---\nSlowly.\n",
	)
}

// The recipe's page tells what changed, the newest first; a film is a link that says where it leads and hands on nothing, and nothing is embedded.
func TestChangesAndVideosOnPages(t *testing.T) {
	dir := t.TempDir()
	buildInto(t, changedBook(), OpenEdition, dir)
	files := filesOf(t, dir)
	page := files["recipes/cream/index.html"]
	checkPage(t, page)
	_, section, found := strings.Cut(page, `id="part--changed"`)
	require.True(t, found)
	section, _, _ = strings.Cut(section, "</section>")
	after := 0
	for _, words := range []string{
		`<time datetime="2026-06-11">11 June 2026</time>`, "Cedarwood fragrance", "0.6 %, added", "Glycerin", "3 %, taken out",
		`<time datetime="2026-05-03">3 May 2026</time>`, "Phenoxyethanol &amp; ethylhexylglycerin blend", "0.8 → 1 %", "the challenge test &lt;b&gt;asked&lt;/b&gt; for more",
	} {
		i := strings.Index(section[after:], words)
		require.GreaterOrEqual(t, i, 0, "%s in its place in %s", words, section)
		after += i + len(words)
	}
	for name, link := range map[string]string{
		"recipes/cream/index.html":                   `<a href="https://film.larkrow.example/w?v=1&amp;t=2" rel="noreferrer noopener">Stirring &amp; &lt;i&gt;waiting&lt;/i&gt; <span class="host">at film.larkrow.example</span></a>`,
		"ingredients/cedarwood-fragrance/index.html": `<a href="https://film.larkrow.example/cedar" rel="noreferrer noopener">Watch it <span class="host">at film.larkrow.example</span></a>`,
		"notes/stirring/index.html":                  `<a href="https://film.larkrow.example/spoon" rel="noreferrer noopener">Watch it <span class="host">at film.larkrow.example</span></a>`,
	} {
		assert.Contains(t, files[name], link, name)
		for _, word := range []string{"<iframe", "<video", "<embed", "<object"} {
			assert.NotContains(t, files[name], word, name)
		}
	}
	assert.NotContains(t, files["ingredients/glycerin/index.html"]+files["index.html"], "film.larkrow.example")
}
