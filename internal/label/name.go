package label

import (
	"slices"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
)

// The names of what each market calls otherwise: 21 CFR 701.3(a) for Fragrance, Art. 19(1)(g) for Parfum; Aqua and Water are
// the names of the EU glossary and the US trade dictionary (from memory).
const (
	waterEU, waterUS     = "Aqua", "Water"
	perfumeEU, perfumeUS = "Parfum", "Fragrance"
)

// A named is a substance with its names. It is shared and only read.
type named struct {
	inci  string // as the material or a table names it
	key   string // of inci; see plainKey
	us    string // US name where it is known to differ, or ""
	kind  int
	flags []string
	in    [2]called // the markets, in their order
}

// A called is how a market calls a substance.
type called struct {
	name   string
	key    string   // of name
	flags  []string // each once
	naming []*Basis // rules that give the name, where not the substance's own
}

func newNamed(inci, us string, kind int, flags []string) *named {
	n := &named{inci: inci, key: plainKey(inci), us: us, kind: kind, flags: flags}
	for i, market := range Markets() {
		name, more := n.nameIn(market)
		n.in[i] = called{name, plainKey(name), distinct(slices.Concat(flags, more)), naming(market, n, name)}
	}
	return n
}

// nameIn gives a substance's name in a market, and the flags that it earns there.
func (p *named) nameIn(market string) (string, []string) {
	switch {
	case isWater(p.key):
		return choose(market, waterEU, waterUS), nil
	case p.kind == colour:
		return colourName(market, p)
	case p.kind == scent && (market == EU || isPerfume(p.key)):
		return choose(market, perfumeEU, perfumeUS), nil
	case market == EU:
		return nameEU(p), nil
	}
	return nameUS(p), nil
}

func choose(market, eu, us string) string {
	if market == EU {
		return eu
	}
	return us
}

// nameEU gives the EU name: the Latin one, without a common name in brackets.
func nameEU(p *named) string {
	if eu, ok := names().eu[p.key]; ok {
		return eu
	}
	return withoutCommon(p.inci)
}

// nameUS gives the US name: what the material says, or else what the catalogue says of the same substance.
func nameUS(p *named) string {
	if p.us != "" {
		return p.us
	}
	if us, ok := names().us[p.key]; ok {
		return us
	}
	return p.inci
}

// withoutCommon leaves out a common name within a Latin one: Olea Europaea (Olive) Fruit Oil.
func withoutCommon(name string) string {
	name = tidy(name)
	from := strings.Index(name, " (")
	to := strings.Index(name, ") ")
	if from < 0 || to < from {
		return name
	}
	return name[:from] + name[to+1:]
}

// tidy gives a name with single spaces.
func tidy(name string) string {
	if strings.Contains(name, "  ") || strings.ContainsAny(name, "\t\n\r\u00a0\u202f") || strings.TrimSpace(name) != name {
		return strings.Join(strings.Fields(name), " ")
	}
	return name
}

// plainKey is the form in which substances are told apart: without a common name, in lower case.
func plainKey(name string) string { return strings.ToLower(withoutCommon(name)) }

// isWater says whether the key of a name is one of water's.
func isWater(key string) bool {
	switch key {
	case "aqua", "water", "eau", "aqua (water)", "water (aqua)", "aqua/water", "aqua/water/eau", "water/aqua/eau":
		return true
	}
	return false
}

// isPerfume says whether the key of a name is one of a perfume's.
func isPerfume(key string) bool {
	switch key {
	case "parfum", "fragrance", "perfume", "aroma", "parfum (fragrance)", "fragrance (parfum)", "parfum/fragrance", "fragrance/parfum":
		return true
	}
	return false
}

// isColour says whether a substance colours the product: by a colour index number, or as what a colourant is made of that a
// market's table of colours has. A clay or a food that also colours is told by its own name.
func isColour(m *material.Material, key, inci string) bool {
	if strings.HasPrefix(key, "ci ") {
		return true
	}
	if !m.Has("colourant") || m.Has("clay", "food", "botanical", "salt") {
		return false
	}
	c, ok := law.FindColour(inci)
	return ok && (len(c.EU) > 0 || listed(c))
}

func listed(c law.Colour) bool {
	for _, us := range c.US {
		if us.Listed {
			return true
		}
	}
	return false
}

// colourName gives a colourant's name: in the EU its colour index number, in the US the name of its listing.
func colourName(market string, p *named) (string, []string) {
	c, _ := law.FindColour(p.inci)
	if market == EU {
		for _, e := range c.EU {
			for _, name := range e.Names {
				if strings.HasPrefix(name, "CI ") {
					return name, nil
				}
			}
		}
		return p.inci, nil
	}
	switch {
	case p.us != "":
		return p.us, nil
	case !listed(c):
		return p.inci, []string{NotListedUS}
	case len(c.US) > 1:
		return capitals(c.US[0].Names[0]), []string{SeveralUS}
	}
	return capitals(c.US[0].Names[0]), nil
}

// capitals gives every word of a name a capital letter.
func capitals(name string) string {
	all := strings.Fields(name)
	for i, word := range all {
		all[i] = strings.ToUpper(word[:1]) + word[1:]
	}
	return strings.Join(all, " ")
}

// nameTable finds the one market's name by the other's.
type nameTable struct{ us, eu map[string]string }

// names are those of the catalogue's substances that the markets call differently.
var names = sync.OnceValue(func() nameTable {
	t := nameTable{us: make(map[string]string), eu: make(map[string]string)}
	for _, m := range material.Common().Materials() {
		for _, c := range m.Composition {
			if c.US != "" {
				t.us[plainKey(c.INCI)] = c.US
				if key := plainKey(c.US); key != plainKey(c.INCI) {
					t.eu[key] = c.INCI
				}
			}
		}
	}
	return t
})

// essentialOils are the substances that the catalogue's essential oils are made of.
var essentialOils = sync.OnceValue(func() map[string]bool {
	all := make(map[string]bool)
	for _, m := range material.Common().Materials() {
		if m.Has("essential-oil") && len(m.Composition) == 1 {
			all[plainKey(m.Composition[0].INCI)] = true
		}
	}
	return all
})
