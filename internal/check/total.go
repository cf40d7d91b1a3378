package check

import "larkrow.example/stillroom/internal/quantity"

// total finds percents that do not make 100 where no ingredient is q.s. (common practice, no source).
func total(s *inspection) []Finding {
	w := s.Version.Written
	if w == nil {
		return nil
	}
	hundred := quantity.Int(100)
	sum := past(w.Percent, hundred, 3)
	mend := "Correct the percents, or make one ingredient q.s. so that it takes up the balance."
	if over := w.Percent.Sub(hundred); over.Sign() > 0 {
		mend = "Lower the percents by " + past(over, quantity.Number{}, 3) + " in all, or make one ingredient q.s."
	}
	return []Finding{{
		Code: "total-not-100", Level: Stop, Value: sum, Limit: "100", Unit: "%", Source: "common practice",
		Message: "The percents make " + sum + " %, not 100 %, and no ingredient is q.s. The weights shown share out the whole as the percents stand to one another.",
		Mend:    mend,
	}}
}
