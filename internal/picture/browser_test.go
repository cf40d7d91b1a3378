package picture_test

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/draw"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
)

// The cells of the page that shows all pictures, in CSS pixels.
const columns, cellWidth, cellHeight = 7, 160, 150

func cell(number int) image.Rectangle {
	return image.Rect(0, 0, cellWidth, cellHeight).Add(image.Pt(number%columns*cellWidth, number/columns*cellHeight))
}

// seen gives what a browser shows of some pictures, each in its cell on white.
func seen(t *testing.T, p *browsertest.Page, all [][]byte) image.Image {
	t.Helper()
	var page strings.Builder
	page.WriteString(`<!DOCTYPE html><style>img { position: absolute; object-fit: contain }</style>`)
	for i, data := range all {
		kind := "image/svg+xml"
		if found := http.DetectContentType(data); strings.HasPrefix(found, "image/") {
			kind = found
		}
		fmt.Fprintf(&page, `<img style="left:%dpx;top:%dpx" width="%d" height="%d" src="data:%s;base64,%s">`,
			cell(i).Min.X, cell(i).Min.Y, cellWidth, cellHeight, kind, base64.StdEncoding.EncodeToString(data))
	}
	file := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(file, []byte(page.String()), 0o644))
	p.Go(t, (&url.URL{Scheme: "file", Path: filepath.ToSlash(file)}).String())
	p.Wait(t, `[...document.images].every(i => i.complete && i.naturalWidth > 0)`)
	shot, _, err := image.Decode(bytes.NewReader(p.Picture(t)))
	require.NoError(t, err)
	require.GreaterOrEqual(t, shot.Bounds().Dy(), cell(len(all)-1).Max.Y, "not all pictures are on the page")
	return shot
}

// crop gives a cell of a page.
func crop(page image.Image, number int) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, cellWidth, cellHeight))
	draw.Draw(out, out.Bounds(), page, cell(number).Min, draw.Src)
	return out
}

// marked says whether anything but white is in a picture.
func marked(p *image.RGBA) bool {
	return bytes.Count(p.Pix, []byte{0xFF}) != len(p.Pix)
}

// What browsers show is the same before and after: turned photographs of each format, drawings as they are, and drawings with what
// programs add. Animations are left out: they are never seen twice at the same time.
func TestLooksTheSame(t *testing.T) {
	p := browsertest.Start(t).Open(t, "about:blank", browsertest.View{Width: columns * cellWidth})
	all := pictures(t)
	delete(all, "moving.gif")
	delete(all, "moving.webp")
	delete(all, "jar.svg")
	for name, data := range ownDrawings(t) {
		added := ` xmlns:paint="urn:paint" paint:by="wren@larkrow.example"><metadata><paint:x/></metadata><!-- workshop at night --><paint:y>old thumbnail</paint:y>`
		added += `<style>/**/ path { fill-opacity: .9 } @import "x.css";</style>`
		all[name] = bytes.Replace(data, []byte(">"), []byte(added), 1)
	}
	all["own.svg"] = []byte(stillDrawing)
	names := slices.Sorted(maps.Keys(all))
	var before, after [][]byte
	for _, name := range names {
		before, after = append(before, all[name]), append(after, clean(t, name, all[name]))
	}
	pageBefore, pageAfter := seen(t, p, before), seen(t, p, after)
	for i, name := range names {
		was, is := crop(pageBefore, i), crop(pageAfter, i)
		assert.True(t, marked(was), "%s is not to be seen", name)
		assert.True(t, bytes.Equal(was.Pix, is.Pix), "%s looks different", name)
	}
}

// stillDrawing is the dirty drawing without what is seen of it and dropped all the same, or moves: foreign elements, and the mark that
// stands for a picture that is none.
var stillDrawing = regexp.MustCompile(`<foreignObject.*</foreignObject>|<image href="data.*/>|<animate .*/>`).ReplaceAllString(dirtyDrawing, "")

// callingDrawing calls for as many files elsewhere as a drawing can, by plain ways and by hidden ones; HOST stands for where.
const callingDrawing = `<?xml-stylesheet href="HOST/1.css"?>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 64 48" style="background: url(HOST/2)">
<style>@import "HOST/3.css"; @import url(HOST/4.css); @\69mport 'HOST/5.css';
	text { font-family: a } @font-face { font-family: a; src: url(HOST/6.woff2) }
	svg { cursor: url(HOST/7), auto; list-style: url("HOST/8"); border-image: u\72l('HOST/9') }
	rect { background-image: image-set("HOST/10" 1x); filter: url(HOST/11.svg#a); mask-image: \75\72\6c(HOST/12) }
	circle { mask-image: -webkit-image-set(url(HOST/13) 1x); fill: url(HOST/14.svg#a) }
	&lt;!--svg { mask-image: url(HOST/15) } --&gt; svg { background: cross-fade(url(HOST/16), url(HOST/17), 50%), url( 'HOST/18' ) }
	/**/svg{--a:url(HOST/19);content:var(--a)}svg::before{content:u<!-- -->rl(HOST/20)}</style>
<style><![CDATA[ svg::after { content: url(HOST/21) } ]]></style>
<image href="HOST/22.png" width="9" height="9"/><image xlink:href="HOST/23.png" width="9" height="9"/>
<use href="HOST/24.svg#a"/><rect width="9" height="9" fill="url(HOST/25.svg#a)" mask="url(HOST/26.svg#a)"/><circle r="9"/>
<filter id="f"><feImage href="HOST/27.png"/></filter><g filter="url(#f)"><rect width="9" height="9"/></g>
<image width="9" height="9"><set attributeName="href" to="HOST/28.png"/></image>
<text y="9" style="fill: url(HOST/29.svg#a); background: url(HOST/30)">a</text>
<foreignObject width="9" height="9"><img xmlns="http://www.w3.org/1999/xhtml" src="HOST/31.png"/></foreignObject>
<script href="HOST/32.js"/><script>fetch("HOST/33")</script><rect width="1" height="1" onclick="a()"><set attributeName="x" begin="0s" onbegin="fetch('HOST/34')"/></rect>
</svg>`

// A clean drawing, opened by itself with scripts allowed, calls for no other file.
func TestCallsForNothing(t *testing.T) {
	p := browsertest.Start(t).Open(t, "about:blank", browsertest.View{Width: 340, Script: true})
	var mu sync.Mutex
	var drawing []byte
	var called []string
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		mu.Lock()
		defer mu.Unlock()
		switch r.URL.Path {
		case "/jar.svg":
			w.Header().Set("Content-Type", "image/svg+xml")
			w.Header().Set("Cache-Control", "no-store")
			w.Write(drawing)
		case "/favicon.ico":
		default:
			called = append(called, r.URL.Path)
		}
	}))
	defer server.Close()
	calls := func(data []byte) []string {
		mu.Lock()
		drawing, called = data, nil
		mu.Unlock()
		p.Go(t, server.URL+"/jar.svg")
		p.Wait(t, `document.readyState === 'complete'`)
		p.Picture(t)
		mu.Lock()
		defer mu.Unlock()
		return slices.Clone(called)
	}
	dirty := []byte(strings.ReplaceAll(callingDrawing, "HOST", server.URL))
	all := calls(dirty)
	assert.Greater(t, len(all), 15, "the drawing calls for too little to prove anything: %v", all)
	assert.Empty(t, calls(clean(t, "jar.svg", dirty)))
}
