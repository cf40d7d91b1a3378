// Package check says what is to be known of a version of a recipe: its findings, each with its source and a way to mend it.
package check

import (
	"cmp"
	"slices"
	"time"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// A Finding is something the checks say about a version of a recipe, once per cause.
type Finding struct {
	Code     string
	Level    Level
	Version  string
	Subject  string // the ingredient, batch or claim concerned; "" for the whole
	Value    string // what was found, a decimal, or ""
	Limit    string // what is allowed, a decimal, or ""
	Unit     string
	Market   string // EU, US, or ""
	Source   string
	Message  string       // one plain sentence
	Mend     string       // what to do
	Accepted string       // the maker's reason for letting it through, or ""
	Items    []int        // the version's items concerned, for marking their lines
	At       problem.Span // where it is written: the first item's amount, or the version
}

// Stops says whether the finding keeps the recipe from being published.
func (f Finding) Stops() bool { return f.Level == Stop && f.Accepted == "" }

// A Subject is one version of a recipe with all that the checks look at.
type Subject struct {
	Version   *formula.Version
	Product   law.Product
	Materials []*material.Material // one an item, nil where it is not known
	Index     *material.Index      // all materials that are known; it keeps what is worked out of them
	Batches   []Batch
	Fills     []formula.Fill
	Scale     quantity.Scale

	PH    *quantity.Interval // target, nil where none is given
	Keeps *quantity.Duration // claimed shelf life, nil where none is given
	Lye   *soap.Block        // what a recipe's soap: block asks for, nil where there is none
	Made  bool               // whether the label names a soap by what comes out (label: as made)
	Words string             // what the page says of the product: title, summary and text
	On    time.Time          // the day whose law applies; the zero time means the latest text known
}

// A Batch is one batch of a version, weighed; or why the version has none such.
type Batch struct {
	Written string
	Sized   formula.Sized
	Column  formula.Column
	Missing *formula.SizeError // nil where the batch is weighed
	At      problem.Span       // where it is written, the zero span where it stands in no file
}

// An Acceptance is a maker's reason for letting a finding through. About and Version may be "": then all are meant.
type Acceptance struct {
	Code, Because  string
	About, Version string
	At             problem.Span
}

// checks has every check, in the order in which findings of one level are told.
var checks = []struct {
	raises []string
	run    func(*inspection) []Finding
}{
	{[]string{"total-not-100"}, total},
	{[]string{"banned-substance", "above-legal-maximum", "restricted-see-entry"}, legal},
	{[]string{"colourant-use", "above-legal-maximum", "restricted-see-entry"}, colour},
	{[]string{"lye-excess", "superfat-unusual", "lye-strength-unusual"}, lye},
	{[]string{"fragrance-above-maximum", "fragrance-no-certificate"}, fragrance},
	{[]string{"phototoxic"}, phototoxic},
	{[]string{"no-emulsifier", "too-little-emulsifier", "emulsion-unbalanced"}, emulsify},
	{[]string{"will-discolour"}, tint},
	{[]string{"below-scale"}, belowScale},
	{[]string{"unknown-material"}, unknownMaterial},
	{[]string{"unknown-material"}, unknownComposition},
	{[]string{"allergen-to-declare"}, allergens},
	{[]string{"fill-unknown"}, fillUnknown},
	{[]string{"no-preservative", "preservation-gap"}, preservation},
	{[]string{"preservative-ph"}, preservativePH},
	{[]string{"above-usual-maximum", "below-usual-minimum"}, usage},
	{[]string{"spoils"}, spoils},
	{[]string{"keeps-too-long"}, keepsTooLong},
	{[]string{"added-too-hot"}, addedTooHot},
	{[]string{"infant", "eye-area", "lips"}, person},
	{[]string{"drug-claim"}, drugClaims},
	{[]string{"caustic", "dust", "hot", "flammable", "slippery", "ingestible-lookalike"}, handling},
}

// Run gives the findings on a version, worst first.
func Run(s *Subject) []Finding { return inspect(s).run() }

// RunAll gives the findings on each of a recipe's versions, as [Run] does. The page's words, which are those of all of them, are read once.
func RunAll(versions []*Subject) [][]Finding {
	all := make([][]Finding, len(versions))
	var p *page
	for i, s := range versions {
		if p == nil || p.words != s.Words {
			p = &page{words: s.Words}
		}
		all[i] = inspectOf(s, p).run()
	}
	return all
}

func (s *inspection) run() []Finding {
	all := s.page.room[:0]
	for _, c := range checks {
		all = append(all, c.run(s)...)
	}
	s.page.room = all
	all = onceACause(all)
	for i := range all {
		all[i].Version = s.Version.Name
		if all[i].At == (problem.Span{}) {
			all[i].At = s.Version.At
		}
		if len(all[i].Items) > 0 {
			all[i].At = s.Version.Items[all[i].Items[0]].At
		}
	}
	Sort(all)
	return append([]Finding(nil), all...) // no room kept for more
}

// onceACause takes out what a usage rate says of a limit that the finding of the law on the same lines tells already.
func onceACause(all []Finding) []Finding {
	var legal []Finding
	for _, f := range all {
		if f.Code == "above-legal-maximum" || f.Code == "banned-substance" {
			legal = append(legal, f)
		}
	}
	return slices.DeleteFunc(all, func(f Finding) bool {
		return f.Code == "above-usual-maximum" && f.Limit != "" && slices.ContainsFunc(legal, func(l Finding) bool {
			return subset(f.Items, l.Items) && (f.Limit == l.Limit || f.Market != "" && f.Market == l.Market)
		})
	})
}

// Sort puts the worst findings first and leaves equals in their order.
func Sort(findings []Finding) {
	slices.SortStableFunc(findings, func(a, b Finding) int { return cmp.Compare(b.Level.rank(), a.Level.rank()) })
}

// Accept marks the findings that a maker has accepted, over all versions of a recipe, and adds a note for
// each acceptance that matches none, to the first version's findings. Codes that no check raises yet are passed over.
func Accept(versions [][]Finding, accepted []Acceptance) {
	for _, a := range accepted {
		if used := a.mark(versions); !used && len(versions) > 0 && raised(a.Code) {
			versions[0] = append(versions[0], Finding{
				Code: "accept-unused", Level: Note, Version: string(formula.Base), Subject: a.Code, At: a.At, Source: "common practice",
				Message: "“" + a.Code + "” is accepted here, and no check finds it.",
				Mend:    "Take the line out of accept:, so that it cannot hide a later finding.",
			})
		}
	}
}

// MarkAccepted marks one version's findings that a maker has accepted.
func MarkAccepted(findings []Finding, accepted []Acceptance) {
	for _, a := range accepted {
		a.mark([][]Finding{findings})
	}
}

func (a Acceptance) mark(versions [][]Finding) (used bool) {
	for _, findings := range versions {
		for i := range findings {
			f := &findings[i]
			if f.Code == a.Code && (a.About == "" || material.Key(a.About) == material.Key(f.Subject)) &&
				(a.Version == "" || material.Key(a.Version) == material.Key(f.Version)) {
				f.Accepted, used = a.Because, true
			}
		}
	}
	return used
}

func raised(code string) bool {
	for _, c := range checks {
		if slices.Contains(c.raises, code) {
			return true
		}
	}
	return false
}
