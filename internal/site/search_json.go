package site

import (
	"iter"
	"slices"
)

// searchJSON gives search.json: what the search of a handbook looks through, one page a line, in the order given.
func searchJSON(entries iter.Seq[*Entry]) []byte {
	var o jsonInk
	o.b = append(o.b, `{"schema":1,"entries":[`+"\n"...)
	for e := range entries {
		o.entry(e)
		o.end()
	}
	return append(o.b, "]}\n"...)
}

// entry writes a page. Members is left out where it is for everyone, and so is what is not known: an ingredient without contains may hold any food
// allergen, one with an empty list is made from none of their sources.
func (o *jsonInk) entry(e *Entry) {
	o.object("", func() {
		o.text("path", e.Path)
		o.text("title", e.Title)
		o.text("kind", e.Kind)
		o.text("summary", e.Summary)
		o.text("tag", e.Tag)
		o.text("shelf", e.Shelf)
		if e.Teaser {
			o.texts("words", nil)
		} else {
			o.texts("words", e.Words)
		}
		if e.Members {
			o.truth("members", true)
		}
		if !e.Teaser {
			o.entryFacts(&e.Facts)
		}
	})
}

func (o *jsonInk) entryFacts(f *EntryFacts) {
	o.anyText("category", f.Category) // of a recipe
	if f.Minutes != "" {
		o.begin("minutes") // a recipe's working time, a number
		o.b = append(o.b, f.Minutes...)
	}
	o.versions(f.Versions)            // of a recipe
	o.anyText("material", f.Material) // an ingredient's id
	o.anyText("origin", f.Origin)     // plant, animal, mineral or synthetic
	if f.Sources != nil {
		o.texts("contains", f.Sources) // food-allergen sources of an ingredient
	}
}

// versions writes what the versions of a recipe take: the ids of all their materials once, then each version's materials by where they stand among those,
// from 0, and the names of what has no page.
func (o *jsonInk) versions(versions []EntryVersion) {
	var takes []string
	for i := range versions {
		for _, id := range versions[i].Takes {
			if !slices.Contains(takes, id) {
				takes = append(takes, id)
			}
		}
	}
	if len(takes) > 0 {
		o.texts("takes", takes)
	}
	if len(versions) == 0 {
		return
	}
	o.array("versions", func() {
		for i := range versions {
			v := &versions[i]
			o.object("", func() {
				o.text("name", v.Name)
				o.array("takes", func() {
					for _, id := range v.Takes {
						o.whole("", int64(slices.Index(takes, id)))
					}
				})
				if len(v.Others) > 0 {
					o.texts("others", v.Others)
				}
			})
		}
	})
}
