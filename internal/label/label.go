// Package label writes what belongs on a product's label in a market: ingredients, net contents, warnings and lines.
package label

import (
	"slices"
	"strings"
	"sync"
	"time"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// The markets that there is label copy for.
const (
	EU = "EU"
	US = "US"
)

// Markets lists the markets, in the order in which their copy is shown.
func Markets() []string { return []string{EU, US} }

// A Subject is one version of a recipe with what its label hangs on.
type Subject struct {
	Version   *formula.Version
	Materials []*material.Material // one an item, nil where it is not known
	Index     *material.Index      // that the materials are of, which keeps what is looked up of them; may be nil
	Product   law.Product
	Fills     []formula.Fill
	Keeps     *quantity.Duration              // claimed shelf life, nil where none is given
	AsMade    bool                            // name a soap by what comes out, not by what goes in
	Purity    map[soap.Alkali]quantity.Number // of an alkali where the recipe gives it, in percent
	On        time.Time                       // the day of first sale whose law applies; the zero time means the latest text known
}

// day gives the day whose law applies.
func (s *Subject) day() time.Time {
	if s.On.IsZero() {
		return latest
	}
	return s.On
}

// latest is a day on which the latest text known holds.
var latest = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// material gives what is known of an item, or nil.
func (s *Subject) material(i int) *material.Material {
	if i < len(s.Materials) {
		return s.Materials[i]
	}
	return nil
}

// A Copy is the label copy of a version for one market.
type Copy struct {
	Market      string
	Ingredients List
	Allergens   []Allergen // fragrance allergens of the EU list in force, largest first, those below the level too
	Contents    []Net      // one for each container that the recipe fills
	Warnings    []Line     // what has to be warned of
	Lines       []Line     // identity, date, batch, who answers
	Doubts      []string   // what the maker has to clear up before printing; whole sentences
	SmallPrint  []Basis    // every rule that was applied or stays due, once
}

// A Line is a line of a label. Words in square brackets are for the maker to fill in.
type Line struct {
	Text  string
	When  string // the condition on which it is due, "" where it simply is
	Basis Basis
}

// A Basis is the rule that something on a label rests on.
type Basis struct {
	ID       string // of a rule on labels, or the entry of an annex
	Citation string
	Words    string // what it asks for, in our words
	Source   string
	Status   string // read, memory or common practice
}

// rules are the bases of all rules on labels, by id.
var rules = sync.OnceValue(func() map[string]*Basis {
	all := make(map[string]*Basis)
	for _, l := range law.LabelRules() {
		all[l.ID] = &Basis{ID: l.ID, Citation: l.Citation, Words: withFigure(l), Source: l.Source, Status: l.Status}
	}
	return all
})

// withFigure gives what a rule asks for with its figure, which its words call "this".
func withFigure(l law.Label) string {
	words := strings.TrimSuffix(l.Words, ".")
	switch {
	case l.Value != nil && l.To != nil:
		return words + ": " + l.Value.String() + "–" + l.To.String() + " " + l.Unit + "."
	case l.Value != nil:
		return words + ": " + l.Value.String() + " " + l.Unit + "."
	case !l.Date.IsZero():
		return words + ": " + l.Date.Format(time.DateOnly) + "."
	}
	return l.Words
}

// rule gives the basis of a rule on labels; a test sees that each id used here is there.
func rule(id string) Basis { return *basis(id) }

// basis gives the same, shared.
func basis(id string) *Basis { return rules()[id] }

// For gives a version's label copy for each of the markets, in their order.
func For(s *Subject) []Copy {
	look := s.look()
	opened, allergens := look.open(), look.inForce()
	all := make([]Copy, 0, len(Markets()))
	for _, market := range Markets() {
		c := Copy{Market: market, Allergens: allergens, Contents: contents(s, market), Lines: lines(s, market)}
		c.Ingredients = look.list(market, opened.parts, allergens)
		c.Warnings = look.warnings(market)
		c.Doubts = slices.Concat(opened.doubts, look.doubts(market, allergens))
		c.SmallPrint = smallPrint(s, &c)
		all = append(all, c)
	}
	return all
}
