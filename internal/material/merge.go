package material

import "slices"

// Merge gives what is known of a material by a handbook's page and by the catalogue's entry of it: each field that the
// page gives wins, with its source; a list of the page replaces the catalogue's; cautions are united.
func Merge(page, catalogue *Material) *Material {
	m := *page
	m.Base = catalogue.ID
	over(&m.Also, catalogue.Also)
	m.Also = slices.DeleteFunc(m.Also, func(name string) bool { return Key(name) == Key(m.Name) })
	over(&m.Roles, catalogue.Roles)
	over(&m.Protects, catalogue.Protects)
	over(&m.Uses, catalogue.Uses)
	m.foodSources(page, catalogue)
	m.origin(page, catalogue)
	m.composition(catalogue)
	m.measures(catalogue)
	m.fragrance(page, catalogue)
	m.NotForSkin = m.NotForSkin || catalogue.NotForSkin
	m.Cautions = united(page.Cautions, catalogue.Cautions)
	m.CautionCodes = united(page.CautionCodes, catalogue.CautionCodes)
	if page.Origin != "" {
		sentence, _ := Common().Caution(maybeAnimal)
		m.Cautions = slices.DeleteFunc(m.Cautions, func(s string) bool { return s == sentence })
		m.CautionCodes = slices.DeleteFunc(m.CautionCodes, func(code string) bool { return code == maybeAnimal })
	}
	return &m
}

// origin takes the catalogue's origin where the page says nothing, and what it is made of is what the catalogue's entry is.
func (m *Material) origin(page, catalogue *Material) {
	if m.Origin == "" && (len(page.Composition) == 0 || sameComposition(page.Composition, catalogue.Composition)) {
		m.Origin = catalogue.Origin
	}
}

// over lets a list that is empty be the other.
func over[T any](list *[]T, other []T) {
	if len(*list) == 0 {
		*list = slices.Clone(other)
	}
}

// united gives what is in either list, in order, once.
func united(a, b []string) []string {
	var all []string
	for _, s := range slices.Concat(a, b) {
		if !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	return all
}

// foodSources takes what the catalogue says of food allergens where the page says nothing. That there are none holds only of what the
// catalogue's entry is made of, and a page cannot take back a source that the catalogue names but by naming others.
func (m *Material) foodSources(page, catalogue *Material) {
	over(&m.FoodSources, catalogue.FoodSources)
	if len(page.Composition) == 0 || sameComposition(page.Composition, catalogue.Composition) {
		fill(&m.NoFoodSource, catalogue.NoFoodSource)
	}
	if len(m.FoodSources) > 0 {
		m.NoFoodSource = Sourced[bool]{}
	}
}

// fill lets a fact that is not known be the other.
func fill[T any](fact *Sourced[T], other Sourced[T]) {
	if !fact.Known {
		*fact = other
	}
}

// composition takes the catalogue's composition, and what hangs on it, unless the page gives another; the US names it takes either way.
func (m *Material) composition(catalogue *Material) {
	if len(m.Composition) == 0 {
		m.Composition, m.NeedsSheet = slices.Clone(catalogue.Composition), catalogue.NeedsSheet
		fill(&m.Split, catalogue.Split)
	} else {
		m.Composition = slices.Clone(m.Composition)
		for i := range m.Composition {
			c := &m.Composition[i]
			if known := catalogue.constituent(c.INCI); known != nil && c.US == "" {
				c.US = known.US
			}
		}
	}
	if sameComposition(m.Composition, catalogue.Composition) {
		fill(&m.Water, catalogue.Water)
		fill(&m.Active, catalogue.Active)
		fill(&m.AcidEquivalent, catalogue.AcidEquivalent)
		fill(&m.DeclareAs, catalogue.DeclareAs)
	}
}

// constituent finds a substance of the material by its EU name, or nil.
func (m *Material) constituent(inci string) *Constituent {
	for i, c := range m.Composition {
		if Key(c.INCI) == Key(inci) {
			return &m.Composition[i]
		}
	}
	return nil
}

func sameComposition(a, b []Constituent) bool {
	return slices.EqualFunc(a, b, func(a, b Constituent) bool { return Key(a.INCI) == Key(b.INCI) && a.Percent.Cmp(b.Percent) == 0 })
}

// measures takes the catalogue's figures where the page has none.
func (m *Material) measures(catalogue *Material) {
	if !m.Density.Known {
		m.DensityAt = catalogue.DensityAt
	}
	fill(&m.Density, catalogue.Density)
	fill(&m.SolidDensity, catalogue.SolidDensity)
	fill(&m.Dissolves, catalogue.Dissolves)
	fill(&m.Melts, catalogue.Melts)
	fill(&m.HeatLimit, catalogue.HeatLimit)
	fill(&m.AddBelow, catalogue.AddBelow)
	fill(&m.Flash, catalogue.Flash)
	fill(&m.PH, catalogue.PH)
	fill(&m.Keeps, catalogue.Keeps)
	fill(&m.HLB, catalogue.HLB)
	fill(&m.RequiredHLB, catalogue.RequiredHLB)
	if !m.Saponified.Known {
		m.Typical = catalogue.Typical
	}
	fill(&m.Saponified, catalogue.Saponified)
	fill(&m.Iodine, catalogue.Iodine)
	fill(&m.Soap, catalogue.Soap)
	fill(&m.USSkinProtectant, catalogue.USSkinProtectant)
	fill(&m.BannedIn, catalogue.BannedIn)
	if !m.Phototoxic.Known {
		fill(&m.NotPhototoxic, catalogue.NotPhototoxic)
	}
	if !m.NotPhototoxic.Known {
		fill(&m.Phototoxic, catalogue.Phototoxic)
	}
}

// fragrance takes what a typical lot holds where the page's certificate does not say.
func (m *Material) fragrance(page, catalogue *Material) {
	f := &m.Fragrance
	over(&f.Limits, catalogue.Fragrance.Limits)
	if f.Vanillin == nil {
		f.Vanillin, f.VanillinSource = catalogue.Fragrance.Vanillin, catalogue.Fragrance.VanillinSource
	}
	if len(page.Fragrance.Allergens) == 0 {
		f.Allergens = slices.Clone(catalogue.Fragrance.Allergens)
		f.Source, f.Status = catalogue.Fragrance.Source, catalogue.Fragrance.Status
	}
}
