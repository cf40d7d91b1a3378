package handbook

import (
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// usualEdge is what is kept free of print around each label where nothing is said (common practice, no source).
var usualEdge = quantity.Millimetres(quantity.Fraction(3, 2))

// mostLabels is how many rows or columns a sheet can have: more are a slip.
const mostLabels = 60

// labelSheets reads the sheets of labels; one that has a problem is left out.
func (d *document) labelSheets(n *yaml.Node) []label.Sheet {
	var all []label.Sheet
	for _, item := range d.list(n) {
		s, ok := d.labelSheet(item)
		if !ok {
			continue
		}
		if slices.ContainsFunc(all, func(o label.Sheet) bool { return material.Key(o.Name) == material.Key(s.Name) }) {
			d.problems.Addf(d.span(item), "give each sheet a name of its own", "two sheets are called “%s”", s.Name)
			continue
		}
		all = append(all, s)
	}
	return all
}

// labelSheet reads one sheet, and sees that its labels lie on the page.
func (d *document) labelSheet(n *yaml.Node) (label.Sheet, bool) {
	const what, as = "a label sheet", "write it as {name: tins, page: A4, rows: 7, columns: 3, label: 63.5 mm × 38.1 mm, top: 15.15 mm, left: 7.25 mm, gaps: 2.5 mm × 0 mm}"
	before := d.problems.Len()
	s := label.Sheet{Edge: usualEdge}
	m, ok := d.mapping(n, what, []string{"name", "page", "rows", "columns", "label", "top", "left", "gaps", "edge", "panel"})
	if !ok {
		return s, false
	}
	s.Name, _ = d.text(m.need("name", what, as))
	s.Page, _ = read(d, m.need("page", what, as), parsePaper)
	s.Rows, _ = read(d, m.need("rows", what, as), parseRows)
	s.Columns, _ = read(d, m.need("columns", what, as), parseRows)
	s.Label, _ = read(d, m.need("label", what, as), parseLabel)
	s.Top, _ = read(d, m.need("top", what, as), quantity.ParseLength)
	s.Left, _ = read(d, m.need("left", what, as), quantity.ParseLength)
	if gaps := optional(d, m.get("gaps"), quantity.ParseSize); gaps != nil {
		s.Gaps = *gaps
	}
	if edge := optional(d, m.get("edge"), quantity.ParseLength); edge != nil {
		s.Edge = *edge
	}
	if p := m.get("panel"); p != nil {
		s.Panel = d.panel(p)
	}
	if d.problems.Len() > before {
		return s, false
	}
	for _, fault := range s.Faults() {
		d.problems.Addf(d.span(n), "measure the sheet, or look at what its maker says; gaps are between labels, across first", "%s", fault)
	}
	return s, d.problems.Len() == before
}

// panel reads the side of the package that a label is on.
func (d *document) panel(n *yaml.Node) *label.Panel {
	const as = "write it as {front: 60 mm × 45 mm}, or of a round container as {around: 200 mm, height: 45 mm}"
	m, ok := d.mapping(n, "panel:", []string{"front", "around", "height"})
	if !ok {
		return nil
	}
	front, around := m.get("front"), m.get("around")
	switch {
	case front != nil && (around != nil || m.get("height") != nil) || front == nil && around == nil:
		d.problems.Addf(d.span(n), as, "a panel is either a flat front or what goes around a round container")
	case front != nil:
		if size, ok := read(d, front, parseLabel); ok {
			return &label.Panel{Size: size}
		}
	default:
		width, ok1 := read(d, around, parseSide)
		height, ok2 := read(d, m.need("height", "panel:", as), parseSide)
		if ok1 && ok2 {
			return &label.Panel{Size: quantity.Size{Width: width, Height: height}, Round: true}
		}
	}
	return nil
}

// parsePaper reads a page's name, or its size.
func parsePaper(text string) (quantity.Size, error) {
	for _, name := range label.Papers() {
		if strings.EqualFold(name, strings.TrimSpace(text)) {
			size, _ := label.Paper(name)
			return size, nil
		}
	}
	size, err := parseLabel(text)
	if err != nil && !strings.ContainsAny(text, "0123456789") || err != nil && !strings.ContainsAny(text, "×xX*") {
		return size, &quantity.SyntaxError{Length: len(text), Message: "“" + text + "” is no page", Hint: "it can be " + strings.Join(label.Papers(), ", ") + ", or a size such as 100 mm × 150 mm"}
	}
	return size, err
}

// parseLabel reads a size that has a width and a height.
func parseLabel(text string) (quantity.Size, error) {
	size, err := quantity.ParseSize(text)
	if err == nil && (size.Width.Sign() == 0 || size.Height.Sign() == 0) {
		err = &quantity.SyntaxError{Length: len(text), Message: "a size of nothing", Hint: "write it as 63.5 mm × 38.1 mm, the width first"}
	}
	return size, err
}

// parseSide reads a length that is one.
func parseSide(text string) (quantity.Length, error) {
	l, err := quantity.ParseLength(text)
	if err == nil && l.Sign() == 0 {
		err = &quantity.SyntaxError{Length: len(text), Message: "a length of nothing", Hint: "write it as 38.1 mm, 4 cm or 2 5/8 in"}
	}
	return l, err
}

// parseRows reads how many rows or columns there are.
func parseRows(text string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 1 || n > mostLabels {
		return 0, &quantity.SyntaxError{Length: len(text), Message: "a whole number from 1 to " + strconv.Itoa(mostLabels) + " should stand here", Hint: "count the labels down the page for rows, and across it for columns"}
	}
	return n, nil
}

// responsibles reads who answers for the products: one for all markets, or one for each.
func (d *document) responsibles(n *yaml.Node) []label.Responsible {
	const what, as = "who is responsible", "write it as responsible: {name: Larkrow stillroom, address: 3 Lark Row, Milton}"
	var all []label.Responsible
	for _, item := range d.list(n) {
		m, ok := d.mapping(item, what, []string{"name", "address", "contact", "market"})
		if !ok {
			continue
		}
		r := label.Responsible{Contact: m.words("contact")}
		r.Name, _ = d.text(m.need("name", what, as))
		r.Address, _ = d.text(m.need("address", what, as))
		if market := m.get("market"); market != nil {
			if r.Market, ok = d.oneOf(market, "market", label.Markets()); !ok {
				continue
			}
		}
		if slices.ContainsFunc(all, func(o label.Responsible) bool { return o.Market == r.Market }) {
			d.problems.Addf(d.span(item), "give each its market:, EU or US", "two are responsible for the same market")
			continue
		}
		if r.Name != "" && r.Address != "" {
			all = append(all, r)
		}
	}
	return all
}

// ResponsibleIn gives who answers for products in a market: who is named for it, else who is named for all; nil for nobody.
func (h *Handbook) ResponsibleIn(market string) *label.Responsible {
	var found *label.Responsible
	for i, r := range h.Responsible {
		if r.Market == market || r.Market == "" && found == nil {
			found = &h.Responsible[i]
		}
	}
	return found
}
