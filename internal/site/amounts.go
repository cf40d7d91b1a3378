package site

import (
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
		k := newInk()
		k.raw(`<span class="amount">`)
		for i := range worked {
			k.amount(&worked[i], i, name, l)
		}
		k.raw(`</span>`)
		return string(k.html())
	}
}

// amount draws what a name comes to in the batches of a version.
func (k *ink) amount(w *handbook.Worked, version int, name string, l *words.Language) {
	items, also := amountItems(*w, name)
	k.raw(`<span class="v`)
	k.whole(version + 1)
	k.items(items)
	k.raw(`">`)
	for j := range w.Batches {
		b := &w.Batches[j]
		k.raw(`<span class="b`)
		k.whole(j + 1)
		k.raw(`">`)
		switch {
		case b.Missing != nil:
			k.say(l, "formula.no-batch")
		case len(items) == 0:
			k.say(l, "formula.none")
		default:
			sum, places := weighed(b, items)
			k.fixed(l, sum, places)
			k.raw(" g <small>")
			k.ounces(l, sum)
			k.raw(" oz</small>")
		}
		k.raw(`</span>`)
	}
	k.text(also)
	k.raw(`</span>`)
}

// items ends a class and tells a script which items an amount is of.
func (k *ink) items(items []int) {
	for i, item := range items {
		if i == 0 {
			k.raw(`" data-items="`)
		} else {
			k.raw(" ")
		}
		k.whole(item)
	}
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

// weighed gives what some items weigh together in a batch, in grams with so many places.
func weighed(b *check.Batch, items []int) (sum quantity.Number, places int) {
	for _, i := range items {
		sum, places = addReading(sum, places, b.Column.Weights[i])
	}
	return sum, places
}
