package preview

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

func TestPlaces(t *testing.T) {
	tests := []struct{ name, page, want string }{
		{"a whole page", `<!DOCTYPE html><html lang="en"><head><title>x</title></head><body><p>x</p></body></html>`, `<!DOCTYPE html><html@1 lang="en"><head><title>x</title>@2</head><body><p>x</p>@3</body></html>`},
		{"capitals", `<HTML><HEAD></HEAD><BODY></BODY></HTML>`, `<HTML@1><HEAD>@2</HEAD><BODY>@3</BODY></HTML>`},
		{"the words in the text", `<html><head></head><body>&lt;/head> &lt;/body> &lt;html</body></html>`, `<html@1><head>@2</head><body>&lt;/head> &lt;/body> &lt;html@3</body></html>`},
		{"in a script of the theme", `<html><head></head><body><script>"</body>"</script></body></html>`, `<html@1><head>@2</head><body><script>"</body>"</script>@3</body></html>`},
		{"no head's end", `<html><title>x</title><body class="home">x</body></html>`, `<html@1><title>x</title>@2<body class="home">x@3</body></html>`},
		{"no end at all", `<html><head></head><body>x`, `<html@1><head>@2</head><body>x@3`},
		{"no body's end", `<html><head></head><p>x</html>`, `<html@1><head>@2</head><p>x@3</html>`},
		{"no tags at all", `x`, `@1x@2@3`},
		{"nothing", ``, `@1@2@3`},
		{"a longer name", `<htmlish><html><header></header><head></head></html>`, `<htmlish><html@1><header></header><head>@2</head>@3</html>`},
		{"a letter that is longer in lower case", `<html>Ⱥ<head></head><body></body></html>`, `<html@1>Ⱥ<head>@2</head><body>@3</body></html>`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			root, head, body := places([]byte(tt.page))
			assert.Equal(t, tt.want, tt.page[:root]+"@1"+tt.page[root:head]+"@2"+tt.page[head:body]+"@3"+tt.page[body:])
		})
	}
}

// The places come in order in whatever a theme writes.
func FuzzPlaces(f *testing.F) {
	f.Add(`<html><head></head><body></body></html>`)
	f.Add(`</body></html><body></head><html>`)
	f.Fuzz(func(t *testing.T, page string) {
		root, head, body := places([]byte(page))
		require.True(t, 0 <= root && root <= head && head <= body && body <= len(page), "%d %d %d", root, head, body)
	})
}

// A dressed page is the page, with our pieces in their places and nothing of its own lost.
func TestDress(t *testing.T) {
	book := smallBook()
	book["notes/tags.md"] = "---\ntitle: Tags </head></body></html>\n---\nWrite </body> and </head> and <html data-preview=\"9\">.\n"
	desk, _ := deskOn(t, book)
	state := desk.Now()
	for _, file := range []string{"index.html", "404.html", "recipes/wren-lotion/index.html", "ingredients/glycerin/index.html", "ingredients/index.html", "notes/tags/index.html", "shelves/creams/index.html"} {
		page, found, err := state.Page(file)
		require.NoError(t, err)
		require.True(t, found, file)
		dressed := string(Dress(page, state, file))
		tree, err := html.Parse(strings.NewReader(dressed))
		require.NoError(t, err)
		for selector, where := range map[string]string{"html[data-preview]": "", "link[href=/-/preview.css]": "head", "script[src=/-/idiomorph.js]": "head", "script[src=/-/preview.js]": "head", "aside[id=preview--panel]": "body", "section[id=preview--problems]": "body"} {
			found := nodes(tree, selector)
			require.Len(t, found, 1, "%s: %s", file, selector)
			if where != "" {
				assert.Equal(t, where, found[0].Parent.Data, "%s: %s", file, selector)
			}
		}
		for _, bad := range []string{"style", "onclick", "onload"} {
			assert.Empty(t, nodes(tree, "*["+bad+"]"), "%s: inline %s", file, bad)
		}
		data := nodes(tree, "script[type=application/json]") // is never run
		for _, script := range nodes(tree, "script") {
			assert.True(t, script.FirstChild == nil || slices.Contains(data, script), "%s: an inline script", file)
		}
		plain := strings.Replace(dressed, ` data-preview="0"`, "", 1)
		plain = strings.Replace(plain, headPieces, "", 1)
		plain = strings.Replace(plain, string(slip(state, file)), "", 1)
		assert.Equal(t, string(page), plain, file)
	}
}

// nodes finds elements by name and one attribute: "link[href=/x]", "*[style]".
func nodes(n *html.Node, selector string) []*html.Node {
	name, rest, _ := strings.Cut(strings.TrimSuffix(selector, "]"), "[")
	key, value, valued := strings.Cut(rest, "=")
	var all []*html.Node
	for d := range n.Descendants() {
		if d.Type != html.ElementNode || name != "*" && d.Data != name {
			continue
		}
		has := key == ""
		for _, a := range d.Attr {
			has = has || a.Key == key && (!valued || a.Val == value)
		}
		if has {
			all = append(all, d)
		}
	}
	return all
}

func TestBare(t *testing.T) {
	desk, _ := deskOn(t, smallBook())
	state := desk.Now()
	page := string(Dress(bare(state, "notes/half-written/index.html", nil), state, "notes/half-written/index.html"))
	assert.Contains(t, page, "<title>This page cannot be shown yet · notes/half-written.md</title>")
	assert.Contains(t, page, `<section id="preview--problems" class="alone"`)
	assert.Contains(t, page, "notes/half-written.md:3:1")
	assert.Equal(t, 1, strings.Count(page, "<main"))
	assert.NotContains(t, page, "Page not found")
	assert.Contains(t, page, `href="/index.html"`)

	t.Run("a theme without a main part", func(t *testing.T) {
		assert.Equal(t, "<body><p>x</p><main>new</main></body>", string(withMain([]byte("<body><p>x</p></body>"), "<main>new</main>")))
	})
	t.Run("a page that has a title that was not drawn", func(t *testing.T) {
		assert.Equal(t, "<p>x</p>", string(retitled([]byte("<p>x</p>"), "new")))
	})
}

func TestPagePath(t *testing.T) {
	for file, want := range map[string]string{
		"handbook.yaml": "index.html", "recipes/x.md": "recipes/x/index.html", "recipes/trials/x.md": "recipes/x/index.html", "notes/X.MD": "notes/X/index.html",
		"ingredients/y.md": "ingredients/y/index.html", "pictures/x.svg": "", "recipes/x.md.txt": "", "elsewhere/x.md": "", "": "",
	} {
		assert.Equal(t, want, pagePath(file), file)
	}
}
