package site

import (
	"strings"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/words"
)

// changed tells how a recipe's formula came to be as it is.
func changed(r *handbook.Recipe, l *words.Language) []ChangeView {
	var all []ChangeView
	for _, c := range r.Changes {
		v := ChangeView{Day: c.On.Format(time.DateOnly), On: l.Date(c.On), Note: c.Note}
		for _, line := range c.Lines {
			v.Lines = append(v.Lines, ChangedLine{Name: line.Name, How: became(line.Before, line.After, l)})
		}
		all = append(all, v)
	}
	return all
}

// became says what became of an amount; "" is none. Two percents share the sign.
func became(before, after string, l *words.Language) string {
	switch {
	case before == "":
		return l.Say("change.added", "what", after)
	case after == "":
		return l.Say("change.taken-out", "what", before)
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
