package site

import (
	"strconv"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/words"
)

// NewFormulaView gives a version's figures as its table shows them, in English. href gives the address of a material's page, or "".
func NewFormulaView(r *handbook.Recipe, w handbook.Worked, href func(material string) string) *FormulaView {
	return newFormulaView(r, w, href, english())
}

func newFormulaView(r *handbook.Recipe, w handbook.Worked, href func(material string) string, l *words.Language) *FormulaView {
	v := w.Version
	view := &FormulaView{Words: l, Caption: r.Title, PercentTotal: "100", OnlyBatch: len(w.Batches) == 1}
	if v.Kind != formula.Base {
		view.Caption += ", " + v.Name
	}
	for j, b := range w.Batches {
		view.Batches = append(view.Batches, batchColumn(b, batchID(j), w.Scale, l))
	}
	percents, places := shownPercents(v)
	marks := marks(w)
	for p, phase := range v.Phases {
		pv := PhaseView{Letter: formula.Letter(p), Name: phase.Name, Heat: phaseHeat(phase, l), Note: phase.Note}
		for k, item := range v.Items {
			if item.Phase != p {
				continue
			}
			row := newRow(item, w.Batches, k)
			row.Href, row.Percent, row.Mark = href(item.Material), percents[k].Fixed(places), string(marks[k])
			pv.Rows = append(pv.Rows, row)
		}
		if len(pv.Rows) > 1 {
			pv.Totals = phaseTotals(v, p, w.Batches)
		}
		view.Phases = append(view.Phases, pv)
	}
	return view
}

// phaseTotals gives what a phase weighs in each batch.
func phaseTotals(v *formula.Version, phase int, batches []check.Batch) []WeightView {
	var items []int
	for k, item := range v.Items {
		if item.Phase == phase {
			items = append(items, k)
		}
	}
	var totals []WeightView
	for _, b := range batches {
		if b.Missing != nil {
			totals = append(totals, WeightView{})
			continue
		}
		sum, places := weighed(b, items)
		totals = append(totals, WeightView{G: sum.Grams().Fixed(places)})
	}
	return totals
}

// newRow gives one line of a table, but for its link, percent and mark.
func newRow(item formula.Item, batches []check.Batch, k int) RowView {
	row := RowView{Name: item.Name, Note: item.Note, Written: item.Amount.Written}
	for _, b := range batches {
		if b.Missing != nil {
			row.Weights = append(row.Weights, WeightView{})
			continue
		}
		w := weightView(b.Column.Weights[k])
		w.Balance = b.Column.Balance == k
		row.Weights = append(row.Weights, w)
	}
	return row
}

// materialHref gives the address of a material's page in this edition, or "".
func (s *Build) materialHref(id, root string) string {
	if i := s.byID[id]; i != nil {
		return root + ingredientPath(i)
	}
	return ""
}

// showsMaterial says whether a material's page is in this edition.
func (s *Build) showsMaterial(id string) bool { return s.byID[id] != nil }

func weightView(r formula.Reading) WeightView {
	return WeightView{G: r.Text(), Oz: ounceText(r.Mass.ReadOunces())}
}

// ounceText writes ounces with 2 places from one ounce up and 3 below.
func ounceText(oz quantity.Number) string {
	if oz.Cmp(quantity.Int(1)) < 0 {
		return oz.Fixed(3)
	}
	return oz.Fixed(2)
}

// batchColumn gives a batch's head and foot. The ounces' total is the sum of the ounces shown, so that this column adds up too.
func batchColumn(b check.Batch, id string, scale quantity.Scale, l *words.Language) BatchColumn {
	c := BatchColumn{ID: id, Size: b.Written}
	if b.Missing != nil {
		c.Missing = b.Missing.Message
		return c
	}
	places, oz := 0, quantity.Number{}
	for _, w := range b.Column.Weights {
		p, _ := w.Step.Grams().Places()
		places = max(places, p)
		oz = oz.Add(w.Mass.ReadOunces())
	}
	c.TotalG, c.TotalOz = b.Column.Total.Grams().Fixed(places), totalOunces(oz)
	c.Fill = fillWords(b.Sized.Filled, scale, l)
	return c
}

// totalOunces writes a sum of ounces that may have 3 places, exactly.
func totalOunces(oz quantity.Number) string {
	if p, ok := oz.Places(); ok && p > 2 {
		return oz.Fixed(3)
	}
	return oz.Fixed(2)
}

// fillWords says what a batch fills: "2 × 4 fl oz jar, 49.9 g left".
func fillWords(f *formula.Filled, scale quantity.Scale, l *words.Language) string {
	switch {
	case f == nil:
		return ""
	case f.Count == 0:
		return l.Say("formula.too-little", "container", f.Container)
	}
	fill := strconv.FormatInt(f.Count, 10) + " × " + f.Container
	if left := scale.Round(f.Left).Grams(); left.Sign() > 0 {
		places, _ := scale.Step(f.Left).Grams().Places()
		fill = l.Say("formula.fill-left", "fill", fill, "weight", l.Number(left.Fixed(places))+" g")
	}
	return fill
}

// shownPercents gives a version's percents as shown, adding up to 100, and with how many places: as many as write them exactly
// where 3 do, else 2; and more where a small one would lose its second figure, up to 6.
func shownPercents(v *formula.Version) ([]quantity.Number, int) {
	places, exact := 0, true
	least := quantity.Int(100)
	for i := range v.Items {
		p := v.Percent(i)
		n, finite := p.Places()
		exact = exact && finite && n <= 3
		places = max(places, n)
		if p.Sign() > 0 && p.Cmp(least) < 0 {
			least = p
		}
	}
	if !exact {
		places = 2
		for limit := quantity.Fraction(1, 10); least.Cmp(limit) < 0 && places < 6; limit = limit.Quo(quantity.Int(10)) {
			places++
		}
	}
	return v.Percents(places), places
}

// marks gives the worst level among the findings on each item.
func marks(w handbook.Worked) map[int]check.Level {
	all := make(map[int]check.Level)
	for _, f := range w.Findings { // worst first
		for _, i := range f.Items {
			if _, marked := all[i]; !marked {
				all[i] = f.Level
			}
		}
	}
	return all
}

// materialPercents gives the exact percent of each material in a version, all its lines together.
func materialPercents(v *formula.Version) map[string]quantity.Number {
	sums := make(map[string]quantity.Number)
	for i, item := range v.Items {
		if item.Material != "" {
			sums[item.Material] = sums[item.Material].Add(v.Percent(i))
		}
	}
	return sums
}
