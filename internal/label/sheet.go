package label

import (
	"fmt"

	"larkrow.example/stillroom/internal/quantity"
)

// A Sheet is a sheet of blank labels as it is bought: where its labels lie on the page.
type Sheet struct {
	Name          string
	Page          quantity.Size
	Rows, Columns int
	Label         quantity.Size
	Top, Left     quantity.Length // from the page's edges to the first label
	Gaps          quantity.Size   // between columns, and between rows
	Edge          quantity.Length // kept free of print all around in each label
	Panel         *Panel          // the side of the package that the label is on, nil where it is not given
}

// A Panel is the side of a package that is meant to be seen: a flat front, or what goes around a round container.
type Panel struct {
	Size  quantity.Size // of a round container, its circumference and height
	Round bool
}

// Papers are the pages that have a name, in the order in which they are told: A4 and A5 by ISO 216, Letter 8.5 × 11 inches by
// ANSI/ASME Y14.1 (both from memory).
func Papers() []string { return []string{"A4", "Letter", "A5"} }

// Paper gives the size of a page by its name.
func Paper(name string) (quantity.Size, bool) {
	mm := func(n int64) quantity.Length { return quantity.Millimetres(quantity.Int(n)) }
	switch name {
	case "A4":
		return quantity.Size{Width: mm(210), Height: mm(297)}, true
	case "A5":
		return quantity.Size{Width: mm(148), Height: mm(210)}, true
	case "Letter":
		return quantity.Size{Width: quantity.Inches(quantity.Fraction(17, 2)), Height: quantity.Inches(quantity.Int(11))}, true
	}
	return quantity.Size{}, false
}

// Places gives how many labels a sheet has.
func (s *Sheet) Places() int { return s.Rows * s.Columns }

// Place gives where a label lies, counted from 0 along the rows: from the left and from the top of the page.
func (s *Sheet) Place(i int) (left, top quantity.Length) {
	column, row := quantity.Int(int64(i%s.Columns)), quantity.Int(int64(i/s.Columns))
	return s.Left.Add(s.Label.Width.Add(s.Gaps.Width).Times(column)), s.Top.Add(s.Label.Height.Add(s.Gaps.Height).Times(row))
}

// Faults says why the labels cannot lie on the page as they are given; nothing where they can.
func (s *Sheet) Faults() []string {
	var all []string
	last := s.Places() - 1
	left, top := s.Place(last)
	run := func(edge, sum string, from, gap, each quantity.Length, n int, ends, page quantity.Length) {
		if over := ends.Sub(page); over.Sign() > 0 {
			all = append(all, fmt.Sprintf("the labels run %s over the page's %s edge: %s %s + %d × %s + %d × %s makes %s, and the page has %s", over, edge, sum, from, n, each, n-1, gap, ends, page))
		}
	}
	run("right", "left", s.Left, s.Gaps.Width, s.Label.Width, s.Columns, left.Add(s.Label.Width), s.Page.Width)
	run("lower", "top", s.Top, s.Gaps.Height, s.Label.Height, s.Rows, top.Add(s.Label.Height), s.Page.Height)
	if room := s.room(); room.Width.Sign() <= 0 || room.Height.Sign() <= 0 {
		all = append(all, fmt.Sprintf("an edge of %s all around leaves nothing of a label of %s", s.Edge, s.Label))
	}
	return all
}

// room gives what there is of a label inside its edge.
func (s *Sheet) room() quantity.Size {
	edges := s.Edge.Times(quantity.Int(2))
	return quantity.Size{Width: s.Label.Width.Sub(edges), Height: s.Label.Height.Sub(edges)}
}

// PanelArea gives the area of the principal display panel in square inches, and whether it is that of the package: where no panel
// is given, the label's own area stands for it, and can be too small, since the law counts the whole side that the label is on.
func (s *Sheet) PanelArea() (area quantity.Number, known bool) {
	if s.Panel == nil {
		return PanelUS(s.Label.Height.Inches(), s.Label.Width.Inches(), false), false
	}
	return PanelUS(s.Panel.Size.Height.Inches(), s.Panel.Size.Width.Inches(), s.Panel.Round), true
}

// surface gives the whole area that there is for labelling in square inches, and false where it is not known: of a flat front
// nobody says how much there is besides.
func (s *Sheet) surface() (area quantity.Number, known bool) {
	if s.Panel == nil || !s.Panel.Round {
		return quantity.Number{}, false
	}
	return s.Panel.Size.Height.Inches().Mul(s.Panel.Size.Width.Inches()), true
}

// SeeTo says what of a sheet the maker has to see to before a wording is printed on it; whole sentences.
func (s *Sheet) SeeTo(w *Wording) []string {
	if _, known := s.PanelArea(); known || w.Market != US {
		return nil
	}
	return []string{"The letters of the net contents go by the area of the whole side of the package that the label is on (" + rule("us-pdp-area-rectangular").Citation +
		"); no panel: is given with the sheet “" + s.Name + "”, and the label's own area was taken."}
}
