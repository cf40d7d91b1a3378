package record

import (
	"time"

	"larkrow.example/stillroom/internal/quantity"
)

// expiry finds the day until which the batch is good: the earliest of what its lots say and of how long the recipe keeps.
func (b *Batch) expiry() {
	if b.Made == nil {
		return
	}
	earliest := func(t time.Time, by string) {
		if b.Expires == nil || t.Before(*b.Expires) {
			b.Expires, b.ExpiresBy = &t, by
		}
	}
	if b.Recipe != nil && b.Recipe.Keeps != nil {
		earliest(After(*b.Made, *b.Recipe.Keeps), "the recipe keeps "+b.Recipe.Keeps.String())
	}
	for _, l := range b.Lines {
		for _, use := range l.Lots {
			if use.Lot == nil || use.Lot.Expires == "" {
				continue
			}
			if t, err := time.Parse(time.DateOnly, use.Lot.Expires); err == nil { // it was read as a date
				earliest(t, l.Name+", lot "+use.Code)
			}
		}
	}
}

// After gives the day that is so long after another. Months and years end on the same day of the month, or on its last where that is too
// short; a part of a day is left out.
func After(day time.Time, d quantity.Duration) time.Time {
	months := int64(0)
	switch d.Unit {
	case "month":
		months = 1
	case "year":
		months = 12
	}
	if n, ok := d.Count.Mul(quantity.Int(months)).Floor(); months > 0 && ok && d.Count.Mul(quantity.Int(months)).Cmp(quantity.Int(n)) == 0 {
		return addMonths(day, n)
	}
	days, _ := d.Minutes().Quo(quantity.Int(24 * 60)).Floor()
	return day.AddDate(0, 0, int(min(days, maxDays)))
}

// maxDays keeps a date within what can be written.
const maxDays = 365 * 1000

func addMonths(day time.Time, n int64) time.Time {
	first := time.Date(day.Year(), day.Month(), 1, 0, 0, 0, 0, time.UTC).AddDate(0, int(min(n, maxDays/31)), 0)
	last := first.AddDate(0, 1, -1).Day()
	return first.AddDate(0, 0, min(day.Day(), last)-1)
}
