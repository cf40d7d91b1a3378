package site_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser"
	"larkrow.example/stillroom/internal/browser/browsertest"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

// tinLabels lays a label on a sheet of three columns of seven on A4.
func tinLabels(t testing.TB) *label.Laid {
	t.Helper()
	page, _ := label.Paper("A4")
	mm := func(n int64) quantity.Length { return quantity.Millimetres(quantity.Fraction(n, 100)) }
	s := &label.Sheet{
		Name: "tins", Page: page, Rows: 7, Columns: 3, Label: quantity.Size{Width: mm(6350), Height: mm(3810)}, Top: mm(1515), Left: mm(725),
		Gaps: quantity.Size{Width: mm(250)}, Edge: mm(150),
	}
	laid, err := label.Lay(s, &label.Wording{Market: label.EU, Content: quantity.Int(52), Parts: []label.Part{
		{Kind: label.TitlePart, Text: "Gardener's <balm> & co"},
		{Kind: label.IngredientsPart, Text: "Ingredients: Helianthus Annuus Seed Oil, Butyrospermum Parkii Butter, Theobroma Cacao Seed Butter, Cera Alba, Tocopherol, Linalool, Limonene, Calendula Officinalis Flower Extract"},
		{Kind: label.OpenedPart, Text: "12 M"},
		{Kind: label.LinePart, Text: "Batch: GB-261125-1"},
		{Kind: label.ContentsPart, Text: "52 g"},
	}})
	require.NoError(t, err)
	return laid
}

// A browser puts every label where the sheet has it, to a twentieth of a millimetre, sets letters in the size that was worked out, and
// breaks no line that was not broken: what the estimate says fits, fits.
func TestLabelSheetInABrowser(t *testing.T) {
	laid := tinLabels(t)
	sheet := &site.LabelSheet{Title: "Labels", Laid: laid, Count: 24, First: 5}
	theme, err := site.LoadTheme(linen.FS, nil)
	require.NoError(t, err)
	var page bytes.Buffer
	require.NoError(t, sheet.Write(&page, theme, linen.FS))
	assert.Contains(t, page.String(), "Gardener&#39;s &lt;balm&gt; &amp; co")
	assert.NotContains(t, page.String(), "ZgotmplZ")
	b := browsertest.Start(t)
	p := openLabels(t, b, page.Bytes())

	p.Print(t)
	const places = `[...document.querySelectorAll('.page')].map(page => { const o = page.getBoundingClientRect()
		return [...page.querySelectorAll('.label')].map(l => { const b = l.getBoundingClientRect()
			return [b.left - o.left, b.top - o.top, b.width, b.height].map(px => px / 96 * 25.4) }) })`
	pages := browsertest.Ask[[][][4]float64](t, p, places)
	require.Len(t, pages, 2, "four places are left free, so 17 labels go on the first page and 7 on the second")
	require.Len(t, pages[0], 17)
	require.Len(t, pages[1], 7)
	for n, page := range pages {
		for i, got := range page {
			at := i
			if n == 0 {
				at += 4
			}
			left, top := laid.Sheet.Place(at)
			for k, want := range []quantity.Length{left, top, laid.Sheet.Label.Width, laid.Sheet.Label.Height} {
				assert.InDelta(t, inMillimetres(t, want), got[k], 0.05, "page %d, place %d, measure %d", n, at, k)
			}
		}
	}
	for i, block := range laid.Blocks {
		got := browsertest.Ask[float64](t, p, fmt.Sprintf(`parseFloat(getComputedStyle(document.querySelector('.b%d')).fontSize) / 96 * 25.4`, i))
		assert.InDelta(t, inMillimetres(t, block.Size), got, 0.005)
		lines := browsertest.Ask[int](t, p, fmt.Sprintf(`new Set([...document.querySelector('.b%d').querySelectorAll('span')].map(s => Math.round(s.getBoundingClientRect().bottom))).size`, i))
		assert.Equal(t, len(block.Lines), lines)
	}
	assert.Empty(t, browsertest.Await[[]string](t, p, "document.fonts.ready.then(() => "+site.LabelOverruns+")"))

	pdf, err := b.Print(page.Bytes())
	require.NoError(t, err)
	assert.Equal(t, 2, bytes.Count(pdf, []byte("/Type /Page\n")), "pages of the PDF")
}

// What is drawn too long or too low is noticed.
func TestLabelOverrunsAreSeen(t *testing.T) {
	theme, err := site.LoadTheme(linen.FS, nil)
	require.NoError(t, err)
	b := browsertest.Start(t)
	for name, change := range map[string]func(*label.Laid){
		"a longer line": func(l *label.Laid) { l.Blocks[1].Lines[0] += " and more than there is room for" },
		"more lines":    func(l *label.Laid) { l.Blocks[1].Lines = append(l.Blocks[1].Lines, "a", "b", "c", "d", "e", "f", "g") },
		"no room at the foot": func(l *label.Laid) {
			l.Foot.Leading = l.Foot.Leading.Times(quantity.Int(5))
		},
	} {
		laid := tinLabels(t)
		change(laid)
		var page bytes.Buffer
		require.NoError(t, (&site.LabelSheet{Laid: laid, Count: 1, First: 1}).Write(&page, theme, linen.FS))
		p := openLabels(t, b, page.Bytes())
		assert.NotEmpty(t, browsertest.Await[[]string](t, p, "document.fonts.ready.then(() => "+site.LabelOverruns+")"), name)
		p.Close()
	}
}

func openLabels(t testing.TB, b *browsertest.Browser, page []byte) *browsertest.Page {
	t.Helper()
	file := filepath.Join(t.TempDir(), "labels.html")
	require.NoError(t, os.WriteFile(file, page, 0o600))
	address, err := browser.FileAddress(file)
	require.NoError(t, err)
	return b.Open(t, address, browsertest.View{Width: 1200})
}

func inMillimetres(t testing.TB, l quantity.Length) float64 {
	t.Helper()
	f, _ := l.Millimetres().Rat().Float64()
	return f
}
