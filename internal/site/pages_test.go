package site

import (
	"net/url"
	"os"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// Every page of the demonstration, in the maker's edition, which has all of them: each address within the handbook leads to a file
// that was written, each fragment to an id that is there, and the page is as every page promises to be.
func TestDemonstrationPages(t *testing.T) {
	dir := t.TempDir()
	buildInto(t, os.DirFS(demoFolder), MakerEdition, dir)
	files := filesOf(t, dir)
	docs, ids := map[string]*html.Node{}, map[string]map[string]bool{}
	for name, text := range files {
		if path.Ext(name) != ".html" {
			continue
		}
		doc, err := html.Parse(strings.NewReader(text))
		require.NoError(t, err)
		docs[name], ids[name] = doc, map[string]bool{}
		for n := range doc.Descendants() {
			if id := attr(n, "id"); id != "" {
				ids[name][id] = true
			}
		}
	}
	require.Greater(t, len(docs), 50)
	for name, doc := range docs {
		t.Run(name, func(t *testing.T) {
			checkPage(t, files[name])
			for n := range doc.Descendants() {
				if n.Type != html.ElementNode {
					continue
				}
				for _, key := range []string{"href", "src"} {
					if hasAttr(n, key) && attr(n, "rel") != "canonical" && name != "404.html" {
						checkAddress(t, name, attr(n, key), files, ids)
					}
				}
			}
		})
	}
}

// checkAddress follows an address from a page. Only links to other sites may have a scheme, and nothing is fetched from them.
func checkAddress(t *testing.T, page, address string, files map[string]string, ids map[string]map[string]bool) {
	t.Helper()
	u, err := url.Parse(address)
	if !assert.NoError(t, err, address) {
		return
	}
	if u.Scheme != "" || u.Host != "" {
		assert.Contains(t, []string{"https", "http", "mailto"}, u.Scheme, address)
		return
	}
	target := page
	if u.Path != "" {
		assert.False(t, strings.HasPrefix(u.Path, "/"), "%s would not open from a folder", address)
		target = path.Join(path.Dir(page), u.Path)
	}
	if _, there := files[target]; !there {
		assert.Fail(t, "leads to no file", "%s from %s", address, page)
	}
	if u.Fragment != "" {
		assert.True(t, ids[target][u.Fragment], "%s from %s leads to no place on the page", address, page)
	}
}

// The page for wrong addresses is shown at any depth, so its links begin at the handbook's own address.
func TestMissingPageLinksFromAnyDepth(t *testing.T) {
	dir := t.TempDir()
	buildInto(t, os.DirFS(demoFolder), OpenEdition, dir)
	doc, err := html.Parse(strings.NewReader(filesOf(t, dir)["404.html"]))
	require.NoError(t, err)
	links := 0
	for n := range doc.Descendants() {
		if href := attr(n, "href"); href != "" && !strings.HasPrefix(href, "#") {
			assert.True(t, strings.HasPrefix(href, "https://larkrow.example/handbook/"), href)
			links++
		}
	}
	assert.Greater(t, links, 3)
}
