package law

import (
	_ "embed"
	"slices"
	"sync"
	"time"

	"larkrow.example/stillroom/internal/quantity"
)

//go:embed allergens.csv
var allergensCSV string

// An Allergen is a fragrance substance or extract that EU law wants named on the label above a level.
type Allergen struct {
	Entry   string
	Name    string   // as it stands on the label
	Members []string // names that this one covers; none where it covers only itself
	CAS     []string
	Kind    string // substance or extract
	Note    string // in our words
	Other   string // other limits, in our words

	LeaveOn, RinseOff quantity.Number // percent of the product; to be named when above

	From       time.Time // first day for new products; zero for the first list
	StockUntil time.Time // last day for older stock without the name
	Citation   string
	Source     string
	Status     string
	TextDate   string
}

// Above says whether a percentage of a product has to be named: when it is more than the level of its category.
// Products that go on no skin need no names by this rule.
func (a *Allergen) Above(p Product, percent quantity.Number) bool {
	switch p.Category {
	case "leave-on":
		return percent.Cmp(a.LeaveOn) > 0
	case "rinse-off":
		return percent.Cmp(a.RinseOff) > 0
	}
	return false
}

// An AllergenList is what is to be named in products first sold on a day.
type AllergenList struct {
	Entries []Allergen
	Text    string    // the text of law that holds
	Next    time.Time // the day from which another text holds; zero where none is known
	index   map[string]int
}

var allergens = sync.OnceValue(func() []Allergen {
	var all []Allergen
	for _, row := range records(allergensCSV) {
		if row["origin"] == "banned" {
			continue // once declared, now in Annex II
		}
		a := Allergen{
			Entry: row["entry"], Name: row["name"], Members: list(row["members"]), CAS: list(row["cas"]), Kind: row["kind"],
			Note: row["note"], Other: row["other"], LeaveOn: *number(row["leave_on"]), RinseOff: *number(row["rinse_off"]),
			From: date(row["from"]), StockUntil: date(row["stock_until"]), Citation: citation("EU", row["entry"]),
			Status: row["status"],
		}
		a.Source, a.TextDate = cite(row["source"])
		all = append(all, a)
	}
	return all
})

var allergenLists = sync.OnceValue(func() (lists [2]AllergenList) {
	lists[0].Text = "Regulation (EC) No 1223/2009, Annex III, as before Regulation (EU) 2023/1545"
	lists[1].Text = "Regulation (EC) No 1223/2009, Annex III, as amended by Regulation (EU) 2023/1545"
	for _, a := range allergens() {
		if a.From.IsZero() {
			lists[0].Entries = append(lists[0].Entries, a)
		} else {
			lists[0].Next = a.From
		}
		lists[1].Entries = append(lists[1].Entries, a)
	}
	for i := range lists {
		lists[i].index = indexAllergens(lists[i].Entries)
	}
	return lists
})

func indexAllergens(all []Allergen) map[string]int {
	x := make(map[string]int)
	for i, a := range all {
		for _, name := range slices.Concat([]string{a.Name}, a.Members) {
			x[key(name)] = i
		}
	}
	for i, a := range all { // numbers after names; one that several share finds the first
		for _, cas := range a.CAS {
			if _, taken := x[cas]; !taken {
				x[cas] = i
			}
		}
	}
	return x
}

// Allergens gives what EU law wants named in products that are first sold on a day. The list is shared: leave it
// unchanged.
func Allergens(on time.Time) AllergenList {
	lists := allergenLists()
	if day(on).Before(lists[0].Next) {
		return lists[0]
	}
	return lists[1]
}

// AllergenLists gives all lists that are known, in the order of their days. They are shared: leave them unchanged.
func AllergenLists() []AllergenList {
	lists := allergenLists()
	return lists[:]
}

// Find gives the entry of a substance by label name or member name, or else by CAS number; nil where there is none. It is shared: leave it unchanged.
func (l AllergenList) Find(inci string, cas []string) (*Allergen, bool) {
	for _, k := range append(forms(inci), cas...) {
		if i, ok := l.index[k]; ok {
			return &l.Entries[i], true
		}
	}
	return nil, false
}

// declarations gives the allergens as rules, where no hand-worked rule has the entry: what asks for a name on the label
// only, or for a pure material besides.
func declarations(known map[string]bool) []Rule {
	var all []Rule
	for _, a := range allergens() {
		if known[a.Entry] {
			continue
		}
		r := Rule{
			Market: "EU", Kind: Restricted, Duty: Declare, Citation: a.Citation, Entry: a.Entry,
			Names: slices.Concat([]string{a.Name}, a.Members), CAS: a.CAS, Scope: "all", Group: a.Entry, From: a.From,
			StockUntil: a.StockUntil, Conditions: a.Other, Source: a.Source, Status: a.Status, TextDate: a.TextDate,
		}
		if a.Other != "" {
			r.Duty = Purity
		}
		all = append(all, r)
	}
	return all
}
