package handbook

import (
	"cmp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

var ingredientFields = append([]string{
	"name", "also", "role", "inci", "dissolves", "density", "melts", "heat-limit", "use", "ph", "keeps", "fragrance", "phototoxic",
	"protects", "hlb", "required-hlb", "saponification", "iodine", "contains", "origin", "cautions", "supplier", "price", "lots",
}, commonFields...)

// A materialDraft is an ingredient's page while it is read.
type materialDraft struct {
	*draft
	m     *mapping
	v     *material.Material
	names map[string]problem.Span
	lots  map[string]problem.Span // by code

	currency string // that prices may name
}

// ingredient reads an ingredient's page and lays it over the catalogue's entry of the same name, if there is one.
func (h *Handbook) ingredient(d *draft) *Ingredient {
	r := &materialDraft{draft: d, v: &material.Material{ID: d.page.Slug}, currency: h.Currency}
	if d.front != nil {
		if m, ok := d.mapping(d.front, "an ingredient", ingredientFields); ok {
			r.m = m
			r.common(m, "name")
			r.picture(m, h)
			r.facts()
			r.measures()
			r.private()
		}
	}
	r.v.Name, r.v.Summary = d.page.Title, d.page.Summary
	i := &Ingredient{Page: d.page, Material: r.v, own: append([]string{r.v.Name}, r.v.Also...), names: r.names, lots: r.lots, faulty: d.problems.Len() > 0}
	if base := material.Common().For(r.v); base != nil {
		i.Material = material.Merge(r.v, base)
	}
	return i
}

// facts reads names, roles, composition and use.
func (r *materialDraft) facts() {
	m, v := r.m, r.v
	r.names = make(map[string]problem.Span)
	if v.Name = r.page.Title; v.Name != "" {
		r.names[material.Key(v.Name)] = r.span(m.get("name"))
	}
	for _, n := range r.list(m.get("also")) {
		if name, ok := r.text(n); ok && material.Key(name) != material.Key(v.Name) {
			v.Also = append(v.Also, name)
			r.names[material.Key(name)] = r.span(n)
		}
	}
	for _, n := range r.list(m.get("role")) {
		if role, ok := r.oneOf(n, "role of an ingredient", material.Roles()); ok {
			v.Roles = append(v.Roles, role)
		}
	}
	v.Composition = r.percents(m.get("inci"), "inci")
	v.Dissolves = sourced(r, "dissolves", oneOf("water", "oil", "either", "neither", "alcohol"))
	r.contains()
	v.Cautions = r.texts(m.get("cautions"))
	if n := m.get("origin"); n != nil {
		v.Origin, _ = r.oneOf(n, "origin", []string{"plant", "animal", "mineral", "synthetic"})
	}
	for _, n := range r.list(m.get("use")) {
		r.use(n)
	}
	r.fragrance()
	r.protects()
}

// contains reads food-allergen sources, or that there are none.
func (r *materialDraft) contains() {
	n := r.m.get("contains")
	if n != nil && n.Kind == yaml.MappingNode {
		r.problems.Addf(r.span(n), "write them in square brackets, contains: [tree nuts, milk], or contains: none", "food-allergen sources should stand here as a list, not as a group with values")
		return
	}
	sources := r.texts(n)
	switch {
	case !slices.ContainsFunc(sources, func(s string) bool { return strings.EqualFold(s, material.NoSource) }):
		r.v.FoodSources = sources
	case len(sources) > 1:
		r.problems.Addf(r.span(n), "name the sources, or write “none” alone", "“none” stands beside other food-allergen sources")
	default:
		r.v.NoFoodSource = material.Sourced[bool]{Value: true, Known: true}
	}
}

// measures reads the facts that have a figure and may have a source.
func (r *materialDraft) measures() {
	v := r.v
	v.Density = figure(r, "density", quantity.ParseDensity)
	v.Melts = figure(r, "melts", quantity.ParseTemperatures)
	v.HeatLimit = figure(r, "heat-limit", quantity.ParseTemperature)
	v.PH = figure(r, "ph", parsePH)
	v.Keeps = figure(r, "keeps", quantity.ParseDuration)
	v.HLB = figure(r, "hlb", quantity.ParseNumber)
	v.RequiredHLB = figure(r, "required-hlb", quantity.ParseInterval)
	v.Saponified = figure(r, "saponification", quantity.ParseInterval)
	v.Iodine = figure(r, "iodine", quantity.ParseInterval)
	v.Phototoxic = figure(r, "phototoxic", parsePart)
}

// ownFigure is the source of a figure for which the page names no other.
const ownFigure = "the maker's own figure"

// figure reads a fact that is a figure. Without a source it is the maker's own, never the catalogue's nor a habit of the trade.
func figure[T any](r *materialDraft, name string, parse func(string) (T, error)) material.Sourced[T] {
	fact := sourced(r, name, parse)
	if fact.Known {
		fact.Source = cmp.Or(fact.Source, ownFigure)
	}
	return fact
}

// sourced reads a fact: its value alone, or {value, source}.
func sourced[T any](r *materialDraft, name string, parse func(string) (T, error)) (fact material.Sourced[T]) {
	n := r.m.get(name)
	if n == nil {
		return fact
	}
	if n.Kind == yaml.MappingNode {
		m, ok := r.mapping(n, name, []string{"value", "source"})
		if !ok {
			return fact
		}
		fact.Source = m.words("source")
		if n = m.need("value", name, "write it as {value: …, source: …}"); n == nil {
			return fact
		}
	}
	fact.Value, fact.Known = read(r.document, n, parse)
	return fact
}

// oneOf gives a parser that takes some words only.
func oneOf(known ...string) func(string) (string, error) {
	return func(s string) (string, error) {
		word := strings.ToLower(strings.TrimSpace(s))
		if slices.Contains(known, word) {
			return word, nil
		}
		return "", &quantity.SyntaxError{Length: len(s), Message: "“" + s + "” is not known here", Hint: "it can be: " + strings.Join(known, ", ")}
	}
}

// percents reads names with percents: {Parfum: 100 %}; a single name stands for 100 %.
func (r *materialDraft) percents(n *yaml.Node, what string) []material.Constituent {
	if n == nil {
		return nil
	}
	if n.Kind == yaml.ScalarNode {
		name, ok := r.text(n)
		if !ok {
			return nil
		}
		return []material.Constituent{{INCI: name, Percent: quantity.Int(100)}}
	}
	m, ok := r.mapping(n, what, nil)
	if !ok {
		return nil
	}
	var all []material.Constituent
	sum := quantity.Number{}
	for _, f := range m.fields {
		p, ok := read(r.document, f.value, quantity.ParsePercent)
		if !ok {
			continue
		}
		sum = sum.Add(p)
		all = append(all, material.Constituent{INCI: f.name, Percent: p})
	}
	if sum.Cmp(quantity.Int(100)) > 0 {
		r.problems.Addf(r.span(n), "lower the percents", "the percents make %s %%, more than the whole", sum.Text(4))
	}
	return all
}

// parsePart reads a percentage that is a part of a whole.
func parsePart(s string) (quantity.Number, error) {
	p, err := quantity.ParsePercent(s)
	if err == nil && p.Cmp(quantity.Int(100)) > 0 {
		return p, &quantity.SyntaxError{Length: len(s), Message: "this is more than the whole", Hint: "write a percentage of at most 100 %"}
	}
	return p, err
}

// use reads one usage rate.
func (r *materialDraft) use(n *yaml.Node) {
	before := r.problems.Len()
	m, ok := r.mapping(n, "a usage rate", []string{"for", "from", "to", "source"})
	if !ok {
		return
	}
	known := append([]string{"all", "leave-on", "rinse-off"}, law.ProductNames()...)
	u := material.Use{Source: cmp.Or(m.words("source"), ownFigure)}
	u.For, _ = r.oneOf(m.need("for", "a usage rate", "write it as {for: leave-on, from: 0.5 %, to: 2 %}"), "kind of product", known)
	u.From, u.To = optional(r.document, m.get("from"), parsePart), optional(r.document, m.get("to"), parsePart)
	switch {
	case r.problems.Len() > before:
	case u.From == nil && u.To == nil:
		r.problems.Addf(r.span(n), "add from: or to:, such as to: 2 %", "the usage rate has no figure")
	case u.From != nil && u.To != nil && u.From.Cmp(*u.To) > 0:
		r.problems.Addf(r.span(n), "write the lower figure under from:", "the usage rate runs backwards")
	default:
		r.v.Uses = append(r.v.Uses, u)
	}
}

// fragrance reads what the supplier's certificate says.
func (r *materialDraft) fragrance() {
	n := r.m.get("fragrance")
	if n == nil {
		return
	}
	m, ok := r.mapping(n, "fragrance:", []string{"limits", "vanillin", "allergens"})
	if !ok {
		return
	}
	f := material.Fragrance{Known: true, Vanillin: optional(r.document, m.get("vanillin"), parsePart)}
	f.Allergens = r.percents(m.get("allergens"), "allergens:")
	if n := m.get("limits"); n != nil {
		if limits, ok := r.mapping(n, "limits:", nil); ok {
			for _, l := range limits.fields {
				if p, ok := read(r.document, l.value, parsePart); ok {
					f.Limits = append(f.Limits, material.Limit{Category: strings.ToUpper(l.name), Percent: p})
				}
			}
		}
	}
	r.v.Fragrance = f
}

// protects reads how well a preservative holds each kind of microbe.
func (r *materialDraft) protects() {
	n := r.m.get("protects")
	if n == nil {
		return
	}
	m, ok := r.mapping(n, "protects:", []string{"bacteria", "yeast", "mould"})
	if !ok {
		return
	}
	for _, f := range m.fields {
		if how, ok := r.oneOf(f.value, "degree of protection", []string{"good", "moderate", "weak"}); ok {
			r.v.Protects = append(r.v.Protects, material.Protection{Against: f.name, How: how})
		}
	}
}

// private reads what is for the maker's eyes only.
func (r *materialDraft) private() {
	r.v.Supplier = r.m.words("supplier")
	if n := r.m.get("price"); n != nil {
		r.v.Price = optional(r.document, n, func(s string) (material.Price, error) { return parsePrice(s, r.currency) })
	}
	for _, n := range r.list(r.m.get("lots")) {
		m, ok := r.mapping(n, "a lot", []string{"lot", "opened", "expires", "holds"})
		if !ok {
			continue
		}
		lot := material.Lot{}
		lot.Code, ok = r.text(m.need("lot", "a lot", "write it as {lot: C-104, opened: 2026-03-02, expires: 2028-03-01}"))
		for name, into := range map[string]*string{"opened": &lot.Opened, "expires": &lot.Expires} {
			if t := optional(r.document, m.get(name), parseDate); t != nil {
				*into = t.Format("2006-01-02")
			}
		}
		lot.Holds = optional(r.document, m.get("holds"), quantity.ParseMass)
		if ok {
			r.addLot(lot, r.span(m.get("lot")))
		}
	}
}

// addLot adds a lot, which no other of the ingredient's may be called as.
func (r *materialDraft) addLot(lot material.Lot, at problem.Span) {
	for code, first := range r.lots {
		if strings.EqualFold(code, lot.Code) {
			r.problems.Add(&problem.Problem{
				Span: at, Message: "the lot “" + lot.Code + "” stands here a second time", Hint: "make one of the two, or give each its own code",
				Notes: []problem.Note{{Span: first, Message: "the first one is here"}},
			})
			return
		}
	}
	if r.lots == nil {
		r.lots = make(map[string]problem.Span)
	}
	r.lots[lot.Code] = at
	r.v.Lots = append(r.v.Lots, lot)
}

// parsePrice reads 18.50 per 100 ml; the handbook's currency may stand with the money.
func parsePrice(s, currency string) (material.Price, error) {
	refused := &quantity.SyntaxError{
		Length: len(s), Message: "a price should stand here",
		Hint: "write it as 18.50 per 100 ml or 12 per kg; the currency is the one that handbook.yaml names under currency:",
	}
	money, per, found := strings.Cut(s, " per ")
	if !found {
		return material.Price{}, refused
	}
	money = bareMoney(strings.TrimSpace(money), currency)
	n, err := quantity.ParseNumber(money)
	if err != nil {
		return material.Price{}, refused
	}
	pack, err := quantity.ParseAmount(per)
	if err != nil {
		pack, err = quantity.ParseAmount("1 " + per)
	}
	if err != nil || pack.Kind != quantity.Weight && pack.Kind != quantity.Measure {
		return material.Price{}, refused
	}
	return material.Price{Money: n, Per: pack, Written: money + " per " + strings.Join(strings.Fields(per), " ")}, nil
}

// bareMoney takes the currency off a sum of money, before or after it.
func bareMoney(money, currency string) string {
	n := len(currency)
	switch {
	case n == 0 || len(money) <= n:
	case strings.EqualFold(money[len(money)-n:], currency):
		money = money[:len(money)-n]
	case strings.EqualFold(money[:n], currency):
		money = money[n:]
	}
	return strings.TrimSpace(money)
}

// claim sees that no two ingredients have the same name.
func claim(ingredients []*Ingredient, problems *problem.List) {
	taken := make(map[string]*Ingredient)
	for _, i := range ingredients {
		for _, name := range i.own {
			key := material.Key(name)
			if key == "" {
				continue // the name's own problem is told already
			}
			if first := taken[key]; first != nil && first != i {
				problems.Add(&problem.Problem{
					Span: i.names[key], Message: "“" + name + "” is the name of another ingredient too", Hint: "give them names that differ, or make one page of the two",
					Notes: []problem.Note{{Span: first.names[key], Message: "the other one is here"}},
				})
			}
			taken[key] = i
		}
	}
}

// top gives the first character of a page.
func (p *Page) top() problem.Span { return charAt(p.Source, 0) }
