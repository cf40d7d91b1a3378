package site

import (
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/markdown"
	"larkrow.example/stillroom/internal/quantity"
)

// A gist is what lists and other pages tell of a recipe's formula and body. It is kept of every recipe, packed, in memory and from one run to the next.
type gist struct {
	Items    []gistItem // what its versions take, each once, in the order in which they first do
	Versions []gistVersion
	Uses     []gistUse
	Links    []string // addresses in the body that lead to pages, pictures or headings
	Pictures []string // addresses of pictures in the body
	Minutes  string   // working time, a decimal; "" where not known
}

// A gistItem is an ingredient as formulas name it.
type gistItem struct {
	Name     string
	Material string // id, "" where none is known
}

// A gistVersion is a version of a recipe.
type gistVersion struct {
	Name  string
	Kind  formula.VersionKind
	Takes []uint16 // items, in the order of its lines, each once
}

// A gistUse says what a version takes of a material, if it is the base or takes it otherwise than that.
type gistUse struct {
	Item    uint16 // the first of that material
	Version uint16
	Percent string // in all its lines together
}

// newGist gives a recipe's gist. The document is that of its body.
func newGist(r *handbook.Recipe, d *markdown.Document) *gist {
	g := &gist{}
	at := make(map[gistItem]uint16)
	for i, v := range r.Versions {
		version := gistVersion{Name: v.Name, Kind: v.Kind, Takes: make([]uint16, 0, len(v.Items))}
		seen := make(map[uint16]bool, len(v.Items))
		for _, item := range v.Items {
			key := gistItem{item.Name, item.Material}
			n, known := at[key]
			if !known {
				n = uint16(len(g.Items))
				at[key] = n
				g.Items = append(g.Items, gistItem{item.Name, item.Material})
			}
			if !seen[n] {
				seen[n] = true
				version.Takes = append(version.Takes, n)
			}
		}
		g.Versions = append(g.Versions, version)
		g.uses(r.Versions[0], v, uint16(i), at)
	}
	if r.Time != nil {
		g.Minutes = r.Time.Minutes().Text(2)
	}
	for _, l := range d.Links {
		g.Links = append(g.Links, l.Name)
	}
	for _, l := range d.Pictures {
		g.Pictures = append(g.Pictures, l.Name)
	}
	return g
}

// uses notes what a version takes of each material, unless the base takes as much.
func (g *gist) uses(base, v *formula.Version, number uint16, at map[gistItem]uint16) {
	percents, based := materialPercents(v), map[string]quantity.Number{}
	if v != base {
		based = materialPercents(base)
	}
	for _, item := range v.Items {
		percent, taken := percents[item.Material]
		if !taken {
			continue
		}
		delete(percents, item.Material)
		if other, has := based[item.Material]; !has || other.Cmp(percent) != 0 {
			g.Uses = append(g.Uses, gistUse{at[gistItem{item.Name, item.Material}], number, percent.Text(2)})
		}
	}
}

// materials gives for each material that a recipe takes a name that finds it.
func (g *gist) materials(yield func(name string) bool) {
	seen := make(map[string]bool, len(g.Items))
	for _, item := range g.Items {
		if item.Material == "" || seen[item.Material] {
			continue
		}
		seen[item.Material] = true
		if !yield(item.Name) {
			return
		}
	}
}
