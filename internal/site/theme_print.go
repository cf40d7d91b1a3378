package site

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"maps"
	"path"
	"reflect"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/spell"
)

// A theme's print/ folder has what is made for paper: binder*.html and binder.css for the binder and the bench sheet, labels.html and labels.css for
// labels. The templates for the binder are tried out by the package that has their views.

// Print gives the theme's files for paper by name in print/, such as "binder.css". The map is a copy.
func (t *Theme) Print() map[string][]byte { return maps.Clone(t.print) }

// Theme gives the look that the edition's pages have.
func (s *Build) Theme() *Theme { return s.theme }

// printFiles gives the files of print/ by name there.
func printFiles(files map[string][]byte) map[string][]byte {
	all := make(map[string][]byte)
	for name, text := range files {
		if rest, ok := strings.CutPrefix(name, "print/"); ok {
			all[rest] = bytes.TrimPrefix(text, []byte("\ufeff"))
		}
	}
	return all
}

// tryPrint tells of files for paper that nothing would use, of style sheets that point at files, which paper has none of, and of faults in the page
// of labels.
func tryPrint(print map[string][]byte) []error {
	var errs []error
	names := printNames()
	for _, name := range slices.Sorted(maps.Keys(print)) {
		if !slices.Contains(names, name) {
			errs = append(errs, fmt.Errorf("theme: print/%s: there is no such file for paper; %s", name, spell.DidYouMean(name, names, "they are "+strings.Join(names, ", "))))
		}
		if path.Ext(name) == ".css" {
			errs = append(errs, pointsAway(name, print[name])...)
		}
	}
	if print["labels.html"] == nil {
		return errs
	}
	page, err := labelsTemplate(print)
	if err != nil {
		return append(errs, err)
	}
	full := &labelSheetView{}
	Sample(full)
	for _, view := range []*labelSheetView{{}, full} {
		if err := page.Execute(io.Discard, view); err != nil {
			errs = append(errs, PrintError(err))
		}
	}
	return errs
}

// printNames lists what print/ can have.
func printNames() []string {
	return []string{
		"binder-batch.html", "binder-bench.html", "binder-contents.html", "binder-document.html", "binder-index.html", "binder-materials.html",
		"binder-note.html", "binder-recipe.html", "binder-title.html", "binder.css", "labels.css", "labels.html",
	}
}

// pointsAway tells of what a style sheet for paper points at beside itself.
func pointsAway(name string, css []byte) []error {
	var errs []error
	for _, m := range cssRef.FindAllSubmatchIndex(css, -1) {
		from, to := max(m[2], m[4]), max(m[3], m[5])
		if from < 0 {
			continue
		}
		if ref := strings.Trim(string(css[from:to]), `"'`); ref != "" && !strings.HasPrefix(ref, "#") && scheme(ref) != "data" {
			errs = append(errs, fmt.Errorf("theme: print/%s:%d: %q is a file of its own; what is printed is one whole, so put it in as a data: address", name, 1+bytes.Count(css[:from], []byte("\n")), ref))
		}
	}
	return errs
}

// labelsTemplate parses the page of labels.
func labelsTemplate(print map[string][]byte) (*template.Template, error) {
	page, err := template.New("labels.html").Parse(string(print["labels.html"]))
	if err != nil {
		return nil, PrintError(err)
	}
	return page, nil
}

// PrintError puts the file and line of a fault in a template for paper first.
func PrintError(err error) error {
	text := strings.TrimPrefix(err.Error(), "html/template:")
	return fmt.Errorf("theme: print/%s", strings.TrimPrefix(strings.TrimPrefix(text, "template:"), " "))
}

// Sample fills every field of a view, given as a pointer, to try a template on. What is of the handbook itself is left out.
func Sample(view any) { fill(reflect.ValueOf(view).Elem(), 0) }

// ofHandbook says whether a type is one of the handbook's own, which go round in circles.
func ofHandbook(t reflect.Type) bool {
	return t.Kind() == reflect.Pointer && t.Elem().PkgPath() == reflect.TypeFor[handbook.Handbook]().PkgPath()
}
