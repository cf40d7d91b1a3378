package site

import (
	"strings"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
)

// changed tells how a recipe's formula came to be as it is.
func changed(r *handbook.Recipe) []ChangeView {
	var all []ChangeView
	for _, c := range r.Changes {
		v := ChangeView{Day: c.On.Format(time.DateOnly), On: day(&c.On), Note: c.Note}
		for _, l := range c.Lines {
			v.Lines = append(v.Lines, ChangedLine{Name: l.Name, How: became(l.Before, l.After)})
		}
		all = append(all, v)
	}
	return all
}

// became says what became of an amount; "" is none. Two percents share the sign.
func became(before, after string) string {
	switch {
	case before == "":
		return after + ", added"
	case after == "":
		return before + ", taken out"
	case isPercent(before) && isPercent(after):
		before = strings.TrimSpace(strings.TrimSuffix(before, "%"))
	}
	return before + " → " + after
}

// isPercent says whether an amount is a percent of the whole, written with its sign.
func isPercent(amount string) bool {
	_, err := quantity.ParsePercent(amount)
	return err == nil && strings.HasSuffix(amount, "%")
}
