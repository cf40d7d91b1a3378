package material

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// An entry is a material of the catalogue while it is read. Its fields are called as on an ingredient's page; those that
// a page does not have are add-below, flash, density-at, solid-density, water, active, acid-equivalent, us, split, soap, allergens,
// declare-as, us-skin-protectant, banned-in, not-for-skin, needs-sheet and beware (a caution in its own words).
type entry struct {
	*Catalogue
	file  string
	m     *Material
	seen  map[string]bool
	wrong []error
}

// fields reads each field but id. Those of repeated may stand more than once.
var fields = map[string]func(e *entry, l line){
	"name":   func(e *entry, l line) { e.m.Name = l.value },
	"also":   func(e *entry, l line) { e.m.Also = l.parts() },
	"role":   func(e *entry, l line) { e.m.Roles = e.words(l, Roles()...) },
	"origin": func(e *entry, l line) { e.m.Origin = e.words(l, "plant", "animal", "mineral", "synthetic")[0] },
	"inci":   func(e *entry, l line) { e.m.Composition = e.constituents(l) },
	"us":     (*entry).us,
	"split":  func(e *entry, l line) { e.m.Split = known(e, l, word("typical")) },
	"dissolves": func(e *entry, l line) {
		e.m.Dissolves = known(e, l, word("water", "oil", "either", "neither", "alcohol"))
	},
	"density":       func(e *entry, l line) { e.m.Density = known(e, l, quantity.ParseDensity) },
	"density-at":    func(e *entry, l line) { e.m.DensityAt = known(e, l, quantity.ParseTemperature) },
	"solid-density": func(e *entry, l line) { e.m.SolidDensity = known(e, l, quantity.ParseDensity) },
	"melts":         func(e *entry, l line) { e.m.Melts = known(e, l, quantity.ParseTemperatures) },
	"heat-limit":    func(e *entry, l line) { e.m.HeatLimit = known(e, l, quantity.ParseTemperature) },
	"add-below":     func(e *entry, l line) { e.m.AddBelow = known(e, l, quantity.ParseTemperature) },
	"flash":         func(e *entry, l line) { e.m.Flash = known(e, l, quantity.ParseTemperature) },
	"ph":            func(e *entry, l line) { e.m.PH = known(e, l, quantity.ParseInterval) },
	"keeps":         func(e *entry, l line) { e.m.Keeps = known(e, l, quantity.ParseDuration) },

	"water":           func(e *entry, l line) { e.m.Water = known(e, l, parsePart) },
	"active":          func(e *entry, l line) { e.m.Active = known(e, l, parsePart) },
	"acid-equivalent": func(e *entry, l line) { e.m.AcidEquivalent = known(e, l, quantity.ParseNumber) },

	"hlb":                    func(e *entry, l line) { e.m.HLB = known(e, l, quantity.ParseNumber) },
	"required-hlb":           func(e *entry, l line) { e.m.RequiredHLB = known(e, l, quantity.ParseInterval) },
	"saponification":         func(e *entry, l line) { e.m.Saponified = known(e, l, quantity.ParseInterval) },
	"saponification-typical": func(e *entry, l line) { e.m.Typical = known(e, l, quantity.ParseNumber) },
	"iodine":                 func(e *entry, l line) { e.m.Iodine = known(e, l, quantity.ParseInterval) },
	"soap":                   func(e *entry, l line) { e.m.Soap = known(e, l, parseSoap) },

	"allergens":  (*entry).allergens,
	"vanillin":   (*entry).vanillin,
	"declare-as": func(e *entry, l line) { e.m.DeclareAs = known(e, l, asWritten) },
	"phototoxic": (*entry).phototoxic,
	"protects":   (*entry).protects,
	"use":        (*entry).use,
	"contains":   (*entry).contains,

	"us-skin-protectant": func(e *entry, l line) { e.m.USSkinProtectant = known(e, l, quantity.ParseInterval) },
	"banned-in": func(e *entry, l line) {
		e.m.BannedIn = known(e, l, func(string) ([]string, error) { return l.parts(), nil })
	},
	"not-for-skin": func(e *entry, l line) { e.m.NotForSkin = known(e, l, word("yes")).Known },
	"needs-sheet":  func(e *entry, l line) { e.m.NeedsSheet = known(e, l, word("yes")).Known },
	"cautions":     (*entry).cautions,
	"beware":       (*entry).beware,
}

