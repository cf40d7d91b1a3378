package material

import (
	"embed"
	"io/fs"
	"slices"
	"strings"
	"sync"
)

//go:embed catalogue/*.txt
var files embed.FS

// A Catalogue is a set of materials whose figures all have a source and a status. It is only read.
type Catalogue struct {
	materials []*Material
	byID      map[string]*Material
	sources   map[string]Source
	cautions  map[string]string // sentence by code
	shelf     *shelf
	facts     notebook
}

var embedded = sync.OnceValue(func() *Catalogue {
	folder, err := fs.Sub(files, "catalogue")
	if err != nil {
		panic("material: " + err.Error())
	}
	c, err := read(folder)
	if err != nil {
		panic("material: broken embedded catalogue: " + err.Error()) // a test reads it all
	}
	return c
})

// Common gives the embedded catalogue of materials that small makers buy.
func Common() *Catalogue { return embedded() }

// Materials gives all materials, sorted by id.
func (c *Catalogue) Materials() []*Material { return slices.Clone(c.materials) }

// ByID gives the material of an id, or nil.
func (c *Catalogue) ByID(id string) *Material { return c.byID[id] }

// Find gives the material that a name means, or nil where none or several are meant.
func (c *Catalogue) Find(name string) *Material { return only(c.Candidates(name)) }

// Candidates gives the materials that a name can mean, sorted by id.
func (c *Catalogue) Candidates(name string) []*Material {
	k := keysOf(name)
	if found := c.shelf.named(k); found != nil {
		return found
	}
	return c.shelf.byINCI(k)
}

// For gives the material that a handbook's page describes: the one that has the page's name among its names, or nil.
func (c *Catalogue) For(page *Material) *Material { return only(c.shelf.named(keysOf(page.Name))) }

// Names gives all names and other names that mean one material, for near-miss suggestions.
func (c *Catalogue) Names() []string { return slices.Clone(c.shelf.names) }

// Caution gives the sentence of a caution's code.
func (c *Catalogue) Caution(code string) (sentence string, ok bool) {
	sentence, ok = c.cautions[code]
	return sentence, ok
}

// Sources gives all sources, sorted by id.
func (c *Catalogue) Sources() []Source {
	all := make([]Source, 0, len(c.sources))
	for _, s := range c.sources {
		all = append(all, s)
	}
	slices.SortFunc(all, func(a, b Source) int { return strings.Compare(a.ID, b.ID) })
	return all
}

// only gives the one material of a list, or nil where there are none or several.
func only(found []*Material) *Material {
	if len(found) == 1 {
		return found[0]
	}
	return nil
}
