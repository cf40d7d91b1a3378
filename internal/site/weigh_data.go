package site

import (
	"html/template"
	"maps"
	"slices"
	"strconv"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// weighID is the id of the element that has a page's data for weighing.
const weighID = "weigh--data"

// drawWeighData draws what the page's script weighs batches of other sizes from, as a block that no browser runs; nothing where there is nothing to
// weigh. It stands in the page's content, and so is sealed with it. secret says of which materials nothing may be told but name and amount.
func drawWeighData(worked []handbook.Worked, secret map[string]bool) template.HTML {
	if !slices.ContainsFunc(worked, func(w handbook.Worked) bool { return len(w.Version.Items) > 0 }) {
		return ""
	}
	return template.HTML(inkedText(jsonInk{inHTML: true}, func(o *jsonInk) { //nolint:gosec // in which < and & are escaped
		o.b = append(o.b, `<script type="application/json" id="`+weighID+`">`...)
		weighPen{o, secret}.data(worked)
		o.b = append(o.b, `</script>`...)
	}))
}

// A weighPen writes the data for weighing, its functions the fields of each object in their order. Numbers are exact: whole ones or fractions, 12 or 7/20;
// weights are in grams.
type weighPen struct {
	*jsonInk
	secret map[string]bool
}

func (p weighPen) data(worked []handbook.Worked) {
	p.object("", func() {
		p.scale(worked[0].Scale)
		p.fills(worked[0].Fills)
		p.array("versions", func() {
			for i, w := range worked {
				p.version(w, versionID(i))
			}
		})
		p.names(worked)
	})
}

// scale writes what is read, and up to which load; the last range has no end.
func (p weighPen) scale(scale quantity.Scale) {
	p.array("scale", func() {
		for _, r := range scale.Ranges() {
			p.array("", func() {
				p.exact("", r.Reads.Grams())
				if upTo := r.UpTo.Grams(); upTo.Sign() > 0 {
					p.exact("", upTo)
				} else {
					p.text("", "")
				}
			})
		}
	})
}

func (p weighPen) fills(fills []formula.Fill) {
	p.array("fills", func() {
		for _, f := range fills {
			p.object("", func() {
				p.text("container", f.Container)
				p.exact("takes", f.Takes.Grams()) // 0 where it is not known
				p.exact("loss", f.Loss)           // percent
				p.anyText("unknown", f.Unknown)
			})
		}
	})
}

// version writes a version. Balance are the items that may take up the rounding, the first choice first; instead are those of a batch that uses one of
// them up. The first so many items of a portion are the base's.
func (p weighPen) version(w handbook.Worked, id string) {
	v := w.Version
	balance := v.Balances(-1)
	p.object("", func() {
		p.text("id", id)
		p.text("kind", string(v.Kind))
		p.array("phases", func() {
			for i := range v.Phases {
				p.text("", v.Phases[i].Name)
			}
		})
		p.array("items", func() {
			for i := range v.Items {
				p.item(w, i)
			}
		})
		p.wholes("balance", balance)
		p.object("instead", func() {
			for _, i := range byDigits(balance) {
				p.wholes(strconv.Itoa(i), v.Balances(i))
			}
		})
		if part := v.Portion; part != nil {
			p.object("portion", func() {
				p.exact("share", part.Share) // of 1
				p.whole("items", int64(part.Items))
			})
		}
	})
}

func (p weighPen) item(w handbook.Worked, i int) {
	item, m := &w.Version.Items[i], w.Materials[i]
	p.object("", func() {
		p.text("name", item.Name)
		p.whole("phase", int64(item.Phase))
		p.exact("share", w.Version.Share(i)) // of 1
		if m != nil && !p.secret[item.Material] && m.Has("preservative", "alkali") {
			p.truth("grave", true) // as the finding below-scale has it
		}
	})
}

// byDigits gives whole numbers in the order of their digits, as keys stand.
func byDigits(all []int) []int {
	return slices.SortedFunc(slices.Values(all), func(a, b int) int { return strings.Compare(strconv.Itoa(a), strconv.Itoa(b)) })
}

// names writes the other names of the versions' materials by what the formula calls them, as far as each means that material alone.
func (p weighPen) names(worked []handbook.Worked) {
	type called struct {
		name string
		m    *material.Material
	}
	others := make(map[string][]string)
	seen := make(map[called]bool)
	for _, w := range worked {
		for i := range w.Version.Items {
			item, m := &w.Version.Items[i], w.Materials[i]
			c := called{item.Name, m}
			if m == nil || seen[c] || p.secret[m.ID] || p.secret[item.Material] {
				continue
			}
			seen[c] = true
			if names := otherNames(m, item.Name, w.Index); others[item.Name] == nil && names != nil {
				others[item.Name] = names
			}
		}
	}
	if len(others) == 0 {
		return
	}
	p.object("names", func() {
		for _, name := range slices.Sorted(maps.Keys(others)) {
			p.texts(p.escaped(name), others[name])
		}
	})
}

// otherNames gives the names beside one of its own that mean a material alone.
func otherNames(m *material.Material, own string, index *material.Index) []string {
	var others []string
	for i := range 1 + len(m.Also) {
		name := m.Name
		if i > 0 {
			name = m.Also[i-1]
		}
		if strings.EqualFold(name, own) || slices.Contains(others, name) {
			continue
		}
		if found := index.Find(name); found != nil && found.ID == m.ID {
			others = append(others, name)
		}
	}
	return others
}
