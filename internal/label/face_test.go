package label

import (
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser"
	"larkrow.example/stillroom/internal/browser/browsertest"
)

// measuring is a page that measures the theme's font at 1000 pixels: widths, and the height of a letter from its pixels.
const measuring = `<!DOCTYPE html><meta charset="utf-8">
<style>@font-face { font-family: F; font-weight: 200 900; src: url(data:font/woff2;base64,%s) format("woff2") }</style><canvas width="1200" height="1200"></canvas>
<script>
const pen = document.querySelector('canvas').getContext('2d', {willReadFrequently: true})
const ready = Promise.all(['400 9px F', '600 9px F'].map(f => document.fonts.load(f)))
const width = (weight, other, text) => {
	pen.fontKerning = 'none'
	pen.font = weight + ' 1000px F, ' + other
	return pen.measureText(text).width
}
const widths = signs => ready.then(() => [...signs].map(s => [width(400, 'serif', s), width(600, 'serif', s), width(400, 'monospace', s)].map(Math.round)))
const height = (weight, text) => ready.then(() => {
	pen.font = weight + ' 1000px F'
	pen.clearRect(0, 0, 1200, 1200)
	pen.fillText(text, 20, 1000)
	const pixels = pen.getImageData(0, 0, 1200, 1000).data
	for (let i = 3; i < pixels.length; i += 4) if (pixels[i] > 127) return 1000 - Math.floor(i / 4 / 1200)
	return 0
})
</script>`

// The table of widths and the heights of letters are those of the font that the page carries, as a browser draws it.
func TestFace(t *testing.T) {
	b := browsertest.Start(t)
	font, err := os.ReadFile("../../themes/linen/assets/fonts/source-sans-3-latin-wght-normal.woff2")
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "face.html")
	require.NoError(t, os.WriteFile(file, fmt.Appendf(nil, measuring, base64.StdEncoding.EncodeToString(font)), 0o600))
	address, err := browser.FileAddress(file)
	require.NoError(t, err)
	page := b.Open(t, address, browsertest.View{Width: 1200, Script: true})

	require.Greater(t, len(widths()), 200)
	var signs []rune
	for r := range widths() {
		signs = append(signs, r)
	}
	measured := browsertest.Await[[][3]int64](t, page, fmt.Sprintf("widths(%q)", string(signs)))
	require.Len(t, measured, len(signs))
	for i, r := range signs {
		assert.Equal(t, width{measured[i][0], measured[i][1]}, widths()[r], "%q", r)
		assert.Equal(t, measured[i][0], measured[i][2], "%q is not of this font", r)
	}
	for _, weight := range []int{400, 600} {
		for text, least := range map[string]int64{"x": smallHeight, "z": smallHeight, "o": smallHeight, "H": figureHeight, "E": figureHeight, "0": figureHeight, "1": figureHeight, "7": figureHeight} {
			high := browsertest.Await[int64](t, page, fmt.Sprintf("height(%d, %q)", weight, text))
			assert.GreaterOrEqual(t, high, least, "%s at weight %d", text, weight)
			assert.Less(t, high, least+35, "%s at weight %d: the table is much too careful", text, weight)
		}
	}
}

func TestAdvance(t *testing.T) {
	t.Parallel()
	assert.EqualValues(t, 652+200+652, advance("H H", false))
	assert.EqualValues(t, 663, advance("H", true))
	assert.EqualValues(t, 652+strange, advance("Hő", false), "what the font lacks is taken to be wide")
	assert.Equal(t, []rune("ő水"), Strange("Hő水ő"))
	assert.Empty(t, Strange("Crème brûlée, 25\u00a0°C – “½”"))
}
