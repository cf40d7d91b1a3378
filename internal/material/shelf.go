package material

import (
	"slices"
	"strings"
)

// A shelf is the names of a catalogue's materials. A key that several materials have holds them all.
type shelf struct {
	exact, joined, sorted map[string][]*Material // names and other names
	short                 map[string][]*Material // shorter forms of names, joined and sorted
	inci                  map[string][]*Material // INCI names of materials of one substance, joined
	names                 []string
}

// finish sorts the materials and puts their names on the shelf.
func (c *Catalogue) finish() {
	slices.SortFunc(c.materials, func(a, b *Material) int { return strings.Compare(a.ID, b.ID) })
	c.shelf = newShelf(c.materials)
	c.facts = newNotebook(c.materials)
	c.shelf.names = slices.DeleteFunc(c.shelf.names, func(name string) bool { return len(c.shelf.exact[Key(name)]) > 1 })
	for _, m := range c.materials {
		for _, name := range shorts(m.Name) {
			k := keysOf(name)
			put(c.shelf.short, k.joined, m)
			put(c.shelf.short, k.sorted, m)
		}
	}
}

func newShelf(materials []*Material) *shelf {
	s := &shelf{
		exact: make(map[string][]*Material), joined: make(map[string][]*Material), sorted: make(map[string][]*Material),
		short: make(map[string][]*Material), inci: make(map[string][]*Material),
	}
	for _, m := range materials {
		for _, name := range append([]string{m.Name}, m.Also...) {
			k := keysOf(name)
			put(s.exact, k.exact, m)
			put(s.joined, k.joined, m)
			put(s.sorted, k.sorted, m)
			s.names = append(s.names, name)
		}
		if len(m.Composition) == 1 {
			c := m.Composition[0]
			put(s.inci, keysOf(c.INCI).joined, m)
			put(s.inci, keysOf(c.USName()).joined, m)
		}
	}
	return s
}

func put(in map[string][]*Material, key string, m *Material) {
	if key != "" && !slices.Contains(in[key], m) {
		in[key] = append(in[key], m)
	}
}

// named gives the materials that a name means, by the strictest of its forms that any has.
func (s *shelf) named(k keys) []*Material {
	for _, found := range [][]*Material{s.exact[k.exact], s.joined[k.joined], s.sorted[k.sorted], s.short[k.joined], s.short[k.sorted]} {
		if found != nil {
			return found
		}
	}
	return nil
}

// byINCI gives the materials of one substance that have an INCI name.
func (s *shelf) byINCI(k keys) []*Material { return s.inci[k.joined] }
