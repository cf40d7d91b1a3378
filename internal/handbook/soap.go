package handbook

import (
	"errors"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
	"larkrow.example/stillroom/internal/spell"
)

// A lye is a recipe's soap: block, and what its lye is made of.
type lye struct {
	*recipeDraft
	m       *mapping
	block   soap.Block
	alkalis []formula.Ingredient // one an alkali of the block
	water   formula.Ingredient
	at      problem.Span   // of the block's name
	uses    []problem.Span // where each alkali is written
	waterAt problem.Span
}

// soap reads the soap: block; nil where there is none, or one with a problem.
func (r *recipeDraft) soap() *lye {
	n := r.m.get("soap")
	if n == nil {
		return nil
	}
	before := r.problems.Len()
	m, ok := r.mapping(n, "soap:", []string{"alkali", "purity", "superfat", "water", "solution"})
	if !ok {
		return nil
	}
	l := &lye{recipeDraft: r, m: m, at: r.keySpan("soap")}
	l.readAlkalis()
	l.readPurities()
	l.readSuperfat()
	l.readWater()
	if r.problems.Len() > before {
		return nil
	}
	l.findWater()
	if r.problems.Len() > before {
		return nil
	}
	block := l.block // a copy of its own, as a recipe is
	r.recipe.Lye = &block
	return l
}

// readAlkalis reads one alkali by name, or several with the share of the fat that each saponifies.
func (l *lye) readAlkalis() {
	n := l.m.need("alkali", "soap:", "name it: alkali: sodium hydroxide")
	if n == nil {
		return
	}
	if n.Kind == yaml.ScalarNode {
		if name, ok := l.text(n); ok {
			l.use(name, n, quantity.Int(100))
		}
		return
	}
	before := l.problems.Len()
	m, ok := l.mapping(n, "alkali:", nil)
	if !ok {
		return
	}
	sum := quantity.Number{}
	for _, f := range m.fields {
		share, ok := read(l.document, f.value, parseFatShare)
		if l.use(f.name, f.key, share) && ok {
			sum = sum.Add(share)
		}
	}
	if l.problems.Len() == before && !l.doubt && sum.Cmp(quantity.Int(100)) != 0 {
		l.problems.Addf(l.span(n), "let the shares of the fat make 100 %", "the alkalis share out %s %% of the fat", sum.Text(4))
	}
}

// parseFatShare reads the part of the fat that an alkali saponifies.
func parseFatShare(s string) (quantity.Number, error) {
	p, err := parsePart(s)
	if err == nil && p.Sign() == 0 {
		err = &quantity.SyntaxError{Length: len(s), Message: "an alkali that saponifies nothing has no part in the soap", Hint: "give it a share above 0 %, or leave it out"}
	}
	return p, err
}

// use takes an alkali by its name, pure until the block says otherwise.
func (l *lye) use(name string, n *yaml.Node, share quantity.Number) bool {
	a, ok := l.alkali(name, n)
	if !ok {
		return false
	}
	i, ok := l.ingredientNamed(func(m *material.Material) bool { return holds(m, a) }, string(a), strings.ReplaceAll(string(a), " ", "-"))
	if !ok && !l.doubt {
		l.problems.Addf(l.span(n), "let one ingredient's page be named so, with inci: {"+capital(string(a))+": 100 %}", "no one ingredient of this handbook is %s by its name and its inci:", a)
	}
	if !ok {
		return false
	}
	l.block.Alkalis = append(l.block.Alkalis, soap.Use{Alkali: a, Share: share, Purity: quantity.Int(100)})
	l.alkalis = append(l.alkalis, i)
	l.uses = append(l.uses, l.span(n))
	return true
}

// alkali finds an alkali by its name.
func (l *lye) alkali(name string, n *yaml.Node) (soap.Alkali, bool) {
	a, ok := soap.FindAlkali(name)
	if !ok {
		var known []string
		for _, a := range soap.Alkalis() {
			known = append(known, string(a))
		}
		l.problems.Addf(l.span(n), spell.DidYouMean(name, known, "it can be: "+strings.Join(known, ", ")), "“%s” is no alkali that makes soap", name)
	}
	return a, ok
}

