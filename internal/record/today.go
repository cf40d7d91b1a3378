package record

import (
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
)

// Ahead gives a remark on a batch that by its record was made after a day, which is today; nil where it was not.
func Ahead(r *handbook.Record, today time.Time) *Remark {
	if r.Made == nil || r.Made.Format(time.DateOnly) <= today.Format(time.DateOnly) {
		return nil
	}
	return &Remark{
		Level: check.Caution, Message: "The batch is made on " + r.Made.Format(time.DateOnly) + ", a day that is still to come.",
		Mend: "see that the day is right; a batch that is planned has no made:", At: r.CodeAt, Open: true,
	}
}
