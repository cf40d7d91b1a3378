package label

import (
	"slices"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// Facts are what labels tell of a material in whatever formula: its substances named and looked up in the law's tables once, for all versions that
// take it. They are only read.
type facts struct {
	parts  []share // what it is opened into; they make up the whole
	scents []share // what its perfume holds
	listed []onList
}

// A share is how much of a material a substance is, as a fraction of 1, with the rules that have words for a label.
type share struct {
	*named
	of    quantity.Number
	words []law.Rule
	aha   bool // whether it is an alpha hydroxy acid
}

// An onList is what of a material stands on one of the law's lists of allergens.
type onList struct {
	list     string // its text of law
	contents []content
}

// A content is how much of an allergen a material holds, as a fraction of 1; hidden is what an ingredient list does not tell under this name anyway.
type content struct {
	entry  *law.Allergen
	of     quantity.Number
	hidden bool
}

var factsOf = material.NewFact(newFacts)

func newFacts(m *material.Material) *facts {
	f := &facts{parts: open(m)}
	for _, c := range scentParts(m) {
		f.scents = append(f.scents, newShare(newNamed(c.INCI, "", plain, nil), fraction(c.Percent)))
	}
	for _, list := range law.AllergenLists() {
		f.listed = append(f.listed, onList{list.Text, allergensIn(m, list)})
	}
	return f
}

func newShare(n *named, of quantity.Number) share {
	return share{n, of, lookUp(n.inci).words, isAHA(n.key)}
}

func fraction(percent quantity.Number) quantity.Number { return percent.Quo(hundred) }

// on gives what of a material stands on a list.
func (f *facts) on(list law.AllergenList) []content {
	i := slices.IndexFunc(f.listed, func(l onList) bool { return l.list == list.Text })
	return f.listed[i].contents // the facts have all lists
}

// A look is one look at a version for its labels, with what all of them ask for worked out once.
type look struct {
	*Subject
	facts    []*facts          // of the items' materials, nil where none is known
	percents []quantity.Number // of the items

	entries []Entry // room for one list after the other
	places  []place
}

func (s *Subject) look() *look {
	n := len(s.Version.Items)
	l := &look{Subject: s, facts: make([]*facts, n), percents: make([]quantity.Number, n)}
	for i := range l.facts {
		l.percents[i] = s.Version.Percent(i)
		if m := s.material(i); m != nil {
			l.facts[i] = factsOf.Of(m, s.Index)
		}
	}
	return l
}
