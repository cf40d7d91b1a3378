package material

import (
	"slices"
	"sync"
)

// An Index finds materials by name: first by the handbook's own names and other names, then by those of the catalogue
// that stands behind it, if one does, then by INCI name where just one material has it.
type Index struct {
	pages  *shelf
	behind *Catalogue             // or nil
	merged map[string][]*Material // the handbook's materials by the catalogue's entry that they were merged with
	facts  notebook               // of the handbook's materials
	asked  *sync.Map              // the materials that names mean; not names that mean none, of which there is no end
}

// NewIndex indexes a handbook's materials. A name that two materials claim finds the first; the loader refuses such handbooks.
func NewIndex(materials []*Material) *Index {
	x := &Index{pages: newShelf(materials), merged: make(map[string][]*Material), facts: newNotebook(materials), asked: new(sync.Map)}
	for _, m := range materials {
		if m.Base != "" {
			x.merged[m.Base] = append(x.merged[m.Base], m)
		}
	}
	for key, found := range x.pages.exact {
		x.pages.exact[key] = found[:1]
	}
	return x
}

// Over gives an index that looks into a catalogue for what the handbook does not have. The names of an entry that a
// page was merged with find the page.
func (x *Index) Over(c *Catalogue) *Index {
	return &Index{pages: x.pages, merged: x.merged, behind: c, facts: x.facts, asked: new(sync.Map)}
}

// Find gives the material of a name, or nil where none or several are meant.
func (x *Index) Find(name string) *Material { return only(x.Candidates(name)) }

// Candidates gives the materials that a name can mean. Where several are and the handbook has just one of them, it is that one.
// The list is shared: leave it unchanged.
func (x *Index) Candidates(name string) []*Material {
	if found, known := x.asked.Load(name); known {
		return found.([]*Material)
	}
	found := x.find(name)
	if found != nil {
		x.asked.Store(name, found)
	}
	return found
}

func (x *Index) find(name string) []*Material {
	k := keysOf(name)
	if found := x.pages.named(k); found != nil {
		return found
	}
	if x.behind != nil {
		if found := x.own(x.behind.shelf.named(k)); found != nil {
			return found
		}
	}
	found := x.pages.byINCI(k)
	if found == nil && x.behind != nil {
		found = x.own(x.behind.shelf.byINCI(k))
	}
	return found
}

// own puts the handbook's materials in the place of the entries that they were merged with.
func (x *Index) own(found []*Material) []*Material {
	var ours, all []*Material
	for _, m := range found {
		if pages := x.merged[m.ID]; pages != nil {
			ours = append(ours, pages...)
			all = append(all, pages...)
		} else {
			all = append(all, m)
		}
	}
	if len(ours) == 1 {
		return ours
	}
	return all
}

// Names gives all names that are known, the handbook's first, for near-miss suggestions.
func (x *Index) Names() []string {
	if x.behind == nil {
		return x.pages.names
	}
	return slices.Concat(x.pages.names, x.behind.shelf.names)
}

// SameNames says whether another index knows the same names, in the same order.
func (x *Index) SameNames(other *Index) bool {
	return x == other || x.behind == other.behind && slices.Equal(x.pages.names, other.pages.names)
}
