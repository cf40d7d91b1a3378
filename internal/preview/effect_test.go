package preview

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
)

const settings = "title: Test stillroom\nshelves: [Creams]\n"

// lotion is a recipe that lies within all limits.
const lotion = `---
title: Wren lotion
product: body lotion
shelf: Creams
keeps: 6 months
ph: 5.0–5.5
formula:
  - phase: Water
    heat: 75 °C
    weigh:
      Distilled water: q.s.
      Glycerin: 3 %
  - phase: Oil
    heat: 75 °C
    weigh:
      Sunflower oil, high oleic: 15 %
      Emulsifying wax NF: 5 %
      Cetyl alcohol: 2 %
  - phase: Cool-down
    below: 40 °C
    weigh:
      Phenoxyethanol & ethylhexylglycerin blend: 1 %
      Vitamin E oil: 0.2 %
batches: [250 g, 12 × 60 ml jar]
fill:
  - {container: 60 ml jar, takes: 52 g, loss: 3 %}
variants:
  - name: Night version
    change:
      Cetyl alcohol: 3 %
---
Weigh :amount[Glycerin] and stir.
`

// work reads a page and works it out; a problem fails the test.
func work(t *testing.T, page string) []handbook.Worked {
	t.Helper()
	h, problems := handbook.Load(fstest.MapFS{
		"handbook.yaml":          {Data: []byte(settings)},
		"recipes/wren-lotion.md": {Data: []byte(page)},
	})
	require.NoError(t, problems.Err())
	require.Len(t, h.Recipes, 1)
	return h.Work(h.Recipes[0])
}

// with gives a page with pieces replaced, each of which must be there.
func with(t *testing.T, page string, pairs ...string) string {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		require.Contains(t, page, pairs[i])
		page = strings.Replace(page, pairs[i], pairs[i+1], 1)
	}
	return page
}

func TestEffectSentence(t *testing.T) {
	const line = "      Glycerin: 3 %\n"
	tests := []struct {
		name    string
		edits   []string
		want    string // "" for no effect
		version string
	}{
		{"nothing", nil, "", ""},
		{"only the method", []string{"and stir", "and stir well"}, "", ""},
		{"only how an amount is written", []string{"Glycerin: 3 %", "Glycerin: 3.0 %"}, "", ""},
		{"only the case of a name", []string{line, "      GLYCERIN: 3 %\n"}, "", ""},
		{
			"still within limits",
			[]string{"Glycerin: 3 %", "Glycerin: 4 %"},
			"Glycerin 3 % → 4 %: Distilled water 73.8 % → 72.8 %; still within limits.", "base",
		},
		{
			"a small change is told apart",
			[]string{"Vitamin E oil: 0.2 %", "Vitamin E oil: 0.2004 %"},
			"Vitamin E oil 0.2 % → 0.2004 %: Distilled water 73.8 % → 73.7996 %; still within limits.", "base",
		},
		{
			"new caution",
			[]string{"Glycerin: 3 %", "Glycerin: 30 %"},
			"Glycerin 3 % → 30 %: Distilled water 73.8 % → 46.8 %; new: 1 caution (above-usual-maximum: Glycerin).", "base",
		},
		{
			// Phenoxyethanol is allowed up to 1.0 %: Regulation (EC) No 1223/2009, Annex V, entry 29; the blend is nine tenths of it.
			"new stop",
			[]string{"blend: 1 %", "blend: 2 %"},
			"Phenoxyethanol & ethylhexylglycerin blend 1 % → 2 %: Distilled water 73.8 % → 72.8 %; new: 1 stop (above-legal-maximum: Phenoxyethanol).", "base",
		},
		{
			"taken out, and a caution is mended",
			[]string{"      Vitamin E oil: 0.2 %\n", ""},
			"Vitamin E oil (0.2 %) taken out: Distilled water 73.8 % → 74 %; mended: 1 caution (below-scale: Vitamin E oil); now within limits.", "base",
		},
		{
			"added",
			[]string{line, line + "      Squalane: 2 %\n"},
			"Squalane 2 % added: Distilled water 73.8 % → 71.8 %; still within limits.", "base",
		},
		{"another ingredient in its place", []string{"Sunflower oil, high oleic: 15 %", "Olive oil: 15 %"}, "Sunflower oil, high oleic becomes Olive oil; still within limits.", "base"},
		{
			"another name and amount of one material",
			[]string{line, "      Vegetable glycerin: 4 %\n"},
			"Glycerin becomes Vegetable glycerin, 3 % → 4 %: Distilled water 73.8 % → 72.8 %; still within limits.", "base",
		},
		{
			"moved to another phase",
			[]string{"      Cetyl alcohol: 2 %\n", "", "    weigh:\n      Phen", "    weigh:\n      Cetyl alcohol: 2 %\n      Phen"},
			"Cetyl alcohol moved from Oil to Cool-down; still within limits.", "base",
		},
		{
			"only a variant",
			[]string{"Cetyl alcohol: 3 %", "Cetyl alcohol: 4 %"},
			"Night version: Cetyl alcohol 3 % → 4 %: Distilled water 72.8 % → 71.8 %; still within limits.", "Night version",
		},
		{"a batch", []string{"[250 g, ", "[250 g, 1 kg, "}, "Batch of 1 kg added; still within limits.", "base"},
		{
			"what a container takes",
			[]string{"takes: 52 g", "takes: 72 g"},
			"Batch of 250 g fills 4 × 60 ml jar, 34.7 g left → 3 × 60 ml jar, 26.7 g left; batch of 12 × 60 ml jar: 642.7 g → 889.9 g; still within limits.", "base",
		},
		{"a version under another name", []string{"name: Night version", "name: Day version"}, "New version: Day version; version taken out: Night version; still within limits.", ""},
		{
			"let through",
			[]string{"variants:", "accept:\n  - {finding: below-scale, because: it is weighed from a solution}\nvariants:"},
			"Let through: 1 caution (below-scale: Vitamin E oil); still within limits.", "",
		},
	}
	before := work(t, lotion)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := Compare(before, work(t, with(t, lotion, tt.edits...)))
			if tt.want == "" {
				assert.Nil(t, e)
				return
			}
			require.NotNil(t, e)
			assert.Equal(t, tt.want, e.Sentence())
			assert.Equal(t, tt.version, e.Version)
		})
	}
}

