package check

import (
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// tolerated is the share of a weight that one step of the scale may be: 5 %, the least weighable quantity of the
// pharmacy laboratory (sensitivity × 100 ÷ 5; University of North Carolina, Pharmaceutics and Compounding Laboratory, "Weighing").
var tolerated = quantity.Fraction(5, 100)

const toleratedSource = "least weighable quantity at 5 % error, University of North Carolina pharmacy laboratory pages, weighing"

// belowScale finds weights of which one step of the scale is more than 5 %, once per ingredient with the batches named.
func belowScale(s *inspection) []Finding {
	var found []Finding
	enough := s.enough()
	for i := range s.Version.Items {
		worst, batches := quantity.Number{}, []string(nil)
		for n := range s.Batches {
			if s.percents[i].Cmp(enough[n]) >= 0 {
				continue // which most are
			}
			b := &s.Batches[n]
			if share := stepShare(s, i, b); share.Cmp(tolerated) > 0 {
				batches = append(batches, b.Written)
				if share.Cmp(worst) > 0 {
					worst = share
				}
			}
		}
		if batches != nil {
			found = append(found, s.tooLight(i, worst, batches))
		}
	}
	return found
}

// enough gives the percent of each batch from which on no step of the scale is too much of a weight, not even the coarsest.
func (s *inspection) enough() []quantity.Number {
	ranges := s.Scale.Ranges()
	least := ranges[len(ranges)-1].Reads.Grams().Mul(quantity.Int(100)).Quo(tolerated)
	all := make([]quantity.Number, len(s.Batches))
	for i, b := range s.Batches {
		if whole := b.Column.Nominal.Grams(); whole.Sign() > 0 {
			all[i] = least.Quo(whole)
		}
	}
	return all
}

// stepShare gives what share of an item's exact weight one step of the scale is; 0 where nothing is weighed.
func stepShare(s *inspection, i int, b *Batch) quantity.Number {
	if b.Missing != nil {
		return quantity.Number{}
	}
	exact := s.Version.Share(i).Mul(b.Column.Nominal.Grams())
	if exact.Sign() == 0 {
		return quantity.Number{}
	}
	return s.Scale.Step(quantity.Grams(exact)).Grams().Quo(exact)
}

// of joins the names of batches to what follows "the batch": of 250 g, but from 340 g of something.
func of(batches []string) string {
	names := strings.Join(batches, " and ")
	if word, _, _ := strings.Cut(names, " "); strings.EqualFold(word, "from") {
		return names
	}
	return "of " + names
}

func (s *inspection) tooLight(i int, worst quantity.Number, batches []string) Finding {
	name, level := s.Version.Items[i].Name, Caution
	if m := s.Materials[i]; m != nil && m.Has("preservative", "alkali") {
		level = Stop
	}
	percent := past(worst.Mul(quantity.Int(100)), quantity.Int(5), 1)
	return Finding{
		Code: "below-scale", Level: level, Subject: name, Value: percent, Limit: "5", Unit: "%", Source: toleratedSource, Items: []int{i},
		Message: "One step of the scale is up to " + percent + " % of the weight of " + name + " in the batch " + of(batches) + ", so it cannot be weighed closely.",
		Mend:    "Make a larger batch, weigh it on a finer scale, or weigh it out of a dilution.",
	}
}
