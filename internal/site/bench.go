package site

import (
	"sync"
	"sync/atomic"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/material"
)

// A bench is what is worked out of one recipe, each part when it is first asked for. It holds no handbook, so that one may outlive the
// handbook that it was begun in.
type bench struct {
	weighing   sync.Once
	weighed    atomic.Bool
	worked     []handbook.Worked
	getting    sync.Once
	gist       *gist
	packed     packedGist // of a recipe that was put away
	remembered string     // what the last run left of one, packed, if it is taken from there
	suspect    bool       // whether the body of one has a fault of its own, so that all has to be told of it
	labelling  sync.Once
	copies     [][]label.Copy
	judging    sync.Once
	stops      []check.Finding
	judged     bool // whether the stops were looked for while the recipe was in hand
}

// A use is a version of a recipe that takes a material, with its percent in all lines together.
type use struct {
	recipe  *handbook.Recipe
	number  int // of the version
	version *gistVersion
	percent string
}

// Worked gives a recipe's versions with their batches and findings. A recipe that was put away has none.
func (b *Book) Worked(r *handbook.Recipe) []handbook.Worked {
	n := b.benchOf(r)
	n.weighing.Do(func() {
		n.worked = b.Work(r)
		n.weighed.Store(true)
	})
	return n.worked
}

// benchOf gives the bench of a recipe of the handbook, or of one that is in hand.
func (b *Book) benchOf(r *handbook.Recipe) *bench {
	if n := b.benches[r]; n != nil {
		return n
	}
	if held, picked := b.hands.Load(r); picked {
		return &held.(*hand).bench
	}
	return &bench{}
}

// Known says whether a recipe has been worked out already.
func (b *Book) Known(r *handbook.Recipe) bool {
	return b.benches[r] != nil && b.benches[r].weighed.Load()
}

// stops gives the findings that keep a recipe from being published.
func (b *Book) stops(r *handbook.Recipe) []check.Finding {
	n := b.benches[r]
	n.judging.Do(func() {
		if !n.judged {
			n.stops = stopsIn(b.Worked(r))
		}
	})
	return n.stops
}

func stopsIn(worked []handbook.Worked) []check.Finding {
	var all []check.Finding
	for _, w := range worked {
		for _, f := range w.Findings {
			if f.Stops() {
				all = append(all, f)
			}
		}
	}
	return all
}

// gistOf gives what lists and other pages tell of a recipe.
func (b *Book) gistOf(r *handbook.Recipe) *gist {
	n := b.benches[r]
	if n.packed != "" {
		return n.packed.unpack()
	}
	n.getting.Do(func() { n.gist = newGist(r, b.bodies[&r.Page].document) })
	return n.gist
}

// materialsOf gives the materials that a recipe's versions take, each once.
func (b *Book) materialsOf(r *handbook.Recipe) []*material.Material {
	var all []*material.Material
	for name := range b.gistOf(r).materials {
		if m := b.find(name); m != nil {
			all = append(all, m)
		}
	}
	return all
}

// find gives the material of a name that a formula has, and remembers it.
func (b *Book) find(name string) *material.Material {
	if m, known := b.found.Load(name); known {
		return m.(*material.Material)
	}
	m := b.Materials.Find(name)
	b.found.Store(name, m)
	return m
}

// usesOf gives which materials a recipe takes: in its base, and in the versions where the percent differs from that.
func (b *Book) usesOf(r *handbook.Recipe) map[string][]use {
	all := make(map[string][]use)
	b.addUses(all, r)
	return all
}

func (b *Book) addUses(to map[string][]use, r *handbook.Recipe) {
	g := b.gistOf(r)
	for _, u := range g.Uses {
		id := g.Items[u.Item].Material
		to[id] = append(to[id], use{r, int(u.Version), &g.Versions[u.Version], u.Percent})
	}
}

// usesAll gives the uses of each material, by its id, recipes in their order.
func (b *Book) usesAll() map[string][]use {
	b.usedOnce.Do(func() {
		b.used = make(map[string][]use)
		for _, r := range b.Recipes {
			b.addUses(b.used, r)
		}
	})
	return b.used
}
