// Package site turns a handbook into pages and writes the output tree.
package site

import (
	"html/template"
	"slices"

	"larkrow.example/stillroom/internal/words"
)

// The views are what a theme's templates are given: finished strings, no sums, no unresolved names.
// Addresses are relative to the page (so that a handbook opens from a folder as well as from a server).

// A Link is an address with its words. Current marks the page that the reader is on.
type Link struct {
	Text, Href string
	Current    bool
}

// A Frame is what every page has around its content; each page's view embeds one.
type Frame struct {
	Lang, Dir   string // language of the page, "en", and which way it is written, "ltr"
	Title       string // of the page
	Description string // one sentence, plain text; may be empty
	Kind        string // home, shelf, recipe, ingredient, ingredients, note, notes, find, batch, batches, stock, missing
	Handbook    Handbook
	Root        string // relative address of the home page's folder: "./" or "../../"
	Menu        []Link // the handbook's main parts
	Trail       []Link // from the home page down to this one, without this one
	Edition     string // open, members or maker
	Canonical   string // full address where the handbook gives its own, else ""
	Assets      map[string]string
	Image       *Picture  // what stands for the page elsewhere, its address in full; may be nil
	Things      []Thing   // what programs are told of the page, the page first
	Feed        string    // address of the feed, "" where there is none
	Manifest    string    // address of what devices are told
	Door        *DoorView // nil where the edition has nothing sealed
	standing    *standing // what is drawn once for pages like it; nil where nothing is kept
}

// Asset gives the relative address of a theme's asset by its name in assets/, such as "linen.css".
func (f *Frame) Asset(name string) string { return f.Root + f.Assets[name] }

// A Handbook is what the title page says of the whole.
type Handbook struct {
	Title, Maker, About string
}

// A Picture has its address, what it shows in words, and its size in pixels where known (0 if not).
type Picture struct {
	Href, Shows   string
	Width, Height int
}

// A VideoView is a film on another site: its address, its title (may be empty) and the name of the site.
type VideoView struct {
	Href, Title, Host string
}

// A Card stands for a page in a list.
type Card struct {
	Title, Href, Summary string
	Tag                  string // product type, role or date; may be empty
	Access               string // "" for open pages, else members or maker
	Updated              string // the day of the last change, 2026-05-03; may be empty
	Picture              *Picture
}

// A ShelfView is a group of recipes: on its own page and as a section of the home page.
type ShelfView struct {
	Frame
	Name, Href, About string
	Recipes           []Card
}

// A HomeView is the title page: the shelves with their recipes, and ways into the other parts.
type HomeView struct {
	Frame
	Shelves     []ShelfView
	Notes       []Card
	Ingredients int // how many ingredient pages there are
}

// A ListView is the directory of ingredients or of notes, in groups (by letter; one unnamed group for notes).
type ListView struct {
	Frame
	Groups []Group
}

// A Group is a part of a directory.
type Group struct {
	Name  string
	Cards []Card
}

// A Fact is one line of a page's facts: "Density", "0.95 g/ml", "supplier's sheet of 2026-03".
type Fact struct {
	Name, Value, Source string
}

// A RecipeView is a recipe's page.
type RecipeView struct {
	Frame
	Name      string
	Summary   string
	Product   string // "hand cream"
	Category  string // leave-on, rinse-off, or not on skin
	Shelf     Link
	Picture   *Picture
	Access    string   // "" for open pages
	Facts     []Fact   // working time, keeps, pH, updated
	Tools     []string // what to have at hand
	Batches   []BatchView
	Versions  []VersionView
	Portions  *PortionsView // how a batch is divided, where the recipe has splits
	Method    template.HTML // the body, with amounts for every version and batch
	Video     *VideoView    // may be nil
	Weighing  template.HTML // the data that a script weighs other batch sizes from; may be empty
	Changed   []ChangeView  // how the formula came to be as it is, newest first; may be empty
	Made      []RecordEntry // the batches of it, the latest first; the maker's edition only
	Costs     []CostView    // the maker's edition only, one a version; none where no price is known
	Downloads []Link        // formula.json, weights.csv
	Caution   string        // the closing line on local rules and assessment

	LabelRules template.HTML // the rules that the versions' label copy follows; may be empty
}

// ShowsLabels says whether any version has label copy to show.
func (v *RecipeView) ShowsLabels() bool {
	return slices.ContainsFunc(v.Versions, func(w VersionView) bool { return len(w.Labels) > 0 })
}

// ShowsChecks says whether there is anything that the checks have said of any version, be it that they found nothing.
func (v *RecipeView) ShowsChecks() bool {
	return slices.ContainsFunc(v.Versions, func(w VersionView) bool { return w.Checked || len(w.Findings) > 0 })
}

// ShowsRates says whether any version has usage rates to show.
func (v *RecipeView) ShowsRates() bool {
	return slices.ContainsFunc(v.Versions, func(w VersionView) bool { return w.Rates != "" })
}

// A ChangeView is a day on which the formula was changed: Day is 2026-05-03, On the same in words. Note says why and may be empty.
type ChangeView struct {
	Day, On, Note string
	Lines         []ChangedLine
}

// A ChangedLine is an ingredient and what became of it: "0.8 → 1 %", "0.6 %, added" or "3 %, taken out".
type ChangedLine struct {
	Name, How string
}

// A BatchView is one batch size to choose: ID is b1, b2, …
type BatchView struct {
	ID, Size string
}

