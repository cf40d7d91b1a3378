package site

import (
	"strconv"
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/words"
)

// amountsOf gives what draws an amount in a method: one span for each version, in it one for each batch, of which the style sheet
// shows the one that is chosen. Which items it is of is told to the script that weighs batches of other sizes.
func amountsOf(worked []handbook.Worked, l *words.Language) func(name string) string {
	return func(name string) string {
		k := &ink{}
		k.raw(`<span class="amount">`)
		for i, w := range worked {
			items, also := amountItems(w, name)
			k.raw(`<span class="` + versionID(i) + itemsOf(items) + `">`)
			for j, b := range w.Batches {
				k.raw(`<span class="` + batchID(j) + `">`)
				k.text(amountText(b, items, l))
				if oz := amountOunces(b, items); oz != "" {
					k.raw(" ")
					k.raw("<small>")
					k.text(l.Number(oz))
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

// itemsOf ends a class and gives the attribute that tells a script which items an amount is of.
func itemsOf(items []int) string {
	if len(items) == 0 {
		return ""
	}
	words := make([]string, len(items))
	for i, item := range items {
		words[i] = strconv.Itoa(item)
	}
	return `" data-items="` + strings.Join(words, " ")
}

// inMethod gives the items that a name in a method means: by the formula's names, else by another name of the same material.
func inMethod(v *formula.Version, name string, known *material.Index) []int {
	if items := v.FindInMethod(name); len(items) > 0 || v.FindPhase(name) != nil {
		return items
	}
	return v.InMethod(v.FindMaterial(name, func(name string) string {
		if m := known.Find(name); m != nil {
			return m.ID
		}
		return ""
	}))
}

// amountItems gives the items that a name means in a version; also names what stands in their place there.
func amountItems(w handbook.Worked, name string) (items []int, also string) {
	v := w.Version
	if items = inMethod(v, name, w.Subject.Index); len(items) == 0 {
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
func amountText(b check.Batch, items []int, l *words.Language) string {
	switch {
	case b.Missing != nil:
		return l.Say("formula.no-batch")
	case len(items) == 0:
		return l.Say("formula.none")
	}
	sum, places := weighed(b, items)
	return l.Number(sum.Grams().Fixed(places)) + " g"
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
