package label

import (
	"cmp"
	"slices"
	"sync"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// An Allergen is a fragrance substance or extract of the EU list in a product.
type Allergen struct {
	Name    string          // as it stands on a label
	Percent quantity.Number // of the product
	Declare bool            // above the level from which it has to be named
	Basis   Basis

	hidden quantity.Number // of Percent, what an ingredient list does not tell under this name anyway
}

// Allergens gives the fragrance allergens of the EU list in force that a version holds, each summed over all materials as far
// as these tell what they hold: the largest first, equal ones by name.
func Allergens(s *Subject) []Allergen { return s.look().inForce() }

// inForce is what [Allergens] tells.
func (s *look) inForce() []Allergen {
	var all []Allergen
	sums := s.allergens(law.Allergens(s.day()))
	for _, f := range sums {
		all = append(slices.Grow(all, len(sums)), Allergen{Name: f.entry.Name, Percent: f.percent, Declare: f.above(s.Product), Basis: *entryBasis(f.entry), hidden: f.hidden})
	}
	return all
}

// A sum is how much of an allergen a version holds, and how much of that is hidden, in percent.
type sum struct {
	entry           *law.Allergen
	percent, hidden quantity.Number
}

// above says whether it has to be named.
func (f *sum) above(p law.Product) bool { return f.entry.Above(p, f.percent) }

// allergens sums up what a version holds of a list.
func (s *look) allergens(list law.AllergenList) []sum {
	var all []sum
	for item, f := range s.facts {
		percent := s.percents[item]
		if f == nil || percent.Sign() <= 0 {
			continue
		}
		for _, c := range f.on(list) {
			i := slices.IndexFunc(all, func(have sum) bool { return have.entry == c.entry })
			if i < 0 {
				i = len(all)
				all = append(all, sum{entry: c.entry})
			}
			part := percent.Mul(c.of)
			all[i].percent = all[i].percent.Add(part)
			if c.hidden {
				all[i].hidden = all[i].hidden.Add(part)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b sum) int {
		return cmp.Or(b.percent.Cmp(a.percent), cmp.Compare(a.entry.Name, b.entry.Name))
	})
	return all
}

// allergensIn gives what of a material is on a list: what its perfume holds, and what it or a substance of it is.
func allergensIn(m *material.Material, list law.AllergenList) []content {
	var all []content
	add := func(entry *law.Allergen, percent quantity.Number, hidden bool) {
		if percent.Sign() > 0 {
			all = append(all, content{entry, fraction(percent), hidden})
		}
	}
	for _, c := range scentParts(m) {
		if a, ok := findAllergen(list, c.INCI); ok {
			add(a, c.Percent, true)
		}
	}
	whole := make(map[*law.Allergen]bool)
	for _, c := range m.Composition {
		if a, ok := findAllergen(list, c.INCI); ok {
			whole[a] = true
			key := plainKey(c.INCI)
			add(a, c.Percent, isScent(m, key) || key != plainKey(a.Name))
		}
	}
	if a, ok := findAllergen(list, m.DeclareAs.Value); m.DeclareAs.Known && ok && !whole[a] {
		add(a, hundred, true)
	}
	return all
}

// findAllergen gives a substance's entry in a list.
func findAllergen(list law.AllergenList, inci string) (*law.Allergen, bool) {
	if !lookUp(inci).allergen {
		return nil, false
	}
	return list.Find(inci, nil)
}

// entryBasis gives the basis on which an allergen is named.
func entryBasis(a *law.Allergen) *Basis { return entryBases()[a] }

var entryBases = sync.OnceValue(func() map[*law.Allergen]*Basis {
	all := make(map[*law.Allergen]*Basis)
	for _, list := range law.AllergenLists() {
		for i := range list.Entries {
			a := &list.Entries[i]
			all[a] = &Basis{ID: a.Entry, Citation: a.Citation, Words: a.Name + " is named on the label above its level.", Source: a.Source, Status: a.Status}
		}
	}
	return all
})

// scentParts gives what a material's perfume holds, in percent of the material. The certificate tells of vanillin by itself; what
// stands in the composition under its own name is not told again.
func scentParts(m *material.Material) []material.Constituent {
	if len(m.Fragrance.Allergens) == 0 && m.Fragrance.Vanillin == nil {
		return nil
	}
	var all []material.Constituent
	told := make(map[string]bool)
	for _, c := range m.Composition {
		told[plainKey(c.INCI)] = true
	}
	for _, c := range m.Fragrance.Allergens {
		if key := plainKey(c.INCI); !told[key] {
			all, told[key] = append(all, c), true
		}
	}
	if v := m.Fragrance.Vanillin; v != nil && v.Sign() > 0 && !told["vanillin"] {
		all = append(all, material.Constituent{INCI: "Vanillin", Percent: *v})
	}
	return all
}

// thresholdRule gives the rule that sets a product's level.
func thresholdRule(p law.Product) string {
	if p.Category == "rinse-off" {
		return "eu-fragrance-allergens-rinse-off"
	}
	return "eu-fragrance-allergens-leave-on"
}

// later gives the allergens that a product first sold after the next change of the list has to name besides those of now.
func (s *look) later(allergens []Allergen) []string {
	next := law.Allergens(s.day()).Next
	if next.IsZero() {
		return nil
	}
	var more []string
	for _, f := range s.allergens(law.Allergens(next)) {
		known := slices.ContainsFunc(allergens, func(a Allergen) bool { return a.Declare && a.Name == f.entry.Name })
		if !known && f.above(s.Product) {
			more = append(more, f.entry.Name)
		}
	}
	return more
}
