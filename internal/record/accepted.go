package record

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/quantity"
)

// accept marks the findings that the maker has accepted. What is accepted is the recipe as it is written: that holds of a batch as far as it is no
// worse.
func (b *Batch) accept(written []check.Finding) {
	marked := slices.Clone(b.Findings)
	check.MarkAccepted(marked, b.Recipe.Accepts)
	for i, f := range marked {
		if asBad(written, f) {
			b.Findings[i].Accepted = f.Accepted
		}
	}
}

// asBad says whether the recipe as written has a finding as bad, or less bad by a twentieth of its value at most, which weighing alone can make.
func asBad(written []check.Finding, f check.Finding) bool {
	return slices.ContainsFunc(written, func(w check.Finding) bool {
		return w.Code == f.Code && w.Level == f.Level && w.Subject == f.Subject && !worse(f, w)
	})
}

// worse says whether a finding's value is further past its limit than another's by more than a twentieth of that. Where there is no limit, more is
// worse, as of a fragrance without a certificate; but of what may be too little either way is.
func worse(f, than check.Finding) bool {
	value, known := figure(f.Value)
	other, both := figure(than.Value)
	if !known || !both {
		return f.Value != than.Value
	}
	further := value.Sub(other)
	switch limit, bound := figure(than.Limit); {
	case bound && other.Cmp(limit) < 0:
		further = further.Neg()
	case !bound && slices.Contains([]string{"below-usual-minimum", "superfat-unusual"}, f.Code):
		further = abs(further)
	}
	return further.Cmp(abs(other).Quo(quantity.Int(20))) > 0
}

// figure reads a figure of a finding, which may be below 0.
func figure(text string) (quantity.Number, bool) {
	above, below := strings.CutPrefix(text, "-")
	n, err := quantity.ParseNumber(above)
	if below {
		n = n.Neg()
	}
	return n, err == nil
}
