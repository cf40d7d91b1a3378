package site

import (
	"sync"
	"sync/atomic"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A bench is what is worked out of one recipe, each part when it is first asked for. It holds no handbook, so that one may outlive the
// handbook that it was begun in.
type bench struct {
	weighing  sync.Once
	weighed   atomic.Bool
	worked    []handbook.Worked
	finding   sync.Once
	materials []*material.Material // of all versions, each once
	using     sync.Once
	uses      map[string][]use // by material id
}

// A use is a version of a recipe that takes a material, with its percent in all lines together.
type use struct {
	recipe  *handbook.Recipe
	version *formula.Version
	percent string
}

// Worked gives a recipe's versions with their batches and findings.
func (b *Book) Worked(r *handbook.Recipe) []handbook.Worked {
	n := b.benches[r]
	n.weighing.Do(func() {
		n.worked = b.Work(r)
		n.weighed.Store(true)
	})
	return n.worked
}

// Known says whether a recipe has been worked out already.
func (b *Book) Known(r *handbook.Recipe) bool {
	return b.benches[r] != nil && b.benches[r].weighed.Load()
}

// materialsOf gives the materials that a recipe's versions take, each once.
func (b *Book) materialsOf(r *handbook.Recipe) []*material.Material {
	n := b.benches[r]
	n.finding.Do(func() {
		seen := make(map[string]bool)
		for _, v := range r.Versions {
			for _, item := range v.Items {
				if item.Material == "" || seen[item.Material] {
					continue
				}
				seen[item.Material] = true
				if m := b.Materials.Find(item.Name); m != nil {
					n.materials = append(n.materials, m)
				}
			}
		}
	})
	return n.materials
}

// usesOf gives which materials a recipe takes: in its base, and in the versions where the percent differs from that.
func (b *Book) usesOf(r *handbook.Recipe) map[string][]use {
	n := b.benches[r]
	n.using.Do(func() {
		n.uses = make(map[string][]use)
		var base map[string]quantity.Number
		for i, v := range r.Versions {
			percents := materialPercents(v)
			if i == 0 {
				base = percents
			}
			for id, percent := range percents {
				if other, has := base[id]; i == 0 || !has || other.Cmp(percent) != 0 {
					n.uses[id] = append(n.uses[id], use{r, v, percent.Text(2)})
				}
			}
		}
	})
	return n.uses
}

// usesAll gives the uses of each material, by its id, recipes in their order.
func (b *Book) usesAll() map[string][]use {
	b.usedOnce.Do(func() {
		b.used = make(map[string][]use)
		for _, r := range b.Recipes {
			for id, uses := range b.usesOf(r) {
				b.used[id] = append(b.used[id], uses...)
			}
		}
	})
	return b.used
}
