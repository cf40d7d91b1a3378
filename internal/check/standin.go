package check

import (
	"cmp"
	"slices"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// byName finds what a check says where lines of which no material is known are taken for what their names tell: a name that
// the law knows for the substance itself, and one that can mean several materials for the worst of them, which the finding
// then tells.
func (s *inspection) byName(run func(*inspection) []Finding) []Finding {
	if !slices.Contains(s.Materials, nil) {
		return run(s)
	}
	as := *s.Subject
	as.Materials = slices.Clone(s.Materials)
	open := make(map[string][]int) // lines by name
	var names []string
	for i, m := range as.Materials {
		if m != nil {
			continue
		}
		if several := s.candidates(i); len(several) > 1 {
			key := material.Key(s.Version.Items[i].Name)
			if open[key] == nil {
				names = append(names, key)
			}
			open[key], as.Materials[i] = append(open[key], i), several[0]
			continue
		}
		as.Materials[i] = standIn(s.Version.Items[i].Name)
	}
	for _, name := range names {
		as.takeWorst(open[name], s.candidates(open[name][0]), func(as *Subject) []Finding { return run(inspectOf(as, s.page)) })
	}
	found := run(inspectOf(&as, s.page))
	for n := range found {
		found[n] = s.supposed(found[n], &as, open)
	}
	return found
}

// takeWorst puts the candidate of which a check says most in the place of lines of one name.
func (s *Subject) takeWorst(lines []int, candidates []*material.Material, run func(*Subject) []Finding) {
	var worst *material.Material
	var most []Finding
	for _, m := range candidates {
		s.put(lines, m)
		if found := run(s); worst == nil || worse(found, most) {
			worst, most = m, found
		}
	}
	s.put(lines, worst)
}

func (s *Subject) put(lines []int, m *material.Material) {
	for _, i := range lines {
		s.Materials[i] = m
	}
}

// worse says whether findings weigh more than others: by their stops, then by their cautions.
func worse(a, b []Finding) bool {
	for _, level := range []Level{Stop, Caution} {
		count := func(all []Finding) (n int) {
			for _, f := range all {
				if f.Level == level {
					n++
				}
			}
			return n
		}
		if n := cmp.Compare(count(a), count(b)); n != 0 {
			return n > 0
		}
	}
	return false
}

// supposed tells in a finding what its lines were taken for, where a name can mean several materials.
func (s *inspection) supposed(f Finding, as *Subject, open map[string][]int) Finding {
	var ifs []string
	for _, i := range f.Items {
		name := s.Version.Items[i].Name
		if s.Materials[i] != nil || open[material.Key(name)] == nil {
			continue
		}
		if told := name + " is “" + as.Materials[i].Name + "”"; !slices.Contains(ifs, told) {
			ifs = append(ifs, told)
		}
	}
	if ifs != nil {
		f.Message = "If " + and(ifs) + ": " + f.Message
		f.Mend += " Or write which one it is."
	}
	return f
}

// candidates gives the materials that the name of a line can mean, those first that burn in the sun at the least amount.
func (s *inspection) candidates(line int) []*material.Material {
	if s.Index == nil {
		return nil
	}
	all := slices.Clone(s.Index.Candidates(s.Version.Items[line].Name))
	slices.SortStableFunc(all, func(a, b *material.Material) int {
		x, y := factsOf.Of(a, s.Index).burns, factsOf.Of(b, s.Index).burns
		switch {
		case x != nil && y != nil:
			return x.limit.Cmp(y.limit)
		case x != nil:
			return -1
		case y != nil:
			return 1
		}
		return 0
	})
	return all
}

// standIn gives a material that is what its name says, where the law or the table of oils that burn in the sun knows the
// name; else nil.
func standIn(name string) *material.Material {
	m := &material.Material{ID: material.Key(name), Name: name, Composition: []material.Constituent{{INCI: name, Percent: quantity.Int(100)}}}
	if _, known := phototoxicByName(m); known {
		m.Roles = []string{"essential-oil"}
		return m
	}
	lawful := func(market string) bool { return len(law.Find(market, name, nil)) > 0 }
	if lawful("EU") || lawful("US") || len(law.Contents(name)) > 0 {
		return m
	}
	return nil
}

// phototoxicByName gives the row of law's table for a material by its names, or by its label name where that is one alone.
func phototoxicByName(m *material.Material) (law.Phototoxic, bool) {
	for _, name := range append([]string{m.Name}, m.Also...) {
		if row, ok := law.FindPhototoxic(name); ok {
			return row, row.Phototoxic == "yes" && row.Max != nil
		}
	}
	if len(m.Composition) != 1 {
		return law.Phototoxic{}, false
	}
	return law.FindPhototoxicPlant(m.Composition[0].INCI)
}
