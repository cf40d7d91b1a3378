package words

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"larkrow.example/stillroom/internal/spell"
)

// Folder is where a theme has its languages, a file each: words/de.yaml. Such a file is a mapping of keys to texts. {name} in a text is a
// place to be filled. A text that depends on a number is a mapping of the plural forms that Unicode's CLDR gives the language (zero, one, two,
// few, many, other) to texts, and the number fills {count}. There are no braces in a text but those of places.
const Folder = "words"

// A Set is the languages that a theme speaks.
type Set struct {
	languages map[string]*Language
}

// Codes lists the languages, English first.
func (s *Set) Codes() []string {
	return slices.SortedFunc(maps.Keys(s.languages), func(a, b string) int {
		if (a == English) != (b == English) {
			return map[bool]int{true: -1, false: 1}[a == English]
		}
		return cmp.Compare(a, b)
	})
}

// In gives a language by its code. There is always English, though a theme may leave it empty; of what there is not, ok is false and the
// language English.
func (s *Set) In(code string) (l *Language, ok bool) {
	if l, ok = s.languages[code]; ok {
		return l, true
	}
	return s.languages[English], false
}

// Load reads a theme's languages from the default files with a maker's own laid over them, key by key; own may be nil. The error joins
// everything that is wrong, each with its file and line.
func Load(defaults, own fs.FS) (*Set, error) {
	set := &Set{languages: map[string]*Language{English: {code: English, tag: language.English, texts: map[string]*text{}}}}
	var errs []error
	for _, from := range []fs.FS{defaults, own} {
		if from != nil {
			errs = append(errs, set.read(from)...)
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	if errs = set.measure(); len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	return set, nil
}

// read adds the languages of one folder.
func (s *Set) read(from fs.FS) []error {
	files, err := fs.Glob(from, Folder+"/*.yaml")
	if err != nil {
		return []error{err}
	}
	var errs []error
	for _, name := range files {
		code := strings.TrimSuffix(path.Base(name), ".yaml")
		tag, err := language.Parse(code)
		if err != nil || tag.String() != code {
			errs = append(errs, fmt.Errorf("%s: %q is no language; a file is named by the language's code, such as de.yaml", name, code))
			continue
		}
		data, err := fs.ReadFile(from, name)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		l := s.languages[code]
		if l == nil {
			l = &Language{code: code, tag: tag, texts: map[string]*text{}}
			s.languages[code] = l
		}
		errs = append(errs, l.add(name, data)...)
	}
	return errs
}

// add reads a file into the language, over what it has.
func (l *Language) add(file string, data []byte) []error {
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		return []error{fmt.Errorf("%s: %w", file, err)}
	}
	if len(doc.Content) == 0 {
		return nil
	}
	var errs []error
	fail := func(n *yaml.Node, format string, a ...any) {
		errs = append(errs, fmt.Errorf("%s:%d:%d: %s", file, n.Line, n.Column, fmt.Sprintf(format, a...)))
	}
	root := doc.Content[0]
	if root.Kind != yaml.MappingNode {
		fail(root, "a list of keys with their texts should stand here")
		return errs
	}
	seen := make(map[string]bool)
	for i := 0; i+1 < len(root.Content); i += 2 {
		key, value := root.Content[i], root.Content[i+1]
		if seen[key.Value] {
			fail(key, "the key %q stands here twice", key.Value)
			continue
		}
		seen[key.Value] = true
		t, at, err := readText(value)
		if err != nil {
			fail(at, "%s: %v", key.Value, err)
			continue
		}
		l.texts[key.Value] = t
	}
	return errs
}

// forms are the plural forms of CLDR by name.
func forms() map[string]plural.Form {
	return map[string]plural.Form{
		"zero": plural.Zero, "one": plural.One, "two": plural.Two, "few": plural.Few, "many": plural.Many, "other": plural.Other,
	}
}

// readText reads one text, plain or in forms. at is where the fault is.
func readText(n *yaml.Node) (t *text, at *yaml.Node, err error) {
	if n.Kind == yaml.ScalarNode {
		pieces, err := cut(n.Value)
		return newText(map[plural.Form][]piece{plural.Other: pieces}), n, err
	}
	if n.Kind != yaml.MappingNode {
		return nil, n, errors.New("a text, or its forms by number, should stand here")
	}
	known, read := forms(), make(map[plural.Form][]piece)
	for i := 0; i+1 < len(n.Content); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		form, ok := known[name.Value]
		switch {
		case !ok:
			return nil, name, fmt.Errorf("%q is no form; the forms are zero, one, two, few, many and other", name.Value)
		case value.Kind != yaml.ScalarNode:
			return nil, value, errors.New("a text should stand here")
		}
		if read[form], err = cut(value.Value); err != nil {
			return nil, value, err
		}
	}
	if read[plural.Other] == nil {
		return nil, n, errors.New("the form other is missing")
	}
	return newText(read), n, nil
}

// cut parts a text at its places.
func cut(s string) ([]piece, error) {
	pieces := []piece{}
	for s != "" {
		words, rest, opens := strings.Cut(s, "{")
		if strings.Contains(words, "}") {
			return nil, errors.New("a } has no { before it")
		}
		if words != "" {
			pieces = append(pieces, piece{words: words})
		}
		if !opens {
			break
		}
		name, after, closes := strings.Cut(rest, "}")
		if !closes || name == "" || strings.Trim(name, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
			return nil, errors.New("a place is a name in letters between { and }")
		}
		pieces = append(pieces, piece{place: name})
		s = after
	}
	return pieces, nil
}

// measure holds every language against English, and lends it what it has not.
func (s *Set) measure() []error {
	english := s.languages[English].texts
	keys := slices.Sorted(maps.Keys(english))
	var errs []error
	for _, code := range s.Codes() {
		l := s.languages[code]
		if l.point = l.sign("number.decimal"); l.point == "." {
			l.point = ""
		}
		if dir := l.sign("dir"); dir != "" && dir != "ltr" && dir != "rtl" {
			errs = append(errs, fmt.Errorf("%s/%s.yaml: dir is %q; it can be ltr or rtl", Folder, code, dir))
		}
		if code != English {
			errs = append(errs, l.measure(english, keys)...)
		}
		l.group = l.sign("number.group")
	}
	return errs
}

// measure holds a language against the texts of English, whose keys are given in order.
func (l *Language) measure(english map[string]*text, keys []string) []error {
	var errs []error
	for _, key := range l.Keys() {
		if _, known := english[key]; !known {
			errs = append(errs, fmt.Errorf("%s/%s.yaml: English has no key %q; %s", Folder, l.code, key, spell.DidYouMean(key, keys, "take it out, or add it to words/en.yaml")))
			continue
		}
		for _, place := range slices.Sorted(maps.Keys(l.texts[key].places())) {
			if !english[key].places()[place] {
				errs = append(errs, fmt.Errorf("%s/%s.yaml: %s has the place {%s}, which the English text has not", Folder, l.code, key, place))
			}
		}
	}
	for _, key := range keys {
		if !l.Has(key) {
			l.missing = append(l.missing, key)
			l.texts[key] = english[key]
		}
	}
	return errs
}
