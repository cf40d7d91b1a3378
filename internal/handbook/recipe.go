package handbook

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

var recipeFields = append([]string{
	"title", "product", "shelf", "keeps", "ph", "makes", "time", "rest", "tools", "formula", "soap", "batches", "fill", "variants", "splits", "label", "changes", "accept",
}, commonFields...)

// A recipeDraft is a recipe while it is read.
type recipeDraft struct {
	*draft
	h      *Handbook
	m      *mapping
	recipe Recipe
	names  map[string]problem.Span // of the versions so far
	doubt  bool                    // whether the formula needs what a faulty ingredient's page should say

	namesRead bool // whether names is whole, so that a version can be missed in it
}

// recipe reads a recipe's front matter and solves its formula. A recipe with problems is still given, for links to it.
func (h *Handbook) recipe(d *draft) *Recipe {
	r := &recipeDraft{draft: d, h: h}
	if d.front != nil {
		if m, ok := d.mapping(d.front, "a recipe", recipeFields); ok {
			r.m = m
			r.facts()
			r.formula()
			r.asked.doubt = r.doubt
			r.recipe.Changes = r.history()
			r.recipe.Accepts = r.accepts()
		}
	}
	recipe := r.recipe // a copy of its own, since a pointer into the draft would keep all that the draft was made from
	recipe.Page = d.page
	return &recipe
}

// facts reads what a recipe says beside its formula.
func (r *recipeDraft) facts() {
	d := r.document
	r.common(r.m, "title")
	r.picture(r.m, r.h)
	if s, ok := d.text(r.m.need("product", "the recipe", "add a line product: …, such as product: hand cream")); ok {
		p, known := law.FindProduct(s)
		if !known {
			d.problems.Addf(d.span(r.m.get("product")), law.SuggestProduct(s), "the product type “%s” is not known", s)
		}
		r.recipe.Product = p
	}
	r.shelf()
	r.recipe.Keeps = optional(d, r.m.get("keeps"), quantity.ParseDuration)
	r.recipe.PH = optional(d, r.m.get("ph"), parsePH)
	r.recipe.Time = optional(d, r.m.get("time"), quantity.ParseDuration)
	r.recipe.Rest = optional(d, r.m.get("rest"), quantity.ParseDuration)
	r.recipe.Tools = d.texts(r.m.get("tools"))
	if n := r.m.get("label"); n != nil {
		how, _ := d.oneOf(n, "way to label a soap", []string{asWeighed, asMade})
		r.recipe.AsMade = how == asMade
	}
}

// How a label names a soap: by what goes in, which is the default, or by what comes out.
const (
	asWeighed = "as weighed"
	asMade    = "as made"
)

// shelf reads the recipe's shelf. Where handbook.yaml lists shelves it must be one of them.
func (r *recipeDraft) shelf() {
	s, ok := r.text(r.m.need("shelf", "the recipe", "add a line shelf: …"))
	if !ok {
		return
	}
	is := func(shelf Shelf) bool { return shelf.Name == s }
	if !slices.ContainsFunc(r.h.Shelves, is) {
		folded := material.Key(s)
		is = func(shelf Shelf) bool { return material.Key(shelf.Name) == folded }
	}
	if i := slices.IndexFunc(r.h.Shelves, is); i >= 0 {
		r.recipe.Shelf = r.h.Shelves[i].Name
		return
	}
	if !r.h.settingsRead || len(r.h.Shelves) == 0 { // none are listed: the recipes' own names are the shelves
		r.recipe.Shelf = s
		return
	}
	names := make([]string, len(r.h.Shelves))
	for i, shelf := range r.h.Shelves {
		names[i] = shelf.Name
	}
	r.problems.Addf(r.span(r.m.get("shelf")), spell.DidYouMean(s, names, "add it to shelves: in "+settingsFile), "there is no shelf “%s”", s)
}

func parsePH(s string) (quantity.Interval, error) {
	v, err := quantity.ParseInterval(s)
	if err == nil && v.High.Cmp(quantity.Int(14)) > 0 {
		return v, &quantity.SyntaxError{Length: len(s), Message: "a pH lies between 0 and 14", Hint: "write it as 5.5 or 5.0–5.5"}
	}
	return v, err
}

// accepts reads the findings that the maker lets through, each with a reason.
func (r *recipeDraft) accepts() []check.Acceptance {
	var all []check.Acceptance
	for _, n := range r.list(r.m.get("accept")) {
		m, ok := r.mapping(n, "an accepted finding", []string{"finding", "because", "about", "version"})
		if !ok {
			continue
		}
		code, ok := r.oneOf(m.need("finding", "an accepted finding", "write it as {finding: below-scale, because: …}"), "finding's code", check.Codes())
		because, given := r.text(m.need("because", "an accepted finding", "say why it is accepted: because: …"))
		version := r.versionNamed(m)
		if ok && given {
			all = append(all, check.Acceptance{Code: code, Because: because, About: m.words("about"), Version: version, At: r.span(n)})
		}
	}
	return all
}

// versionNamed reads the version that an accepted finding is of, "" for all.
func (r *recipeDraft) versionNamed(m *mapping) string {
	name := m.words("version")
	known := []string{string(formula.Base)}
	for key := range r.names {
		known = append(known, key)
	}
	slices.Sort(known)
	if name != "" && r.namesRead && !slices.Contains(known, material.Key(name)) {
		r.problems.Addf(r.span(m.get("version")), spell.DidYouMean(name, known, "the versions are "+strings.Join(known, ", ")), "there is no version “%s”", name)
	}
	return name
}