// A VersionView is one version to choose: ID is v1, v2, … Formula is its finished table (drawn by Go code).
type VersionView struct {
	ID, Name, Kind string // Kind: base, variant, split
	Note           string
	Changes        []string // what differs from the base, in words
	Formula        template.HTML
	MakeUp         template.HTML // a drawing of the phases' shares; may be empty
	Rates          template.HTML // where each usage rate lies; may be empty
	Lye            template.HTML // the lye sum of a soap, fat by fat; may be empty
	Findings       []FindingView
	Checked        bool        // the checks were run: only then may a page say that they found nothing
	Labels         []LabelView // one a market; none where the edition must not tell what an ingredient is made of
}

// A LabelView is a version's label copy for one market.
type LabelView struct {
	Market      string // EU or US
	Heading     string // what the list of ingredients stands under
	Ingredients string // the list, as it stands on the label
	Contents    []LabelLine
	Warnings    []LabelLine
	Lines       []LabelLine // what it is, date, batch, who answers
	Notes       []string    // what to clear up before printing
}

// A LabelLine is one line of a label: when it is due or what it is for, and the rule that asks for it.
type LabelLine struct {
	Text, When, Rule string
}

// Declares counts the substances that have to be named on a label.
func (v *VersionView) Declares() int {
	n := 0
	for _, f := range v.Findings {
		if f.Code == "allergen-to-declare" {
			n++
		}
	}
	return n
}

// A LyeView is what the lye sum of a soap is drawn from, for 100 g of fats.
type LyeView struct {
	Words   *words.Language // nil is English
	ID      string          // of the version
	Alkalis []string        // the alkalis' names, which head their columns
	Fats    []LyeRow        // acids with them
	Total   LyeRow
	Steps   []Fact // from what the fats take up to what is weighed, and what it leaves
	MakeUp  []Fact // iodine value and fatty acids; Source says how much of the fats they rest on
}

// A LyeRow is what one fat takes up: grams of it in 100 g of fats, its saponification value in mg KOH per g (one or a range) with
// where that is from, and grams of potassium hydroxide and of each of the soap's alkalis, pure and without superfat.
type LyeRow struct {
	Name, Href         string
	Grams, Value, From string
	KOH                string
	Alkali             []string
}

// A FindingView is something the checks say, worst first.
type FindingView struct {
	Code, Level, Subject, Message, Mend, Source, Market string
	Accepted                                            string // the maker's reason, or ""
}

// A FormulaView is what the formula table is drawn from.
type FormulaView struct {
	Words        *words.Language // nil is English
	ID           string          // of the version
	Caption      string          // "Hedgerow hand cream, Night version"
	Batches      []BatchColumn
	Phases       []PhaseView
	PercentTotal string // "100"
	OnlyBatch    bool   // there is but one batch
}

// A BatchColumn heads one batch and carries its foot: the totals, and the fill in words ("2 × 4 fl oz jar, 49.9 g left").
// Missing says why this version has no such batch, and is "" where it has one.
type BatchColumn struct {
	ID, Size        string
	TotalG, TotalOz string
	Fill            string
	Missing         string
}

// A PhaseView is one phase: its letter A, B, C, its name, and how hot (words).
type PhaseView struct {
	Letter, Name, Heat, Note string
	Rows                     []RowView
	Totals                   []WeightView // the phase's weight per batch; none for a phase of one line
}

// A RowView is one ingredient: Href is "" where there is no page of it. Written is the amount as the recipe has it.
// Weights has one entry a batch, in the batches' order. Marks are the levels of findings on this line, worst first.
type RowView struct {
	Name, Href, Note, Written, Percent string
	Weights                            []WeightView
	Mark                               string // "", note, caution, stop
}

// A WeightView is one weight, in grams as the scale reads it and in ounces: "180.4", "6.36". Both are "" where there is no such batch.
type WeightView struct {
	G, Oz   string
	Balance bool // takes up the rounding of its column
}

// A PortionsView tells how a made batch of the base is divided into its splits and finished.
type PortionsView struct {
	Words   *words.Language // nil is English
	Batches []BatchColumn
	Rows    []PortionRow
}

// A PortionRow is one split: the base it takes and what is added, per batch.
type PortionRow struct {
	Name, Share string
	Base        []WeightView
	Adds        []RowView
	Totals      []WeightView
}

// An IngredientView is a material's page.
type IngredientView struct {
	Frame
	Name     string
	Also     []string
	Roles    []string
	Summary  string
	Picture  *Picture
	Video    *VideoView
	Access   string
	Facts    []Fact
	Uses     []UseView
	Cautions []string
	Body     template.HTML
	UsedIn   template.HTML // finished where-used list
	Private  []Fact        // supplier, price, lots: the maker's edition only
	Taken    []TakenView   // the batches that took of it, the latest first; the maker's edition only
}

// A UseView is one usage rate of a material.
type UseView struct {
	For, From, To, Source string
}

// A UsedView is one recipe that uses a material, at what rate: the where-used list is drawn from these.
type UsedView struct {
	Recipe  Link
	Version string // "" for the base
	Percent string
}

// A NoteView is a note's page.
type NoteView struct {
	Frame
	Name    string
	Summary string
	Picture *Picture
	Video   *VideoView
	Access  string
	Facts   []Fact
	Body    template.HTML
}

// A MissingView is the page shown where there is none at an address.
type MissingView struct {
	Frame
}

// A CostView is what a version's batches cost: rows of materials, then containers, labour and the whole, with an amount a batch each.
// Missing names what is left out because it is not known.
type CostView struct {
	ID, Version string // "v1", and the version's name
	Currency    string
	Batches     []BatchColumn
	Rows        []CostRow
	Sums        []CostRow // containers, labour, in all, for one container
	Missing     []string
}

// A CostRow is one material's cost: its price for a kilogram, its share of the materials' cost in the first batch, what each batch takes of it
// in money, and what a price that is a tenth higher would add to the first batch.
type CostRow struct {
	Name, PerKilo, Share string
	Money                []string
	Tenth                string
}
