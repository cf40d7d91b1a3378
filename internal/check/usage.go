package check

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// usage finds materials outside their usage rates for the product, in percent of it or of its fats: each over all its lines, exactly
// and as weighed. Rates that stand side by side for the same kind of product are cases, of which the widest holds. Sources are
// those of the rates. A material that is strong in small amounts and has no rate is told of too. The alkalis of a soap are left to the lye check:
// how much of them is right hangs on the fats alone.
func usage(s *inspection) []Finding {
	var found []Finding
	m := s.measure()
	for _, d := range s.rated() {
		if d.NotForSkin && s.Product.Category != "not on skin" {
			found = append(found, s.candleOnly(d))
			continue
		}
		rates := m.beside(d)
		found = append(found, m.above(d, rates)...)
		found = append(found, m.below(d, rates)...)
	}
	return found
}

// rated gives the doses to measure against usage rates: all but the alkalis of a soap.
func (s *inspection) rated() []*dose {
	if _, isSoap := s.asSoap(); !isSoap {
		return s.doses
	}
	return s.dosesThat(func(d *dose) bool { return d.facts.soap.Alkali() == "" })
}

// A measure reads what usage rates are about off a version.
type measure struct {
	*inspection
	fats []int
}

func (s *inspection) measure() measure { return measure{s, s.fats()} }

// beside gives the rates to measure a material by, without what is usual of the oils where it is all of the fats: such a rate tells how much to take
// beside others.
func (m measure) beside(d *dose) *rates {
	r := m.rates(d.facts)
	alone := r.ofOils && len(m.fats) > 0 && !slices.ContainsFunc(m.fats, func(i int) bool { return !sameFat(d.Material, m.Materials[i]) })
	if alone {
		return r.alone
	}
	return r
}

// sameFat says whether two materials are of the same substance: virgin and refined coconut oil are.
func sameFat(a, b *material.Material) bool {
	return same(a, b) || len(a.Composition) == 1 && len(b.Composition) == 1 && material.Key(a.Composition[0].INCI) == material.Key(b.Composition[0].INCI)
}

// A reading is what a material comes to by a rate, the most or the least over the batches concerned.
type reading struct {
	rate    *material.Use
	value   quantity.Number
	batches []string // as weighed in these; nil where it is so exactly
}

// exact gives what a material comes to, in percent of the product or of its fats; false where it has none.
func (m measure) exact(d *dose, u *material.Use) (quantity.Number, bool) {
	if !ofOils(u) {
		return d.percent, true
	}
	fats := m.exactly().of(m.fats)
	return hundredfold(d.percent, fats), fats.Sign() > 0
}

// weighed gives the same for a batch as it will be weighed.
func (m measure) weighed(d *dose, u *material.Use, batch int) (quantity.Number, bool) {
	if m.Batches[batch].Missing != nil {
		return quantity.Number{}, false
	}
	weighed := m.weighedIn(batch)
	percent := weighed.of(d.items)
	if !ofOils(u) {
		return percent, true
	}
	fats := weighed.of(m.fats)
	return hundredfold(percent, fats), fats.Sign() > 0
}

func hundredfold(part, whole quantity.Number) quantity.Number {
	if whole.Sign() == 0 {
		return quantity.Number{}
	}
	return part.Mul(quantity.Int(100)).Quo(whole)
}

// ofOils says whether a rate is of the fats; a page can say so only in its words.
func ofOils(u *material.Use) bool { return u.OfOils || strings.HasSuffix(u.Source, "of the oils") }

func binds(u *material.Use) bool { return u.Basis == material.Law || u.Basis == material.SafetyPanel }

// outside finds by how much a material is past a limit of a rate: above where side is 1, below where it is -1.
func (m measure) outside(d *dose, u *material.Use, limit quantity.Number, side int) (reading, bool) {
	r := reading{rate: u}
	var ok bool
	if r.value, ok = m.exact(d, u); ok && r.value.Cmp(limit) == side {
		return r, true
	}
	for i, b := range m.Batches {
		v, ok := m.weighed(d, u, i)
		if !ok || !shows(v, u, limit, side) {
			continue
		}
		if r.batches == nil || v.Cmp(r.value) == side {
			r.value = v
		}
		r.batches = append(r.batches, b.Written)
	}
	return r, r.batches != nil
}

// shows says whether a weighed percentage is past a limit: of a binding rate at all, of a usual one where it shows one decimal place
// beyond those of the limit. A rule of thumb of 1 % is not passed by 1.0003 %.
func shows(v quantity.Number, u *material.Use, limit quantity.Number, side int) bool {
	if v.Cmp(limit) != side || binds(u) {
		return v.Cmp(limit) == side
	}
	places, _ := limit.Places()
	places = min(places+1, 18)
	return v.Text(places) != limit.Text(places)
}

// above gives the finding on too much of a material, by the first of its limits that it is past.
func (m measure) above(d *dose, rates *rates) []Finding {
	for _, side := range rates.limits {
		if r, is := m.outsideAll(d, side, func(u *material.Use) quantity.Number { return *u.To }, 1); is {
			return []Finding{m.tooMuch(d, r)}
		}
	}
	if len(rates.limits) == 0 && m.wantsRate(d) {
		return []Finding{m.noRate(d, "above-usual-maximum", "how much of it is usual")}
	}
	return nil
}