// holds says whether a material is, or has in it, an alkali.
func holds(m *material.Material, a soap.Alkali) bool {
	return slices.ContainsFunc(m.Composition, func(c material.Constituent) bool {
		found, ok := soap.FindAlkali(c.INCI)
		return ok && found == a
	})
}

// readPurities reads how much of each alkali is alkali.
func (l *lye) readPurities() {
	n := l.m.get("purity")
	if n == nil {
		return
	}
	m, ok := l.mapping(n, "purity:", nil)
	if !ok {
		return
	}
	for _, f := range m.fields {
		a, known := l.alkali(f.name, f.key)
		i := slices.IndexFunc(l.block.Alkalis, func(u soap.Use) bool { return u.Alkali == a })
		p, ok := read(l.document, f.value, parsePurity)
		switch {
		case !known || !ok:
		case i >= 0:
			l.block.Alkalis[i].Purity = p
		case len(l.block.Alkalis) > 0:
			l.problems.Addf(l.span(f.key), "take the line out, or name it under alkali: too", "%s is not among the soap's alkalis", a)
		}
	}
}

func parsePurity(s string) (quantity.Number, error) {
	p, err := parsePart(s)
	if err == nil && p.Sign() == 0 {
		err = &quantity.SyntaxError{Length: len(s), Message: "an alkali of 0 % has no alkali in it", Hint: "write the certificate's figure, such as 98 %"}
	}
	return p, err
}

func (l *lye) readSuperfat() {
	l.block.Superfat, _ = read(l.document, l.m.need("superfat", "soap:", "say how much of the alkali is left out: superfat: 5 %"), parseSuperfat)
}

func parseSuperfat(s string) (quantity.Number, error) {
	p, err := quantity.ParsePercent(s)
	if err == nil && p.Cmp(quantity.Int(100)) >= 0 {
		err = &quantity.SyntaxError{Length: len(s), Message: "a superfat of 100 % or more leaves no alkali", Hint: "write the part of the alkali that is left out, such as 5 %"}
	}
	return p, err
}

// readWater reads the water: so much for each part of alkali, or what makes a lye of so many percent.
func (l *lye) readWater() {
	water, solution := l.m.get("water"), l.m.get("solution")
	const hint = "write water: 2 per 1 (water for each part of alkali) or solution: 33 % (alkali in the lye)"
	switch {
	case water != nil && solution != nil:
		l.problems.Addf(l.span(solution), "keep one of the two", "water: and solution: both say how strong the lye is")
	case water != nil:
		l.block.Water, _ = read(l.document, water, parseWater)
		l.waterAt = l.span(water)
	case solution != nil:
		l.block.Water, _ = read(l.document, solution, parseSolution)
		l.waterAt = l.span(solution)
	case !l.m.slips["water"] && !l.m.slips["solution"]:
		l.problems.Addf(l.at, hint, "soap: does not say how much water the lye has")
	}
}

// parseWater reads the water for 1 of alkali: 2 per 1.
func parseWater(s string) (quantity.Number, error) {
	a, err := quantity.ParseAmount(s)
	if err != nil || a.Kind != quantity.OnTop || a.NeedsDensity() || a.Number.Sign() <= 0 {
		return quantity.Number{}, &quantity.SyntaxError{Length: len(s), Message: "“" + s + "” does not say how much water goes with the alkali", Hint: "write it as 2 per 1, water for each part of alkali by weight"}
	}
	return a.Number, nil
}

// parseSolution reads the percent of alkali in the lye, and gives the water for 1 of alkali.
func parseSolution(s string) (quantity.Number, error) {
	p, err := quantity.ParsePercent(s)
	if err != nil {
		return p, err
	}
	water, err := soap.WaterFor(p)
	if err != nil {
		return water, &quantity.SyntaxError{Length: len(s), Message: "a lye cannot be " + p.Text(4) + " % alkali", Hint: "write the alkali's percent of alkali and water, such as 33 %"}
	}
	return water, nil
}

