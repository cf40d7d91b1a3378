package check_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/golden"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

// Every row of the law's tables that has a figure is tried by a pair of formulas with opposite results: at the figure and
// just past it; or, for a ban, without and with the least trace, and in a product that is open and in one that is not. The
// rows for which there is no such pair are listed with the reason.
func TestLegalEveryRow(t *testing.T) {
	t.Parallel()
	var without []string
	tried := 0
	for _, r := range law.Rules() {
		if r.Max == nil {
			continue
		}
		if why := pair(t, r); why != "" {
			without = append(without, rowID(r)+": "+why)
			continue
		}
		tried++
	}
	t.Logf("%d rows tried by a pair, %d without", tried, len(without))
	assert.Greater(t, tried, 1500, "nearly all rows are to be tried")
	golden.Equal(t, "testdata/law-rows-without-a-pair.txt", strings.Join(without, "\n")+"\n")
}

func rowID(r law.Rule) string {
	id := []string{r.Market, r.Entry, r.Scope, r.Duty, r.Max.String() + " %"}
	if !r.From.IsZero() {
		id = append(id, "from "+r.From.Format(time.DateOnly))
	}
	return strings.Join(append(id, r.Names[:min(1, len(r.Names))]...), " ")
}

// pair tries a row and gives "" where a pair with opposite results was found, else why there is none.
func pair(t *testing.T, r law.Rule) string {
	switch r.Duty {
	case law.Purity:
		return "the figure is of an impurity: " + r.CountedAs
	case law.Advice:
		return "advice, no law"
	case law.Warn:
		return "the figure is of " + r.CountedAs + ", which no formula tells"
	}
	if len(r.Names) == 0 {
		return "no name to find it by"
	}
	day := r.From
	if day.IsZero() && !r.Until.IsZero() {
		day = r.Until
	}
	reached := law.DoesNotApply
	for _, name := range law.ProductNames() {
		p := productOf(t, name)
		on := day
		if on.IsZero() {
			on = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)
		}
		reach := r.Applies(p, on)
		if reach == law.DoesNotApply {
			continue
		}
		if reached != law.Applies {
			reached = reach
		}
		for _, inci := range r.Names {
			if opposite(t, r, reach, p, inci, day) {
				return ""
			}
		}
	}
	switch {
	case reached == law.DoesNotApply:
		return "for " + r.Scope + ", which no product type is"
	case reached == law.Unclear:
		return "for " + r.Scope + ", which no product type tells"
	}
	return "a stricter row of the same substance holds wherever it does"
}

// opposite says whether the formula at the figure passes and the one just past it does not: by a stop, or, where it is not
// clear that the row reaches the product, by the warning that it may.
func opposite(t *testing.T, r law.Rule, reach law.Applicability, p law.Product, inci string, day time.Time) bool {
	counted, known := r.Counted(inci, quantity.Int(1))
	if factor, ok := law.Equivalent(inci, r.CountedAs); !known && ok {
		counted = factor
	}
	at := r.Max.Quo(counted)
	past := at.Add(quantity.Fraction(1, 1_000_000_000))
	if past.Cmp(quantity.Int(100)) >= 0 {
		return false
	}
	try := func(percent quantity.Number) []check.Finding {
		lines := []dosed{{substanceOf(inci, roleFor(r.Purpose)), percent}}
		if percent.Sign() == 0 {
			lines = nil // a ban: without it
		}
		s := sold(t, p, lines...)
		s.On = day
		if r.Purpose == law.AsUVFilter {
			s.Words = "A sun cream, SPF 15."
		}
		return inMarket(s, r.Market)
	}
	inside, outside := try(at), try(past)
	stopped := func(all []check.Finding) bool {
		return slices.ContainsFunc(all, func(f check.Finding) bool { return stopsBy(f, r) })
	}
	warned := func(all []check.Finding) bool {
		return slices.ContainsFunc(all, func(f check.Finding) bool { return f.Limit == r.Max.String() })
	}
	return stopped(outside) && !stopped(inside) || reach == law.Unclear && warned(outside) && !warned(inside)
}

// stopsBy says whether a finding is the stop that a row of the law asks for.
func stopsBy(f check.Finding, r law.Rule) bool {
	if r.Duty == law.AtMost {
		return f.Code == "above-legal-maximum"
	}
	return f.Code == "banned-substance" || f.Code == "colourant-use"
}

func roleFor(purpose string) string {
	switch purpose {
	case law.ToPreserve:
		return "preservative"
	case law.AsFragrance:
		return "fragrance"
	case law.AsColour:
		return "colourant"
	}
	return "active"
}
