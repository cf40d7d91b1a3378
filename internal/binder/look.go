package binder

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"io"
	"maps"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/site"
)

// A look is the templates and the style sheet for paper, with the fonts in it.
type look struct {
	pages *template.Template
	css   string
}

// newLook gives the look of a theme, tried out.
func newLook(theme *site.Theme) (*look, error) {
	print := theme.Print()
	pages := template.New("print").Funcs(template.FuncMap{"across": across, "mark": marked})
	var errs []error
	for _, name := range slices.Sorted(maps.Keys(print)) {
		if strings.HasPrefix(name, "binder-") {
			if _, err := pages.New(name).Parse(string(print[name])); err != nil {
				errs = append(errs, site.PrintError(err))
			}
		}
	}
	l := &look{pages, fontFaces(theme.Assets()) + string(print["binder.css"])}
	if len(errs) == 0 {
		errs = l.tryOut()
	}
	return l, errors.Join(errs...)
}

func (l *look) render(w io.Writer, kind string, view any) error {
	return l.pages.ExecuteTemplate(w, "binder-"+kind+".html", view)
}

// fontFaces gives the theme's fonts as a style sheet that has them in it.
func fontFaces(assets map[string]site.Asset) string {
	var css strings.Builder
	for _, f := range []struct{ family, style, file string }{
		{"Linen Serif", "normal", "source-serif-4-latin-wght-normal"},
		{"Linen Serif", "italic", "source-serif-4-latin-wght-italic"},
		{"Linen Sans", "normal", "source-sans-3-latin-wght-normal"},
		{"Linen Sans", "italic", "source-sans-3-latin-wght-italic"},
	} {
		data := assets["fonts/"+f.file+".woff2"].Bytes
		fmt.Fprintf(&css, "@font-face{font-family:%q;font-style:%s;font-weight:200 900;src:url(%s) format(\"woff2\")}\n", f.family, f.style, inline("font/woff2", data))
	}
	return css.String()
}

// A sheaf is a whole document.
type sheaf struct {
	Title, Kind string
	Style       template.CSS
	Units       []leaf
	Places      []string // ids that a browser is to tell the pages of
}

// A leaf is a unit in a document: its page rule's number, and whether it ends with an empty back.
type leaf struct {
	N       int
	ID      string
	Title   string
	Text    template.HTML
	Remarks bool
	Lines   []struct{}
}

func (l *look) document(title, kind, rules string, leaves []leaf, places ...string) ([]byte, error) {
	var buf bytes.Buffer
	err := l.render(&buf, "document", &sheaf{Title: title, Kind: kind, Style: template.CSS(l.css + rules), Units: leaves, Places: places})
	return buf.Bytes(), err
}

// rows are the lines of a remarks page on a paper.
func (p Paper) rows() []struct{} { return make([]struct{}, (p.inside()-250)/85) }
