package site

import (
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/words"
)

// NewPortionsView tells in English how each batch of a worked base is divided among its splits, or gives nil where there are none.
func NewPortionsView(base handbook.Worked, splits []*formula.Version) *PortionsView {
	return newPortionsView(base, splits, english())
}

func newPortionsView(base handbook.Worked, splits []*formula.Version, l *words.Language) *PortionsView {
	if len(splits) == 0 || base.Version.Kind != formula.Base {
		return nil
	}
	v := &PortionsView{Words: l}
	for _, s := range splits {
		row := PortionRow{Name: s.Name, Share: s.Portion.Share.Mul(quantity.Int(100)).Text(2) + " %"}
		for i := s.Portion.Items; i < len(s.Items); i++ {
			row.Adds = append(row.Adds, RowView{Name: s.Items[i].Name, Note: s.Items[i].Note, Written: s.Items[i].Amount.Written})
		}
		v.Rows = append(v.Rows, row)
	}
	var text figures
	for j, b := range base.Batches {
		column := BatchColumn{ID: batchID(j), Size: b.Written}
		if b.Missing != nil {
			column.Missing = b.Missing.Message
			v.blank()
		} else {
			column.TotalG = b.Column.Total.Grams().Text(6)
			oz := b.Column.Total.ReadOunces()
			column.TotalOz = oz.Fixed(ouncePlaces(oz))
			v.divide(&text, formula.DividePortions(b.Column, splits, base.Scale))
		}
		v.Batches = append(v.Batches, column)
	}
	return v
}

// blank adds a batch that there is not.
func (v *PortionsView) blank() {
	for i := range v.Rows {
		r := &v.Rows[i]
		r.Base, r.Totals = append(r.Base, WeightView{}), append(r.Totals, WeightView{})
		for j := range r.Adds {
			r.Adds[j].Weights = append(r.Adds[j].Weights, WeightView{})
		}
	}
}

// divide adds a batch as divided.
func (v *PortionsView) divide(text *figures, c formula.PortionColumn) {
	for i, p := range c.Portions {
		r := &v.Rows[i]
		r.Base = append(r.Base, text.weight(p.Base, p.Base.Mass.ReadOunces()))
		for j, add := range p.Adds {
			r.Adds[j].Weights = append(r.Adds[j].Weights, text.weight(add, add.Mass.ReadOunces()))
		}
		r.Totals = append(r.Totals, text.weight(p.Total, p.Total.Mass.ReadOunces()))
	}
}
