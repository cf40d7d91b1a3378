package synthetic

import "fmt"

// A variant is a version that is written as changes, each in YAML.
type variant struct {
	name         string
	change, adds []string
}

// variants writes up to three variants and gives their names.
func (m *mixer) variants(p *page) []string {
	var all []variant
	for _, make := range some(m.dice, m.between(0, 3, 1), []func(*mixer) (variant, bool){unscented, (*mixer).other, (*mixer).richer, (*mixer).flowered}) {
		if v, ok := make(m); ok {
			all = append(all, v)
		}
	}
	if len(all) == 0 {
		return nil
	}
	var names []string
	p.say("variants:\n")
	for _, v := range all {
		names = append(names, v.name)
		p.say("  - name: ", v.name, "\n")
		if m.chance(85) {
			p.say("    note: ", quoted(one(m.dice, variantNotes)+" "+saying(m.dice)), "\n")
		}
		for _, part := range []struct {
			name  string
			lines []string
		}{{"change", v.change}, {"add", v.adds}} {
			if len(part.lines) > 0 {
				p.say("    ", part.name, ":\n")
			}
			for _, l := range part.lines {
				p.say("      ", l, "\n")
			}
		}
	}
	return names
}

// free says whether lines can be taken out and added without a change to the others.
func (m *mixer) free() bool { return m.style != percents && m.soap == "" }

// unscented leaves the scent out.
func unscented(m *mixer) (variant, bool) {
	v := variant{name: "Unscented"}
	for _, l := range m.find(fragrance, essential) {
		v.change = append(v.change, quoted(l.name)+": out")
	}
	return v, m.free() && m.style != ounces && len(v.change) > 0
}

// other takes another oil or butter.
func (m *mixer) other() (variant, bool) {
	found := m.find(oil, butter)
	if m.soap != "" {
		found = m.find(butter) // the lye is worked out anew
	}
	if len(found) == 0 {
		return variant{}, false
	}
	was := one(m.dice, found)
	l, ok := m.pick(was.family)
	return variant{name: "The " + one(m.dice, places) + " way", change: []string{quoted(was.name) + ": becomes " + l.name}}, ok
}

// richer has more of a humectant.
func (m *mixer) richer() (variant, bool) {
	for _, l := range m.find(humectant) {
		if !l.balance && m.style == balanced && !m.used["richer"] {
			m.used["richer"] = true
			return variant{name: "Rich", change: []string{quoted(l.name) + ": " + percent(l.share+100)}}, true
		}
	}
	return variant{}, false
}

// flowered adds something to the last phase.
func (m *mixer) flowered() (variant, bool) {
	f := extract
	if len(m.find(preservative)) == 0 {
		f = antioxidant
	}
	l, ok := m.pick(f)
	if !ok || m.style != balanced || m.soap != "" {
		return variant{}, false
	}
	last := m.phases[len(m.phases)-1]
	add := quoted(l.name) + ": " + group(pair{"amount", percent(m.between(20, 50, 5))}, pair{"phase", last.name}, pair{"note", one(m.dice, lineNotes)})
	return variant{name: one(m.dice, seasons) + " version", adds: []string{add}}, true
}

// splits writes the parts that some batches are divided into, and gives their names.
func (m *mixer) splits(p *page) []string {
	if !m.chance(25) || m.soap != "" || len(m.find(preservative)) == 0 {
		return nil
	}
	l, ok := m.pick(extract)
	if !ok {
		return nil
	}
	shares := one(m.dice, [][]string{{"1/2", "1/2"}, {"3/4", "25 %"}, {"1/3", "2/3"}, {"60 %", "40 %"}})
	p.say("splits:\n")
	p.say("  - {name: Plain, share: ", shares[0], "}\n")
	p.say("  - {name: Garden, share: ", shares[1], ", note: ", quoted(one(m.dice, variantNotes)+" "+saying(m.dice)), ", add: {",
		fmt.Sprintf("%s: %s", quoted(l.name), one(m.dice, []string{"1 oz per 60 oz", "1 per 80", "1 %"})), "}}\n")
	return []string{"Plain", "Garden"}
}
