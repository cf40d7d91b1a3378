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
	t := newTableFigures(len(v.Items), w.Batches)
	view.Batches = t.columns(w.Scale, l)
	percents, places := shownPercents(v)
	marks := marks(w)
	rows := make([]RowView, 0, len(v.Items))
	view.Phases = make([]PhaseView, 0, len(v.Phases))
	for p := range v.Phases {
		phase, from := &v.Phases[p], len(rows)
		for k := range v.Items {
			if item := &v.Items[k]; item.Phase == p {
				rows = append(rows, RowView{
					Name: item.Name, Note: item.Note, Written: item.Amount.Written, Weights: t.row(k),
					Href: href(item.Material), Percent: t.text.fixed(percents[k], places), Mark: string(marks[k]),
				})
			}
		}
		pv := PhaseView{Letter: formula.Letter(p), Name: phase.Name, Heat: phaseHeat(phase, l), Note: phase.Note, Rows: rows[from:len(rows):len(rows)]}
		if len(pv.Rows) > 1 {
			pv.Totals = t.phase(v, p)
		}
		view.Phases = append(view.Phases, pv)
	}
	return view
}

// tableFigures are the weights of a version's table, written.
type tableFigures struct {
	batches []check.Batch
	text    figures
	weights []WeightView      // a row an item, in it one a batch
	ounces  []quantity.Number // the sum of those shown, a batch
}

func newTableFigures(items int, batches []check.Batch) *tableFigures {
	t := &tableFigures{batches: batches, weights: make([]WeightView, items*len(batches)), ounces: make([]quantity.Number, len(batches))}
	t.text.grow(items * (2*len(batches) + 1))
	for k := range items {
		row := t.row(k)
		for j := range batches {
			b := &batches[j]
			if b.Missing != nil {
				continue
			}
			oz := b.Column.Weights[k].Mass.ReadOunces()
			t.ounces[j] = t.ounces[j].Add(oz)
			row[j] = t.text.weight(b.Column.Weights[k], oz)
			row[j].Balance = b.Column.Balance == k
		}
	}
	return t
}

// row gives an item's weights.
func (t *tableFigures) row(item int) []WeightView {
	n := len(t.batches)
	return t.weights[item*n : (item+1)*n : (item+1)*n]
}

// phase gives what a phase weighs in each batch.
func (t *tableFigures) phase(v *formula.Version, phase int) []WeightView {
	totals := make([]WeightView, len(t.batches))
	for j := range t.batches {
		b := &t.batches[j]
		if b.Missing != nil {
			continue
		}
		sum, places := quantity.Number{}, 0
		for k := range v.Items {
			if v.Items[k].Phase == phase {
				sum, places = addReading(sum, places, b.Column.Weights[k])
			}
		}
		totals[j].G = t.text.fixed(sum, places)
	}
	return totals
}

// total gives what a batch weighs. The ounces are the sum of those shown, so that their column adds up too.
func (t *tableFigures) total(batch int) WeightView {
	b := &t.batches[batch]
	if b.Missing != nil {
		return WeightView{}
	}
	places := 0
	for _, w := range b.Column.Weights {
		p, _ := w.Step.Grams().Places()
		places = max(places, p)
	}
	return WeightView{G: t.text.fixed(b.Column.Total.Grams(), places), Oz: totalOunces(t.ounces[batch])}
}

// columns gives the batches' heads and feet.
func (t *tableFigures) columns(scale quantity.Scale, l *words.Language) []BatchColumn {
	all := make([]BatchColumn, len(t.batches))
	for j := range t.batches {
		b, c := &t.batches[j], &all[j]
		c.ID, c.Size = batchID(j), b.Written
		if b.Missing != nil {
			c.Missing = b.Missing.Message
			continue
		}
		total := t.total(j)
		c.TotalG, c.TotalOz = total.G, total.Oz
		c.Fill = fillWords(b.Sized.Filled, scale, l)
	}
	return all
}

// addReading adds what was read off a scale to a sum of grams with so many places.
func addReading(sum quantity.Number, places int, r formula.Reading) (quantity.Number, int) {
	p, _ := r.Step.Grams().Places()
	return sum.Add(r.Mass.Grams()), max(places, p)
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

// ouncePlaces gives how many places ounces are written with: 2 from one ounce up and 3 below.
func ouncePlaces(oz quantity.Number) int {
	if oz.Cmp(quantity.Int(1)) < 0 {
		return 3
	}
	return 2
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

// marks gives the worst level among the findings on each item, "" where there is none.
func marks(w handbook.Worked) []check.Level {
	all := make([]check.Level, len(w.Version.Items))
	for i := range w.Findings { // worst first
		f := &w.Findings[i]
		for _, k := range f.Items {
			if all[k] == "" {
				all[k] = f.Level
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
