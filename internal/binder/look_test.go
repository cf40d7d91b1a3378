package binder

import (
	"io/fs"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

// worn gives an edition of the kitchen in a theme with a file of the maker's own.
func worn(t *testing.T, file, text string) *site.Build {
	t.Helper()
	theme, err := site.LoadTheme(linen.FS, fstest.MapFS{file: {Data: []byte(text)}})
	require.NoError(t, err)
	return site.NewProof(built(t, kitchen()).Book, site.MakerEdition, theme)
}

// A maker's own files for paper replace the default ones.
func TestOwnLook(t *testing.T) {
	t.Parallel()
	for file, text := range map[string]string{"print/binder.css": ".mine{}", "print/binder-bench.html": `<p class="mine">{{.Name}}</p>`} {
		build := worn(t, file, text)
		r := build.Book.Recipes[1]
		w := build.Worked(r)[0]
		one := *w.Subject
		one.Batches = one.Batches[:1]
		w.Subject = &one
		sheet, err := BenchSheet(build, func(file string) ([]byte, error) { return fs.ReadFile(kitchen(), file) }, r, w, a4())
		require.NoError(t, err)
		holds(t, string(sheet.Usual), "mine")
		holds(t, string(sheet.Dense), "mine")
		holds(t, string(sheet.Usual), "Elbow balm")
	}
}

// A mistake in a template for paper is told with its place, wherever it stands.
func TestLookFaults(t *testing.T) {
	t.Parallel()
	for name, test := range map[string]struct{ file, text, want string }{
		"broken":       {"binder-note.html", "a\n{{if}}", "theme: print/binder-note.html:2: missing value for if"},
		"no field":     {"binder-title.html", "\n{{.Colour}}", "theme: print/binder-title.html:2:2:"},
		"in a version": {"binder-bench.html", "{{range .Part.Labels}}\n{{range .Contents}}\n{{.Colour}}{{end}}{{end}}", "theme: print/binder-bench.html:3:2:"},
		"in materials": {"binder-materials.html", "{{range .Materials}}{{range .UsedIn}}{{.Weight}}{{end}}{{end}}", "theme: print/binder-materials.html:1:"},
		"lost piece":   {"binder-recipe.html", "x", `no such template`},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, err := newLook(worn(t, "print/"+test.file, test.text).Theme())
			assert.ErrorContains(t, err, test.want)
		})
	}
}
