package binder

import (
	"html/template"
	"slices"
	"strconv"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/site"
)

// A recipeLeaf is a recipe's sheet.
type recipeLeaf struct {
	*site.RecipeView
	ID    string
	Opens *site.ShelfOf // the shelf that begins with it, nil for the others
	Halt  bool          // a version of it is not for use as written
	Parts []part
	Sizes string // of the batches, as the amounts in the method follow one another
	Cost  *costs
}

// A part is a version of a recipe.
type part struct {
	site.VersionView
	ID       string
	Tables   []*site.FormulaView // the batches, as many as fit across the paper in each
	Declared []string            // substances to be named on the label because of their amount
}

func (b *Binder) recipe(r *handbook.Recipe) (*recipeLeaf, error) {
	v, err := b.build.ViewRecipe(r)
	if err != nil {
		return nil, err
	}
	leaf := &recipeLeaf{RecipeView: v, ID: b.ids[&r.Page]}
	worked := b.build.Worked(r)
	if v.Method, err = b.build.MethodOnPaper(r, worked); err == nil {
		v.Method, err = b.gathered(v.Method, leaf.ID)
	}
	if err != nil {
		return nil, err
	}
	for i, w := range worked {
		p, err := b.part(r, w, v.Versions[i], leaf.ID)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			p.onlyNew(&leaf.Parts[0])
		}
		leaf.Halt = leaf.Halt || p.Stopped()
		leaf.Parts = append(leaf.Parts, p)
	}
	for i := range v.Changed {
		for k := range v.Changed[i].Lines {
			line := &v.Changed[i].Lines[k]
			line.How = inWords([]string{line.How})[0]
		}
	}
	leaf.Sizes, leaf.Cost = sizes(v.Batches), newCosts(v.Costs)
	return leaf, nil
}

// sizes names the batches in the order of the amounts in a method.
func sizes(batches []site.BatchView) string {
	var words []string
	for _, b := range batches {
		words = append(words, b.Size)
	}
	return strings.Join(words, " / ")
}

// part gives a version as printed, under the recipe's id.
func (b *Binder) part(r *handbook.Recipe, w handbook.Worked, v site.VersionView, id string) (part, error) {
	p := part{VersionView: v, ID: id + "-" + v.ID}
	table := b.build.Table(r, w)
	for i := range table.Phases {
		for k := range table.Phases[i].Rows {
			row := &table.Phases[i].Rows[k]
			row.Href = b.leads(row.Href, id)
		}
	}
	p.Tables = divided(table, b.options.Paper.batches)
	lye, err := b.gathered(v.Lye, id)
	if p.Base() { // it has no heading of its own above the sum's, and no level may be left out
		lye = template.HTML(strings.NewReplacer("<h4 ", "<h3 ", "</h4>", "</h3>").Replace(string(lye)))
	}
	p.Lye = lye
	p.Changes = inWords(v.Changes)
	p.Findings = nil
	for _, f := range v.Findings {
		if f.Code == "allergen-to-declare" {
			p.Declared = appendNew(p.Declared, f.Subject)
			continue
		}
		p.Findings = append(p.Findings, f)
	}
	return p, err
}

// inWords writes out the arrow that the theme's fonts do not have.
func inWords(changes []string) []string {
	all := slices.Clone(changes)
	for i := range all {
		all[i] = strings.ReplaceAll(all[i], " → ", ", now ")
	}
	return all
}

func appendNew(all []string, s string) []string {
	if slices.Contains(all, s) {
		return all
	}
	return append(all, s)
}

// onlyNew leaves out of a version what the base says in the same words.
func (p *part) onlyNew(base *part) {
	p.Findings = slices.DeleteFunc(p.Findings, func(f site.FindingView) bool {
		return slices.ContainsFunc(base.Findings, func(g site.FindingView) bool {
			return f.Code == g.Code && f.Message == g.Message && f.Accepted == g.Accepted
		})
	})
	if slices.Equal(p.Declared, base.Declared) {
		p.Declared = nil
	}
	var labels []site.LabelView
	for _, l := range p.Labels {
		for _, of := range base.Labels {
			if of.Market == l.Market {
				l.Contents, l.Lines = newLines(l.Contents, of.Contents), newLines(l.Lines, of.Lines)
				l.Warnings = newLines(l.Warnings, of.Warnings)
				l.Notes = slices.DeleteFunc(slices.Clone(l.Notes), func(s string) bool { return slices.Contains(of.Notes, s) })
				if l.Ingredients != of.Ingredients || len(l.Contents)+len(l.Lines)+len(l.Warnings)+len(l.Notes) > 0 {
					labels = append(labels, l)
				}
			}
		}
	}
	p.Labels = labels
}

func newLines(all, of []site.LabelLine) []site.LabelLine {
	return slices.DeleteFunc(slices.Clone(all), func(l site.LabelLine) bool { return slices.Contains(of, l) })
}

// Split says whether the version is a part of the pot that is made as written: the table of how the pot is divided has its weights.
func (p *part) Split() bool { return p.Kind == string(formula.SplitKind) }

// Base says whether the version is the recipe as written.
func (p *part) Base() bool { return p.Kind == string(formula.Base) }

// Stopped says whether the version is not for use as written.
func (p *part) Stopped() bool { return len(p.Stops()) > 0 }

// Stops gives the findings that keep a version from being used.
func (p *part) Stops() []site.FindingView {
	return slices.DeleteFunc(slices.Clone(p.Findings), func(f site.FindingView) bool { return f.Level != "stop" || f.Accepted != "" })
}

// Care gives the other findings.
func (p *part) Care() []site.FindingView {
	return slices.DeleteFunc(slices.Clone(p.Findings), func(f site.FindingView) bool { return f.Level == "stop" && f.Accepted == "" })
}

// divided parts a table into several, each with as many batches as fit. Batches that the version cannot be made in stand in none.
func divided(v *site.FormulaView, most int) []*site.FormulaView {
	var had []int
	for j, b := range v.Batches {
		if b.Missing == "" {
			had = append(had, j)
		}
	}
	var all []*site.FormulaView
	for some := range slices.Chunk(had, most) {
		all = append(all, columns(v, some))
	}
	if all == nil {
		all = append(all, columns(v, nil)) // percents alone
	}
	return all
}

// columns gives a table with some of its batches.
func columns(v *site.FormulaView, batches []int) *site.FormulaView {
	t := *v
	t.Batches, t.Phases = nil, slices.Clone(v.Phases)
	for _, j := range batches {
		t.Batches = append(t.Batches, v.Batches[j])
	}
	for i := range t.Phases {
		p := &t.Phases[i]
		p.Totals, p.Rows = weightsOf(p.Totals, batches), slices.Clone(p.Rows)
		for k := range p.Rows {
			p.Rows[k].Weights = weightsOf(p.Rows[k].Weights, batches)
		}
	}
	return &t
}

func weightsOf(all []site.WeightView, batches []int) []site.WeightView {
	var some []site.WeightView
	for _, j := range batches {
		if j < len(all) {
			some = append(some, all[j])
		}
	}
	return some
}

// across counts the columns of a table with some batches.
func across(v *site.FormulaView, others int) string { return strconv.Itoa(len(v.Batches) + others) }

// versionID gives the id of a recipe's version: of its formula.
func (b *Binder) versionID(r *handbook.Recipe, k int) string {
	return b.ids[&r.Page] + "-v" + strconv.Itoa(k+1)
}
