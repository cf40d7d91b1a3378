package binder

import (
	"slices"

	"larkrow.example/stillroom/internal/site"
)

// costs are what a recipe's batches cost: material by material for the first version, of the others the sums.
type costs struct {
	*site.CostView
	Others  []site.CostView
	Missing []string // what is left out in any version because it is not known
}

// newCosts gathers the versions' costs, nil where none is known.
func newCosts(all []site.CostView) *costs {
	if len(all) == 0 {
		return nil
	}
	first := all[0]
	first.Rows = slices.DeleteFunc(slices.Clone(first.Rows), func(r site.CostRow) bool { return slices.Contains(first.Missing, r.Name) })
	c := &costs{CostView: &first}
	for i, v := range all {
		for _, name := range v.Missing {
			c.Missing = appendNew(c.Missing, name)
		}
		if i > 0 && len(v.Batches) == len(first.Batches) {
			v.Sums = v.Sums[len(v.Sums)-2:] // in all, and for one container
			c.Others = append(c.Others, v)
		}
	}
	return c
}
