package label

import (
	"cmp"
	"slices"

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
func Allergens(s *Subject) []Allergen {
	f := finder{law: law.Allergens(s.day()), at: make(map[string]int)}
	for i := range s.Version.Items {
		if m := s.material(i); m != nil {
			f.material(m, s.Version.Percent(i))
		}
	}
	for i := range f.found {
		a, _ := f.law.Find(f.found[i].Name, nil)
		f.found[i].Declare = a.Above(s.Product, f.found[i].Percent)
	}
	slices.SortStableFunc(f.found, func(a, b Allergen) int {
		return cmp.Or(b.Percent.Cmp(a.Percent), cmp.Compare(a.Name, b.Name))
	})
	return f.found
}

// A finder sums allergens up.
type finder struct {
	law   law.AllergenList
	found []Allergen
	at    map[string]int // where in found, by name
}

// material takes what a material holds: what its perfume holds, and what it or a substance of it is.
func (f *finder) material(m *material.Material, percent quantity.Number) {
	for _, c := range scentParts(m) {
		f.add(c.INCI, percentOf(percent, c.Percent), true)
	}
	whole := make(map[string]bool)
	for _, c := range m.Composition {
		if a, ok := f.find(c.INCI); ok {
			whole[a.Name] = true
			key := plainKey(c.INCI)
			f.add(c.INCI, percentOf(percent, c.Percent), isScent(m, key) || key != plainKey(a.Name))
		}
	}
	if !m.DeclareAs.Known {
		return
	}
	if a, ok := f.find(m.DeclareAs.Value); ok && !whole[a.Name] {
		f.add(a.Name, percent, true)
	}
}

// find gives a substance's entry in the list in force.
func (f *finder) find(inci string) (law.Allergen, bool) {
	if !lookUp(inci).allergen {
		return law.Allergen{}, false
	}
	return f.law.Find(inci, nil)
}

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

// add adds some of a substance, if the list has it.
func (f *finder) add(inci string, percent quantity.Number, hidden bool) {
	a, ok := f.find(inci)
	if !ok || percent.Sign() <= 0 {
		return
	}
	i, known := f.at[a.Name]
	if !known {
		i = len(f.found)
		f.at[a.Name] = i
		f.found = append(f.found, Allergen{
			Name: a.Name, Basis: Basis{ID: a.Entry, Citation: a.Citation, Words: a.Name + " is named on the label above its level.", Source: a.Source, Status: a.Status},
		})
	}
	f.found[i].Percent = f.found[i].Percent.Add(percent)
	if hidden {
		f.found[i].hidden = f.found[i].hidden.Add(percent)
	}
}

// thresholdRule gives the rule that sets a product's level.
func thresholdRule(p law.Product) string {
	if p.Category == "rinse-off" {
		return "eu-fragrance-allergens-rinse-off"
	}
	return "eu-fragrance-allergens-leave-on"
}

// later gives the allergens that a product first sold after the next change of the list has to name besides those of now.
func later(s *Subject, allergens []Allergen) []string {
	next := law.Allergens(s.day()).Next
	if next.IsZero() {
		return nil
	}
	now := make(map[string]bool)
	for _, a := range allergens {
		now[a.Name] = a.Declare
	}
	then := *s
	then.On = next
	var more []string
	for _, a := range Allergens(&then) {
		if a.Declare && !now[a.Name] {
			more = append(more, a.Name)
		}
	}
	return more
}
