package site

import (
	"fmt"
	"html/template"
	"maps"
	"strings"
	"sync"

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

// What a page has by the dozen is drawn for them, which costs a tenth of what a template's lines do; the values are in the views for a theme that has it otherwise:
//
//	{{head .}}                                the title of a page, and what is told of it where it is passed on
//	{{version .}}                             a version's name, with what differs and what stops it
//	{{checked .Versions}}                     what the checks say of each; {{finding .}} is one finding
//	{{labelled .Versions}}                    label copy of each
//	{{facts .Facts}}                          facts
//	{{trail .Trail}} {{links .Downloads}}     links as points of a list, and in a row
//	{{choose .Versions .Batches}}             what to choose a version and a batch with
//	{{entries .Recipes}} {{cards .Recipes}}   pages as the lines of a list, and as cards

// wordsAsset is the asset with what scripts say. It is made, one for each language.
const wordsAsset = "words.js"

// speaking gives the functions of a set of templates in a language.
func speaking(l *words.Language, set *template.Template) template.FuncMap {
	return template.FuncMap{
		"say":     l.Try,
		"figures": l.Figures,
		"commas":  l.Commas,
		"kept":    kept,
		"english": func(s string) any { return markEnglish(l, s) },
		"foreign": func() bool { return !l.IsEnglish() },

		"standing": func(piece string, page framed) (template.HTML, error) { return drawStanding(set, piece, page) },
		"finding":  func(f FindingView) template.HTML { return drawFinding(f, l) },
		"choose": func(versions []VersionView, batches []BatchView) template.HTML {
			return drawChoose(versions, batches, l)
		},
		"head":     func(page framed) template.HTML { return drawHead(page.frame()) },
		"version":  func(v *VersionView) template.HTML { return drawVersion(v, l) },
		"checked":  func(all []VersionView) template.HTML { return drawChecked(all, l) },
		"labelled": func(all []VersionView) template.HTML { return drawLabelled(all, l) },
		"trail":    drawTrail,
		"links":    drawLinks,
		"facts":    drawFacts,
		"entries":  func(all []Card) template.HTML { return drawEntries(all, l) },
		"cards":    func(all []Card) template.HTML { return drawCards(all, l) },

		"link": func(href, text string) template.HTML {
			k := newInk()
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
	k := newInk()
	k.raw(`<span lang="en">`)
	k.text(s)
	k.raw("</span>")
	return k.html()
}

// Says says whether scripts in the page have words to say.
func (f *Frame) Says() bool { return f.Assets[wordsAsset] != "" }

// speak has a set of the templates as parsed made for each language, once a page is drawn in it.
func (t *Theme) speak(parsed *template.Template) {
	t.pages = make(map[string]func() (*template.Template, error))
	for _, code := range t.languages.Codes() {
		l, _ := t.languages.In(code)
		t.pages[code] = sync.OnceValues(func() (*template.Template, error) { return templatesIn(parsed, l) })
	}
}

// templatesIn gives the templates as parsed in a language. Pieces that stand around are drawn from a set of their own, since no piece of a folded one may be called in a new place.
func templatesIn(parsed *template.Template, l *words.Language) (*template.Template, error) {
	around, err := parsed.Clone()
	if err != nil {
		return nil, err
	}
	set, err := parsed.Clone()
	if err != nil {
		return nil, err
	}
	around.Funcs(speaking(l, around))
	set.Funcs(speaking(l, around))
	fold(set, l)
	return set, nil
}

// language gives which language a page is in.
func (f *Frame) language() string { return f.Lang }

// pagesFor gives the templates in the language of a view.
func (t *Theme) pagesFor(view any) (*template.Template, error) {
	if v, ok := view.(interface{ language() string }); ok && t.pages[v.language()] != nil {
		return t.pages[v.language()]()
	}
	return t.pages[words.English]()
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
