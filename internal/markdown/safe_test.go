package markdown_test

import (
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"larkrow.example/stillroom/internal/markdown"
)

// allowed names every element that a body may become, with its attributes.
var allowed = map[string][]string{
	"p": {"class"}, "h2": {"id"}, "h3": {"id"}, "h4": {"id"}, "h5": {"id"}, "h6": {"id"},
	"ul": nil, "ol": {"start"}, "li": nil, "blockquote": nil, "hr": nil, "br": nil,
	"pre": {"class"}, "code": nil, "span": {"class", "data-seconds", "data-to"}, "small": nil, "em": nil, "strong": nil, "del": nil,
	"a": {"href", "rel", "title"}, "img": {"src", "alt", "width", "height", "title", "loading"},
	"div": {"class"}, "table": nil, "thead": nil, "tbody": nil, "tr": nil, "th": {"class"}, "td": {"class"},
	"aside": {"class", "role"},
}

// assertSafe reads a page as a browser would and checks each of its elements, attributes and addresses.
func assertSafe(t *testing.T, page string) {
	t.Helper()
	tokens := html.NewTokenizer(strings.NewReader(page))
	var open []string
	for {
		switch kind := tokens.Next(); kind {
		case html.ErrorToken:
			assert.Empty(t, open, "an element is not closed")
			return
		case html.StartTagToken:
			token := tokens.Token()
			assertElement(t, token)
			if !slices.Contains([]string{"img", "br", "hr"}, token.Data) {
				open = append(open, token.Data)
			}
		case html.EndTagToken:
			name := tokens.Token().Data
			require.NotEmpty(t, open, "</%s> closes nothing", name)
			require.Equal(t, open[len(open)-1], name)
			open = open[:len(open)-1]
		case html.TextToken:
			text := tokens.Token().Data
			assert.Equal(t, -1, strings.IndexFunc(text, func(r rune) bool {
				return unicode.IsControl(r) && r < 0x80 && r != '\n' && r != '\t' && r != '\r'
			}), "a control character is shown")
		default:
			require.Failf(t, "neither element nor text", "%v %q", kind, tokens.Token())
		}
	}
}

func assertElement(t *testing.T, token html.Token) {
	t.Helper()
	attributes, ok := allowed[token.Data]
	require.True(t, ok, "<%s>", token.Data)
	for _, a := range token.Attr {
		assert.Contains(t, attributes, a.Key, "<%s>", token.Data)
		if a.Key == "href" || a.Key == "src" {
			assertAddress(t, a.Val)
		}
	}
}

// assertAddress reads an address as browsers do: spaces and controls at the ends and line breaks within do not count.
func assertAddress(t *testing.T, address string) {
	t.Helper()
	address = strings.TrimFunc(address, func(r rune) bool { return r <= ' ' })
	address = strings.ToLower(strings.NewReplacer("\t", "", "\n", "", "\r", "").Replace(address))
	for _, bad := range []string{"javascript:", "vbscript:", "data:", "file:", "blob:"} {
		assert.False(t, strings.HasPrefix(address, bad), "%q", address)
	}
}

// assertPlaces checks that everything a document tells of has its place in the body.
func assertPlaces(t *testing.T, body string, d *markdown.Document) {
	t.Helper()
	within := func(what string, start, end int) {
		assert.True(t, 0 <= start && start <= end && end <= len(body), "%s: %d to %d of %d", what, start, end, len(body))
	}
	for _, i := range d.Issues {
		within(i.Message, i.Start, i.End)
		assert.NotEmpty(t, i.Message)
		assert.NotEmpty(t, i.Hint, i.Message)
	}
	for _, all := range [][]markdown.Reference{d.Amounts, d.Links, d.Pictures} {
		for _, r := range all {
			within(r.Name, r.Start, r.End)
		}
	}
	for _, a := range d.Amounts {
		words := body[a.Start:a.End]
		assert.Equal(t, strings.TrimFunc(words, unicode.IsSpace), words, "the place of an amount is its words'")
		assert.NotEmpty(t, words)
		assert.True(t, strings.HasSuffix(strings.TrimRightFunc(body[:a.Start], unicode.IsSpace), ":amount["),
			"%q stands in an amount's brackets", words)
	}
	ids := map[string]bool{}
	for _, h := range d.Headings {
		assert.False(t, ids[h.ID], "the id %s is there twice", h.ID)
		assert.NotEmpty(t, h.ID)
		ids[h.ID] = true
	}
}
