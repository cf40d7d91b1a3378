package binder

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"strings"

	"larkrow.example/stillroom/themes/linen"
)

// A look is the templates and the style sheet for paper, with the fonts in it.
type look struct {
	pages *template.Template
	css   string
}

func newLook() (*look, error) {
	pages := template.New("print").Funcs(template.FuncMap{"across": across, "mark": marked})
	pages, err := pages.ParseFS(linen.Print, "print/binder*.html")
	if err != nil {
		return nil, err
	}
	css, err := fs.ReadFile(linen.Print, "print/binder.css")
	if err != nil {
		return nil, err
	}
	fonts, err := fontFaces()
	return &look{pages, fonts + string(css)}, err
}

func (l *look) render(w io.Writer, kind string, view any) error {
	return l.pages.ExecuteTemplate(w, "binder-"+kind+".html", view)
}

// fontFaces gives the theme's fonts as a style sheet that has them in it.
func fontFaces() (string, error) {
	var css strings.Builder
	for _, f := range []struct{ family, style, file string }{
		{"Linen Serif", "normal", "source-serif-4-latin-wght-normal"},
		{"Linen Serif", "italic", "source-serif-4-latin-wght-italic"},
		{"Linen Sans", "normal", "source-sans-3-latin-wght-normal"},
		{"Linen Sans", "italic", "source-sans-3-latin-wght-italic"},
	} {
		data, err := fs.ReadFile(linen.FS, "assets/fonts/"+f.file+".woff2")
		if err != nil {
			return "", err
		}
		fmt.Fprintf(&css, "@font-face{font-family:%q;font-style:%s;font-weight:200 900;src:url(%s) format(\"woff2\")}\n", f.family, f.style, inline("font/woff2", data))
	}
	return css.String(), nil
}

// A sheaf is a whole document.
type sheaf struct {
	Title, Kind string
	Style       template.CSS
	Units       []leaf
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

func (l *look) document(title, kind, rules string, leaves []leaf) ([]byte, error) {
	var buf bytes.Buffer
	err := l.render(&buf, "document", &sheaf{Title: title, Kind: kind, Style: template.CSS(l.css + rules), Units: leaves})
	return buf.Bytes(), err
}

// rows are the lines of a remarks page on a paper.
func (p Paper) rows() []struct{} { return make([]struct{}, (p.inside()-250)/85) }