// formula reads the formula with its batches, fills and versions, and solves what is read whole: a mistake is not to be
// told again as its consequences.
func (r *recipeDraft) formula() {
	before := r.problems.Len()
	n := r.m.need("formula", "the recipe", "add formula: with its phases")
	f := formula.Formula{Phases: r.phases(n), At: r.char(r.span(r.m.node).Start)}
	if n != nil {
		f.At = r.keySpan("formula")
	}
	if makes := optional(r.document, r.m.get("makes"), quantity.ParseMass); makes != nil {
		f.Makes = *makes
	}
	lye := r.soap()
	whole := n != nil && r.problems.Len() == before
	r.recipe.Batches = r.document.batches(r.m.get("batches"))
	if r.m.get("batches") == nil {
		r.recipe.Batches = r.h.Batches
	}
	r.recipe.Fills = r.fills()
	named := r.problems.Len()
	variants, splits := r.variants(), r.splits()
	r.namesRead = r.problems.Len() == named
	if whole && !r.doubt {
		r.solve(f, lye, variants, splits)
	}
	if r.problems.Len() > before {
		r.recipe.Versions = nil
	}
}

// keySpan gives where a field's name stands.
func (r *recipeDraft) keySpan(name string) problem.Span {
	for _, f := range r.m.fields {
		if f.name == name {
			return r.span(f.key)
		}
	}
	return r.whole()
}

// solve makes the versions and, if all is well, sees that every batch can be had in at least one of them.
func (r *recipeDraft) solve(f formula.Formula, lye *lye, variants []formula.Variant, splits []formula.Split) {
	before := r.problems.Len()
	version := func(v *formula.Version, problems *problem.List) *formula.Version {
		r.problems.Join(problems)
		if v != nil && lye != nil {
			return lye.wet(v, f.Makes)
		}
		return v
	}
	base := version(formula.Solve(f))
	if base == nil {
		return
	}
	versions := []*formula.Version{base}
	for _, variant := range variants {
		if v := version(formula.Vary(f, variant)); v != nil {
			versions = append(versions, v)
		}
	}
	divided, problems := formula.Divide(base, splits)
	r.problems.Join(problems)
	r.recipe.Versions = append(versions, divided...)
	if r.namesRead && r.problems.Len() == before {
		r.batchMaterials()
	}
}

// batchMaterials refuses a batch that would use up what no version has.
func (r *recipeDraft) batchMaterials() {
	for _, b := range r.recipe.Batches {
		if b.Material == "" {
			continue
		}
		var first error
		had := false
		for _, v := range r.recipe.Versions {
			_, err := v.Size(b.Batch, r.recipe.Fills)
			had = had || err == nil
			if first == nil {
				first = err
			}
		}
		if sizing, ok := first.(*formula.SizeError); ok && !had { //nolint:errorlint // Size gives this type alone
			r.problems.Addf(b.At, sizing.Hint, "%s", sizing.Message)
		}
	}
}

// fills reads what the containers take.
func (r *recipeDraft) fills() []formula.Fill {
	var all []formula.Fill
	for _, n := range r.list(r.m.get("fill")) {
		m, ok := r.mapping(n, "a fill", []string{"container", "takes", "loss", "density", "costs"})
		if !ok {
			continue
		}
		f, ok := r.fill(m)
		if ok && slices.ContainsFunc(all, func(g formula.Fill) bool { return material.Key(g.Container) == material.Key(f.Container) }) {
			r.problems.Addf(r.span(m.get("container")), "keep one of the two", "the container “%s” stands here a second time", f.Container)
		}
		if ok {
			all = append(all, f)
		}
	}
	return all
}

func (r *recipeDraft) fill(m *mapping) (formula.Fill, bool) {
	name, ok := r.text(m.need("container", "a fill", "write it as {container: 60 ml jar, takes: 52 g, loss: 3 %}"))
	f := formula.Fill{Container: name}
	if loss := optional(r.document, m.get("loss"), quantity.ParsePercent); loss != nil {
		f.Loss = *loss
	}
	if f.Loss.Cmp(quantity.Int(100)) >= 0 {
		r.problems.Addf(r.span(m.get("loss")), "write what stays behind in pots and pipes, such as 3 %", "a loss of 100 %% or more leaves nothing to fill")
		ok = false
	}
	if costs := optional(r.document, m.get("costs"), quantity.ParseNumber); costs != nil {
		if r.recipe.ContainerCosts == nil {
			r.recipe.ContainerCosts = make(map[string]quantity.Number)
		}
		r.recipe.ContainerCosts[name] = *costs
	}
	density := optional(r.document, m.get("density"), quantity.ParseDensity)
	takes := optional(r.document, m.get("takes"), quantity.ParseAmount)
	switch {
	case takes == nil:
		f.Unknown = "nothing says what a " + name + " takes"
	case takes.Kind == quantity.Weight:
		f.Takes = takes.Mass
	case takes.Kind == quantity.Measure && density != nil:
		f.Takes = takes.Volume.Weigh(*density)
	case takes.Kind == quantity.Measure:
		f.Unknown = "what a " + name + " takes is a volume (" + takes.Written + "), and the product's density is not given"
	default:
		r.problems.Addf(r.span(m.get("takes")), "write it as 52 g or 1.8 oz", "what a container takes is a weight or a volume")
		ok = false
	}
	return f, ok
}
