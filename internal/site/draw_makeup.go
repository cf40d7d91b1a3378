package site

import (
	"html/template"

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
	shares := make([]string, len(v.Phases))
	for i := range v.Phases {
		shares[i] = v.Phases[i].Name + " " + percent(l, percents[i].Text(2))
	}
	k := newInk()
	k.raw(`<figure class="make-up"><svg viewBox="0 0 `)
	k.whole(pictureWidth)
	k.raw(` 34" role="img" aria-label="`)
	k.say(l, "formula.phases", "phases", l.Commas(shares))
	k.raw(`" preserveAspectRatio="none">`)
	from := quantity.Number{}
	for i, share := range percents {
		k.raw(`<rect class="part p`)
		k.whole(i%6 + 1)
		k.raw(`" x="`)
		k.units(from)
		k.raw(`" y="1" width="`)
		k.units(share)
		k.raw(`" height="32"/>`)
		from = from.Add(share)
	}
	k.raw(`</svg><figcaption>`)
	for i := range v.Phases {
		k.raw(`<span class="key p`)
		k.whole(i%6 + 1)
		k.raw(`">`)
		k.part("b", "letter", formula.Letter(i))
		k.raw(" ")
		k.text(shares[i])
		k.raw(`</span> `)
	}
	k.raw(`</figcaption></figure>`)
	return k.html()
}

// units writes a percent in the drawing's units.
func (k *ink) units(percent quantity.Number) {
	k.length(percent.Mul(quantity.Fraction(pictureWidth, 100)))
}

// length writes a length in a drawing, as scripts and style sheets write numbers.
func (k *ink) length(n quantity.Number) { *k = n.AppendText(*k, 1) }

// phasePercents gives what percent of the whole each phase is.
func phasePercents(v *formula.Version) []quantity.Number {
	sums := make([]quantity.Number, len(v.Phases))
	for i := range v.Items {
		phase := v.Items[i].Phase
		sums[phase] = sums[phase].Add(v.Percent(i))
	}
	return sums
}

// drawRates draws where each rate lies between its limits: a track from nothing to a little past the most, the usual stretch of it, and a mark
// at what is taken. The classes are bounds for the table, track, usual and taken in a drawing, and out on a row outside its limits.
func drawRates(rates []check.Rate, l *words.Language) template.HTML {
	if len(rates) == 0 {
		return ""
	}
	k := newInk()
	k.raw(`<table class="bounds"><caption>`)
	k.say(l, "rates.caption")
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
	taken, limits := percent(l, r.Percent.Text(3)), limitsOf(r, l)
	k.raw(`<th scope="row">`)
	k.text(hyphenated(r.Name))
	k.raw(`</th><td>`)
	k.text(kept(taken))
	k.raw(`</td><td data-head="`)
	k.say(l, "rates.usual")
	k.raw(`">`)
	k.text(kept(limits))
	k.raw(` <small>`)
	k.text(sourceName(l, r.Source))
	k.raw(`</small></td><td><svg class="scale" viewBox="0 0 200 14" role="img" aria-label="`)
	k.say(l, "rates.drawn", "percent", taken, "name", r.Name, "limits", limits)
	k.raw(`">`)
	k.scale(r)
	k.raw(`</svg></td></tr>`)
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
	from, to := quantity.Number{}, end
	if r.From != nil {
		from = *r.From
	}
	if r.To != nil {
		to = *r.To
	}
	unit := quantity.Int(200).Quo(end)
	k.raw(`<path class="track" d="M0 7H200"/><rect class="usual" x="`)
	k.length(from.Mul(unit))
	k.raw(`" y="3" width="`)
	k.length(to.Sub(from).Mul(unit))
	k.raw(`" height="8"/><path class="taken" d="M`)
	k.length(r.Percent.Mul(unit))
	k.raw(` 0V14"/>`)
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
