package markdown_test

import (
	"fmt"
	"html"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/golden"
	"larkrow.example/stillroom/internal/markdown"
)

// echo resolves every name to itself, marked so that the tests see who was asked.
type echo struct{ batch string }

func (e echo) Amount(name string) string {
	return `<span class="amount">` + html.EscapeString(name+e.batch) + "</span>"
}

func (echo) Link(destination string) string {
	return strings.Replace(destination, ".md", "/", 1)
}

func (echo) Picture(destination string) (string, int, int) {
	return destination, 640, 480
}

// nowhere resolves nothing.
type nowhere struct{}

func (nowhere) Amount(string) string              { return "" }
func (nowhere) Link(string) string                { return "" }
func (nowhere) Picture(string) (string, int, int) { return "", 0, 0 }

// TestBodies compares everything that is made of a body with what the archive wants.
func TestBodies(t *testing.T) {
	t.Parallel()
	converter := markdown.New()
	golden.Archives(t, filepath.Join("testdata", "*.txtar"), func(t *testing.T, a *golden.Archive) {
		body := a.Input(t, "body.md")
		d := converter.Parse(body)
		page, err := d.HTML(echo{})
		require.NoError(t, err)
		a.Equal(t, "page.html", string(page))
		a.Equal(t, "issues.txt", issues(body, d.Issues))
		a.Equal(t, "found.txt", found(body, d))
		a.Equal(t, "words.txt", d.Text())
	})
}

func issues(body string, all []markdown.Issue) string {
	var b strings.Builder
	for _, i := range all {
		fmt.Fprintf(&b, "%s: %s\n  > %s\n", position(body, i.Start, i.End), i.Message, i.Hint)
	}
	return b.String()
}

func found(body string, d *markdown.Document) string {
	var b strings.Builder
	for _, list := range []struct {
		kind string
		all  []markdown.Reference
	}{{"amount", d.Amounts}, {"link", d.Links}, {"picture", d.Pictures}} {
		for _, r := range list.all {
			fmt.Fprintf(&b, "%s %s = %s\n", list.kind, position(body, r.Start, r.End), r.Name)
		}
	}
	for _, h := range d.Headings {
		fmt.Fprintf(&b, "heading %d %s = %s\n", h.Level, h.ID, h.Text)
	}
	return b.String()
}

// position shows a place as line, column in bytes, and the words that stand there.
func position(body string, start, end int) string {
	before := body[:start]
	line := strings.Count(before, "\n") + 1
	column := start - strings.LastIndexByte(before, '\n')
	words := body[start:end]
	if len(words) > 60 {
		words = words[:60] + "…"
	}
	return fmt.Sprintf("%d:%d %q", line, column, words)
}

func TestResolverThatKnowsNothing(t *testing.T) {
	t.Parallel()
	d := markdown.New().Parse("See [the note](gone.md), ![a jar](gone.svg), <https://larkrow.example> and :amount[Water].")
	page, err := d.HTML(nowhere{})
	require.NoError(t, err)
	assert.Equal(t, "<p>See the note, a jar, "+
		`<a href="https://larkrow.example" rel="noopener">https://larkrow.example</a> and .</p>`+"\n", string(page))
}

// sly gives addresses that no page may hold.
type sly struct{ echo }

func (sly) Link(string) string                { return "JavaScript:alert(1)" }
func (sly) Picture(string) (string, int, int) { return "data:text/html,x", 1, 1 }

func TestResolverCannotSmuggle(t *testing.T) {
	t.Parallel()
	page, err := markdown.New().Parse("[a](b) ![c](d)").HTML(sly{})
	require.NoError(t, err)
	assert.Equal(t, "<p>a c</p>\n", string(page))
}

// TestManyAtOnce renders one document for many batches at once; run with -race it shows that rendering only reads.
func TestManyAtOnce(t *testing.T) {
	t.Parallel()
	converter := markdown.New()
	d := converter.Parse(recipe)
	want := make([]string, 8)
	for i := range want {
		page, err := d.HTML(echo{fmt.Sprint(" ", i)})
		require.NoError(t, err)
		want[i] = string(page)
	}
	var group sync.WaitGroup
	for i := range want {
		group.Go(func() {
			for range 20 {
				page, err := d.HTML(echo{fmt.Sprint(" ", i)})
				assert.NoError(t, err)
				assert.Equal(t, want[i], string(page))
				assert.Equal(t, d.Text(), converter.Parse(recipe).Text())
			}
		})
	}
	group.Wait()
	assert.NotEqual(t, want[0], want[1])
}