// repeated are the fields that may stand more than once in an entry.
var repeated = []string{"use", "beware"}

func (c *Catalogue) readMaterial(r record) error {
	e := &entry{Catalogue: c, file: r.file, m: new(Material), seen: make(map[string]bool)}
	for _, l := range r.lines {
		if e.seen[l.field] && !slices.Contains(repeated, l.field) {
			e.fail(l, "the field is there twice")
		}
		e.seen[l.field] = true
		if _, found := c.sources[l.source]; !found {
			e.fail(l, "no source "+l.source)
		}
		if l.field == "id" {
			e.m.ID, e.m.Base = l.value, l.value
		} else if read := fields[l.field]; read != nil {
			read(e, l)
		} else {
			e.fail(l, "no such field")
		}
	}
	if e.m.ID == "" || e.m.Name == "" || len(e.m.Roles) == 0 || c.byID[e.m.ID] != nil {
		e.fail(r.lines[0], "an entry needs an id of its own, a name and a role")
	}
	c.byID[e.m.ID] = e.m
	c.materials = append(c.materials, e.m)
	return errors.Join(e.wrong...)
}

func (e *entry) fail(l line, why string) {
	e.wrong = append(e.wrong, fmt.Errorf("%s:%d: %s: %s: %s", e.file, l.number, l.field, l.value, why))
}

// known reads a fact with its source.
func known[T any](e *entry, l line, parse func(string) (T, error)) Sourced[T] {
	s := e.sources[l.source]
	return Sourced[T]{Value: parsed(e, l, l.value, parse), Source: s.shown(), Status: s.Status, Known: true}
}

// parsed reads a part of a line.
func parsed[T any](e *entry, l line, text string, parse func(string) (T, error)) T {
	v, err := parse(text)
	if err != nil {
		e.fail(l, err.Error())
	}
	return v
}

// words reads the parts of a line, which must be among the known words.
func (e *entry) words(l line, known ...string) []string {
	for _, w := range l.parts() {
		parsed(e, l, w, word(known...))
	}
	return l.parts()
}

// word gives a parser that takes some words only.
func word(known ...string) func(string) (string, error) {
	return func(s string) (string, error) {
		if !slices.Contains(known, s) {
			return "", errors.New("it can be " + strings.Join(known, ", "))
		}
		return s, nil
	}
}

func asWritten(s string) (string, error) { return s, nil }

// parsePart reads a percentage that is a part of a whole.
func parsePart(s string) (quantity.Number, error) {
	p, err := quantity.ParsePercent(s)
	if err == nil && p.Cmp(quantity.Int(100)) > 0 {
		err = errors.New("more than the whole")
	}
	return p, err
}

func parseSoap(s string) (Soap, error) {
	sodium, potassium, found := strings.Cut(s, "; ")
	if !found {
		return Soap{}, errors.New("name the sodium soap and the potassium soap")
	}
	return Soap{Sodium: sodium, Potassium: potassium}, nil
}

// constituents reads "Aqua 60 %; Sodium Benzoate 24 %".
func (e *entry) constituents(l line) []Constituent {
	parts := l.parts()
	all := make([]Constituent, 0, len(parts))
	for _, part := range parts {
		at := strings.LastIndexByte(strings.TrimSuffix(part, " %"), ' ')
		if at < 0 {
			e.fail(l, "a name and a percentage should stand here")
			continue
		}
		all = append(all, Constituent{INCI: part[:at], Percent: parsed(e, l, part[at+1:], parsePart)})
	}
	return all
}

// contains reads food-allergen sources, or "none" where the material is known to be made from none of them.
func (e *entry) contains(l line) {
	if l.value != NoSource {
		e.m.FoodSources = l.parts()
		return
	}
	e.m.NoFoodSource = known(e, l, func(string) (bool, error) { return true, nil })
}

// us reads "Aqua = Water" for names of the composition above it.
func (e *entry) us(l line) {
	for _, part := range l.parts() {
		eu, us, _ := strings.Cut(part, " = ")
		i := slices.IndexFunc(e.m.Composition, func(c Constituent) bool { return c.INCI == eu })
		if i < 0 || us == "" {
			e.fail(l, "no such name in the composition")
			continue
		}
		e.m.Composition[i].US = us
	}
}
