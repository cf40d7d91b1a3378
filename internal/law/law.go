// Package law holds the tables that rules are made of, each row with its source and whether it was read or remembered.
package law

import (
	"time"

	"larkrow.example/stillroom/internal/quantity"
)

// The kinds of a [Rule].
const (
	Preservative = "preservative"
	Restricted   = "restricted"
	Prohibited   = "prohibited"
	Colourant    = "colourant"
	UVFilter     = "uv-filter"
)

// What a [Rule] asks for.
const (
	Ban     = "ban"     // Max is 0
	AtMost  = "limit"   // no more than Max, if there is one
	Warn    = "warn"    // above Max, or always where there is none, LabelWords are due; no limit to the use
	Declare = "declare" // to be named on the label, see [Allergens]; no maximum
	Purity  = "purity"  // a matter of the material, for its certificate; Max, if any, is of the impurity CountedAs
	Words   = "words"   // a condition in words only
	Free    = "free"    // nothing is asked for in this product
	Advice  = "advice"  // not law
)

// Elsewhere is the scope of a ban in all products that the other rules of an entry do not open.
const Elsewhere = "elsewhere"

// What a [Rule] is about, where the same substance has other rules for another purpose.
const (
	ToPreserve    = "preserving"
	NotToPreserve = "not preserving"
	AsFragrance   = "fragrance"
	AsColour      = "colour"
	AsUVFilter    = "uv filter"
)

// A Rule is one line of law on a substance in a kind of product. Rules share their slices: leave them unchanged.
type Rule struct {
	Market   string // EU or US
	Kind     string // preservative, restricted, prohibited, colourant or uv-filter
	Duty     string // what is asked for: limit, ban, warn, declare, purity, words, free or advice
	Purpose  string // preserving, not preserving, fragrance, colour, uv filter, or "" for any
	Citation string // act, annex and entry, or section
	Entry    string // "V/4", "21 CFR 700.11"; "none" where an entry was looked for in vain

	Names []string // ingredient names and other names
	CAS   []string
	Scope string // the kind of product, a token of the table of scopes; see [Rule.Applies]

	Max       *quantity.Number // percent of the finished product by weight; nil where none is given
	CountedAs string           // what Max counts: "sorbic acid"; "" and "as is" for the substance itself
	Factors   []Factor
	Group     string // rules of one group, scope and Max are kept by the sum of their substances

	Conditions string // further conditions, in our words
	LabelWords string // words that the law prescribes
	LabelWhen  string // when they are due, where not always
	MoreWords  bool   // the entry has conditions that are not told here
	MoreLabel  bool   // the entry has label words that are not told here

	From, Until time.Time // first and last day for new products; zero where open
	StockUntil  time.Time // last day for stock that an older rule let in; zero where none

	Net      bool // from the net of whole annexes, not worked out by hand
	Source   string
	Status   string // read or memory
	TextDate string // of the text that was read: 2025-10-31, or a month or year; "" where unknown

	beside []string // the scopes of the same entry's other rules
}

// A Factor is what one percent of a named substance counts.
type Factor struct {
	Name    string
	Percent quantity.Number
}

// Counted gives the percent that a percentage of the named substance counts towards Max: by its factor if it has one.
// It is false, and the percentage unchanged, where Max counts something else and no factor is known; for the acids and
// salts of the tables that errs on the safe side.
func (r *Rule) Counted(inci string, percent quantity.Number) (quantity.Number, bool) {
	for _, name := range forms(inci) {
		for _, f := range r.Factors {
			if key(f.Name) == name {
				return percent.Mul(f.Percent), true
			}
		}
	}
	own := r.CountedAs == "" || r.CountedAs == "as is" || key(r.CountedAs) == key(inci)
	return percent, own && r.Duty != Purity
}

// InForce says whether the rule holds for a product that is first sold on a day.
func (r *Rule) InForce(on time.Time) bool {
	d := day(on)
	return !d.Before(r.From) && (r.Until.IsZero() || !d.After(r.Until))
}

// day gives the calendar day of a time, at midnight UTC.
func day(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}
