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
func allergens(s *inspection) []Finding {
	if !s.onSkin() {
		return nil
	}
	list := law.Allergens(s.day())
	found := s.toDeclare(list, time.Time{})
	if !list.Next.IsZero() {
		found = append(found, s.toDeclare(law.Allergens(list.Next), list.Next)...)
	}
	return found
}

// A declared is an allergen with how much of it a version holds, exactly.
type declared struct {
	*law.Allergen
	percent quantity.Number
}

// toDeclare tells of what a list wants named; of one that holds from a day to come, what it adds.
func (s *inspection) toDeclare(list law.AllergenList, from time.Time) []Finding {
	var found []Finding
	for _, d := range s.declared(list, !from.IsZero()) {
		if value, batches, ok := s.named(d, list); ok {
			found = append(found, s.allergen(d.Allergen, list, value, batches, from))
		}
	}
	return found
}

// declared sums what every line brings of the entries of a list, or of those that it adds to the one before, in the order of the lines.
func (s *inspection) declared(list law.AllergenList, added bool) []declared {
	var all []declared
	for i, f := range s.facts {
		if f == nil {
			continue
		}
		for _, c := range f.on(list) {
			if added && !c.added {
				continue
			}
			n := slices.IndexFunc(all, func(d declared) bool { return d.Allergen == c.Allergen })
			if n < 0 {
				n = len(all)
				all = append(all, declared{Allergen: c.Allergen})
			}
			all[n].percent = all[n].percent.Add(c.part.Mul(s.percents[i]))
		}
	}
	return all
}

// on gives what of a material stands on a list.
func (f *facts) on(list law.AllergenList) []content {
	for _, l := range f.listed {
		if l.list == list.Text {
			return l.contents
		}
	}
	panic("check: no such list of allergens: " + list.Text) // the facts have all lists
}

// bringing calls back for each line that brings an allergen, with the part of it that does.
func (s *inspection) bringing(a *law.Allergen, list law.AllergenList, line func(i int, part quantity.Number)) {
	for i, f := range s.facts {
		if f == nil {
			continue
		}
		for _, c := range f.on(list) {
			if c.Allergen == a {
				line(i, c.part)
			}
		}
	}
}

// A content is how much of an allergen is in a material, as a fraction of 1.
type content struct {
	*law.Allergen
	part  quantity.Number
	added bool // whether the list before does not have it
}

// namedIn gives a material's allergens. A material that is declared as a whole is so once, also where its INCI name tells.
func namedIn(m *material.Material, list, before law.AllergenList) []content {
	var all []content
	whole := quantity.Int(1)
	add := func(name string, part quantity.Number) {
		a, ok := list.Find(name, nil)
		if !ok {
			return
		}
		i := slices.IndexFunc(all, func(c content) bool { return c.Name == a.Name })
		if i < 0 {
			known := slices.ContainsFunc(before.Entries, func(b law.Allergen) bool { return b.Name == a.Name })
			all = append(all, content{a, part, !known})
			return
		}
		if all[i].part = all[i].part.Add(part); all[i].part.Cmp(whole) > 0 {
			all[i].part = whole
		}
	}
	for _, c := range constituents(m) {
		add(c.INCI, c.Percent.Quo(quantity.Int(100)))
	}
	if m.DeclareAs.Known {
		add(m.DeclareAs.Value, whole)
	}
	return all
}

// named says whether an allergen has to be named, with the percent to tell and the batches where it is so only as weighed.
func (s *inspection) named(d declared, list law.AllergenList) (value quantity.Number, batches []string, ok bool) {
	p := s.Product
	if p.Category == "" {
		p.Category = "leave-on"
	}
	if d.Above(p, d.percent) {
		return d.percent, nil, true
	}
	var sum levels
	s.bringing(d.Allergen, list, func(i int, part quantity.Number) { sum = sum.add(part, s.levels(i)) })
	for i, b := range s.weighed() {
		if d.Above(p, sum[i+1]) {
			batches = append(batches, b.Written)
		}
	}
	return slices.MaxFunc(sum, quantity.Number.Cmp), batches, batches != nil
}

func (s *inspection) allergen(d *law.Allergen, list law.AllergenList, value quantity.Number, batches []string, from time.Time) Finding {
	level, kind := d.LeaveOn, "a product that stays on"
	if s.Product.Category == "rinse-off" {
		level, kind = d.RinseOff, "a product that is rinsed off"
	}
	var items []int
	s.bringing(d, list, func(i int, _ quantity.Number) { items = append(items, i) })
	f := Finding{
		Code: "allergen-to-declare", Level: Note, Subject: d.Name, Market: "EU", Source: citing(d.Citation, d.Source, d.Status) + "; " + list.Text,
		Value: past(value, level, 4), Limit: level.String(), Unit: "%", Items: items,
	}
	due := " and has to be named on an EU label"
	if !from.IsZero() {
		due = " and has to be named on the EU label of what is first sold from " + from.Format("2 January 2006") + " on"
	}
	f.Message = upper(weighedFor(batches)) + d.Name + " (from " + s.items(items) + ") comes to " + f.Value + " %" + due + ": in " + kind + " that is so above " + f.Limit + " %."
	f.Mend = "Put “" + d.Name + "” in the ingredient list."
	if from.IsZero() && !list.Next.IsZero() {
		f.Mend += " From " + list.Next.Format("2 January 2006") + " a longer list of names holds."
	}
	return f
}
