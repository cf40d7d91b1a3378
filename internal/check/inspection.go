package check

import (
	"larkrow.example/stillroom/internal/emulsion"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// An inspection is one look at a version by the checks, with what several of them ask for worked out once. It is for one goroutine.
type inspection struct {
	*Subject
	page     *page
	facts    []*facts          // of the items' materials, nil where none is known
	percents []quantity.Number // of the items, exact
	doses    []*dose           // the known materials with their lines together, in the order of their first lines
	columns  [][]quantity.Number

	made   kept[perhaps[Soap]]
	soaps  kept[[]kept[soap.Result]]
	syndet kept[bool]
	waters kept[[]*dose]
	guards kept[[]*dose]
	names  kept[named]
	all    kept[[]Batch]
	shares kept[[]levels]
	oils   kept[[]int]
	kind   kept[kind]
}

// inspect begins to look at a version by itself.
func inspect(s *Subject) *inspection { return inspectOf(s, &page{words: s.Words}) }

// inspectOf begins to look at a version of a page.
func inspectOf(s *Subject, p *page) *inspection {
	n := len(s.Version.Items)
	in := &inspection{Subject: s, page: p, facts: make([]*facts, n), percents: make([]quantity.Number, n)}
	for i := range in.percents {
		in.percents[i] = s.Version.Percent(i)
		if m := s.Materials[i]; m != nil {
			in.facts[i] = factsOf.Of(m, s.Index)
		}
	}
	in.doses = in.together()
	return in
}

// A kept thing is worked out when it is first asked for.
type kept[T any] struct {
	known bool
	value T
}

func (k *kept[T]) get(work func() T) T {
	if !k.known {
		k.value, k.known = work(), true
	}
	return k.value
}

// A perhaps is something that there may be.
type perhaps[T any] struct {
	it T
	is bool
}

// Soap gives the version as a soap, and false where it is none: where no alkali makes soap of its fats, or so little that it only sets the
// pH. What is called soap is one wherever there is alkali in it, but where surfactants wash in the place of soap. Where an ingredient may be
// a fat for all that is known, the soap cannot be worked out.
func (s *Subject) Soap() (Soap, bool) { return inspect(s).asSoap() }

// Emulsion gives what of the version is an emulsion, and false where it is none: no oil phase, hardly any water, or a soap.
func (s *Subject) Emulsion() (emulsion.Emulsion, bool) { return inspect(s).emulsion() }
