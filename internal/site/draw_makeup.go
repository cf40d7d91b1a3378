package site

import (
	"html/template"
	"strconv"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/words"
)

// The pictures are drawings (SVG) in the page itself: they scale, print, and take their colours from the style sheet. Each says in words
// what it shows, for those who cannot see it, and no figure stands in a picture alone.

// pictureWidth is the width of a drawing in its own units.
const pictureWidth = 600

// drawMakeUp draws how a version is made up of its phases: a bar as long as the whole, a length a phase, and what they are in words.
// The classes are make-up for the figure, part and p1, p2, … for the lengths.
func drawMakeUp(v *formula.Version, l *words.Language) template.HTML {
	percents := phasePercents(v)
	if len(percents) < 2 {
		return ""
	}
	var shares []string
	for i, p := range v.Phases {
		shares = append(shares, p.Name+" "+percent(l, percents[i].Text(2)))
	}
	k := &ink{}
	k.raw(`<figure class="make-up"><svg viewBox="0 0 ` + strconv.Itoa(pictureWidth) + ` 34" role="img" aria-label="`)
	k.text(l.Say("formula.phases", "phases", l.Commas(shares)))
	k.raw(`" preserveAspectRatio="none">`)
	from := quantity.Number{}
	for i, share := range percents {
		to := from.Add(share)
		k.raw(`<rect class="part p` + strconv.Itoa(i%6+1) + `" x="` + units(from) + `" y="1" width="` + units(share) + `" height="32"/>`)
		from = to
	}
	k.raw(`</svg><figcaption>`)
	for i := range v.Phases {
		k.raw(`<span class="key p` + strconv.Itoa(i%6+1) + `">`)
		k.part("b", "letter", formula.Letter(i))
		k.raw(" ")
		k.text(shares[i])
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
func drawRates(rates []check.Rate, l *words.Language) template.HTML {
	if len(rates) == 0 {
		return ""
	}
	k := &ink{}
	k.raw(`<table class="bounds"><caption>`)
	k.text(l.Say("rates.caption"))
	k.raw(`</caption><thead><tr>`)
	for _, key := range []string{"rates.ingredient", "rates.taken", "rates.usual", "rates.scale"} {
		k.head("", l.Say(key))
	}
	k.raw(`</tr></thead><tbody>`)
	for i := range rates {
		k.rateRow(&rates[i], l)
	}
	k.raw(`</tbody></table>`)
	return k.html()
}

func (k *ink) rateRow(r *check.Rate, l *words.Language) {
	if isOutside(r) {
		k.raw(`<tr class="out">`)
	} else {
		k.raw(`<tr>`)
	}
	k.raw(`<th scope="row">`)
	k.text(hyphenated(r.Name))
	k.raw(`</th><td>`)
	k.text(kept(percent(l, r.Percent.Text(3))))
	k.raw(`</td><td data-head="`)
	k.text(l.Say("rates.usual"))
	k.raw(`">`)
	k.text(kept(limitsOf(r, l)))
	k.raw(` <small>`)
	k.text(sourceName(l, r.Source))
	k.raw(`</small></td><td>`)
	k.scale(r, l)
	k.raw(`</td></tr>`)
}

// scale draws one rate. The track ends a quarter past the largest figure.
func (k *ink) scale(r *check.Rate, l *words.Language) {
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
	k.text(l.Say("rates.drawn", "percent", percent(l, r.Percent.Text(3)), "name", r.Name, "limits", limitsOf(r, l)))
	k.raw(`"><path class="track" d="M0 7H200"/><rect class="usual" x="` + at(from) + `" y="3" width="` + at(to.Sub(from)) + `" height="8"/><path class="taken" d="M` + at(r.Percent) + ` 0V14"/></svg>`)
}

// limits writes the usual stretch: "0.5–2 %", "up to 2 %", "from 1 %".
func limitsOf(r *check.Rate, l *words.Language) string {
	var limits string
	switch {
	case r.From == nil:
		limits = l.Say("rates.up-to", "to", percent(l, r.To.String()))
	case r.To == nil:
		limits = l.Say("rates.from", "from", percent(l, r.From.String()))
	default:
		limits = l.Say("rates.between", "from", l.Number(r.From.String()), "to", percent(l, r.To.String()))
	}
	if r.OfOils {
		limits = l.Say("rates.of-oils", "rate", limits)
	}
	return limits
}

func isOutside(r *check.Rate) bool {
	return r.From != nil && r.Percent.Cmp(*r.From) < 0 || r.To != nil && r.Percent.Cmp(*r.To) > 0
}
