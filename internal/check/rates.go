package check

import (
	"slices"
	"strings"

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
	m := inspect(s).measure()
	var all []Rate
	for _, d := range m.inspection.rated() {
		u, ok := usualRate(m.rates(d.facts).all)
		percent, has := m.exact(d, &u)
		if !ok || !has {
			continue
		}
		all = append(all, Rate{Name: d.name, Material: d.ID, Percent: percent, From: u.From, To: u.To, OfOils: ofOils(&u), Source: shownSource(u.Source)})
	}
	return all
}

// usualRate gives the first rate that does not bind, with the lowest upper end of those that do; or the first that binds.
func usualRate(rates []*material.Use) (usual material.Use, ok bool) {
	for _, u := range rates {
		if !binds(u) && !ok {
			usual, ok = *u, true
		}
	}
	for _, u := range rates {
		switch {
		case !binds(u) || u.To == nil || ok && ofOils(u) != ofOils(&usual):
		case !ok:
			usual, ok = *u, true
		case usual.To == nil || u.To.Cmp(*usual.To) < 0:
			usual.To, usual.Source = u.To, u.Source
		}
	}
	return usual, ok && (usual.From != nil || usual.To != nil)
}

// A kind is a kind of product, from special to general, as usage rates name it.
type kind struct{ name, group, category string }

// uses gives the product's kind.
func (s *inspection) uses() kind {
	return s.kind.get(func() kind {
		k := kind{name: s.Product.Name, category: s.Product.Category}
		switch {
		case s.Product.Site == "lips":
			k.group = "lips"
		case s.isA(baths):
			k.group = "bath"
		case s.isSoap():
			k.group = "soap"
		}
		return k
	})
}

// Rates are the usage rates of a material in a kind of product. They are only read.
type rates struct {
	kind
	all    []*material.Use   // those of law and of safety panels first
	limits [][]*material.Use // those with a maximum, as limitsOf sorts them
	least  []*material.Use   // those with a minimum
	ofOils bool              // whether one tells what is usual of the oils
	alone  *rates            // the same without such ones
}

// rates gives the usage rates of a material for the product: looked for once in each kind of product.
func (s *inspection) rates(f *facts) *rates {
	k := s.uses()
	for {
		known := f.rates.Load()
		for _, r := range *known {
			if r.kind == k {
				return r
			}
		}
		more := append(slices.Clip(*known), newRates(f.material, k))
		f.rates.CompareAndSwap(known, &more) // or somebody else was first
	}
}

// newRates picks rates, without those for candles where the product is none.
func newRates(m *material.Material, k kind) *rates {
	names := []string{k.name, k.group, k.category}
	if k.group == "" {
		names = []string{k.name, k.category}
	}
	uses := slices.DeleteFunc(m.UsesFor(names...), func(u material.Use) bool {
		return strings.HasPrefix(u.Note, "candles only") && k.category != "not on skin"
	})
	all := make([]*material.Use, len(uses))
	for i := range uses {
		all[i] = &uses[i]
	}
	r := sortRates(all)
	r.kind = k
	beside := slices.DeleteFunc(slices.Clone(all), func(u *material.Use) bool { return ofOils(u) && !binds(u) })
	r.ofOils, r.alone = len(beside) < len(all), sortRates(beside)
	return r
}

func sortRates(all []*material.Use) *rates {
	return &rates{
		all: all, limits: limitsOf(all),
		least: slices.DeleteFunc(slices.Clone(all), func(u *material.Use) bool { return u.From == nil }),
	}
}

// limitsOf sorts rates with a maximum: those of law, then those of panels, each alone that is for no special case, the cases side by
// side; then what is usual, side by side.
func limitsOf(rates []*material.Use) [][]*material.Use {
	var limits [][]*material.Use
	var usual []*material.Use
	for _, basis := range []string{material.Law, material.SafetyPanel, ""} {
		var cases []*material.Use
		for _, u := range rates {
			switch {
			case u.To == nil:
			case basis == "" && !binds(u):
				usual = append(usual, u)
			case u.Basis != basis || !binds(u):
			case u.Note == "":
				limits = append(limits, []*material.Use{u})
			default:
				cases = append(cases, u)
			}
		}
		if cases != nil {
			limits = append(limits, cases)
		}
	}
	if usual != nil {
		limits = append(limits, usual)
	}
	return limits
}
