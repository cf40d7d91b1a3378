package site

import (
	"slices"
	"strconv"
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
)

// closing ends every page that carries a formula.
const closing = "Follow your local rules. Have products that you sell assessed by a qualified person where the law asks for it; this page is no safety assessment."

func (s *Build) recipe(r *handbook.Recipe) (any, error) {
	worked := s.told(r)
	v := &RecipeView{
		Frame: s.frame("recipe", recipePath(r), r.Title, r.Summary, Link{Text: s.Title, Href: homePath}, Link{Text: r.Shelf, Href: shelfPath(r.Shelf)}),
		Name:  r.Title, Summary: r.Summary, Product: r.Product.Name, Category: r.Product.Category, Access: access(&r.Page),
		Facts: recipeFacts(r), Tools: r.Tools, Caution: closing,
		Downloads: []Link{{Text: "weights.csv", Href: "weights.csv"}, {Text: "formula.json", Href: "formula.json"}},
	}
	v.Shelf = Link{Text: r.Shelf, Href: v.Root + shelfPath(r.Shelf)}
	v.Picture, v.Video, v.Changed = s.picture(&r.Page, v.Root), video(&r.Page), changed(r)
	v.Costs = s.costs(r)
	if len(worked) > 0 {
		v.Portions = NewPortionsView(worked[0], r.Splits())
		for i, b := range worked[0].Batches {
			v.Batches = append(v.Batches, BatchView{ID: batchID(i), Size: b.Written})
		}
	}
	copies, rules := labels(worked, s.tellsLabel)
	v.LabelRules = rules
	for i, w := range worked {
		v.Versions = append(v.Versions, s.version(r, w, i, v.Root))
		v.Versions[i].Labels = copies[i]
	}
	method, err := s.body(&r.Page, amountsOf(worked))
	v.Method = method
	return v, err
}

func batchID(i int) string { return "b" + strconv.Itoa(i+1) }

func versionID(i int) string { return "v" + strconv.Itoa(i+1) }

func recipeFacts(r *handbook.Recipe) []Fact {
	var facts []Fact
	if r.Time != nil {
		facts = fact(facts, "Working time", r.Time.String(), "")
	}
	if r.Rest != nil {
		facts = fact(facts, "Then rests", r.Rest.String(), "")
	}
	if r.Keeps != nil {
		facts = fact(facts, "Keeps", r.Keeps.String(), "")
	}
	if r.PH != nil {
		facts = fact(facts, "pH", phText(*r.PH), "")
	}
	if r.Updated != nil {
		facts = fact(facts, "Updated", day(r.Updated), "")
	}
	return facts
}

// versionName gives a version's name as readers see it.
func versionName(v *formula.Version) string {
	if v.Kind == formula.Base {
		return "As written"
	}
	return v.Name
}

func (s *Build) version(r *handbook.Recipe, w handbook.Worked, i int, root string) VersionView {
	v := w.Version
	view := VersionView{ID: versionID(i), Name: versionName(v), Kind: string(v.Kind), Note: v.Note}
	if v.Kind == formula.VariantKind {
		view.Changes = changes(s.Worked(r)[0].Version, v)
	}
	if v.Kind == formula.SplitKind {
		view.Changes = append(view.Changes, "The weights are for making this version alone. To divide one pot, choose “As written” and see “Divide”.")
	}
	view.Changes = append(view.Changes, v.Remarks...)
	for _, f := range w.Findings {
		view.Findings = append(view.Findings, findingView(f))
	}
	table := NewFormulaView(r, w, func(id string) string { return s.materialHref(id, root) })
	table.ID = view.ID
	view.Formula = drawFormula(table)
	if lye := NewLyeView(w, func(id string) string { return s.materialHref(id, root) }); lye != nil && !s.keepsSums(w) {
		lye.ID = view.ID
		view.Lye = drawLye(lye)
	}
	view.MakeUp = drawMakeUp(v)
	view.Rates = drawRates(s.rates(w.Subject))
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
func changes(base, v *formula.Version) []string {
	var words []string
	for _, item := range v.Items {
		at := base.Find(nameIn(base, item))
		switch {
		case item.Was != "":
			words = append(words, item.Name+" in place of "+item.Was)
		case len(at) == 0:
			words = append(words, item.Name+" "+item.Amount.Written+", added")
		case base.Items[at[0]].Amount.Written != item.Amount.Written:
			words = append(words, item.Name+" "+base.Items[at[0]].Amount.Written+" → "+item.Amount.Written)
		}
	}
	for _, item := range base.Items {
		if len(v.Find(nameIn(v, item))) == 0 {
			words = append(words, "without "+item.Name)
		}
	}
	return words
}

// nameIn gives the name that finds an item in a version, with its phase where the name alone stands for several.
func nameIn(v *formula.Version, item formula.Item) string {
	if len(v.Find(item.Name)) < 2 || item.Phase >= len(v.Phases) {
		return item.Name
	}
	return item.Name + " in " + v.Phases[item.Phase].Name
}

// phaseHeat says in words how hot a phase is.
func phaseHeat(p formula.Phase) string {
	var words []string
	if p.Heat != nil {
		words = append(words, "heat to "+p.Heat.Both())
	}
	if p.Below != nil {
		words = append(words, "below "+p.Below.Both())
	}
	return strings.Join(words, ", ")
}
