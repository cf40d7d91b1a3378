package site

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A piece that stands around is drawn once for the pages that have all of it in common, and for each kind, depth and place in the menu anew.
func TestStandingIsDrawnOnceForLikePages(t *testing.T) {
	theme, err := LoadTheme(bare("pages/note.html", `{{standing "pieces/lid.html" .}}{{.Title}}`, "pages/home.html", `{{standing "pieces/lid.html" .Frame}}`,
		"pieces/lid.html", `<a href="{{.Root}}">{{.Kind}}{{range .Menu}}{{if .Current}}*{{end}}{{end}}{{if .Door}}!{{end}}</a>`), nil)
	require.NoError(t, err)
	s := &Build{Book: &Book{}}
	page := func(kind, file, root string, door *DoorView) string {
		f := Frame{Kind: kind, Root: root, Title: file, Door: door, Menu: []Link{{Href: "index.html", Current: file == homePath}}}
		f.standing = s.standingOf(&f, file)
		if kind == "home" {
			return render(t, theme, kind, &HomeView{Frame: f})
		}
		return render(t, theme, kind, &NoteView{Frame: f})
	}
	for range 2 {
		assert.Equal(t, `<a href="../../">note</a>notes/a`, page("note", "notes/a", "../../", nil))
		assert.Equal(t, `<a href="../../">note</a>notes/b`, page("note", "notes/b", "../../", nil))
		assert.Equal(t, `<a href="../../">note!</a>notes/c`, page("note", "notes/c", "../../", &DoorView{}))
		assert.Equal(t, `<a href="../">note</a>d`, page("note", "d", "../", nil))
		assert.Equal(t, `<a href="./">home*</a>`, page("home", homePath, "./", nil))
	}
	drawn := 0
	s.standing.Range(func(_, known any) bool {
		known.(*standing).drawn.Range(func(any, any) bool { drawn++; return true })
		return true
	})
	assert.Equal(t, 4, drawn)
}

// A piece that stands around cannot say what is of one page alone, and a fault in it is told with its own place.
func TestStandingKnowsNoPage(t *testing.T) {
	_, err := LoadTheme(bare("pages/note.html", `{{standing "pieces/lid.html" .}}`), folder("pieces/lid.html", "\n{{.Title}}"))
	require.ErrorContains(t, err, "theme: pieces/lid.html:2:2: executing")
	assert.ErrorContains(t, err, "can't evaluate field Title in type *site.Around")
}

func TestIdlePiecesAreTold(t *testing.T) {
	_, err := LoadTheme(bare("pieces/used.html", "a", "pages/note.html", `{{template "pieces/used.html"}}{{standing "pieces/lid.html" .}}`, "pieces/lid.html", "b"),
		folder("pieces/used.html", "c", "pieces/lid.html", "d", "pieces/yours.html", "e", "pages/home.html", `{{if .Title}}{{template "pieces/yours.html"}}{{end}}`, "pieces/usde.html", "f"))
	require.EqualError(t, err, "theme: pieces/usde.html: no page has this piece; did you mean “pieces/used.html”?")
	assert.NotContains(t, strings.ToLower(err.Error()), "lid")
}
