// Package handbook reads a folder of Markdown pages into recipes, materials and notes, and tells every problem with its place.
package handbook

import (
	"time"

	"golang.org/x/text/unicode/norm"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// A Handbook is a loaded folder. After [Load] it is only read.
type Handbook struct {
	Title, Maker, About string
	Address             string           // where it is published, "" if not given
	Access              Access           // of pages that say nothing
	Currency            string           // "" if not given; for the maker's eyes only, as is Labour
	Labour              *quantity.Number // money for an hour of work, nil where none is reckoned
	Scale               quantity.Scale
	Batches             []BatchLine // of recipes that give none
	Shelves             []Shelf

	Recipes     []*Recipe           // sorted by slug
	Ingredients []*Ingredient       // sorted by slug
	Notes       []*Note             // sorted by slug
	Pictures    map[string]*Picture // by file, in Unicode form NFC
	Materials   *material.Index
	pages       map[string]*Page // by file

	settingsRead bool            // whether handbook.yaml was read whole: else nothing is told that follows from what it says
	doubtful     map[string]bool // materials whose pages have problems, by id; "" where a name is not known
}

// A Shelf is a group of recipes in the directory.
type Shelf struct{ Name, About string }

// Access says who may read a page.
type Access string

// The kinds of access, from the widest.
const (
	Open    Access = "open"
	Members Access = "members"
	Maker   Access = "maker"
)

// A Page is what every page has: where it is from, how it is called, and its body.
type Page struct {
	File      string // slash-separated, within the handbook
	Slug      string // the file's name without .md
	Title     string
	Summary   string
	Access    Access
	Picture   *PictureUse
	Updated   *time.Time // nil where not given
	Body      string     // Markdown
	Source    *problem.Source
	BodyStart int // byte offset of Body in Source.Text
	Kind      PageKind
}

// A PageKind says what a page is about.
type PageKind string

// The kinds of page.
const (
	RecipePage     PageKind = "recipe"
	IngredientPage PageKind = "ingredient"
	NotePage       PageKind = "note"
)

// A PictureUse is a picture where a page shows it, with words for those who cannot see it.
type PictureUse struct {
	*Picture
	Shows string
}

// A Picture is a picture file; its size in pixels is 0 where the file does not say.
type Picture struct {
	File          string
	Width, Height int
}

// A Recipe is a recipe's page with its formula solved into versions.
type Recipe struct {
	Page
	Product        law.Product
	Shelf          string
	Keeps          *quantity.Duration
	PH             *quantity.Interval
	Time           *quantity.Duration // working time
	Rest           *quantity.Duration // what it then needs by itself: to set, dry or cure
	Tools          []string
	Batches        []BatchLine
	Fills          []formula.Fill
	ContainerCosts map[string]quantity.Number // of a container by its name; for the maker's eyes only
	Accepts        []check.Acceptance
	Lye            *soap.Block        // what the soap: block asks for, nil where there is none
	AsMade         bool               // whether the label names a soap by what comes out
	Versions       []*formula.Version // base, variants, splits; none where the formula has a problem
}

// A BatchLine is a batch and where it is written.
type BatchLine struct {
	quantity.Batch
	At problem.Span
}

// An Ingredient is an ingredient's page.
type Ingredient struct {
	Page
	Material *material.Material
	names    map[string]problem.Span // where its names are written, by material.Key
	faulty   bool                    // whether its page has problems
}

// A Note is a page on technique.
type Note struct{ Page }

// PageOf gives the page of a file within the handbook, or nil.
func (h *Handbook) PageOf(file string) *Page { return h.pages[norm.NFC.String(file)] }

// Splits gives the recipe's versions that are splits.
func (r *Recipe) Splits() []*formula.Version {
	var splits []*formula.Version
	for _, v := range r.Versions {
		if v.Kind == formula.SplitKind {
			splits = append(splits, v)
		}
	}
	return splits
}

// Span gives the span of a piece of the page's body.
func (p *Page) Span(start, end int) problem.Span {
	return problem.Span{Source: p.Source, Start: p.BodyStart + start, End: p.BodyStart + end}
}
