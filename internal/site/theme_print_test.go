package site

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/themes/linen"
)

func TestOwnPrintFilesReplaceDefaults(t *testing.T) {
	theme, err := LoadTheme(linen.FS, folder("print/labels.css", "p{color:url(#ink)}/* url(x.png) */"))
	require.NoError(t, err)
	assert.Equal(t, "p{color:url(#ink)}/* url(x.png) */", string(theme.Print()["labels.css"]))
	assert.Contains(t, string(theme.Print()["binder.css"]), "@media screen")
	for name := range theme.Assets() {
		assert.NotContains(t, name, "binder", "what is for paper is not published")
	}
}

// What print/ may have is what the default theme has there.
func TestPrintNames(t *testing.T) {
	theme, err := LoadTheme(linen.FS, nil)
	require.NoError(t, err)
	var names []string
	for name := range theme.Print() {
		names = append(names, name)
	}
	assert.ElementsMatch(t, printNames(), names)
}

func TestPrintFaults(t *testing.T) {
	for name, test := range map[string]struct{ file, text, want string }{
		"no such file":    {"print/bindr.css", "a{}", "theme: print/bindr.css: there is no such file for paper; did you mean “binder.css”?"},
		"points away":     {"print/binder.css", "a{}\nb{background:url(leaf.png)}", `theme: print/binder.css:2: "leaf.png" is a file of its own`},
		"imports":         {"print/labels.css", `@import "more.css";`, `theme: print/labels.css:1: "more.css" is a file of its own`},
		"fetches":         {"print/labels.css", `a{background:url(https://larkrow.example/a.png)}`, `theme: print/labels.css:1: "https://larkrow.example/a.png" is a file of its own`},
		"broken":          {"print/labels.html", "a\n{{if}}", "theme: print/labels.html:2: missing value for if"},
		"no such field":   {"print/labels.html", "a\n\n{{.Weight}}", "theme: print/labels.html:3:2:"},
		"deep in a label": {"print/labels.html", "{{range .Label.Blocks}}\n{{.Colour}}{{end}}", "theme: print/labels.html:2:2:"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := LoadTheme(linen.FS, folder(test.file, test.text))
			assert.ErrorContains(t, err, test.want)
		})
	}
}
