package site

import (
	"html/template"
	"strconv"
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// The pictures are drawings (SVG) in the page itself: they scale, print, and take their colours from the style sheet. Each says in words
// what it shows, for those who cannot see it, and no figure stands in a picture alone.

// pictureWidth is the width of a drawing in its own units.
const pictureWidth = 600

// drawMakeUp draws how a version is made up of its phases: a bar as long as the whole, a length a phase, and what they are in words.
// The classes are make-up for the figure, part and p1, p2, … for the lengths.
func drawMakeUp(v *formula.Version) template.HTML {
	percents := phasePercents(v)
	if len(percents) < 2 {
		return ""
	}
	var words []string
	for i, p := range v.Phases {
		words = append(words, p.Name+" "+percents[i].Text(2)+" %")
	}
	k := &ink{}
	k.raw(`<figure class="make-up"><svg viewBox="0 0 ` + strconv.Itoa(pictureWidth) + ` 34" role="img" aria-label="By phase: `)
	k.text(strings.Join(words, ", "))
	k.raw(`" preserveAspectRatio="none">`)
	from := quantity.Number{}
	for i, percent := range percents {
		to := from.Add(percent)
		k.raw(`<rect class="part p` + strconv.Itoa(i%6+1) + `" x="` + units(from) + `" y="1" width="` + units(percent) + `" height="32"/>`)
		from = to
	}
	k.raw(`</svg><figcaption>`)
	for i, p := range v.Phases {
		k.raw(`<span class="key p` + strconv.Itoa(i%6+1) + `">`)
		k.part("b", "letter", formula.Letter(i))
		k.raw(" ")
		k.text(p.Name + " " + percents[i].Text(2) + " %")
		k.raw(`</span> `)
	}
	k.raw(`</figcaption></figure>`)
	return k.html()
}

// units turns a percent into the drawing's units.
func units(percent quantity.Number) string {
	return percent.Mul(quantity.Fraction(pictureWidth, 100)).Text(1)
}

// phasePercents gives what percent of the whole each phase is.
func phasePercents(v *formula.Version) []quantity.Number {
	sums := make([]quantity.Number, len(v.Phases))
	for i, item := range v.Items {
		sums[item.Phase] = sums[item.Phase].Add(v.Percent(i))
	}
	return sums
}

// drawRates draws where each rate lies between its limits: a track from nothing to a little past the most, the usual stretch of it, and a mark
// at what is taken. The classes are bounds for the table, track, usual and taken in a drawing, and out on a row outside its limits.
func drawRates(rates []check.Rate) template.HTML {
	if len(rates) == 0 {
		return ""
	}
	k := &ink{}
	k.raw(`<table class="bounds"><caption>Where each rate lies</caption><thead><tr><th scope="col">Ingredient</th><th scope="col">taken</th><th scope="col">usual</th><th scope="col"></th></tr></thead><tbody>`)
	for i := range rates {
		k.rateRow(&rates[i])
	}
	k.raw(`</tbody></table>`)
	return k.html()
}

func (k *ink) rateRow(r *check.Rate) {
	if isOutside(r) {
		k.raw(`<tr class="out">`)
	} else {
		k.raw(`<tr>`)
	}
	k.raw(`<th scope="row">`)
	k.text(r.Name)
	k.raw(`</th><td>`)
	k.text(r.Percent.Text(3) + " %")
	k.raw(`</td><td>`)
	k.text(limitsOf(r))
	k.raw(` <small>`)
	k.text(r.Source)
	k.raw(`</small></td><td>`)
	k.scale(r)
	k.raw(`</td></tr>`)
}

// scale draws one rate. The track ends a quarter past the largest figure.
func (k *ink) scale(r *check.Rate) {
	end := r.Percent
	for _, n := range []*quantity.Number{r.From, r.To} {
		if n != nil && n.Cmp(end) > 0 {
			end = *n
		}
	}
	end = end.Mul(quantity.Fraction(5, 4))
	at := func(n quantity.Number) string { return n.Mul(quantity.Int(200)).Quo(end).Text(1) }
	from, to := quantity.Number{}, end
	if r.From != nil {
		from = *r.From
	}
	if r.To != nil {
		to = *r.To
	}
	k.raw(`<svg class="scale" viewBox="0 0 200 14" role="img" aria-label="`)
	k.text(r.Percent.Text(3) + " % of " + r.Name + "; usual is " + limitsOf(r))
	k.raw(`"><path class="track" d="M0 7H200"/><rect class="usual" x="` + at(from) + `" y="3" width="` + at(to.Sub(from)) + `" height="8"/><path class="taken" d="M` + at(r.Percent) + ` 0V14"/></svg>`)
}

// limits writes the usual stretch: "0.5–2 %", "up to 2 %", "from 1 %".
func limitsOf(r *check.Rate) string {
	switch {
	case r.From == nil:
		return "up to " + r.To.String() + " %" + ofWhat(r)
	case r.To == nil:
		return "from " + r.From.String() + " %" + ofWhat(r)
	}
	return r.From.String() + "–" + r.To.String() + " %" + ofWhat(r)
}

func isOutside(r *check.Rate) bool {
	return r.From != nil && r.Percent.Cmp(*r.From) < 0 || r.To != nil && r.Percent.Cmp(*r.To) > 0
}

// ofWhat says what a rate is a percentage of, where that is not the product.
func ofWhat(r *check.Rate) string {
	if r.OfOils {
		return " of the oils"
	}
	return ""
}
