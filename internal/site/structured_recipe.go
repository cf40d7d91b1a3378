package site

import (
	"fmt"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
)

// A howTo tells how the base is made in the first batch, all of it as the page shows it. schema.org's Recipe is for food, and so HowTo it is.
type howTo struct {
	page   *RecipeView
	recipe *handbook.Recipe
	worked []handbook.Worked
	image  string // address
}

func (s *Build) howTo(v *RecipeView, r *handbook.Recipe, worked []handbook.Worked) howTo {
	t := howTo{page: v, recipe: r, worked: worked}
	if r.Picture != nil {
		t.image = absolute(s.Address, s.pictures[r.Picture.File])
	}
	return t
}

func (t howTo) write(o *jsonInk) {
	v, r := t.page, t.recipe
	o.thing("", v.Canonical+"#part--method", "HowTo", func() {
		o.anyText("description", r.Summary)
		o.anyText("image", t.image)
		o.anyText("inLanguage", v.Lang)
		o.object("mainEntityOfPage", func() { o.text("@id", v.Canonical) })
		o.anyText("name", r.Title)
		if r.Time != nil {
			o.text("performTime", isoDuration(r.Time.Minutes()))
		}
		o.steps(methodParts(string(v.Method)), v.Caution)
		if len(t.worked) > 0 {
			o.supplies(t.worked[0])
		}
		if len(r.Tools) > 0 {
			o.array("tool", func() {
				for _, name := range r.Tools {
					o.thing("", "", "HowToTool", func() { o.anyText("name", name) })
				}
			})
		}
		if r.Time != nil {
			total := r.Time.Minutes()
			if r.Rest != nil {
				total = total.Add(r.Rest.Minutes())
			}
			o.text("totalTime", isoDuration(total))
		}
		if len(v.Batches) > 0 {
			o.text("yield", v.Batches[0].Size)
		}
	})
}

// supplies writes what is weighed for the first batch.
func (o *jsonInk) supplies(w handbook.Worked) {
	if len(w.Version.Items) == 0 {
		return
	}
	o.array("supply", func() {
		for i := range w.Version.Items {
			o.thing("", "", "HowToSupply", func() {
				o.anyText("name", w.Version.Items[i].Name)
				if len(w.Batches) > 0 && w.Batches[0].Missing == nil {
					o.text("requiredQuantity", w.Batches[0].Column.Weights[i].Text()+" g")
				}
			})
		}
	})
}

// steps writes what is done: in sections where the method has headings, and a last caution.
func (o *jsonInk) steps(parts []methodPart, caution string) {
	o.array("step", func() {
		for len(parts) > 0 {
			name, steps := "", parts
			if parts[0].kind == methodHeading {
				name, steps = parts[0].text, parts[1:]
			}
			n := 0
			for n < len(steps) && steps[n].kind != methodHeading {
				n++
			}
			steps, parts = steps[:n], steps[n:]
			if name == "" || n == 0 {
				o.eachStep(steps)
				continue
			}
			o.thing("", "", "HowToSection", func() {
				o.array("itemListElement", func() { o.eachStep(steps) })
				o.text("name", name)
			})
		}
		o.thing("", "", "HowToTip", func() { o.anyText("text", caution) })
	})
}

func (o *jsonInk) eachStep(steps []methodPart) {
	for _, s := range steps {
		kind := "HowToStep"
		if s.kind == methodBox {
			kind = "HowToTip"
		}
		o.thing("", "", kind, func() { o.text("text", s.text) })
	}
}

// isoDuration writes minutes as a duration of ISO 8601, as schema.org asks (from memory).
func isoDuration(minutes quantity.Number) string {
	if n, ok := minutes.Floor(); ok && minutes.Sub(quantity.Int(n)).Sign() == 0 {
		return fmt.Sprintf("PT%dM", n)
	}
	return "PT" + minutes.Mul(quantity.Int(60)).Text(0) + "S"
}
