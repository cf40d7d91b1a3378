package check

import (
	"slices"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A dose is how much of one material a version holds, over all its lines.
type dose struct {
	*material.Material
	facts   *facts
	name    string          // as the recipe first writes it
	items   []int           // in order
	percent quantity.Number // exact
}

// together gives the known materials of a version with their lines together, in the order of their first lines.
func (s *inspection) together() []*dose {
	all := make([]*dose, 0, len(s.facts))
	room := make([]dose, len(s.facts))
	lines := make([]int, len(s.facts)) // so that most doses need no list of their own
	for i, f := range s.facts {
		if f == nil {
			continue
		}
		m := s.Materials[i]
		at := slices.IndexFunc(all, func(d *dose) bool { return same(d.Material, m) })
		if at < 0 {
			d := &room[len(all)]
			lines[i] = i
			*d = dose{Material: m, facts: f, name: s.Version.Items[i].Name, items: lines[i : i+1 : i+1], percent: s.percents[i]}
			all = append(all, d)
			continue
		}
		all[at].items = append(all[at].items, i)
		all[at].percent = all[at].percent.Add(s.percents[i])
	}
	return all
}

func same(a, b *material.Material) bool {
	return a == b || a.ID == b.ID && material.Key(a.Name) == material.Key(b.Name)
}

// doses that hold, and all their lines.
func (s *inspection) dosesThat(hold func(*dose) bool) []*dose {
	return those(s.doses, hold)
}

func those(doses []*dose, hold func(*dose) bool) []*dose {
	var all []*dose
	for i, d := range doses {
		if !hold(d) {
			continue
		}
		if all == nil {
			all = make([]*dose, 0, len(doses)-i)
		}
		all = append(all, d)
	}
	return all
}

func itemsOf(doses []*dose) []int {
	if len(doses) == 0 {
		return nil
	}
	all := make([]int, 0, len(doses))
	for _, d := range doses {
		all = append(all, d.items...)
	}
	slices.Sort(all)
	return all
}

func namesOf(doses []*dose) []string {
	names := make([]string, len(doses))
	for i, d := range doses {
		names[i] = d.name
	}
	return names
}

func percentOf(doses []*dose) quantity.Number {
	sum := quantity.Number{}
	for _, d := range doses {
		sum = sum.Add(d.percent)
	}
	return sum
}

// shareText writes how much of the product a dose is, never as 0.
func shareText(d *dose) string { return past(d.percent, quantity.Number{}, 2) }