// findWater finds the ingredient that the lye's water is.
func (l *lye) findWater() {
	i, ok := l.ingredientNamed(func(m *material.Material) bool { return m.Has("water") }, "distilled water", "distilled-water", "water")
	if !ok && !l.doubt {
		l.problems.Addf(l.waterAt, "let one ingredient's page be named Distilled water, with role: water", "no one ingredient of this handbook is distilled water by its name and its role:")
	}
	l.water = i
}

// ingredientNamed finds the first of some names, or of the catalogue's ids, that is what is wanted. Where it is none, and a page with
// problems may be it, the formula is in doubt.
func (l *lye) ingredientNamed(wanted func(*material.Material) bool, names ...string) (formula.Ingredient, bool) {
	for _, name := range names {
		m := l.find(name)
		if m == nil {
			if entry := material.Common().ByID(name); entry != nil {
				m = l.find(entry.Name)
			}
		}
		if m != nil && wanted(m) {
			return l.ingredient(m.Name), true
		}
		l.doubt = l.doubt || l.h.doubtful[""] || m != nil && l.h.doubtful[m.ID]
	}
	return formula.Ingredient{}, false
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// wet gives a version with the lye for its fats in a phase of its own before the others; nil where there is none for it.
func (l *lye) wet(dry *formula.Version, makes quantity.Mass) *formula.Version {
	materials := l.h.materialsOf(dry)
	if l.listed(dry, materials) {
		return nil
	}
	mix := soap.Read(dry, materials, nil)
	result, err := soap.Solve(l.block, mix.Fats)
	if unsure := mix.Unsure(l.h.Materials); unsure != nil {
		err = unsure
	}
	if err != nil {
		l.explain(err, dry, materials)
		return nil
	}
	lines := result.Lines(soap.Inside(dry), l.alkalis, l.water)
	for i, at := range append(slices.Clone(l.uses), l.waterAt) {
		lines[i].At = at
	}
	phase := formula.Phase{Name: "Lye", Note: "Alkali into water, never water on to alkali.", Lines: lines, At: l.at}
	v, problems := formula.Solve(formula.Formula{Phases: append([]formula.Phase{phase}, dry.Phases...), Makes: makes, At: dry.At})
	l.problems.Join(problems)
	if v != nil {
		v.Name, v.Kind, v.Note, v.At = dry.Name, dry.Kind, dry.Note, dry.At
	}
	return v
}

// listed refuses an alkali that stands in the formula beside the one that is worked out.
func (l *lye) listed(dry *formula.Version, materials []*material.Material) bool {
	found := false
	for i, m := range materials {
		if m != nil && slices.ContainsFunc(soap.Alkalis(), func(a soap.Alkali) bool { return holds(m, a) }) {
			found = true
			l.problems.Add(&problem.Problem{
				Span: dry.Items[i].At, Message: dry.Items[i].Name + " stands in the formula, and soap: works the alkali out from the fats",
				Hint:  "take the line out of the formula; or take soap: out, and the superfat of this weight is worked out",
				Notes: []problem.Note{{Span: l.at, Message: "soap: is here"}},
			})
		}
	}
	return found
}

// explain tells why the lye cannot be worked out, each fault at what it is about. What a page with problems of its own may say is not missed.
func (l *lye) explain(err error, dry *formula.Version, materials []*material.Material) {
	var faults soap.Faults
	if !errors.As(err, &faults) {
		l.problems.Addf(l.at, "see how the other pages write it", "%v", err)
		return
	}
	for _, f := range faults {
		at, told := dry.At, f.Subject == "fats" && slices.Contains(materials, nil) && l.h.doubtful[""]
		if dry.Kind == formula.Base {
			at = l.at
		}
		for _, i := range dry.Find(f.Subject) {
			if m := materials[i]; m == nil && l.h.doubtful[""] || m != nil && l.h.doubtful[m.ID] {
				told = true
			}
			at = dry.Items[i].At
		}
		if l.doubt = l.doubt || told; !told {
			l.problems.Addf(at, f.Hint, "the lye cannot be worked out: %s", f.Message)
		}
	}
}
