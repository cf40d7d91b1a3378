package browser

import (
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const page = `<!DOCTYPE html>
<meta name="viewport" content="width=device-width">
<style>p { display: none } :checked ~ p { display: block } @media print { h1 { display: none } }</style>
<h1>still</h1>
<input type="checkbox" id="box"><label for="box">more</label>
<p>chosen</p>
<script>document.querySelector('h1').textContent = 'run'</script>
`

// What the tests of pages rely on: scripts run only where asked for, clicks land, widths and print are as set.
func TestBrowser(t *testing.T) {
	file := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
	address := (&url.URL{Scheme: "file", Path: filepath.ToSlash(file)}).String()
	b := Start(t)
	for script, heading := range map[bool]string{false: "still", true: "run"} {
		p := b.Open(t, address, View{Width: 360, Script: script})
		assert.Equal(t, heading, Ask[string](t, p, `document.querySelector('h1').textContent`))
		assert.Equal(t, 360, Ask[int](t, p, `innerWidth`))
		assert.False(t, Ask[bool](t, p, `document.querySelector('p').checkVisibility()`))
		p.Click(t, "label")
		assert.True(t, Ask[bool](t, p, `document.querySelector('p').checkVisibility()`))
		p.Print(t)
		assert.False(t, Ask[bool](t, p, `document.querySelector('h1').checkVisibility()`))
		p.Go(t, "about:blank")
		assert.True(t, Ask[bool](t, p, `document.querySelector('h1') === null`))
	}
}
