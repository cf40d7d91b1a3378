package site

import (
	"html/template"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
)

// What is made for paper is drawn from the same views as the pages. Addresses in these lead from a folder two below the top, as on a recipe's
// page; Addressed finds what they lead to.

// PageRoot is what addresses within the handbook begin with on the page of a recipe, an ingredient or a note.
const PageRoot = "../../"

// A ShelfOf is a shelf with the edition's recipes, by title.
type ShelfOf struct {
	Name, About string
	Recipes     []*handbook.Recipe
}

// ShelfList gives the shelves that have recipes, in the handbook's order.
func (s *Build) ShelfList() []ShelfOf {
	var all []ShelfOf
	for _, p := range s.shelves() {
		all = append(all, ShelfOf{p.name, p.about, p.byTitle()})
	}
	return all
}

// IngredientList gives the edition's ingredients, those of the catalogue that its recipes take among them.
func (s *Build) IngredientList() []*handbook.Ingredient { return slices.Clone(s.ingredients) }

// NoteList gives the edition's notes by file.
func (s *Build) NoteList() []*handbook.Note { return slices.Clone(s.notes) }

// Initial gives the letter that a name stands under in a directory.
func Initial(name string) string { return initial(name) }

// ViewRecipe gives the view of a recipe's page.
func (s *Build) ViewRecipe(r *handbook.Recipe) (*RecipeView, error) {
	v, err := s.recipe(r)
	return v.(*RecipeView), err
}

// ViewIngredient gives the view of an ingredient's page.
func (s *Build) ViewIngredient(i *handbook.Ingredient) (*IngredientView, error) {
	v, err := s.ingredient(i)
	return v.(*IngredientView), err
}

// ViewNote gives the view of a note's page.
func (s *Build) ViewNote(n *handbook.Note) (*NoteView, error) {
	v, err := s.note(n)
	return v.(*NoteView), err
}

// ViewSheet gives the view of a recipe's page with a single version, in the batches that it was worked out in.
func (s *Build) ViewSheet(r *handbook.Recipe, w handbook.Worked) (*RecipeView, error) {
	v := &RecipeView{
		Frame: s.frame("recipe", recipePath(r), r.Title, r.Summary), Name: r.Title, Summary: r.Summary,
		Product: named(s.words, "product", r.Product.Name), Category: named(s.words, "category", r.Product.Category), Facts: recipeFacts(r, s.words), Tools: r.Tools, Caution: s.words.Say("recipe.closing"),
	}
	v.Versions = []VersionView{s.version(r, w, 0, v.Root)}
	sheet := []handbook.Worked{w}
	copies, _ := labels(sheet, copiesOf(sheet), s.tellsLabel, s.responsible)
	v.Versions[0].Labels = copies[0]
	if w.Version.Kind == formula.Base {
		v.Portions = newPortionsView(w, r.Splits(), s.words)
	}
	method, err := s.MethodOnPaper(r, sheet)
	v.Method = method
	return v, err
}

// Table gives a version's figures as its table shows them, with links to the pages of ingredients.
func (s *Build) Table(r *handbook.Recipe, w handbook.Worked) *FormulaView {
	return newFormulaView(r, w, func(id string) string { return s.materialHref(id, PageRoot) }, s.words)
}

// MethodOnPaper draws a recipe's body where nothing can be chosen: an amount is that of the first version in each of its batches, and after it
// stands what other versions take instead.
func (s *Build) MethodOnPaper(r *handbook.Recipe, worked []handbook.Worked) (template.HTML, error) {
	return s.body(&r.Page, func(name string) string { return amountOnPaper(worked, name) })
}

func amountOnPaper(worked []handbook.Worked, name string) string {
	if len(worked) == 0 {
		return ""
	}
	k := &ink{}
	first := amountsInWords(worked[0], name)
	k.part("span", "amount", first)
	for _, w := range worked[1:] {
		other := amountsInWords(w, name)
		if w.Version.Kind == formula.SplitKind || other == first {
			continue
		}
		k.raw(` <small class="instead">(`)
		k.text(w.Version.Name + ": " + other)
		k.raw(`)</small>`)
	}
	return string(k.html())
}

// amountsInWords gives what a name weighs in each batch of a version: "41.5 / 83 g", of a single batch "41.5 g (1.46 oz)".
func amountsInWords(w handbook.Worked, name string) string {
	items, also := amountItems(w, name)
	if len(items) == 0 {
		return "none"
	}
	var words []string
	for _, b := range w.Batches {
		if b.Missing != nil {
			words = append(words, "–") // keeps the others in the order of the batches
			continue
		}
		sum, places := weighed(&b, items)
		words = append(words, sum.Fixed(places))
	}
	switch {
	case len(words) == 0:
		return "as weighed" + also
	case len(words) == 1 && w.Batches[0].Missing == nil:
		sum, _ := weighed(&w.Batches[0], items)
		oz := quantity.Grams(sum).ReadOunces()
		return words[0] + " g (" + oz.Fixed(ouncePlaces(oz)) + " oz)" + also
	}
	return strings.Join(words, " / ") + " g" + also
}

// A UseOf is a version of a recipe that takes a material, with its percent in all lines together.
type UseOf struct {
	Recipe  *handbook.Recipe
	Number  int // of the version
	Name    string
	Kind    formula.VersionKind
	Percent string // "3 %"
}

// UsesOf lists where the edition's recipes take a material: the base of each, and the versions where the percent differs from that.
func (s *Build) UsesOf(material string) []UseOf {
	var all []UseOf
	for _, u := range s.usesAll()[material] {
		if s.has(&u.recipe.Page) {
			all = append(all, UseOf{u.recipe, u.number, u.version.Name, u.version.Kind, u.percent + " %"})
		}
	}
	return all
}

// An Addressed is what an address within the handbook leads to: a page, or the file of a picture.
type Addressed struct {
	Page    *handbook.Page
	Picture string
}

// Addresses gives what the edition's addresses lead to, each from the top of the output.
func (s *Build) Addresses() map[string]Addressed {
	all := make(map[string]Addressed)
	for _, p := range s.shownPages() {
		all[s.pathOf(p)] = Addressed{Page: p}
	}
	for file, to := range s.pictures {
		all[urlPath(to)] = Addressed{Picture: file}
	}
	return all
}

// RecordList gives the batch records that the edition has, by file.
func (s *Build) RecordList() []*handbook.Record { return slices.Clone(s.records) }

// ViewRecord gives the view of a batch record's page.
func (s *Build) ViewRecord(r *handbook.Record) (*RecordView, error) {
	v, err := s.record(r)
	return v.(*RecordView), err
}
