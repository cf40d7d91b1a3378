package markdown

import (
	"strconv"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	"golang.org/x/text/unicode/norm"
)

// An idTable holds the ids in use, each with the number last put after it.
type idTable map[string]int

// heading notes a heading. The page's title is the only one at level 1, so that a body's go down by one.
func (c *collector) heading(n *ast.Heading) {
	words := plainWords(n, c.document.source)
	c.document.Headings = append(c.document.Headings, Heading{
		Level: min(n.Level+1, 6),
		ID:    c.ids.unique(anchor(words)),
		Text:  showable(words),
	})
}

// unique gives an id that no other heading has, by a number after it where needed.
func (t idTable) unique(id string) string {
	if _, taken := t[id]; !taken {
		t[id] = 1
		return id
	}
	for {
		t[id]++
		numbered := id + "-" + strconv.Itoa(t[id])
		if _, taken := t[numbered]; !taken {
			t[numbered] = 1
			return numbered
		}
	}
}

// anchor makes an id of words: lower-case letters without accents, digits, and hyphens for the rest.
func anchor(words string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(words)) {
		switch {
		case 'a' <= r && r <= 'z' || '0' <= r && r <= '9':
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r) || r == '\'' || r == '’':
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	id := strings.TrimSuffix(b.String(), "-")
	switch {
	case id == "":
		return "section"
	case isReserved(id):
		return "s-" + id
	}
	return id
}

// isReserved tells whether the page itself uses an id like this: b1, b2… for batches and v1, v2… for variants.
func isReserved(id string) bool {
	return (id[0] == 'b' || id[0] == 'v') && strings.Trim(id[1:], "0123456789") == ""
}
