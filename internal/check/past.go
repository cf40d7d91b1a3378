package check

import "larkrow.example/stillroom/internal/quantity"

// past writes a value that is not at its limit with so many places, or with as many more as tell it from the limit, so that
// no page says "5 %, and 5 % is allowed".
func past(value, limit quantity.Number, places int) string {
	for places < 18 && value.Text(places) == limit.Text(places) {
		places++
	}
	return value.Text(places)
}
