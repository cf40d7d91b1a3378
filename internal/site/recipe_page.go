package site

import (
	"slices"
	"strconv"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/words"
)

func (s *Build) recipe(r *handbook.Recipe) (any, error) {
	worked := s.told(r)
	v := &RecipeView{
		Frame: s.frame("recipe", recipePath(r), r.Title, r.Summary, Link{Text: s.Title, Href: homePath}, Link{Text: r.Shelf, Href: shelfPath(r.Shelf)}),
		Name:  r.Title, Summary: r.Summary, Product: named(s.words, "product", r.Product.Name), Category: named(s.words, "category", r.Product.Category), Access: access(&r.Page),
		Facts: recipeFacts(r, s.words), Tools: r.Tools, Caution: s.words.Say("recipe.closing"),
		Downloads: []Link{{Text: "weights.csv", Href: "weights.csv"}, {Text: "formula.json", Href: "formula.json"}},
	}
	v.Shelf = Link{Text: r.Shelf, Href: v.Root + shelfPath(r.Shelf)}
	v.Picture, v.Video, v.Changed = s.picture(&r.Page, v.Root), video(&r.Page), changed(r, s.words)
	v.Costs, v.Made = s.costs(r), s.batchesOf(r, v.Root)
	if len(worked) > 0 {
		v.Portions = newPortionsView(worked[0], r.Splits(), s.words)
		for i, b := range worked[0].Batches {
			v.Batches = append(v.Batches, BatchView{ID: batchID(i), Size: b.Written})
		}
	}
	v.Weighing = drawWeighData(worked, s.secret)
	copies, rules := labels(worked, s.copies(r), s.tellsLabel, s.responsible)
	v.LabelRules = rules
	for i, w := range worked {
		v.Versions = append(v.Versions, s.version(r, w, i, v.Root))
		v.Versions[i].Labels = copies[i]
	}
	method, err := s.body(&r.Page, amountsOf(worked, s.words))
	v.Method = method
	s.tell(&v.Frame, &r.Page)
	if v.Public() {
		v.Things = append(v.Things, s.howTo(v, r, worked))
	}
	return v, err
}

func batchID(i int) string { return "b" + strconv.Itoa(i+1) }

func versionID(i int) string { return "v" + strconv.Itoa(i+1) }

func recipeFacts(r *handbook.Recipe, l *words.Language) []Fact {
	var facts []Fact
	if r.Time != nil {
		facts = fact(facts, l.Say("recipe.time"), lasting(l, *r.Time), "")
	}
	if r.Rest != nil {
		facts = fact(facts, l.Say("recipe.rest"), lasting(l, *r.Rest), "")
	}
	if r.Keeps != nil {
		facts = fact(facts, l.Say("recipe.keeps"), lasting(l, *r.Keeps), "")
	}
	if r.PH != nil {
		facts = fact(facts, l.Say("recipe.ph"), l.Figures(phText(*r.PH)), "")
	}
	if r.Updated != nil {
		facts = fact(facts, l.Say("page.updated"), l.Date(*r.Updated), "")
	}
	return facts
}

// versionName gives a version's name as readers see it.
func versionName(v *formula.Version, l *words.Language) string {
	return namedVersion(v.Kind, v.Name, l)
}

func namedVersion(kind formula.VersionKind, name string, l *words.Language) string {
	if kind == formula.Base {
		return l.Say("recipe.as-written")
	}
	return name
}

func (s *Build) version(r *handbook.Recipe, w handbook.Worked, i int, root string) VersionView {
	v := w.Version
	view := VersionView{ID: versionID(i), Name: versionName(v, s.words), Kind: string(v.Kind), Note: v.Note}
	if v.Kind == formula.VariantKind {
		view.Changes = changes(s.Worked(r)[0].Version, v, s.words)
	}
	if v.Kind == formula.SplitKind {
		view.Changes = append(view.Changes, s.words.Say("recipe.alone"))
	}
	view.Changes = append(view.Changes, v.Remarks...)
	for _, f := range w.Findings {
		view.Findings = append(view.Findings, findingView(f))
	}
	table := newFormulaView(r, w, func(id string) string { return s.materialHref(id, root) }, s.words)
	table.ID = view.ID
	view.Formula = drawFormula(table)
	if lye := newLyeView(w, func(id string) string { return s.materialHref(id, root) }, s.words); lye != nil && !s.keepsSums(w) {
		lye.ID = view.ID
		view.Lye = drawLye(lye)
	}
	view.MakeUp = drawMakeUp(v, s.words)
	view.Rates = drawRates(s.rates(w.Subject), s.words)
	view.Checked = true
	return view
}

// findingView gives a finding as readers see it.
func findingView(f check.Finding) FindingView {
	return FindingView{
		Code: f.Code, Level: string(f.Level), Subject: f.Subject, Message: f.Message, Mend: f.Mend, Source: f.Source, Market: f.Market, Accepted: f.Accepted,
	}
}

// rates gives where the rates lie of the materials that this edition may tell of.
func (s *Build) rates(subject *check.Subject) []check.Rate {
	return slices.DeleteFunc(check.Rates(subject), func(r check.Rate) bool { return s.secret[r.Material] })
}

// changes says in words how a variant differs from the base.
func changes(base, v *formula.Version, l *words.Language) []string {
	var all []string
	for _, item := range v.Items {
		at := base.Find(nameIn(base, item))
		switch {
		case item.Was != "":
			all = append(all, l.Say("change.instead", "name", item.Name, "was", item.Was))
		case len(at) == 0:
			all = append(all, l.Say("change.added", "what", item.Name+" "+item.Amount.Written))
		case base.Items[at[0]].Amount.Written != item.Amount.Written:
			all = append(all, item.Name+" "+base.Items[at[0]].Amount.Written+" → "+item.Amount.Written)
		}
	}
	for _, item := range base.Items {
		if len(v.Find(nameIn(v, item))) == 0 {
			all = append(all, l.Say("change.without", "name", item.Name))
		}
	}
	return all
}

// nameIn gives the name that finds an item in a version, with its phase where the name alone stands for several.
func nameIn(v *formula.Version, item formula.Item) string {
	if len(v.Find(item.Name)) < 2 || item.Phase >= len(v.Phases) {
		return item.Name
	}
	return item.Name + " in " + v.Phases[item.Phase].Name
}

// phaseHeat says in words how hot a phase is.
func phaseHeat(p *formula.Phase, l *words.Language) string {
	if p.Heat == nil && p.Below == nil {
		return ""
	}
	var all []string
	if p.Heat != nil {
		all = append(all, l.Say("formula.heat", "temperature", p.Heat.Both()))
	}
	if p.Below != nil {
		all = append(all, l.Say("formula.below", "temperature", p.Below.Both()))
	}
	return l.Commas(all)
}
