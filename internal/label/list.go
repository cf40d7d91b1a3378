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
	Place   *Basis          // the rule that gives its place
	Naming  []*Basis        // rules that give its name, where not the substance's own
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
	look := s.look()
	opened, allergens := look.open(), look.inForce()
	all := make([]List, 0, len(Markets()))
	for _, market := range Markets() {
		all = append(all, look.list(market, opened.parts, allergens))
	}
	return all, allergens
}

func (s *look) list(market string, parts []part, allergens []Allergen) List {
	l := List{Market: market, Heading: "Ingredients"}
	at := slices.Index(Markets(), market)
	entries := slices.Grow(s.entries[:0], len(parts)+len(allergens))
	for _, p := range parts {
		as := &p.in[at]
		entries = addEntry(entries, Entry{
			Name: as.name, Percent: p.percent, Flags: as.flags, last: p.kind == colour, Naming: as.naming, key: as.key,
		})
	}
	if market == EU {
		for i := range allergens {
			if a := &allergens[i]; a.Declare {
				entries = addEntry(entries, Entry{Name: a.Name, Within: a.hidden, Naming: []*Basis{basis(thresholdRule(s.Product)), &a.Basis}, key: plainKey(a.Name)})
			}
		}
	}
	s.entries = entries
	l.Entries = s.order(entries, market)
	return l
}

// addEntry adds an entry, or adds it to the one of its name. What an entry has in lists is shared.
func addEntry(entries []Entry, e Entry) []Entry {
	i := slices.IndexFunc(entries, func(have Entry) bool { return have.key == e.key })
	if i < 0 {
		return append(entries, e)
	}
	have := &entries[i]
	have.Percent, have.Within = have.Percent.Add(e.Percent), have.Within.Add(e.Within)
	have.Flags, have.Naming = joined(have.Flags, e.Flags), joined(have.Naming, e.Naming)
	have.last = have.last && e.last
	return entries
}

// joined gives what is in either of two lists, each once.
func joined[T comparable](a, b []T) []T {
	if slices.Equal(a, b) || len(b) == 0 {
		return a
	}
	return distinct(slices.Concat(a, b))
}

// order gives entries in their places, each with the rule by which it stands there.
func (s *look) order(entries []Entry, market string) []Entry {
	places := slices.Grow(s.places[:0], len(entries))
	one := quantity.Int(1)
	for i := range entries {
		p := place{Entry: &entries[i], weight: entries[i].weight()}
		c := p.weight.Cmp(one)
		p.free = c < 0 || c == 0 && market == US
		places = append(places, p)
	}
	s.places = places
	slices.SortStableFunc(places, place.before)
	all := slices.Grow([]Entry(nil), len(places))
	for i, p := range places {
		if i > 0 && p.last == places[i-1].last && p.free == places[i-1].free {
			p.Place = places[i-1].Place
		} else {
			p.Place = basis(placeRule(market, p.last, p.free))
		}
		all = append(all, *p.Entry)
	}
	return all
}

// A place is where an entry stands by its weight: free where the law leaves its place below the others free.
type place struct {
	*Entry
	weight quantity.Number
	free   bool
}

func (p place) before(o place) int {
	switch {
	case p.last != o.last:
		return truth(p.last) - truth(o.last)
	case !p.last && p.free != o.free:
		return truth(p.free) - truth(o.free)
	case !p.last && p.free:
		return cmp.Compare(p.key, o.key)
	}
	return cmp.Or(o.weight.Cmp(p.weight), cmp.Compare(p.key, o.key))
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

// naming gives the rules that make a substance's name other than its own.
func naming(market string, p *named, name string) []*Basis {
	switch {
	case p.kind == colour && market == EU:
		return []*Basis{basis("eu-colourants-ci")}
	case name == perfumeEU && market == EU:
		return []*Basis{basis("eu-parfum-aroma")}
	case name == perfumeUS && market == US:
		return []*Basis{basis("us-fragrance-flavor-name")}
	case isWater(p.key) || market == US && name != p.inci:
		return []*Basis{basis(choose(market, "eu-ingredient-names", "us-ingredient-names"))}
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
