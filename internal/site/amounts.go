package site

import (
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
)

// amountsOf gives what draws an amount in a method: one span for each version, in it one for each batch, of which the style sheet
// shows the one that is chosen.
func amountsOf(worked []handbook.Worked) func(name string) string {
	return func(name string) string {
		k := &ink{}
		k.raw(`<span class="amount">`)
		for i, w := range worked {
			k.raw(`<span class="` + versionID(i) + `">`)
			items, also := amountItems(w.Version, name)
			for j, b := range w.Batches {
				k.raw(`<span class="` + batchID(j) + `">`)
				k.text(amountText(b, items))
				if oz := amountOunces(b, items); oz != "" {
					k.raw(" ")
					k.raw("<small>")
					k.text(oz)
					k.raw("</small>")
				}
				k.raw(`</span>`)
			}
			k.text(also)
			k.raw(`</span>`)
		}
		k.raw(`</span>`)
		return string(k.html())
	}
}

// amountItems gives the items that a name means in a version; also names what stands in their place there.
func amountItems(v *formula.Version, name string) (items []int, also string) {
	if items = v.FindInMethod(name); len(items) == 0 {
		return v.FindPhase(name), ""
	}
	var stand []string
	for _, i := range items {
		if v.Items[i].Was != "" && !strings.EqualFold(v.Items[i].Name, name) {
			stand = append(stand, v.Items[i].Name)
		}
	}
	if stand != nil {
		also = " (" + strings.Join(stand, ", ") + ")"
	}
	return items, also
}

// amountText gives what some items weigh together in a batch.
func amountText(b check.Batch, items []int) string {
	switch {
	case b.Missing != nil:
		return "no such batch"
	case len(items) == 0:
		return "none in this version"
	}
	sum, places := weighed(b, items)
	return sum.Grams().Fixed(places) + " g"
}

func amountOunces(b check.Batch, items []int) string {
	if b.Missing != nil || len(items) == 0 {
		return ""
	}
	sum, _ := weighed(b, items)
	return ounceText(sum.ReadOunces()) + " oz"
}

func weighed(b check.Batch, items []int) (sum quantity.Mass, places int) {
	grams := quantity.Number{}
	for _, i := range items {
		r := b.Column.Weights[i]
		p, _ := r.Step.Grams().Places()
		grams, places = grams.Add(r.Mass.Grams()), max(places, p)
	}
	return quantity.Grams(grams), places
}
