package site

import (
	"larkrow.example/stillroom/internal/cost"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/words"
)

// costs gives what a recipe's versions cost, for the maker's edition alone; a version of which no price is known has none.
func (s *Build) costs(r *handbook.Recipe) []CostView {
	if s.edition != MakerEdition {
		return nil
	}
	rates := cost.Rates{Labour: s.Labour, Containers: r.ContainerCosts}
	var all []CostView
	for i, w := range s.Worked(r) {
		if v := newCostView(w, r.Time, rates, s.words); v != nil {
			v.ID, v.Version, v.Currency = versionID(i), versionName(w.Version, s.words), s.Currency
			all = append(all, *v)
		}
	}
	return all
}

func newCostView(w handbook.Worked, hours *quantity.Duration, rates cost.Rates, l *words.Language) *CostView {
	v := &CostView{}
	for _, item := range w.Version.Items {
		v.Rows = append(v.Rows, CostRow{Name: item.Name})
	}
	v.Sums = []CostRow{{Name: l.Say("cost.materials")}, {Name: l.Say("cost.containers")}, {Name: l.Say("cost.labour")}, {Name: l.Say("cost.all")}, {Name: l.Say("cost.each")}}
	priced, first := false, true
	for j, batch := range w.Batches {
		if batch.Missing != nil {
			continue
		}
		b := cost.Of(w.Version, batch.Column, w.Materials, batch.Sized.Filled, hours, rates)
		v.Batches = append(v.Batches, BatchColumn{ID: batchID(j), Size: batch.Written})
		v.add(b, l)
		if first {
			v.firstBatch(b, l)
			v.Missing = b.Unknown
			first = false
		}
		priced = priced || b.Materials.Sign() > 0
	}
	if !priced {
		return nil
	}
	return v
}

// add adds a batch's column. Each amount is rounded to a hundredth, and the sums are of the amounts shown, so that the column adds up.
func (v *CostView) add(b cost.Batch, l *words.Language) {
	materials := quantity.Number{}
	for i, line := range b.Lines {
		shown := hundredths(line.Money)
		materials = materials.Add(shown)
		text := l.Number(shown.Fixed(2))
		if line.Unknown != "" {
			text = "–"
		}
		v.Rows[i].Money = append(v.Rows[i].Money, text)
	}
	containers, labour := hundredths(b.Containers), hundredths(b.Labour)
	whole := materials.Add(containers).Add(labour)
	each := "–"
	if n, filled := b.PerContainer(); filled {
		each = n.Fixed(2)
	}
	for i, text := range []string{materials.Fixed(2), known(containers), known(labour), whole.Fixed(2), each} {
		v.Sums[i].Money = append(v.Sums[i].Money, l.Number(text))
	}
}

// firstBatch notes what is told of the first batch alone: prices, shares, and what a tenth more would add.
func (v *CostView) firstBatch(b cost.Batch, l *words.Language) {
	for i, line := range b.Lines {
		if line.Unknown != "" {
			v.Rows[i].PerKilo = "–"
			continue
		}
		v.Rows[i].PerKilo = l.Number(line.PerKilo.Fixed(2))
		v.Rows[i].Share = percent(l, b.Share(line).Fixed(1))
		v.Rows[i].Tenth = "+" + l.Number(b.Dearer(line, quantity.Int(10)).Fixed(2))
	}
}

// known writes a sum, or a dash where there is nothing: what is not known is not shown as free.
func known(money quantity.Number) string {
	if money.Sign() == 0 {
		return "–"
	}
	return money.Fixed(2)
}

// hundredths rounds money half away from zero.
func hundredths(n quantity.Number) quantity.Number {
	return quantity.RoundTo(quantity.Grams(n), quantity.Grams(quantity.Fraction(1, 100))).Grams()
}
