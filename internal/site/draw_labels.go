package site

import (
	"html/template"

	"larkrow.example/stillroom/internal/words"
)

// labels draws a version's label copy, a market each. For a theme: a div of class copy with a heading of class market, paragraphs of the
// classes listed (the ingredients) and label-line (small print is a small of class source), and a list of class clear-up.
func (k *ink) labels(labels []LabelView, l *words.Language) {
	for i := range labels {
		v := &labels[i]
		k.raw("\n<div class=\"copy\" data-market=\"")
		k.value(v.Market)
		k.raw(`"`)
		if !l.IsEnglish() {
			k.raw(` lang="en"`)
		}
		k.raw(">\n<h4 class=\"market\">")
		k.value(v.Market)
		k.raw("</h4>\n<p class=\"listed\"><b>")
		k.value(v.Heading)
		k.raw(":</b> ")
		k.value(v.Ingredients)
		k.raw("</p>")
		k.labelLines(v.Contents)
		k.labelLines(v.Warnings)
		k.labelLines(v.Lines)
		k.clearUp(v.Notes)
		k.raw("\n</div>")
	}
}

// labelLines draws lines of a label, each with what it is for and the rule that asks for it.
func (k *ink) labelLines(lines []LabelLine) {
	for i := range lines {
		n := &lines[i]
		k.raw("\n<p class=\"label-line\">")
		k.value(n.Text)
		if n.When != "" || n.Rule != "" {
			k.raw(` <small class="source">`)
			k.value(n.When)
			if n.When != "" && n.Rule != "" {
				k.raw(" · ")
			}
			k.value(n.Rule)
			k.raw("</small>")
		}
		k.raw("</p>\n")
	}
}

// clearUp draws what to clear up before printing.
func (k *ink) clearUp(notes []string) {
	if len(notes) == 0 {
		return
	}
	k.raw("\n<ul class=\"clear-up\">")
	for _, n := range notes {
		k.raw("\n<li>")
		k.value(n)
		k.raw("</li>")
	}
	k.raw("\n</ul>")
}

// drawFacts draws facts as the parts of a dl: a div each, where a value is from is a small of class source.
func drawFacts(facts []Fact) template.HTML {
	k := newInk()
	for i := range facts {
		f := &facts[i]
		k.raw("\n<div><dt>")
		k.value(f.Name)
		k.raw("</dt><dd>")
		k.value(kept(f.Value))
		if f.Source != "" {
			k.raw(` <small class="source">`)
			k.value(f.Source)
			k.raw("</small>")
		}
		k.raw("</dd></div>")
	}
	return k.html()
}