func TestEffect(t *testing.T) {
	before, stopped := work(t, lotion), work(t, with(t, lotion, "blend: 1 %", "blend: 2 %"))

	t.Run("lines: what was written first, then what followed", func(t *testing.T) {
		e := Compare(before, stopped)
		require.Len(t, e.Lines, 2)
		assert.Equal(t, EffectLine{Name: "Phenoxyethanol & ethylhexylglycerin blend", Before: "1 %", After: "2 %", Written: true}, e.Lines[0])
		assert.Equal(t, EffectLine{Name: "Distilled water", Before: "73.8 %", After: "72.8 %"}, e.Lines[1])
		assert.Equal(t, 4, e.Weights, "two lines in two batches")
		assert.Empty(t, e.Totals)
		assert.Equal(t, []string{"Night version"}, e.Also)
	})
	t.Run("a stop in two versions is two findings", func(t *testing.T) {
		e := Compare(before, stopped)
		require.Len(t, e.New, 2)
		assert.Equal(t, check.Stop, e.New[0].Level)
		assert.Equal(t, []string{"base", "Night version"}, []string{e.New[0].Version, e.New[1].Version})
		assert.Empty(t, e.Gone)
	})
	t.Run("a stop that was there before is told as such", func(t *testing.T) {
		more := work(t, with(t, lotion, "blend: 1 %", "blend: 2 %", "Glycerin: 3 %", "Glycerin: 4 %"))
		e := Compare(stopped, more)
		assert.Empty(t, e.New, "other figures make no new finding")
		assert.Equal(t, "Glycerin 3 % → 4 %: Distilled water 72.8 % → 71.8 %; still 1 stop (above-legal-maximum: Phenoxyethanol).", e.Sentence())
	})
	t.Run("mended", func(t *testing.T) {
		e := Compare(stopped, before)
		assert.Len(t, e.Gone, 2)
		assert.Contains(t, e.Sentence(), "; mended: 1 stop (above-legal-maximum: Phenoxyethanol); now within limits.")
	})
	t.Run("an unknown material has no known limit", func(t *testing.T) {
		e := Compare(before, work(t, with(t, lotion, "Glycerin: 3 %", "Tincture of thistledown: 3 %")))
		assert.NotContains(t, e.Sentence(), "within limits")
	})
	t.Run("a formula that could not be worked out is not compared", func(t *testing.T) {
		assert.Nil(t, Compare(nil, before))
		assert.Nil(t, Compare(before, nil))
	})
	t.Run("of many lines the sentence tells the first", func(t *testing.T) {
		e := Compare(before, work(t, with(t, lotion, "Glycerin: 3 %", "Glycerin: 4 %", "oleic: 15 %", "oleic: 14 %", "Cetyl alcohol: 2 %", "Cetyl alcohol: 2.5 %", "NF: 5 %", "NF: 5.5 %")))
		assert.Contains(t, e.Sentence(), "Emulsifying wax NF 5 % → 5.5 % and 1 more: Distilled water")
		assert.Len(t, e.Lines, 5)
	})
}

// Swapping before and after swaps what came and what went.
func TestEffectBothWays(t *testing.T) {
	a, b := work(t, lotion), work(t, with(t, lotion, "blend: 1 %", "blend: 2 %", "      Cetyl alcohol: 2 %\n", "      Cetyl alcohol: 2 %\n      Shea butter, refined: 3 %\n"))
	to, back := Compare(a, b), Compare(b, a)
	require.NotNil(t, to)
	require.NotNil(t, back)
	assert.Equal(t, to.New, back.Gone)
	assert.Equal(t, to.Gone, back.New)
	assert.Equal(t, to.Weights, back.Weights)
	for _, l := range to.Lines {
		l.Before, l.After = l.After, l.Before
		assert.Contains(t, back.Lines, l)
	}
}
