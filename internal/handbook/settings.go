package handbook

import (
	"net/url"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/language"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// settingsFile is the file that makes a folder a handbook.
const settingsFile = "handbook.yaml"

// settings reads handbook.yaml.
func (h *Handbook) settings(src *problem.Source, problems *problem.List) {
	d := &document{source: src, problems: problems}
	root := d.parse(src.Text)
	if root == nil && problems.Len() > 0 {
		return
	}
	m, ok := d.mapping(root, settingsFile,
		[]string{"title", "maker", "about", "address", "access", "door", "currency", "labour", "scales", "tolerance", "batches", "shelves", "label-sheets", "responsible", "language"})
	if !ok {
		return
	}
	h.Title, _ = d.text(m.need("title", settingsFile, "add a line title: …"))
	h.Maker, h.About = m.words("maker"), m.words("about")
	if n := m.get("address"); n != nil {
		h.Address = d.address(n)
	}
	h.Access = Open
	if n := m.get("access"); n != nil {
		h.Access = d.access(n)
	}
	if n := m.get("door"); n != nil {
		h.Door = d.door(n)
	}
	h.Language = defaultLanguage
	if n := m.get("language"); n != nil {
		h.Language, h.LanguageAt = d.language(n), d.span(n)
	}
	h.Currency = m.words("currency")
	h.Labour = optional(d, m.get("labour"), parseHourly)
	if n := m.get("scales"); n != nil {
		h.Scale = d.scale(n)
	}
	if p := optional(d, m.get("tolerance"), parsePart); p != nil {
		h.Tolerance = *p
	}
	h.Batches = d.batches(m.get("batches"))
	h.Batches = slices.DeleteFunc(h.Batches, func(b BatchLine) bool {
		if b.Material != "" {
			problems.Addf(b.At, "give it in the recipe's own batches:", "a batch that uses up an ingredient is for one recipe, not for all")
		}
		return b.Material != ""
	})
	h.LabelSheets = d.labelSheets(m.get("label-sheets"))
	h.Responsible = d.responsibles(m.get("responsible"))
	before := problems.Len()
	for _, n := range d.list(m.get("shelves")) {
		h.shelf(d, n)
	}
	h.listsShelves = len(h.Shelves) > 0
	h.settingsRead = problems.Len() == before
}

// parseHourly reads money for an hour of work: 15 per hour.
func parseHourly(s string) (quantity.Number, error) {
	money, unit, _ := strings.Cut(s, " per ")
	n, err := quantity.ParseNumber(strings.TrimSpace(money))
	if err != nil || strings.TrimSpace(unit) != "hour" {
		return n, &quantity.SyntaxError{Length: len(s), Message: "what an hour of work costs should stand here", Hint: "write it as 15 per hour"}
	}
	return n, nil
}

// address reads the handbook's own web address.
func (d *document) address(n *yaml.Node) string {
	s, ok := d.text(n)
	if !ok {
		return ""
	}
	u, err := url.Parse(s)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Hostname() == "" || u.User != nil || strings.ContainsAny(s, " \t\"'<>?#{}|^`\\[]") {
		d.problems.Addf(d.span(n), "write it as https://example.org/handbook/", "this is no web address")
		return ""
	}
	return strings.TrimSuffix(s, "/") + "/"
}

// defaultLanguage is the language of pages where the handbook gives none.
const defaultLanguage = "en"

// language reads a language's code. Which there are the theme knows.
func (d *document) language(n *yaml.Node) string {
	s, ok := d.text(n)
	if !ok {
		return defaultLanguage
	}
	tag, err := language.Parse(s)
	if err != nil || tag == language.Und {
		d.problems.Addf(d.span(n), "write its code, such as en or de", "“%s” is no language", s)
		return defaultLanguage
	}
	return tag.String()
}

// door reads how members get at their pages: its kind, or {kind, address}. One that cannot be read is none.
func (d *document) door(n *yaml.Node) Door {
	door, kind := Door{}, n
	var address *yaml.Node
	if n.Kind == yaml.MappingNode {
		m, ok := d.mapping(n, "door:", []string{"kind", "address"})
		if !ok {
			return door
		}
		kind, address = m.need("kind", "door:", "write it as {kind: folder, address: https://members.example.org/}"), m.get("address")
	}
	door.Kind, _ = d.oneOf(kind, "kind of door", []string{SealedDoor, FolderDoor})
	switch {
	case address == nil:
	case door.Kind == SealedDoor:
		d.problems.Addf(d.span(address), "take the address out; or write kind: folder, if members have a site of their own", "members' pages that are sealed lie in the handbook itself and have no address of their own")
	default:
		door.Address = d.address(address)
	}
	if door.Kind == "" {
		return Door{}
	}
	return door
}

// scale reads what the maker's scales read.
func (d *document) scale(n *yaml.Node) quantity.Scale {
	var ranges []quantity.ScaleRange
	for _, item := range d.list(n) {
		m, ok := d.mapping(item, "a scale", []string{"reads", "up-to"})
		if !ok {
			return quantity.Scale{}
		}
		reads, ok := read(d, m.need("reads", "a scale", "write it as {reads: 0.1 g}"), quantity.ParseMass)
		if !ok {
			return quantity.Scale{}
		}
		r := quantity.ScaleRange{Reads: reads}
		if upTo := optional(d, m.get("up-to"), quantity.ParseMass); upTo != nil {
			r.UpTo = *upTo
		}
		ranges = append(ranges, r)
	}
	scale, err := quantity.NewScale(ranges)
	if err != nil {
		d.problems.Addf(d.span(n), "write it as scales: [{reads: 0.01 g, up-to: 200 g}, {reads: 1 g}]", "the scales do not fit together: %v", err)
	}
	return scale
}

// shelf reads one shelf: its name, or {name, about}.
func (h *Handbook) shelf(d *document, n *yaml.Node) {
	s := Shelf{}
	if n.Kind == yaml.MappingNode {
		m, ok := d.mapping(n, "a shelf", []string{"name", "about"})
		if !ok {
			return
		}
		s.Name, _ = d.text(m.need("name", "a shelf", "write it as {name: Creams, about: …}"))
		s.About = m.words("about")
	} else {
		s.Name, _ = d.text(n)
	}
	if s.Name == "" {
		return
	}
	for _, other := range h.Shelves {
		if material.Key(other.Name) == material.Key(s.Name) || Slug(other.Name) == Slug(s.Name) {
			d.problems.Addf(d.span(n), "give the shelves names that differ in letters or digits", "the shelves “%s” and “%s” would have the same address", other.Name, s.Name)
			return
		}
	}
	h.Shelves = append(h.Shelves, s)
}
