package handbook

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// A Record is a batch record's page: what was to be weighed, what was weighed, from which lots, and what came out. Its access is always the
// maker's. A record without Made is of a planned batch.
type Record struct {
	Page
	Code    string
	Recipe  *Recipe          // nil where it is not known, or gone since the batch was made
	Version *formula.Version // nil where it is not known, gone since, or the recipe could not be worked out

	RecipeName, VersionName string // as the record writes them

	Size    quantity.Batch
	Sized   *formula.Sized // nil where the version has no such batch now
	Made    *time.Time     // nil until it is made
	By      string
	Lines   []RecordLine // in the record's order
	Yield   *quantity.Mass
	Filled  []RecordFill
	PH      *quantity.Interval // as measured
	Checked *Release           // nil until somebody has judged the batch
	CodeAt  problem.Span       // where the code is written
}

// A RecordLine is one ingredient of a batch record.
type RecordLine struct {
	Name     string             // as the record writes it
	Item     int                // of the version, -1 where the recipe does not have it now
	Material *material.Material // nil where none is known
	Target   *quantity.Mass     // as the record has it; nil where it leaves that to the recipe
	Weighed  *quantity.Mass     // nil until it is weighed
	Lots     []LotUse
	Note     string
	At       problem.Span // of the name
	ValueAt  problem.Span // of the target, or of what is written instead
}

// A LotUse is a lot that was weighed from.
type LotUse struct {
	Code string
	Lot  *material.Lot  // nil where the ingredient's page lists none of its lots
	Took *quantity.Mass // how much came from it, nil where the record does not say
	At   problem.Span
}

// A RecordFill is how many containers of a kind were filled.
type RecordFill struct {
	Container string
	Count     int64
	Fill      *formula.Fill // nil where the recipe does not have it now
	At        problem.Span
}

// A Release says who judged a batch, when, and whether it passed.
type Release struct {
	By     string
	On     time.Time
	Passed bool
}

// Finished says whether the record tells what came of the batch, so that nothing more is to be weighed.
func (r *Record) Finished() bool { return r.Yield != nil || r.Filled != nil || r.Checked != nil }

var recordFields = []string{"batch", "recipe", "version", "size", "made", "by", "weighed", "yield", "filled", "ph", "checked"}

// A recordDraft is a batch record while it is read.
type recordDraft struct {
	*draft
	h      *Handbook
	m      *mapping
	record Record
}

// record reads a batch record against its recipe and its ingredients' lots.
func (h *Handbook) record(d *draft) *Record {
	r := &recordDraft{draft: d, h: h}
	d.page.Access = Maker
	d.blanks = true
	if d.front != nil {
		if m, ok := d.mapping(d.front, "a batch record", recordFields); ok {
			r.m = m
			r.what()
			r.outcome()
			r.lines(m.get("weighed"))
			r.dates()
		}
	}
	record := r.record
	record.Page = d.page
	record.Title = record.Code
	return &record
}

// what reads which batch it is, of which recipe, and how much.
func (r *recordDraft) what() {
	n := r.m.need("batch", "the record", "give the batch its code: batch: HHC-261125-1")
	if code, ok := r.text(n); ok {
		r.record.Code, r.record.CodeAt = code, r.span(n)
	}
	r.record.Made = optional(r.document, r.m.get("made"), parseDate)
	r.record.By = r.m.words("by")
	r.recipe()
	size, ok := read(r.document, r.m.need("size", "the record", "say how much is made: size: 250 g"), quantity.ParseBatch)
	if !ok {
		return
	}
	r.record.Size = size
	if r.record.Version == nil {
		return
	}
	sized, err := r.record.Version.Size(size, r.record.Recipe.Fills)
	if err == nil {
		r.record.Sized = &sized
	} else if sizing, ok := err.(*formula.SizeError); ok && !r.closed() { //nolint:errorlint // Size gives this type alone
		r.problems.Addf(r.span(r.m.get("size")), sizing.Hint, "%s", sizing.Message)
	}
}

// closed says whether the page tells what came of the batch: then it stands, whatever becomes of its recipe.
func (r *recordDraft) closed() bool {
	return r.m.get("yield") != nil || r.m.get("filled") != nil || r.m.get("checked") != nil
}

// recipe finds the recipe and the version.
func (r *recordDraft) recipe() {
	slug, ok := r.text(r.m.need("recipe", "the record", "name the recipe by its address: recipe: hedgerow-hand-cream"))
	if !ok {
		return
	}
	r.asked.recipes = append(r.asked.recipes, slug)
	r.record.RecipeName, r.record.VersionName = slug, r.m.words("version")
	recipe, told := r.named(slug)
	if told {
		return
	}
	recipe = r.h.whole(recipe)
	if recipe == nil {
		if r.record.Made != nil {
			return // records are kept, whatever becomes of their recipes
		}
		r.problems.Addf(r.span(r.m.get("recipe")), spell.DidYouMean(slug, r.h.recipeSlugs(), "name a recipe by its file's name without .md"), "there is no recipe “%s”", slug)
		return
	}
	r.record.Recipe = recipe
	if len(recipe.Versions) == 0 {
		r.asked.doubt = true // the recipe's own problem is told already
		return
	}
	name := r.record.VersionName
	known := make([]string, len(recipe.Versions))
	for i, v := range recipe.Versions {
		known[i] = v.Name
		if material.Key(v.Name) == material.Key(cmp.Or(name, string(formula.Base))) {
			r.record.Version = v
		}
	}
	if r.record.Version == nil && name != "" && r.record.Made == nil {
		r.problems.Addf(r.span(r.m.get("version")), spell.DidYouMean(name, known, "its versions are: "+strings.Join(known, ", ")), "%s has no version “%s”", recipe.Title, name)
	}
}

