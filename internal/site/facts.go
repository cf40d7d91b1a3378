package site

import (
	"cmp"
	"strings"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// practice is the source shown for a figure that gives none.
const practice = "common practice"

// MaterialFacts gives what is known of a material, each figure with its source, in the order of a page.
func MaterialFacts(m *material.Material) []Fact {
	facts := fact(nil, "INCI name", constituents(m.Composition, true), compositionSource(m))
	facts = fact(facts, "Origin", m.Origin, "")
	facts = sourcedFact(facts, "Dissolves in", m.Dissolves, dissolves)
	facts = measures(facts, m)
	facts = sourcedFact(facts, "HLB", m.HLB, quantity.Number.String)
	facts = sourcedFact(facts, "Required HLB", m.RequiredHLB, quantity.Interval.String)
	facts = sourcedFact(facts, "Saponification value", m.Saponified, func(v quantity.Interval) string { return v.String() + " mg KOH/g" })
	facts = sourcedFact(facts, "Iodine value", m.Iodine, func(v quantity.Interval) string { return v.String() + " g/100 g" })
	facts = sourcedFact(facts, "Its soaps", m.Soap, func(s material.Soap) string { return strings.Trim(s.Sodium+", "+s.Potassium, ", ") })
	facts = sourcedFact(facts, "Phototoxic above", m.Phototoxic, func(n quantity.Number) string { return n.String() + " % (leave-on)" })
	for _, p := range m.Protects {
		facts = fact(facts, "Against "+p.Against, p.How, cmp.Or(p.Source, practice))
	}
	facts = fragranceFacts(facts, m.Fragrance)
	facts = sourcedFact(facts, "Declared in the EU as", m.DeclareAs, func(s string) string { return s })
	facts = sourcedFact(facts, "Not allowed in", m.BannedIn, func(all []string) string { return strings.Join(all, ", ") })
	facts = sourcedFact(facts, "US skin protectant", m.USSkinProtectant, func(v quantity.Interval) string { return v.String() + " % (drug claim, no cosmetic limit)" })
	facts = fact(facts, "Food allergens", strings.Join(m.FoodSources, ", "), "")
	return sourcedFact(facts, "Keeps", m.Keeps, quantity.Duration.String)
}

// measures appends what is measured of the material itself.
func measures(facts []Fact, m *material.Material) []Fact {
	percent := func(n quantity.Number) string { return n.String() + " %" }
	facts = sourcedFact(facts, "Density", m.Density, func(d quantity.Density) string {
		if m.DensityAt.Known {
			return d.String() + " at " + m.DensityAt.Value.String()
		}
		return d.String()
	})
	facts = sourcedFact(facts, "Density of the solid", m.SolidDensity, quantity.Density.String)
	facts = sourcedFact(facts, "Melts", m.Melts, melts)
	facts = sourcedFact(facts, "Not hotter than", m.HeatLimit, quantity.Temperature.Both)
	facts = sourcedFact(facts, "Add below", m.AddBelow, quantity.Temperature.Both)
	facts = sourcedFact(facts, "Flash point", m.Flash, quantity.Temperature.Both)
	facts = sourcedFact(facts, "Water in it", m.Water, percent)
	facts = sourcedFact(facts, "Active matter", m.Active, percent)
	return sourcedFact(facts, "pH", m.PH, phText)
}

// compositionSource says how far a composition is to be trusted.
func compositionSource(m *material.Material) string {
	switch {
	case len(m.Composition) == 0:
		return ""
	case m.NeedsSheet:
		return "a placeholder: only the supplier's sheet can tell"
	case m.Split.Known:
		return m.Split.Value + " split, " + cmp.Or(m.Split.Source, practice)
	}
	return ""
}

// sourcedFact appends a fact of a material where it is known.
func sourcedFact[T any](facts []Fact, name string, f material.Sourced[T], write func(T) string) []Fact {
	if !f.Known {
		return facts
	}
	source := f.Source
	if source == "" {
		source = practice
	}
	return append(facts, Fact{Name: name, Value: write(f.Value), Source: source})
}

func fragranceFacts(facts []Fact, f material.Fragrance) []Fact {
	certificate := "supplier's certificate"
	if f.Source != "" || f.Status != "" {
		certificate = cmp.Or(f.Source, practice) // a typical lot is no certificate
	}
	var limits []string
	for _, l := range f.Limits {
		limits = append(limits, l.Category+": "+l.Percent.String()+" %")
	}
	facts = fact(facts, "Most by category", strings.Join(limits, ", "), certificate)
	if f.Vanillin != nil {
		facts = fact(facts, "Vanillin", f.Vanillin.String()+" %", certificate)
	}
	return fact(facts, "Declared allergens", constituents(f.Allergens, false), certificate)
}

// constituents writes substances with their percents; a single one at 100 % without, if alone is true.
func constituents(all []material.Constituent, alone bool) string {
	if alone && len(all) == 1 && all[0].Percent.Cmp(quantity.Int(100)) == 0 {
		return all[0].INCI
	}
	var words []string
	for _, c := range all {
		words = append(words, c.INCI+" "+c.Percent.Text(6)+" %")
	}
	return strings.Join(words, ", ")
}

func dissolves(s string) string {
	switch s {
	case "either":
		return "water and oil"
	case "neither":
		return "neither water nor oil"
	}
	return s
}

// phText writes a pH with one decimal, as meters read it, or with more where they were written.
func phText(v quantity.Interval) string {
	write := func(n quantity.Number) string {
		if p, ok := n.Places(); ok && p > 1 {
			return n.String()
		}
		return n.Fixed(1)
	}
	if v.Low.Cmp(v.High) == 0 {
		return write(v.Low)
	}
	return write(v.Low) + "–" + write(v.High)
}

func melts(t quantity.Temperatures) string { return t.Written() + " / " + t.Converted() }

// MaterialUses gives the usage rates, a lone figure as "up to" or "from".
func MaterialUses(m *material.Material) []UseView {
	var all []UseView
	for _, u := range m.Uses {
		v := UseView{For: u.For, Source: cmp.Or(u.Source, practice)}
		if u.OfOils {
			v.For += ", of the oils"
		}
		if u.Basis == material.Law || u.Basis == material.SafetyPanel {
			v.Source = u.Basis + ": " + v.Source
		}
		if u.Note != "" {
			v.Source += " (" + u.Note + ")"
		}
		if u.From != nil {
			v.From = u.From.String() + " %"
		}
		if u.To != nil {
			v.To = u.To.String() + " %"
		}
		all = append(all, v)
	}
	return all
}
