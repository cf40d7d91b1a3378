package site

import "html/template"

// drawLye draws the lye sum of a soap, "" where there is none. For a theme: a section of class lye-sum with a heading, a table of class lye
// in a div of class table (rows: a fat each, then one of class total; figures are cells of class n, where a value is from is a span of
// class source), and two lists of class facts, the second also of class make-up.
func drawLye(v *LyeView) template.HTML {
	if v == nil {
		return ""
	}
	k, l := newInk(), in(v.Words)
	k.raw(`<section class="lye-sum" aria-labelledby="lye--`)
	k.text(v.ID)
	k.raw(`"><h4 id="lye--`)
	k.text(v.ID)
	k.raw(`">`)
	k.say(l, "lye.head")
	k.raw("</h4>\n" + `<div class="table"><table class="uses lye"><caption>`)
	k.say(l, "lye.caption")
	k.raw("</caption>\n<thead><tr>")
	k.head("", l.Say("lye.fat"))
	for _, key := range []string{"lye.of-fats", "lye.value", "lye.as-koh"} {
		k.head("n", l.Say(key))
	}
	for _, name := range v.Alkalis {
		k.head("n", name)
	}
	k.raw("</tr></thead>\n<tbody>")
	for i := range v.Fats {
		k.lyeRow(&v.Fats[i], "")
	}
	k.lyeRow(&v.Total, "total")
	k.raw("</tbody></table></div>\n")
	k.lyeFacts("facts", v.Steps)
	k.lyeFacts("facts make-up", v.MakeUp)
	k.raw("</section>")
	return k.html()
}

// lyeRow draws one fat.
func (k *ink) lyeRow(r *LyeRow, class string) {
	k.raw("<tr")
	if class != "" {
		k.raw(` class="`)
		k.raw(class)
		k.raw(`"`)
	}
	k.raw(`><th scope="row">`)
	k.link(r.Name, r.Href)
	k.aside("source", r.From)
	k.raw(`</th>`)
	k.figure(r.Grams)
	k.figure(r.Value)
	k.figure(r.KOH)
	for _, a := range r.Alkali {
		k.figure(a)
	}
	k.raw("</tr>\n")
}

// figure draws a cell with a figure.
func (k *ink) figure(s string) {
	k.raw(`<td class="n">`)
	k.text(s)
	k.raw("</td>")
}

// lyeFacts draws a list of facts, and nothing where there are none.
func (k *ink) lyeFacts(class string, facts []Fact) {
	if len(facts) == 0 {
		return
	}
	k.raw(`<dl class="`)
	k.raw(class)
	k.raw(`">`)
	for _, f := range facts {
		k.raw("<div><dt>")
		k.text(f.Name)
		k.raw("</dt><dd>")
		k.text(f.Value)
		k.aside("source", f.Source)
		k.raw("</dd></div>")
	}
	k.raw("</dl>\n")
}
