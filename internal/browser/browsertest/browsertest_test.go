package browsertest

import (
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const sample = `<!DOCTYPE html>
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
	require.NoError(t, os.WriteFile(file, []byte(sample), 0o644))
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

// What the tests of the preview rely on besides: typing, waiting, preferences, tabs that hide each other, and complaints.
func TestPage(t *testing.T) {
	file := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(file, []byte(`<input><script>setTimeout(() => { console.error("too hot"); console.log("fine") }, 20)</script>`), 0o644))
	address := (&url.URL{Scheme: "file", Path: filepath.ToSlash(file)}).String()
	b := Start(t)
	p := b.Open(t, address, View{Width: 360, Script: true, Tab: true})
	p.Front(t)
	p.Click(t, "input")
	p.Type(t, "jar")
	p.Wait(t, `document.querySelector('input').value === 'jar'`)
	for len(p.Complaints()) == 0 {
		p.Wait(t, `true`)
	}
	assert.Equal(t, []string{"error: too hot " + address}, p.Complaints())
	p.Prefer(t, "prefers-color-scheme", "dark")
	assert.True(t, Ask[bool](t, p, `matchMedia('(prefers-color-scheme: dark)').matches`))
	p.Resize(t, 800)
	assert.Equal(t, 800, Ask[int](t, p, `innerWidth`))
	assert.Equal(t, "\x89PNG", string(p.Picture(t)[:4]))
	other := b.Open(t, "about:blank", View{Width: 360, Tab: true})
	other.Front(t)
	p.Wait(t, `document.hidden`)
	other.Close()
	p.Front(t)
	p.Wait(t, `!document.hidden`)
}
