// Package handbook reads a folder of Markdown pages into recipes, materials, notes and batch records, and tells every problem with its place.
package handbook

import (
	"cmp"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"

	"golang.org/x/text/unicode/norm"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// A Handbook is a folder as read. After [Load] or [Reader.Read] it is only read.
type Handbook struct {
	Title, Maker, About string
	Address             string           // where it is published, "" if not given
	Access              Access           // of pages that say nothing
	Door                Door             // how members get at their pages
	Language            string           // that the pages are in, such as "en"; what the maker wrote stays as it is
	LanguageAt          problem.Span     // where it is given, empty where it is not
	Currency            string           // "" if not given; for the maker's eyes only, as is Labour
	Labour              *quantity.Number // money for an hour of work, nil where none is reckoned
	Scale               quantity.Scale
	Tolerance           quantity.Number // of a weight, in percent of its target
	Batches             []BatchLine     // of recipes that give none
	Shelves             []Shelf
	LabelSheets         []label.Sheet       // that labels are printed on, for the maker's eyes only
	Responsible         []label.Responsible // who answers for the products, one a market at most

	Recipes     []*Recipe           // sorted by file
	Ingredients []*Ingredient       // sorted by file
	Notes       []*Note             // sorted by file
	Records     []*Record           // sorted by file
	Pictures    map[string]*Picture // by file, in Unicode form NFC
	Materials   *material.Index
	pages       map[string]*Page // by file

	listing      *listing
	written      map[*Page]*Page // of a page that is shown in its last good form: the page as it is written
	listsShelves bool            // whether handbook.yaml lists shelves
	settingsRead bool            // whether handbook.yaml was read whole: else nothing is told that follows from what it says
	doubtful     map[string]bool // materials whose pages have problems, by id; "" where a name is not known

	recipes     map[string]*Recipe     // by address; nil where there are no batch records
	ingredients map[string]*Ingredient // by material's id; likewise

	fsys         fs.FS    // where recipes were put away, to read them again; else nil
	opened       sync.Map // whole recipes of batch records, by the *Recipe that was put away
	settingsText string
	rules        sync.Once
	rulesSum     Sum
}

// A Door is how members get at their pages. The kind is "" where there is none.
type Door struct {
	Kind    string // SealedDoor or FolderDoor
	Address string // of the members' own site, where the door is a folder; "" if not given
}

// The kinds of door.
const (
	SealedDoor = "sealed" // each members' page lies sealed in the open edition
	FolderDoor = "folder" // the members' edition is a folder of its own, to be put behind a login
)

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
	Video     *Video     // nil where not given
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
	RecordPage     PageKind = "batch"
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
	unread        bool // whether the file could not be read
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
	Changes        []Change           // of the base, newest first; none where one has a problem

	away *Header // of a recipe that was put away: all but the fields that a Header has is empty
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
	own      []string                // the names on its page
	names    map[string]problem.Span // where they are written, by material.Key
	lots     map[string]problem.Span // where the lots are written, by code
	faulty   bool                    // whether its page has problems
}

// A Note is a page on technique.
type Note struct{ Page }

// PageOf gives the page of a file within the handbook, or nil.
func (h *Handbook) PageOf(file string) *Page { return h.pages[norm.NFC.String(file)] }

// SameFiles says whether another reading found the same pages and pictures, by their files' names.
func (h *Handbook) SameFiles(other *Handbook) bool { return h.listing == other.listing }

// Reads says whether a file, or a folder with any, is part of the handbook: handbook.yaml, a page or a picture.
func (h *Handbook) Reads(file string) bool {
	_, found := slices.BinarySearch(h.listing.files, file)
	below, _ := slices.BinarySearch(h.listing.files, file+"/")
	return found || file == settingsFile || below < len(h.listing.files) && strings.HasPrefix(h.listing.files[below], file+"/")
}

// SamePages says whether another reading found every page and picture to be the same one; of pictures, as far as their names and sizes go.
func (h *Handbook) SamePages(other *Handbook) bool {
	return maps.Equal(h.Pictures, other.Pictures) && slices.Equal(h.Recipes, other.Recipes) && slices.Equal(h.Ingredients, other.Ingredients) && slices.Equal(h.Notes, other.Notes) &&
		slices.Equal(h.Records, other.Records)
}

// Written gives a page as it is written now: the page itself, unless it is shown in its last good form.
func (h *Handbook) Written(p *Page) *Page { return cmp.Or(h.written[p], p) }

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
