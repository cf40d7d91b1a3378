package site

import (
	"html/template"

	"larkrow.example/stillroom/internal/words"
)

// Table gives the finished table, for a theme's templates.
func (v *PortionsView) Table() template.HTML { return drawPortions(v) }

// drawPortions draws how a made batch is divided: a body a split, with the base it takes, what goes into it, and
// what it comes to. It is "" where nothing is divided.
func drawPortions(v *PortionsView) template.HTML {
	if v == nil || len(v.Rows) == 0 {
		return ""
	}
	k, l := newInk(), in(v.Words)
	k.openTable("formula portions", l.Say("portions.caption"), len(v.Batches))
	k.raw("<thead><tr>")
	k.head("name", l.Say("portions.part"))
	k.head("pct", l.Say("portions.share"))
	k.batchHeads(v.Batches)
	k.raw("</tr></thead>\n")
	for i := range v.Rows {
		k.portion(&v.Rows[i], v.Batches, l)
	}
	k.raw("<tfoot>")
	k.fills(v.Batches, "", l)
	k.raw("</tfoot></table>")
	return k.html()
}

// portion draws one split.
func (k *ink) portion(r *PortionRow, batches []BatchColumn, l *words.Language) {
	k.raw(`<tbody><tr class="phase"><th scope="row" class="name"><span class="title">`)
	k.text(r.Name)
	k.raw(`</span>`)
	k.aside("hint", l.Say("portions.base"))
	k.raw(`</th><td class="pct">`)
	k.number(l, r.Share)
	k.raw("</td>")
	k.weights(r.Base, batches, l)
	k.raw("</tr>\n")
	for i := range r.Adds {
		k.add(&r.Adds[i], batches, l)
	}
	k.raw(`<tr class="total"><th scope="row" class="name">`)
	k.say(l, "portions.comes-to")
	k.raw(`</th><td class="pct"></td>`)
	k.weights(r.Totals, batches, l)
	k.raw("</tr></tbody>\n")
}

// add draws what a split takes besides the base.
func (k *ink) add(r *RowView, batches []BatchColumn, l *words.Language) {
	k.raw(`<tr><th scope="row" class="name">`)
	k.say(l, "portions.add")
	k.raw(" ")
	k.link(r.Name, r.Href)
	k.mark(r.Mark, l)
	k.aside("hint", r.Written)
	k.aside("hint", r.Note)
	k.raw(`</th><td class="pct"></td>`)
	k.weights(r.Weights, batches, l)
	k.raw("</tr>\n")
}
