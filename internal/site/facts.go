package site

import (
	"cmp"
	"strings"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/words"
)

// MaterialFacts gives what is known of a material, in English, each figure with its source, in the order of a page.
func MaterialFacts(m *material.Material) []Fact { return materialFacts(m, english()) }

func materialFacts(m *material.Material, l *words.Language) []Fact {
	facts := fact(nil, l.Say("fact.inci"), l.Figures(constituents(m.Composition, true)), compositionSource(m, l))
	facts = fact(facts, l.Say("fact.origin"), named(l, "origin", m.Origin), "")
	facts = sourcedFact(l, facts, l.Say("fact.dissolves"), m.Dissolves, func(s string) string { return named(l, "fact.dissolves", s) })
	facts = measures(facts, m, l)
	facts = sourcedFact(l, facts, l.Say("fact.hlb"), m.HLB, quantity.Number.String)
	facts = sourcedFact(l, facts, l.Say("fact.required-hlb"), m.RequiredHLB, quantity.Interval.String)
	facts = sourcedFact(l, facts, l.Say("fact.saponification"), m.Saponified, func(v quantity.Interval) string { return v.String() + " mg KOH/g" })
	facts = sourcedFact(l, facts, l.Say("fact.iodine"), m.Iodine, func(v quantity.Interval) string { return v.String() + " g/100 g" })
	facts = sourcedFact(l, facts, l.Say("fact.soaps"), m.Soap, func(s material.Soap) string { return strings.Trim(s.Sodium+", "+s.Potassium, ", ") })
	facts = sourcedFact(l, facts, l.Say("fact.phototoxic"), m.Phototoxic, func(n quantity.Number) string { return l.Say("fact.phototoxic-value", "percent", l.Number(n.String())) })
	for _, p := range m.Protects {
		facts = fact(facts, named(l, "fact.against", p.Against), named(l, "fact.how", p.How), sourceName(l, p.Source))
	}
	facts = fragranceFacts(facts, m.Fragrance, l)
	facts = sourcedFact(l, facts, l.Say("fact.declared"), m.DeclareAs, func(s string) string { return s })
	facts = sourcedFact(l, facts, l.Say("fact.banned"), m.BannedIn, func(all []string) string { return strings.Join(all, ", ") })
	facts = sourcedFact(l, facts, l.Say("fact.us-skin"), m.USSkinProtectant, func(v quantity.Interval) string { return l.Say("fact.us-skin-value", "percent", l.Figures(v.String())) })
	facts = fact(facts, l.Say("fact.food"), foodNames(l, m.FoodSources), "")
	facts = sourcedFact(l, facts, l.Say("fact.food"), m.NoFoodSource, func(bool) string { return l.Say("fact.food-none") })
	return sourcedFact(l, facts, l.Say("fact.keeps"), m.Keeps, func(d quantity.Duration) string { return lasting(l, d) })
}

// measures appends what is measured of the material itself.
func measures(facts []Fact, m *material.Material, l *words.Language) []Fact {
	share := func(n quantity.Number) string { return percent(l, n.String()) }
	facts = sourcedFact(l, facts, l.Say("fact.density"), m.Density, func(d quantity.Density) string {
		if m.DensityAt.Known {
			return l.Say("fact.density-at", "density", d.String(), "temperature", m.DensityAt.Value.String())
		}
		return d.String()
	})
	facts = sourcedFact(l, facts, l.Say("fact.solid-density"), m.SolidDensity, quantity.Density.String)
	facts = sourcedFact(l, facts, l.Say("fact.melts"), m.Melts, melts)
	facts = sourcedFact(l, facts, l.Say("fact.heat-limit"), m.HeatLimit, quantity.Temperature.Both)
	facts = sourcedFact(l, facts, l.Say("fact.add-below"), m.AddBelow, quantity.Temperature.Both)
	facts = sourcedFact(l, facts, l.Say("fact.flash"), m.Flash, quantity.Temperature.Both)
	facts = sourcedFact(l, facts, l.Say("fact.water"), m.Water, share)
	facts = sourcedFact(l, facts, l.Say("fact.active"), m.Active, share)
	return sourcedFact(l, facts, l.Say("fact.ph"), m.PH, phText)
}

// compositionSource says how far a composition is to be trusted.
func compositionSource(m *material.Material, l *words.Language) string {
	switch {
	case len(m.Composition) == 0:
		return ""
	case m.NeedsSheet:
		return l.Say("fact.placeholder")
	case m.Split.Known:
		return l.Say("fact.split", "split", m.Split.Value, "source", cmp.Or(m.Split.Source, l.Say("fact.practice")))
	}
	return ""
}

// sourcedFact appends a fact of a material where it is known, its value with the language's decimal sign.
func sourcedFact[T any](l *words.Language, facts []Fact, name string, f material.Sourced[T], write func(T) string) []Fact {
	if !f.Known {
		return facts
	}
	return append(facts, Fact{Name: name, Value: l.Figures(write(f.Value)), Source: sourceName(l, f.Source)})
}

func fragranceFacts(facts []Fact, f material.Fragrance, l *words.Language) []Fact {
	certificate := l.Say("fact.certificate") // which alone gives limits
	typical := certificate
	if f.Source != "" || f.Status != "" {
		typical = cmp.Or(f.Source, l.Say("fact.practice")) // a typical lot is no certificate
	}
	var limits []string
	for _, limit := range f.Limits {
		limits = append(limits, limit.Category+": "+percent(l, limit.Percent.String()))
	}
	facts = fact(facts, l.Say("fact.by-category"), strings.Join(limits, ", "), certificate)
	if f.Vanillin != nil {
		facts = fact(facts, l.Say("fact.vanillin"), percent(l, f.Vanillin.String()), cmp.Or(f.VanillinSource, certificate))
	}
	return fact(facts, l.Say("fact.allergens"), l.Figures(constituents(f.Allergens, false)), typical)
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

// MaterialUses gives the usage rates in English, a lone figure as "up to" or "from".
func MaterialUses(m *material.Material) []UseView { return materialUses(m, english()) }

func materialUses(m *material.Material, l *words.Language) []UseView {
	var all []UseView
	for _, u := range m.Uses {
		v := UseView{For: useName(l, u.For), Source: sourceName(l, u.Source)}
		if u.OfOils {
			v.For = l.Say("ingredient.of-oils", "product", v.For)
		}
		if u.Basis == material.Law || u.Basis == material.SafetyPanel {
			v.Source = u.Basis + ": " + v.Source
		}
		if u.Note != "" {
			v.Source += " (" + u.Note + ")"
		}
		if u.From != nil {
			v.From = percent(l, u.From.String())
		}
		if u.To != nil {
			v.To = percent(l, u.To.String())
		}
		all = append(all, v)
	}
	return all
}