// named finds a recipe by its address, or else by a title that no other has. Of a title that several have it tells.
func (r *recordDraft) named(name string) (recipe *Recipe, told bool) {
	if recipe := r.h.recipes[name]; recipe != nil {
		return recipe, false
	}
	r.asked.everyRecipe = true
	var slugs []string
	for _, other := range r.h.Recipes {
		if material.Key(other.Title) == material.Key(name) {
			recipe, slugs = other, append(slugs, other.Slug)
		}
	}
	r.asked.recipes = append(r.asked.recipes, slugs...)
	if len(slugs) > 1 {
		r.problems.Addf(r.span(r.m.get("recipe")), "name it by its address: "+strings.Join(slugs, " or "), "several recipes have the title “%s”", name)
		return nil, true
	}
	return recipe, false
}

// outcome reads what came of the batch.
func (r *recordDraft) outcome() {
	r.record.Yield = optional(r.document, r.m.get("yield"), quantity.ParseMass)
	r.record.PH = optional(r.document, r.m.get("ph"), parsePH)
	r.filled(r.m.get("filled"))
	n := r.m.get("checked")
	if n == nil {
		return
	}
	const hint = "write it as checked: {by: AB, on: 2026-11-26, passed: yes}"
	m, ok := r.mapping(n, "checked:", []string{"by", "on", "passed"})
	if !ok {
		return
	}
	by, named := r.text(m.need("by", "checked:", hint))
	on, dated := read(r.document, m.need("on", "checked:", hint), parseDate)
	passed, judged := r.oneOf(m.need("passed", "checked:", hint), "judgement", []string{"yes", "no"})
	if !named || !dated || !judged {
		return
	}
	r.record.Checked = &Release{By: by, On: on, Passed: passed == "yes"}
	if r.record.Made != nil && on.Before(*r.record.Made) {
		r.problems.Addf(r.span(m.get("on")), "see which of the two days is right", "the batch was judged before it was made, on %s", r.record.Made.Format(time.DateOnly))
	}
}

// filled reads the containers that were filled.
func (r *recordDraft) filled(n *yaml.Node) {
	if n == nil {
		return
	}
	m, ok := r.mapping(n, "filled:", nil)
	if !ok {
		return
	}
	r.record.Filled = []RecordFill{}
	for _, f := range m.fields {
		count, ok := read(r.document, f.value, parseCount)
		if !ok {
			continue
		}
		fill := RecordFill{Container: f.name, Count: count, At: r.span(f.key)}
		r.container(&fill)
		r.record.Filled = append(r.record.Filled, fill)
	}
}

// container finds what is known of a container. Of a name that the recipe does not have now only a slip is told: recipes change.
func (r *recordDraft) container(fill *RecordFill) {
	if r.record.Recipe == nil {
		return
	}
	var known []string
	for i, f := range r.record.Recipe.Fills {
		if material.Key(f.Container) == material.Key(fill.Container) {
			fill.Fill = &r.record.Recipe.Fills[i]
			return
		}
		known = append(known, f.Container)
	}
	if spell.Nearest(fill.Container, known) != "" {
		r.problems.Addf(fill.At, spell.DidYouMean(fill.Container, known, ""), "%s has no container “%s”", r.record.Recipe.Title, fill.Container)
	}
}

// parseCount reads how many containers there are.
func parseCount(s string) (int64, error) {
	n, err := quantity.ParseNumber(strings.TrimSpace(s))
	count, whole := n.Floor()
	if err != nil || !whole || n.Cmp(quantity.Int(count)) != 0 || count < 0 || count > 1_000_000 {
		return 0, &quantity.SyntaxError{Length: len(s), Message: "how many were filled should stand here", Hint: "write a whole number, as in {60 ml tin: 4}"}
	}
	return count, nil
}

// dates sees that nothing is told of a batch that is not made.
func (r *recordDraft) dates() {
	if r.m.get("made") != nil || r.m.slips["made"] {
		return
	}
	tell := func(at problem.Span, what string) {
		r.problems.Addf(at, "add the day: made: 2026-11-25; a batch without it is a planned one", "%s, and no day on which the batch was made", what)
	}
	for _, name := range []string{"yield", "filled", "ph", "checked"} {
		if n := r.m.get(name); n != nil {
			tell(r.span(n), "here stands "+name+":")
			return
		}
	}
	if i := slices.IndexFunc(r.record.Lines, func(l RecordLine) bool { return l.Weighed != nil }); i >= 0 {
		tell(r.record.Lines[i].At, "here stands what was weighed")
	}
}

// recipeSlugs lists what recipes can be named by.
func (h *Handbook) recipeSlugs() []string {
	all := make([]string, len(h.Recipes))
	for i, r := range h.Recipes {
		all[i] = r.Slug
	}
	return all
}

// claimCodes sees that each batch has a code of its own, which names its file.
func (h *Handbook) claimCodes(problems *problem.List) {
	first := make(map[string]*Record)
	for _, r := range h.Records {
		key := material.Key(r.Code)
		if key == "" {
			continue // the code's own problem is told already
		}
		other := first[key]
		switch {
		case other != nil && other.Slug == r.Slug: // told as an address that two pages have
		case other != nil:
			problems.Add(&problem.Problem{
				Span: r.CodeAt, Message: "the code “" + r.Code + "” is that of another batch too", Hint: "give each batch a code of its own",
				Notes: []problem.Note{{Span: other.CodeAt, Message: "the other one is here"}},
			})
		case Slug(r.Code) != r.Slug && !h.listing.told[r.File]:
			problems.Addf(r.CodeAt, "rename the file to "+Slug(r.Code)+".md, or mend the code", "the file of the batch %s has another name", r.Code)
		}
		if other == nil {
			first[key] = r
		}
	}
}
