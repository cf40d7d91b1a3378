package markdown_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"

	"larkrow.example/stillroom/internal/markdown"
)

// recipe is a body of about the usual length, with what such bodies hold.
const recipe = `A plain, quick-sinking cream for hands that wash up a lot. It was made for the people who run the pot-wash at the
Larkrow fair, and asks for nothing that is hard to come by. Read it through once before you begin.

![A tin of pale cream beside a sprig of hawthorn](../pictures/hedgerow.svg)

## Before you begin

Wipe every surface with alcohol and boil the spoons for :time[10 min]. Weigh everything first; a phase that waits is
no trouble, but a hot phase that waits for a missing jar is. See [clean working](../notes/clean-working.md) and, for
what the emulsifier does, [emulsifying wax](../ingredients/emulsifying-wax.md).

::: caution [Hot wax]
Melted wax burns and holds its heat. Wear gloves, and keep a lid near the pan.

- Never leave it alone.
- Never put water on burning wax.
:::

## Method

1. Put :amount[Distilled water] and :amount[Glycerin] in a beaker, weigh beaker and all, and heat to :temp[75 °C].
2. In another beaker melt :amount[Shea butter, refined], :amount[Sunflower oil] and :amount[Emulsifying wax] at
   :temp[70–75 °C]. Hold both for :time[20 min].
3. Weigh the water again and make up what has *steamed away*.
4. Pour :amount[Water phase] into :amount[Oil phase] and blend in short bursts for :time[3–5 min], resting between.

   ::: tip
   Keep the blade **under the surface**, or the cream takes in air.
   :::

5. Stir with a spatula until it is below :temp[40 °C], then add :amount[Cedarwood fragrance] and
   :amount[Phenoxyethanol & ethylhexylglycerin blend].
6. Check the pH and bring it to 5.0–5.5 with a drop or two of lactic acid solution.

## What to look for

| After | It should look | If not |
|:------|:---------------|-------:|
| a minute | like thin milk | blend on |
| ten minutes | like single cream | stir and wait |
| a day | like a soft cream that keeps a spoon's mark | see the note |

The formula in short, for the notebook:

` + "```yaml" + `
formula:
  - phase: Water
    heat: 75 °C
    weigh:
      Distilled water: q.s.
      Glycerin: 3 %
` + "```" + `

> It thickens for two days. Do not judge it, and do not fill the tins to the brim, before then.

Fill at :temp[30 °C] or so. Label each tin with the batch and the day, and keep one back for :time[6 months] to see how it ages.
`

func BenchmarkBody(b *testing.B) {
	b.Run("ours", func(b *testing.B) {
		b.ReportAllocs()
		converter := markdown.New()
		for b.Loop() {
			_, err := converter.Parse(recipe).HTML(echo{})
			require.NoError(b, err)
		}
	})
	b.Run("goldmark alone", func(b *testing.B) {
		b.ReportAllocs()
		plain := goldmark.New(goldmark.WithExtensions(extension.Table, extension.Strikethrough))
		for b.Loop() {
			var out bytes.Buffer
			require.NoError(b, plain.Convert([]byte(recipe), &out))
		}
	})
}

func BenchmarkHTML(b *testing.B) {
	b.ReportAllocs()
	d := markdown.New().Parse(recipe)
	for b.Loop() {
		_, err := d.HTML(echo{})
		require.NoError(b, err)
	}
}

func BenchmarkHighlight(b *testing.B) {
	const code = "formula:\n  - phase: Water\n    heat: 75 °C\n    weigh: {Distilled water: q.s., Glycerin: 3 %}\n"
	b.Run("remembered", func(b *testing.B) {
		b.ReportAllocs()
		converter := markdown.New()
		for b.Loop() {
			converter.Highlight("yaml", code)
		}
	})
	b.Run("new", func(b *testing.B) {
		b.ReportAllocs()
		converter := markdown.New()
		for i := 0; b.Loop(); i++ {
			converter.Highlight("yaml", fmt.Sprint(code, "# ", i, "\n"))
		}
	})
}
