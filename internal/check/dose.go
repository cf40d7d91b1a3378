package check

import (
	"slices"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A dose is how much of one material a version holds, over all its lines.
type dose struct {
	*material.Material
	name    string          // as the recipe first writes it
	items   []int           // in order
	percent quantity.Number // exact
}

// doses gives the known materials of a version with their lines together, in the order of their first lines.
func (s *Subject) doses() []dose {
	var all []dose
	for i, m := range s.Materials {
		if m == nil {
			continue
		}
		at := slices.IndexFunc(all, func(d dose) bool { return same(d.Material, m) })
		if at < 0 {
			at = len(all)
			all = append(all, dose{Material: m, name: s.Version.Items[i].Name})
		}
		all[at].items = append(all[at].items, i)
		all[at].percent = all[at].percent.Add(s.Version.Percent(i))
	}
	return all
}

func same(a, b *material.Material) bool {
	return a == b || a.ID == b.ID && material.Key(a.Name) == material.Key(b.Name)
}

// doses that hold, and all their lines.
func (s *Subject) dosesThat(hold func(dose) bool) []dose {
	return slices.DeleteFunc(s.doses(), func(d dose) bool { return !hold(d) })
}

func itemsOf(doses []dose) []int {
	var all []int
	for _, d := range doses {
		all = append(all, d.items...)
	}
	slices.Sort(all)
	return all
}

func namesOf(doses []dose) []string {
	names := make([]string, len(doses))
	for i, d := range doses {
		names[i] = d.name
	}
	return names
}

func percentOf(doses []dose) quantity.Number {
	sum := quantity.Number{}
	for _, d := range doses {
		sum = sum.Add(d.percent)
	}
	return sum
}

// weighedPercent gives what items come to in a batch as it will be weighed.
func weighedPercent(c formula.Column, items []int) quantity.Number {
	sum := quantity.Number{}
	for _, i := range items {
		sum = sum.Add(c.Weights[i].Mass.Grams())
	}
	if total := c.Total.Grams(); total.Sign() > 0 {
		return sum.Mul(quantity.Int(100)).Quo(total)
	}
	return quantity.Number{}
}

// shareText writes how much of the product a dose is, never as 0.
func shareText(d dose) string { return past(d.percent, quantity.Number{}, 2) }
