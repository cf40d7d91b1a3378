package check

import (
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A Rate is how much of a material a version takes beside its usual use, in percent of the product or, with OfOils, of its fats. From and To
// may be absent, but not both.
type Rate struct {
	Name     string
	Material string // its id
	Percent  quantity.Number
	From, To *quantity.Number
	OfOils   bool
	Source   string
}

// Rates gives where each material lies between the limits of its usual use in such a product: the first usual rate, its upper end drawn in by
// what law or a safety panel allows. Materials without a rate and the alkalis of a soap are left out; whether one is past its limits is for the checks to say.
func Rates(s *Subject) []Rate {
	m := measure{Subject: s, fats: s.fats()}
	var all []Rate
	for _, d := range s.rated() {
		u, ok := usualRate(s.rates(d.Material))
		percent, has := m.exact(d, u)
		if !ok || !has {
			continue
		}
		all = append(all, Rate{Name: d.name, Material: d.ID, Percent: percent, From: u.From, To: u.To, OfOils: ofOils(u), Source: shownSource(u.Source)})
	}
	return all
}

// usualRate gives the first rate that does not bind, with the lowest upper end of those that do; or the first that binds.
func usualRate(rates []material.Use) (usual material.Use, ok bool) {
	for _, u := range rates {
		if !binds(u) && !ok {
			usual, ok = u, true
		}
	}
	for _, u := range rates {
		switch {
		case !binds(u) || u.To == nil || ok && ofOils(u) != ofOils(usual):
		case !ok:
			usual, ok = u, true
		case usual.To == nil || u.To.Cmp(*usual.To) < 0:
			usual.To, usual.Source = u.To, u.Source
		}
	}
	return usual, ok && (usual.From != nil || usual.To != nil)
}
