package synthetic

import (
	"fmt"
	"strconv"
	"strings"
)

// A style is how a recipe writes its amounts. Shares of the formula are reckoned in hundredths of a percent.
type style int

const (
	balanced style = iota // in percent, the balance as q.s.
	percents              // in percent throughout
	grams                 // for 1 kg
	parts                 // by weight
	ounces                // large ones by weight of 100 oz, the others in percent
)

// percent writes a share in percent.
func percent(share int) string { return decimal(share) + " %" }

// decimal writes hundredths without zeros at the end.
func decimal(hundredths int) string {
	s := fmt.Sprintf("%d.%02d", hundredths/100, hundredths%100)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// large is the share from which on ounces are written.
const large = 1500

// write writes a share in a style.
func (s style) write(share int) string {
	switch {
	case s == grams:
		return decimal(share*10) + " g"
	case s == parts:
		return decimal(share) + " parts"
	case s == ounces && share >= large:
		return inOunces(share)
	}
	return percent(share)
}

// inOunces writes hundredths of an ounce in pounds and ounces where they are whole, else in ounces.
func inOunces(hundredths int) string {
	if hundredths%100 == 0 && hundredths > 1600 && hundredths%1600 > 0 {
		return fmt.Sprintf("%d lb %d oz", hundredths/1600, hundredths%1600/100)
	}
	return decimal(hundredths) + " oz"
}

// freely writes a percentage as one or another maker would.
func freely(d dice, share int) string {
	switch {
	case share%100 == 50 && d.chance(30):
		whole := ""
		if share > 100 {
			whole = strconv.Itoa(share/100) + " "
		}
		return whole + one(d, []string{"1/2 %", "½ %"})
	case share%100 != 0 && d.chance(10):
		return strings.ReplaceAll(percent(share), ".", ",")
	}
	return percent(share)
}
