package site

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	texttemplate "text/template"

	"larkrow.example/stillroom/internal/spell"
	"larkrow.example/stillroom/internal/words"
)

// A theme is five folders: pages/ has a template for each kind of page, pieces/ the parts that pages share
// (a template is called by its path, {{template "pieces/top.html" .Frame}}), assets/ what is copied beside the pages, words/ what pages say, a
// file a language, print/ what is made for paper. A maker's folder may replace any file and add others; a language is laid over text by text. Everything is read and parsed once, in LoadTheme, and what a maker's
// files have a part in is tried out there, so that a mistake in a theme is told before the first page is written; afterwards a theme is only read.
// The default theme is tried out by its tests, and not anew whenever a command starts.

// A Theme gives pages their look. It is safe for use by several goroutines.
type Theme struct {
	pages     map[string]func() (*template.Template, error) // by language
	languages *words.Set
	assets    map[string]Asset
	print     map[string][]byte // by name in print/
	own       Sum               // of the maker's own files
}

// LoadTheme reads the default theme with the files of own laid over it; own may be nil.
// The error joins everything that is wrong, each with its file and, where known, its line.
func LoadTheme(defaults, own fs.FS) (*Theme, error) {
	files, mine, err := layer(defaults, own)
	if err != nil {
		return nil, fmt.Errorf("theme: %w", err)
	}
	pages, errs := parsePages(files)
	assets, faults := hashAssets(files)
	errs = slices.Concat(errs, faults, keptName(files))
	languages, err := words.Load(defaults, own)
	if err != nil {
		errs = append(errs, fmt.Errorf("theme: %w", err))
	}
	theme := &Theme{languages: languages, assets: assets, print: printFiles(files)}
	errs = append(errs, tryPrint(printFiles(mine))...)
	if theme.own, err = sumOfTheme(own); err != nil {
		errs = append(errs, fmt.Errorf("theme: %w", err))
	}
	if len(errs) == 0 {
		errs = idlePieces(pages, mine)
	}
	if len(errs) == 0 {
		theme.speak(pages)
		errs = theme.tryOut(kindsWith(mine))
	}
	if len(errs) > 0 {
		return nil, errors.Join(distinct(errs)...)
	}
	return theme, nil
}

// Render writes a page of the kind named; view is a pointer to that kind's view, in whose language it is. The pages written are complete
// only if the error is nil.
func (t *Theme) Render(w io.Writer, kind string, view any) error {
	pages, err := t.pagesFor(view)
	if err != nil {
		return themeError(err)
	}
	page := pages.Lookup(pagePath(kind))
	if page == nil {
		return fmt.Errorf("theme: no page kind %q", kind)
	}
	if err := page.Execute(w, view); err != nil {
		return themeError(err)
	}
	return nil
}

// Assets gives every asset of pages in English by its name in assets/, such as "linen.css". The map is a copy.
func (t *Theme) Assets() map[string]Asset {
	l, _ := t.languages.In(words.English)
	return t.assetsIn(l)
}

// pagePath is where the template of a page kind lies.
func pagePath(kind string) string { return "pages/" + kind + ".html" }

// layer gathers the theme's files by path, own files in place of default ones; mine is the own ones alone.
func layer(defaults, own fs.FS) (files, mine map[string][]byte, err error) {
	files, mine = map[string][]byte{}, map[string][]byte{}
	if err := gather(files, defaults); err != nil || own == nil {
		return files, mine, err
	}
	if _, err := fs.Stat(own, "."); err != nil {
		return nil, nil, fmt.Errorf("the maker's folder: %w", err)
	}
	if err := gather(mine, own); err != nil {
		return nil, nil, err
	}
	maps.Copy(files, mine)
	return files, mine, nil
}

// gather adds the files of a theme's folders. Names that begin with "." or "_" are passed over.
func gather(files map[string][]byte, from fs.FS) error {
	for _, folder := range []string{"pages", "pieces", "assets", words.Folder, "print"} {
		if _, err := fs.Stat(from, folder); errors.Is(err, fs.ErrNotExist) {
			continue
		}
		err := fs.WalkDir(from, folder, func(name string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case strings.HasPrefix(d.Name(), ".") || strings.HasPrefix(d.Name(), "_"):
				if d.IsDir() {
					return fs.SkipDir
				}
				return nil
			case d.IsDir():
				return nil
			}
			files[name], err = fs.ReadFile(from, name)
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// parsePages parses every template into one set and asks for a page of each kind.
func parsePages(files map[string][]byte) (*template.Template, []error) {
	var errs []error
	kinds := pageKinds()
	set := template.New("theme").Funcs(speaking(nil, nil))
	for _, name := range slices.Sorted(maps.Keys(files)) {
		folder, rest, _ := strings.Cut(name, "/")
		if folder != "pages" && folder != "pieces" || path.Ext(name) != ".html" {
			continue
		}
		if kind := strings.TrimSuffix(rest, ".html"); folder == "pages" && !slices.Contains(kinds, kind) {
			hint := spell.DidYouMean(kind, kinds, "the kinds are "+strings.Join(kinds, ", "))
			errs = append(errs, fmt.Errorf("theme: %s: there is no such kind of page; %s", name, hint))
			continue
		}
		text := bytes.TrimPrefix(files[name], []byte("\ufeff"))
		if _, err := set.New(name).Parse(string(text)); err != nil {
			errs = append(errs, themeError(err))
		}
	}
	for _, kind := range kinds {
		if _, ok := files[pagePath(kind)]; !ok {
			errs = append(errs, fmt.Errorf("theme: %s is missing", pagePath(kind)))
		}
	}
	return set, errs
}

// tryOut renders some kinds of page from an empty view and from one with every field filled.
func (t *Theme) tryOut(kinds []string) []error {
	var errs []error
	for _, kind := range kinds {
		for _, view := range []any{emptyView(kind), sampleView(kind, t.assetPaths())} {
			if err := t.Render(io.Discard, kind, view); err != nil {
				errs = append(errs, err)
			}
		}
	}
	return errs
}

// assetPaths is the map that pages find their assets by.
func (t *Theme) assetPaths() map[string]string {
	paths := make(map[string]string, len(t.assets))
	for name, a := range t.Assets() {
		paths[name] = a.Path
	}
	return paths
}

// themeError puts the file and line of a template's fault first.
func themeError(err error) error {
	for e := err; e != nil; e = errors.Unwrap(e) {
		if _, is := e.(texttemplate.ExecError); is {
			err = e // the innermost, where a template was run from another
		}
	}
	text := strings.TrimPrefix(err.Error(), "html/template:")
	return fmt.Errorf("theme: %s", strings.TrimPrefix(strings.TrimPrefix(text, "template:"), " "))
}

// distinct drops errors that say the same as one before: a fault in a shared piece shows on every page.
func distinct(errs []error) []error {
	seen := map[string]bool{}
	return slices.DeleteFunc(errs, func(err error) bool {
		text := err.Error()
		was := seen[text]
		seen[text] = true
		return was
	})
}
