package material

import "sync"

// A Fact is something that is worked out of a material alone, as what the law's tables have of its substances. An index keeps what was worked out
// of its materials: a material that is read anew is another one, and an index lasts as long as the handbook that it is of.
type Fact[T any] struct {
	work func(*Material) T
}

// NewFact gives a fact that a function works out. The function gives equal results for one material, and nobody changes them.
func NewFact[T any](work func(*Material) T) *Fact[T] { return &Fact[T]{work: work} }

// Of gives the fact of a material: worked out once for one that the index knows, each time for others or where there is no index (nil).
func (f *Fact[T]) Of(m *Material, x *Index) T {
	page := x.page(m)
	if page == nil {
		return f.work(m)
	}
	if known, ok := page.Load(f); ok {
		return known.(T)
	}
	known, _ := page.LoadOrStore(f, f.work(m))
	return known.(T)
}

// A notebook has a page for what is worked out of each of some materials. The pages are there from the start, so that what is kept never
// grows past the materials.
type notebook map[*Material]*sync.Map

func newNotebook(materials []*Material) notebook {
	n := make(notebook, len(materials))
	for _, m := range materials {
		n[m] = new(sync.Map)
	}
	return n
}

// page gives the page of a material that the index knows, or nil.
func (x *Index) page(m *Material) *sync.Map {
	if x == nil {
		return nil
	}
	page := x.facts[m]
	if page == nil && x.behind != nil {
		page = x.behind.facts[m]
	}
	return page
}
