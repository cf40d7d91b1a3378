package site

import (
	"fmt"
	"html/template"
	"maps"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/spell"
	"larkrow.example/stillroom/internal/words"
)

// What pages say in the reader's language is in a theme's words/ folder. Templates say it with these functions:
//
//	{{say "recipe.made" "count" .Batches}}    a text, its places filled; a place filled by link makes HTML of it
//	{{link .Href .Text}}                      a link to a page of the handbook, to fill a place with
//	{{figures .Value}}                        a value with the language's decimal sign
//	{{commas .Missing}}                       a list without a last word before its end
//	{{kept .Value}}                         a value whose units do not part from their figures at the end of a line
//	{{english .Message}}                      what is English, marked so on a page that is not; {{if foreign}} lang="en"{{end}} does it in a tag

// wordsAsset is the asset with what scripts say. It is made, one for each language.
const wordsAsset = "words.js"

// speaking gives the functions that templates say words with.
func speaking(l *words.Language) template.FuncMap {
	return template.FuncMap{
		"say":     l.Try,
		"figures": l.Figures,
		"commas":  l.Commas,
		"kept":    kept,
		"english": func(s string) any { return markEnglish(l, s) },
		"foreign": func() bool { return !l.IsEnglish() },
		"link": func(href, text string) template.HTML {
			k := &ink{}
			k.link(text, href)
			return k.html()
		},
	}
}

// markEnglish marks a text that is English on a page that is not, such as a finding.
func markEnglish(l *words.Language, s string) any {
	s = kept(s)
	if s == "" || l.IsEnglish() {
		return s
	}
	k := &ink{}
	k.raw(`<span lang="en">`)
	k.text(s)
	k.raw("</span>")
	return k.html()
}

// Says says whether scripts in the page have words to say.
func (f *Frame) Says() bool { return f.Assets[wordsAsset] != "" }

// speak makes of the templates as parsed a set for each language.
func (t *Theme) speak(parsed *template.Template) error {
	t.pages = make(map[string]*template.Template)
	for _, code := range t.languages.Codes() {
		set, err := parsed.Clone()
		if err != nil {
			return err
		}
		l, _ := t.languages.In(code)
		t.pages[code] = set.Funcs(speaking(l))
	}
	return nil
}

// language gives which language a page is in.
func (f *Frame) language() string { return f.Lang }

// pagesFor gives the templates in the language of a view.
func (t *Theme) pagesFor(view any) *template.Template {
	if v, ok := view.(interface{ language() string }); ok && t.pages[v.language()] != nil {
		return t.pages[v.language()]
	}
	return t.pages[words.English]
}

// assetsIn gives the assets of pages in a language.
func (t *Theme) assetsIn(l *words.Language) map[string]Asset {
	all := maps.Clone(t.assets)
	for _, key := range l.Keys() {
		if strings.HasPrefix(key, words.ScriptKeys) {
			script := l.Script()
			all[wordsAsset] = Asset{Path: "assets/" + hashedName(wordsAsset, script), Bytes: script}
			break
		}
	}
	return all
}

// keptName tells of a theme's own file where one is made.
func keptName(files map[string][]byte) []error {
	if _, taken := files["assets/"+wordsAsset]; taken {
		return []error{fmt.Errorf("theme: assets/%s is made from %s/; give the file another name", wordsAsset, words.Folder)}
	}
	return nil
}

// CheckLanguage tells where a handbook asks for a language that the theme does not speak; its pages are then in English.
func (t *Theme) CheckLanguage(h *handbook.Handbook, problems *problem.List) {
	if _, ok := t.languages.In(h.Language); ok || h.LanguageAt.Source == nil {
		return
	}
	codes := t.languages.Codes()
	problems.Addf(h.LanguageAt, spell.DidYouMean(h.Language, codes, "there are "+strings.Join(codes, ", ")+"; a theme of your own can have another, as words/"+h.Language+".yaml"),
		"the pages cannot be in the language “%s”", h.Language)
}
