package site

import (
	"strings"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/words"
)

// named gives the language's word for one of the program's own, such as a role or a category, and the program's where it has none.
func named(l *words.Language, kind, word string) string {
	return l.Named(kind, word)
}

// lasting writes a length of time: "1 hour 10 minutes".
func lasting(l *words.Language, d quantity.Duration) string {
	var all []string
	for _, part := range d.Parts() {
		var count any = l.Number(part.Count.Text(2))
		if whole, ok := part.Count.Floor(); ok && quantity.Int(whole).Cmp(part.Count) == 0 {
			count = whole
		}
		all = append(all, l.Say("unit."+part.Unit, "count", count))
	}
	return strings.Join(all, " ")
}

// percent writes a figure with its sign.
func percent(l *words.Language, figure string) string { return l.Number(figure) + " %" }

// useName gives what a usage rate is for: anything, a kind of use, a category or a product.
func useName(l *words.Language, use string) string {
	for _, kind := range []string{"use", "category", "product"} {
		if l.Has(kind + "." + use) {
			return named(l, kind, use)
		}
	}
	return use
}

// foodNames lists food-allergen sources.
func foodNames(l *words.Language, sources []string) string {
	all := make([]string, len(sources))
	for i, s := range sources {
		all[i] = named(l, "food", s)
	}
	return l.Commas(all)
}

// What the catalogue writes of a figure that has no source but the trade's habit, and a handbook of one that the maker gives without any.
const (
	practice  = "common practice"
	ownFigure = "the maker's own figure"
)

// sourceName gives a source, the trade's habit where there is none.
func sourceName(l *words.Language, source string) string {
	switch source {
	case "", practice:
		return l.Say("fact.practice")
	case ownFigure:
		return l.Say("fact.own")
	}
	return source
}
