package site

import (
	"html/template"

	"larkrow.example/stillroom/internal/words"
)

// toDeclare is the code of findings on what has to be named on a label. There are many of them, and they stand apart.
const toDeclare = "allergen-to-declare"

// isDeclared says whether a finding is on what is to be declared, and isTold whether it is another.
func isDeclared(f *FindingView) bool { return f.Code == toDeclare }

func isTold(f *FindingView) bool { return f.Code != toDeclare }

// findings draws those wanted as points of a list. For a theme: points of the classes finding, the
// level and accepted, in them a strong of class level and paragraphs of the classes reason, mend and source.
func (k *ink) findings(all []FindingView, l *words.Language, wanted func(*FindingView) bool) {
	for i := range all {
		if f := &all[i]; wanted(f) {
			k.finding(f, l)
		}
	}
}

// drawFinding draws one finding.
func drawFinding(f FindingView, l *words.Language) template.HTML {
	k := newInk()
	k.finding(&f, l)
	return k.html()
}

func (k *ink) finding(f *FindingView, l *words.Language) {
	k.raw("\n<li class=\"finding ")
	k.value(f.Level)
	if f.Accepted != "" {
		k.raw(" accepted")
	}
	k.raw(`" data-code="`)
	k.value(f.Code)
	k.raw("\">\n<p><strong class=\"level\">")
	level := levelName(f.Level, l)
	if f.Accepted == "" {
		k.value(level)
	} else {
		k.told(l, "check.let-through", "level", level)
	}
	k.raw("</strong> ")
	k.english(f.Message, l)
	k.raw("</p>")
	if f.Accepted != "" {
		k.raw("\n<p class=\"reason\">")
		k.told(l, "check.reason", "reason", f.Accepted)
		k.raw("</p>")
	}
	if f.Mend != "" {
		k.raw("\n<p class=\"mend\">")
		k.toldEnglish(l, "check.mend", "how", f.Mend)
		k.raw("</p>")
	}
	if f.Source != "" || f.Market != "" {
		k.raw("\n<p class=\"source\">")
		k.value(f.Market)
		if f.Source != "" && f.Market != "" {
			k.raw(": ")
		}
		k.english(f.Source, l)
		k.raw("</p>")
	}
	k.raw("\n</li>\n")
}

// levelName gives a finding's level as readers see it; one that has none is a note.
func levelName(level string, l *words.Language) string {
	if level == "" {
		level = "note"
	}
	key := "check." + level
	return l.Say(key)
}

// halts draws what stops a version as paragraphs of class halt.
func (k *ink) halts(findings []FindingView, l *words.Language) {
	for i := range findings {
		if f := &findings[i]; f.Level == "stop" && f.Accepted == "" {
			k.raw("\n<p class=\"halt\"><strong>")
			k.told(l, "recipe.halt")
			k.raw("</strong> ")
			k.english(f.Message, l)
			k.raw("</p>")
		}
	}
}

// english writes a text that is English, marked so on a page that is not.
func (k *ink) english(s string, l *words.Language) {
	s = kept(s)
	if s == "" || l.IsEnglish() {
		k.value(s)
		return
	}
	k.raw(`<span lang="en">`)
	k.text(s)
	k.raw("</span>")
}

// toldEnglish writes a text of the language with one place, filled with what is English.
func (k *ink) toldEnglish(l *words.Language, key, place, s string) {
	if l.IsEnglish() {
		k.told(l, key, place, kept(s))
		return
	}
	said, err := l.Try(key, place, markEnglish(l, s))
	if html, is := said.(template.HTML); is && err == nil {
		k.raw(string(html))
	}
}
