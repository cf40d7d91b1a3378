package site

import (
	"html/template"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/words"
)

// boxes are the print-only columns a maker writes in: what the scale read, and the lot it came from.
const (
	boxCells   = `<td class="write"></td><td class="write lot"></td>`
	boxColumns = 2
)

// wide is the number of batches past which a table shows, on a middling screen, the chosen one and its neighbours only.
const wide = 4

// drawFormula draws one version's table: a body a phase, a column a batch, percent before the weights.
func drawFormula(v *FormulaView) template.HTML {
	k, l := newInk(), in(v.Words)
	k.openTable("formula", v.Caption, len(v.Batches))
	k.raw("<thead><tr>")
	k.head("name", l.Say("formula.ingredient"))
	k.head("pct", "%")
	k.batchHeads(v.Batches)
	k.head("write", l.Say("formula.weighed"))
	k.head("write lot", l.Say("formula.lot"))
	k.raw("</tr></thead>\n")
	columns := 2 + len(v.Batches) + boxColumns
	for i := range v.Phases {
		k.phase(&v.Phases[i], columns, v.Batches, l)
	}
	k.formulaFoot(v, columns, l)
	k.raw("</table>")
	return k.html()
}

// openTable opens a table with its caption; its class tells how many batches it has to fit.
func (k *ink) openTable(class, caption string, batches int) {
	k.raw(`<table class="`)
	k.raw(class)
	switch {
	case batches == 1:
		k.raw(" one")
	case batches > wide:
		k.raw(" many")
	}
	k.raw(`"><caption>`)
	k.text(caption)
	k.raw("</caption>\n")
}

// batchHeads heads the batch columns.
func (k *ink) batchHeads(batches []BatchColumn) {
	for i := range batches {
		k.raw(`<th scope="col" class="b `)
		k.text(batches[i].ID)
		k.raw(`">`)
		k.text(batches[i].Size)
		k.raw("</th>")
	}
}

// phase draws a phase's heading and lines.
func (k *ink) phase(p *PhaseView, columns int, batches []BatchColumn, l *words.Language) {
	if len(p.Totals) > 0 {
		columns = 2
	}
	k.raw(`<tbody><tr class="phase"><th scope="rowgroup" colspan="`)
	k.whole(columns)
	k.raw(`">`)
	k.part("b", "letter", p.Letter)
	k.raw(" ")
	k.part("span", "title", p.Name)
	k.aside("heat", p.Heat)
	k.aside("hint", p.Note)
	k.raw("</th>")
	if len(p.Totals) > 0 {
		k.sums(p.Totals, batches, l)
	}
	k.raw("</tr>\n")
	for i := range p.Rows {
		k.line(&p.Rows[i], batches, l)
	}
	k.raw("</tbody>\n")
}

// sums draws what a phase weighs in each batch.
func (k *ink) sums(totals []WeightView, batches []BatchColumn, l *words.Language) {
	for i := range batches {
		k.raw(`<td class="b `)
		k.text(batches[i].ID)
		k.raw(`">`)
		if i < len(totals) && totals[i].G != "" {
			k.raw(`<span class="sum">`)
			k.number(l, totals[i].G)
			k.raw(` g</span>`)
		}
		k.raw("</td>")
	}
	k.raw(boxCells)
}

// aside writes a value that follows another in the same cell, a space before it.
func (k *ink) aside(class, s string) {
	if s != "" {
		k.raw(" ")
		k.part("span", class, kept(s))
	}
}

// line draws one ingredient.
func (k *ink) line(r *RowView, batches []BatchColumn, l *words.Language) {
	k.raw(`<tr><th scope="row" class="name">`)
	k.link(hyphenated(r.Name), r.Href)
	k.mark(r.Mark, l)
	if r.tellsMore() {
		k.aside("hint", r.Written)
	}
	k.aside("hint", r.Note)
	k.raw(`</th><td class="pct">`)
	k.number(l, r.Percent)
	k.raw("</td>")
	k.weights(r.Weights, batches, l)
	k.raw(boxCells + "</tr>\n")
}

// mark draws the level of the findings on a line.
func (k *ink) mark(level string, l *words.Language) {
	if level != "" {
		k.aside(markClass(level), named(l, "mark", level))
	}
}

// markClass is the class of a finding's level; a level that is not one has the plain mark.
func markClass(level string) string {
	switch level {
	case "stop":
		return "mark stop"
	case "caution":
		return "mark caution"
	}
	return "mark"
}

