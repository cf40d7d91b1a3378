// Package formula solves a recipe's written amounts to exact shares, derives its versions, and weighs batches.
package formula

import (
	"slices"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// An Ingredient is what a line takes: the name as the recipe writes it, and what is known of the material behind it.
type Ingredient struct {
	Name     string           // as written
	Material string           // id of the material, "" where none is known
	Density  quantity.Density // unknown where the material gives none
	Fixed    bool             // never moved by rounding: preservatives, actives, fragrances, alkalis
}

// A Line is one ingredient of a phase with its amount.
type Line struct {
	Ingredient
	Amount quantity.Amount
	Note   string
	Was    string       // in a variant: the name of the ingredient that this one stands for, else ""
	At     problem.Span // where the amount is written
}

// A Phase is a group of lines that are made up together.
type Phase struct {
	Name  string
	Note  string
	Heat  *quantity.Temperature // nil where none is given
	Below *quantity.Temperature // to be added below this; nil where none is given
	Lines []Line
	At    problem.Span // where the name is written
}

// A Formula is what a recipe writes: phases with amounts of any kind, not yet solved.
type Formula struct {
	Phases []Phase
	Makes  quantity.Mass // the total, where it must be given; else no weight
	At     problem.Span
}

// A VersionKind says how a version came about.
type VersionKind string

// The kinds of version.
const (
	Base        VersionKind = "base"
	VariantKind VersionKind = "variant"
	SplitKind   VersionKind = "split"
)

// A Version is one finished formula that a recipe gives, solved: its shares add up to the whole exactly.
type Version struct {
	Name    string
	Kind    VersionKind
	Note    string
	Phases  []Phase
	Items   []Item       // all lines in order
	Written *WrittenSum  // nil where the percents make 100 or a balance sees to it
	Remarks []string     // what the solver noticed and a maker should know; whole sentences
	Portion *Portion     // of a split, else nil
	At      problem.Span // where the version is written
	shares  quantity.Shares
}

// An Item is a line of a version and the phase that it belongs to. Versions share the lines that they have in common.
type Item struct {
	*Line
	Phase int // index into the version's phases
}

// A WrittenSum tells of percents that do not make 100: the shares are then the written percents' parts of their sum.
type WrittenSum struct {
	Percent quantity.Number
}

// A Portion says how much of a made batch of the base becomes this split.
type Portion struct {
	Share quantity.Number // of the batch, as a fraction of 1
	Items int             // how many of the split's items, from the first, are the base's; the others are added
}

// Letter gives a phase's letter: A, B, … Z, AA, AB, …
func Letter(phase int) string {
	letters := ""
	for phase >= 0 {
		letters = string(rune('A'+phase%26)) + letters
		phase = phase/26 - 1
	}
	return letters
}

// Share gives the i-th item's share of the whole, as a fraction of 1.
func (v *Version) Share(i int) quantity.Number { return v.shares.At(i) }

// Percent gives the i-th item's exact percent of the whole.
func (v *Version) Percent(i int) quantity.Number { return v.shares.At(i).Mul(quantity.Int(100)) }

// finish lays the phases' lines out as items and gives them their shares by weight; phases without lines are left out.
func (v *Version) finish(phases []Phase, values []quantity.Number) {
	if slices.ContainsFunc(phases, Phase.empty) {
		phases = slices.DeleteFunc(slices.Clone(phases), Phase.empty)
	}
	v.Phases, v.Items = phases, make([]Item, 0, len(values))
	for p := range phases {
		for l := range phases[p].Lines {
			v.Items = append(v.Items, Item{Line: &phases[p].Lines[l], Phase: p})
		}
	}
	v.shares = quantity.NewShares(values)
}

func (p Phase) empty() bool { return len(p.Lines) == 0 }
