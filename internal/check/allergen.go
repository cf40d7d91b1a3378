package check

import (
	"slices"
	"time"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// allergens finds fragrance substances and extracts that EU law wants named on the label: those above 0.001 % of a product
// that stays on or 0.01 % of one that is rinsed off, by the list of package law for the day, and those that the next list
// adds. Of a product of no known type the lower level is taken.
func allergens(s *Subject) []Finding {
	if !s.onSkin() {
		return nil
	}
	list := law.Allergens(s.day())
	found := s.toDeclare(list, nil, time.Time{})
	if !list.Next.IsZero() {
		found = append(found, s.toDeclare(law.Allergens(list.Next), list.Entries, list.Next)...)
	}
	return found
}

// A declared is an allergen with how much of it a version holds.
type declared struct {
	law.Allergen
	sum   levels
	items []int
}

// toDeclare tells of what a list wants named, without the names that are known already.
func (s *Subject) toDeclare(list law.AllergenList, known []law.Allergen, from time.Time) []Finding {
	var found []Finding
	for _, d := range s.declared(list) {
		if slices.ContainsFunc(known, func(a law.Allergen) bool { return a.Name == d.Name }) {
			continue
		}
		if value, batches, ok := s.named(d); ok {
			found = append(found, s.allergen(d, list, value, batches, from))
		}
	}
	return found
}

// declared sums what every line brings of the entries of a list, in the order of the lines.
func (s *Subject) declared(list law.AllergenList) []*declared {
	var all []*declared
	for i, m := range s.Materials {
		if m == nil {
			continue
		}
		var of levels
		for _, c := range namedIn(m, list) {
			if of == nil {
				of = s.levels(i)
			}
			n := slices.IndexFunc(all, func(d *declared) bool { return d.Name == c.Name })
			if n < 0 {
				n = len(all)
				all = append(all, &declared{Allergen: c.Allergen})
			}
			all[n].sum = all[n].sum.add(c.percent.Quo(quantity.Int(100)), of)
			all[n].items = append(all[n].items, i)
		}
	}
	return all
}

// A content is how much of an allergen is in a material, in percent of it.
type content struct {
	law.Allergen
	percent quantity.Number
}

// namedIn gives a material's allergens. A material that is declared as a whole is so once, also where its INCI name tells.
func namedIn(m *material.Material, list law.AllergenList) []content {
	var all []content
	add := func(name string, percent quantity.Number) {
		a, ok := list.Find(name, nil)
		if !ok {
			return
		}
		i := slices.IndexFunc(all, func(c content) bool { return c.Name == a.Name })
		if i < 0 {
			all = append(all, content{Allergen: a, percent: percent})
			return
		}
		if all[i].percent = all[i].percent.Add(percent); all[i].percent.Cmp(quantity.Int(100)) > 0 {
			all[i].percent = quantity.Int(100)
		}
	}
	for _, c := range constituents(m) {
		add(c.INCI, c.Percent)
	}
	if m.DeclareAs.Known {
		add(m.DeclareAs.Value, quantity.Int(100))
	}
	return all
}

// named says whether an allergen has to be named, with the percent to tell and the batches where it is so only as weighed.
func (s *Subject) named(d *declared) (value quantity.Number, batches []string, ok bool) {
	p := s.Product
	if p.Category == "" {
		p.Category = "leave-on"
	}
	if d.Above(p, d.sum[0]) {
		return d.sum[0], nil, true
	}
	for i, b := range s.weighed() {
		if d.Above(p, d.sum[i+1]) {
			batches = append(batches, b.Written)
		}
	}
	return slices.MaxFunc(d.sum, quantity.Number.Cmp), batches, batches != nil
}

func (s *Subject) allergen(d *declared, list law.AllergenList, value quantity.Number, batches []string, from time.Time) Finding {
	level, kind := d.LeaveOn, "a product that stays on"
	if s.Product.Category == "rinse-off" {
		level, kind = d.RinseOff, "a product that is rinsed off"
	}
	f := Finding{
		Code: "allergen-to-declare", Level: Note, Subject: d.Name, Market: "EU", Source: citing(d.Citation, d.Source, d.Status) + "; " + list.Text,
		Value: past(value, level, 4), Limit: level.String(), Unit: "%", Items: slices.Compact(d.items),
	}
	due := " and has to be named on an EU label"
	if !from.IsZero() {
		due = " and has to be named on the EU label of what is first sold from " + from.Format("2 January 2006") + " on"
	}
	f.Message = upper(weighedFor(batches)) + d.Name + " (from " + s.items(d.items) + ") comes to " + f.Value + " %" + due + ": in " + kind + " that is so above " + f.Limit + " %."
	f.Mend = "Put “" + d.Name + "” in the ingredient list."
	if from.IsZero() && !list.Next.IsZero() {
		f.Mend += " From " + list.Next.Format("2 January 2006") + " a longer list of names holds."
	}
	return f
}
