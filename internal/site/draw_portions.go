package site

import "html/template"

// Table gives the finished table, for a theme's templates.
func (v *PortionsView) Table() template.HTML { return drawPortions(v) }

// drawPortions draws how a made batch is divided: a body a split, with the base it takes, what goes into it, and
// what it comes to. It is "" where nothing is divided.
func drawPortions(v *PortionsView) template.HTML {
	if v == nil || len(v.Rows) == 0 {
		return ""
	}
	k := make(ink, 0, 512+len(v.Rows)*(900+400*len(v.Batches)))
	k.openTable("formula portions", "Dividing the batch", len(v.Batches))
	k.raw(`<thead><tr><th scope="col" class="name">Part</th><th scope="col" class="pct">Share</th>`)
	k.batchHeads(v.Batches)
	k.raw("</tr></thead>\n")
	for i := range v.Rows {
		k.portion(&v.Rows[i], v.Batches)
	}
	k.raw("<tfoot>")
	k.fills(v.Batches, "")
	k.raw("</tfoot></table>")
	return k.html()
}

// portion draws one split.
func (k *ink) portion(r *PortionRow, batches []BatchColumn) {
	k.raw(`<tbody><tr class="phase"><th scope="row" class="name"><span class="title">`)
	k.text(r.Name)
	k.raw(`</span> <span class="hint">base to weigh off</span></th><td class="pct">`)
	k.text(r.Share)
	k.raw("</td>")
	k.weights(r.Base, batches)
	k.raw("</tr>\n")
	for i := range r.Adds {
		k.add(&r.Adds[i], batches)
	}
	k.raw(`<tr class="total"><th scope="row" class="name">Comes to</th><td class="pct"></td>`)
	k.weights(r.Totals, batches)
	k.raw("</tr></tbody>\n")
}

// add draws what a split takes besides the base.
func (k *ink) add(r *RowView, batches []BatchColumn) {
	k.raw(`<tr><th scope="row" class="name">add `)
	k.link(r.Name, r.Href)
	k.aside(markClass(r.Mark), r.Mark)
	k.aside("hint", r.Written)
	k.aside("hint", r.Note)
	k.raw(`</th><td class="pct"></td>`)
	k.weights(r.Weights, batches)
	k.raw("</tr>\n")
}
