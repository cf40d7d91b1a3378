package site

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// standsIn tells whether a node stands in an element of a class.
func standsIn(n *html.Node, class string) bool {
	for p := n.Parent; p != nil; p = p.Parent {
		if strings.Contains(" "+attr(p, "class")+" ", " "+class+" ") {
			return true
		}
	}
	return false
}

func heard(n *html.Node) string {
	var b strings.Builder
	for in := range n.Descendants() {
		if in.Type == html.TextNode {
			b.WriteString(in.Data)
		}
	}
	return strings.TrimSpace(b.String())
}

// isNamed says whether a table has a caption, or a heading for one.
func isNamed(table *html.Node) bool {
	if attr(table, "aria-labelledby") != "" {
		return true // checkReferences looks whether it is there
	}
	for in := range table.ChildNodes() {
		if in.Data == "caption" {
			return heard(in) != ""
		}
	}
	return false
}

// Readers who hear a page are told what each table is of, what each of its heads is over, and what each picture shows. Tables that a maker
// wrote in a text have no caption: Markdown has no way to say one.
func TestTablesAndPicturesHaveNames(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	buildInto(t, os.DirFS(demoFolder), MakerEdition, dir)
	tables, pictures := 0, 0
	for file, page := range filesOf(t, dir) {
		if !strings.HasSuffix(file, ".html") {
			continue
		}
		doc, err := html.Parse(strings.NewReader(page))
		require.NoError(t, err)
		for n := range doc.Descendants() {
			switch n.Data {
			case "table":
				if !standsIn(n, "prose") {
					tables++
					assert.True(t, isNamed(n), "%s: a table of class %q has no caption", file, attr(n, "class"))
				}
			case "th":
				assert.NotEmpty(t, heard(n), "%s: an empty head", file)
				if !standsIn(n, "prose") {
					assert.Contains(t, []string{"col", "row", "colgroup", "rowgroup"}, attr(n, "scope"), "%s: %s", file, heard(n))
				}
			case "img":
				pictures++
				assert.True(t, hasAttr(n, "alt"), "%s: %s", file, attr(n, "src"))
				if standsIn(n, "plate") && n.Parent.Data == "figure" {
					assert.NotEmpty(t, attr(n, "alt"), "%s: what %s shows", file, attr(n, "src"))
				}
			}
		}
	}
	assert.Greater(t, tables, 100)
	assert.Greater(t, pictures, 30)
}
