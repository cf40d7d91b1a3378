package label

import (
	"cmp"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// A List is the ingredient list of a label.
type List struct {
	Market  string
	Heading string // the word that the list stands under
	Entries []Entry
}

// An Entry is one name of an ingredient list.
type Entry struct {
	Name    string
	Percent quantity.Number // of the product; over all entries these make 100
	Within  quantity.Number // percent of the product that is told under another name already, as an allergen is under Parfum
	Place   Basis           // the rule that gives its place
	Naming  []Basis         // rules that give its name, where not the substance's own
	Flags   []string        // what the maker has to look into
	last    bool            // a colourant
	key     string          // of Name
}

// String gives the names joined with commas, as they stand on the label, without the heading.
func (l List) String() string {
	all := make([]string, len(l.Entries))
	for i, e := range l.Entries {
		all[i] = e.Name
	}
	return strings.Join(all, ", ")
}

// weight is what an entry's place goes by.
func (e Entry) weight() quantity.Number { return e.Percent.Add(e.Within) }

// Ingredients gives a version's ingredient list for a market: every material opened into its substances, equal ones summed,
// from most to least down to 1 %, the rest by the alphabet (the law leaves their order free), colourants last.
// In the EU fragrance allergens above their level are added.
func Ingredients(s *Subject, market string) List {
	lists, _ := Lists(s)
	return lists[slices.Index(Markets(), market)]
}

// Lists gives a version's ingredient list for each of the markets, in their order, as [Ingredients] does; and the allergens.
func Lists(s *Subject) ([]List, []Allergen) {
	opened, allergens := s.open(), Allergens(s)
	var all []List
	for _, market := range Markets() {
		all = append(all, list(s, market, opened.parts, allergens))
	}
	return all, allergens
}

func list(s *Subject, market string, parts []part, allergens []Allergen) List {
	l := List{Market: market, Heading: "Ingredients"}
	at := make(map[string]int) // where in l.Entries, by name
	for _, p := range parts {
		name, flags := p.nameIn(market)
		l.add(at, Entry{
			Name: name, Percent: p.percent, Flags: slices.Concat(p.flags, flags), last: p.kind == colour, Naming: naming(market, p, name),
		})
	}
	if market == EU {
		for _, a := range allergens {
			if a.Declare {
				l.add(at, Entry{Name: a.Name, Within: a.hidden, Naming: []Basis{rule(thresholdRule(s.Product)), a.Basis}})
			}
		}
	}
	l.order()
	return l
}

// add adds an entry, or adds it to the one of its name.
func (l *List) add(at map[string]int, e Entry) {
	e.key = plainKey(e.Name)
	i, known := at[e.key]
	if !known {
		at[e.key] = len(l.Entries)
		e.Flags = distinct(e.Flags)
		l.Entries = append(l.Entries, e)
		return
	}
	have := &l.Entries[i]
	have.Percent, have.Within = have.Percent.Add(e.Percent), have.Within.Add(e.Within)
	have.Flags = distinct(slices.Concat(have.Flags, e.Flags))
	have.Naming = distinct(slices.Concat(have.Naming, e.Naming))
	have.last = have.last && e.last
}

// order puts the entries in their places and says by which rule each stands there.
func (l *List) order() {
	free := func(e Entry) bool { // whether the law leaves its place below the others free
		c := e.weight().Cmp(quantity.Int(1))
		return c < 0 || c == 0 && l.Market == US
	}
	slices.SortStableFunc(l.Entries, func(a, b Entry) int {
		byName := cmp.Compare(a.key, b.key)
		switch {
		case a.last != b.last:
			return truth(a.last) - truth(b.last)
		case a.last:
			return cmp.Or(b.weight().Cmp(a.weight()), byName)
		case free(a) != free(b):
			return truth(free(a)) - truth(free(b))
		case free(a):
			return byName
		}
		return cmp.Or(b.weight().Cmp(a.weight()), byName)
	})
	for i := range l.Entries {
		l.Entries[i].Place = rule(placeRule(l.Market, l.Entries[i].last, free(l.Entries[i])))
	}
}

func placeRule(market string, last, free bool) string {
	switch {
	case last:
		return choose(market, "eu-colourants-order", "us-color-additives-order")
	case free:
		return choose(market, "eu-one-percent-rule", "us-one-percent-rule")
	}
	return choose(market, "eu-ingredient-order", "us-ingredient-order")
}

// naming gives the rules that make a part's name other than its own.
func naming(market string, p part, name string) []Basis {
	switch {
	case p.kind == colour && market == EU:
		return []Basis{rule("eu-colourants-ci")}
	case name == perfumeEU && market == EU:
		return []Basis{rule("eu-parfum-aroma")}
	case name == perfumeUS && market == US:
		return []Basis{rule("us-fragrance-flavor-name")}
	case isWater(p.key) || market == US && name != p.inci:
		return []Basis{rule(choose(market, "eu-ingredient-names", "us-ingredient-names"))}
	}
	return nil
}

func truth(b bool) int {
	if b {
		return 1
	}
	return 0
}

// distinct gives what is in a list, in order, once.
func distinct[T comparable](all []T) []T {
	var out []T
	for _, v := range all {
		if !slices.Contains(out, v) {
			out = append(out, v)
		}
	}
	return out
}