// tellsMore reports whether the amount as written says more than the figures beside it: "3 %" does not beside the
// percent 3.00, nor "280 g" beside a weight of 280.0 g.
func (r *RowView) tellsMore() bool {
	if r.Written == "" || sameFigure(r.Written, r.Percent, "%") {
		return false
	}
	for _, w := range r.Weights {
		if sameFigure(r.Written, w.G, "g") || sameFigure(r.Written, w.Oz, "oz") {
			return false
		}
	}
	return true
}

// sameFigure reports whether an amount as written is this number of this unit.
func sameFigure(written, number, unit string) bool {
	bare, ok := strings.CutSuffix(written, unit)
	return ok && shortest(strings.TrimRight(bare, " \u00a0\u202f")) == shortest(number)
}

// shortest drops the zeros that end a decimal.
func shortest(number string) string {
	if !strings.Contains(number, ".") {
		return number
	}
	return strings.TrimSuffix(strings.TrimRight(number, "0"), ".")
}

// weights draws a line's cells, one a batch, whatever the number of weights given; a batch that is not to be had
// has a dash.
func (k *ink) weights(ws []WeightView, batches []BatchColumn, l *words.Language) {
	for i := range batches {
		var w WeightView
		if i < len(ws) && batches[i].Missing == "" {
			w = ws[i]
		}
		k.raw(`<td class="b `)
		k.text(batches[i].ID)
		k.raw(`">`)
		k.weight(w, l)
		k.raw("</td>")
	}
}

// weight draws grams with ounces beneath, or a dash where there is no such weight.
func (k *ink) weight(w WeightView, l *words.Language) {
	if w.G == "" {
		k.raw(`<span class="g">–</span>`)
		return
	}
	k.raw(`<span class="g">`)
	if w.Balance {
		k.raw(`<span class="evens">` + evens + `</span> `)
	}
	k.number(l, w.G)
	k.raw(`<small> g</small></span>`)
	if w.Oz != "" {
		k.raw(` <span class="oz">`)
		k.number(l, w.Oz)
		k.raw(` oz</span>`)
	}
}

// formulaFoot draws the totals, what each batch fills (or why it is not to be had), and the legend.
func (k *ink) formulaFoot(v *FormulaView, columns int, l *words.Language) {
	k.raw(`<tfoot><tr class="total"><th scope="row" class="name">`)
	k.say(l, "formula.total")
	k.raw(`</th><td class="pct">`)
	k.text(v.PercentTotal)
	k.raw("</td>")
	k.weights(totals(v.Batches), v.Batches, l)
	k.raw(boxCells + "</tr>\n")
	k.fills(v.Batches, boxCells, l)
	if v.balances() {
		k.raw(`<tr class="legend"><td colspan="`)
		k.whole(columns)
		k.raw(`"><span class="evens">` + evens + `</span> `)
		k.say(l, "formula.evens")
		k.raw(`</td></tr>`)
	}
	k.raw("</tfoot>")
}

// evens marks the weight that takes up the rounding of its column.
const evens = "*"

// balances says whether any weight takes up a column's rounding.
func (v *FormulaView) balances() bool {
	for i := range v.Phases {
		for _, r := range v.Phases[i].Rows {
			if slices.ContainsFunc(r.Weights, func(w WeightView) bool { return w.Balance }) {
				return true
			}
		}
	}
	return false
}

// totals gives the batches' totals as weights.
func totals(batches []BatchColumn) []WeightView {
	ws := make([]WeightView, len(batches))
	for i := range batches {
		ws[i] = WeightView{G: batches[i].TotalG, Oz: batches[i].TotalOz}
	}
	return ws
}

// fills draws the row that says what each batch fills, or why it is not to be had; there is no such row where no batch
// has anything to say. Boxes are the cells that end the row.
func (k *ink) fills(batches []BatchColumn, boxes string, l *words.Language) {
	said := false
	for i := range batches {
		said = said || batches[i].Fill != "" || batches[i].Missing != ""
	}
	if !said {
		return
	}
	k.raw(`<tr class="fills"><th scope="row" class="name">`)
	k.say(l, "formula.fills")
	k.raw(`</th><td class="pct"></td>`)
	for i := range batches {
		k.raw(`<td class="b `)
		k.text(batches[i].ID)
		k.raw(`">`)
		k.part("span", "missing", batches[i].Missing)
		if batches[i].Missing == "" {
			k.text(batches[i].Fill)
		}
		k.raw("</td>")
	}
	k.raw(boxes + "</tr>\n")
}