// outsideAll finds whether a material is past all the rates, and gives the widest: then it is past each of them.
func (m measure) outsideAll(d *dose, rates []*material.Use, limit func(*material.Use) quantity.Number, side int) (widest reading, is bool) {
	for i, u := range rates {
		r, past := m.outside(d, u, limit(u), side)
		if !past {
			return reading{}, false
		}
		if i == 0 || limit(u).Cmp(limit(widest.rate)) == side {
			widest = r
		}
	}
	return widest, len(rates) > 0
}

// below gives the finding on too little of a material: less than the lowest of its rates.
func (m measure) below(d *dose, rates *rates) []Finding {
	if r, is := m.less(d, rates); is {
		return []Finding{m.tooLittle(d, r)}
	}
	if len(rates.least) == 0 && d.Has("preservative") {
		return []Finding{m.noRate(d, "below-usual-minimum", "how little of it still protects")}
	}
	return nil
}

// less finds whether there is less of a material than the lowest of its rates.
func (m measure) less(d *dose, rates *rates) (reading, bool) {
	return m.outsideAll(d, rates.least, func(u *material.Use) quantity.Number { return *u.From }, -1)
}

func (m measure) tooMuch(d *dose, r reading) Finding {
	f := m.rated(d, r, *r.rate.To)
	f.Code = "above-usual-maximum"
	f.Message += "up to " + f.Limit + " % " + m.says(r.rate) + "."
	f.Mend = "Lower it to " + f.Limit + " %" + whole(r.rate) + ", or less."
	return f
}

func (m measure) tooLittle(d *dose, r reading) Finding {
	f := m.rated(d, r, *r.rate.From)
	f.Code = "below-usual-minimum"
	f.Message += "from " + f.Limit + " % up " + m.says(r.rate) + "."
	f.Mend = "Raise it to " + f.Limit + " %" + whole(r.rate) + ", or more, or leave it out."
	if d.Has("preservative") {
		f.Level = Stop
		f.Mend = "Raise it to " + f.Limit + " % or more, within its limits: too little does not protect."
	}
	return f
}

// rated begins the finding on a material outside a rate.
func (m measure) rated(d *dose, r reading, limit quantity.Number) Finding {
	f := Finding{
		Level: Caution, Subject: d.name, Items: d.items, Value: past(r.value, limit, 3), Limit: limit.String(), Unit: "%",
		Source: shownSource(r.rate.Source),
	}
	if r.rate.Basis == material.Law && strings.HasPrefix(f.Source, "EU ") {
		f.Market = "EU"
	}
	f.Message = d.name + " comes to " + f.Value + " %" + whole(r.rate)
	if r.batches != nil {
		f.Message += " as weighed for the batch of " + and(r.batches)
	}
	f.Message += "; "
	return f
}

// says tells who sets a rate, and for what.
func (m measure) says(u *material.Use) string {
	says := map[string]string{
		material.Law: "is what the law allows", material.SafetyPanel: "is what a safety panel advises",
		material.SupplierTypical: "is what suppliers advise",
	}[u.Basis]
	if says == "" {
		says = "is usual"
	}
	says += " for " + m.kind(u)
	if u.Note != "" {
		says += " (" + u.Note + ")"
	}
	return says
}

// kind names what a rate is for.
func (m measure) kind(u *material.Use) string {
	switch material.Key(u.For) {
	case "all":
		return "any product"
	case "leave-on", "rinse-off":
		return u.For + " products"
	case "lips", "soap":
		return u.For
	case "bath":
		return "the bath"
	}
	return "a " + m.what()
}

func whole(u *material.Use) string {
	if ofOils(u) {
		return " of the oils"
	}
	return ""
}

// shownSource writes the source of a figure that has one, or that there is none.
func shownSource(source string) string {
	if source == "" {
		return "common practice"
	}
	return source
}

// wantsRate says whether a material is one whose amount has to be checked against something, and is not checked elsewhere by a certificate.
func (m measure) wantsRate(d *dose) bool {
	certified := slices.ContainsFunc(d.Fragrance.Limits, func(l material.Limit) bool { return l.Category == m.Product.Fragrance })
	return (d.Fixed() || m.harms(d)) && !d.Has("alkali") && !certified
}

// harmful are the cautions of materials whose amount matters.
var harmful = []string{"liver", "aha", "corrosive", "irritant", "sensitiser", "estragole", "oestrogen", "do-not-swallow"}

// harms says whether a material is an acid, or a plant of whose harm its cautions warn, in a product that stays on the skin.
func (m measure) harms(d *dose) bool {
	warned := slices.ContainsFunc(d.CautionCodes, func(code string) bool { return slices.Contains(harmful, code) })
	return m.Product.Category == "leave-on" && (d.Has("acid") || d.Has("botanical") && warned)
}

func (m measure) noRate(d *dose, code, what string) Finding {
	return Finding{
		Code: code, Level: Caution, Subject: d.name, Items: d.items, Value: d.percent.Text(3), Unit: "%",
		Message: "Nothing says " + what + " in a " + m.what() + ", so " + d.name + " at " + d.percent.Text(3) + " % could not be checked.",
		Mend:    "Ask the supplier for the usage rate and give it as use: on the ingredient's page.",
	}
}

func (s *inspection) candleOnly(d *dose) Finding {
	return Finding{
		Code: "above-usual-maximum", Level: Caution, Subject: d.name, Items: d.items, Value: d.percent.Text(3), Limit: "0", Unit: "%",
		Source:  "common practice",
		Message: d.name + " is for candles and room scent and has no place on skin: " + d.percent.Text(3) + " % of this " + s.what() + " is made of it.",
		Mend:    "Take a material that is sold for skin.",
	}
}
