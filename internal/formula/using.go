package formula

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// Using gives a batch that uses up a material with the name that the formula has for it, where it was named otherwise: by another name of the
// material, or by what stands before the comma in the formula's ("Shea butter" for "Shea butter, refined"). The function gives the id of a
// name's material, "" where it means none. What is not found, and any other batch, comes back as it is.
func (v *Version) Using(b quantity.Batch, id func(name string) string) quantity.Batch {
	if b.Material == "" || len(v.itself(b.Material)) > 0 {
		return b
	}
	found := v.FindWeighed(b.Material, id)
	if len(found) == 0 {
		found = v.findShortened(b.Material)
	}
	name := v.oneName(found)
	if name == "" {
		return b
	}
	b.Written = strings.TrimSuffix(b.Written, b.Material) + name
	b.Material = name
	return b
}

// findShortened gives the items of whose names this is all that stands before a comma, with or without " in PHASE".
func (v *Version) findShortened(name string) []int {
	var found []int
	for i, item := range v.Items {
		short, _, cut := strings.Cut(item.Name, ",")
		if cut && isCalled(strings.TrimSpace(short), name, &v.Phases[item.Phase]) {
			found = append(found, i)
		}
	}
	return found
}

// oneName gives the name that some items have in common, with its phase where another phase has it too; "" where they have none.
func (v *Version) oneName(items []int) string {
	if len(items) == 0 {
		return ""
	}
	first := v.Items[items[0]]
	for _, i := range items {
		if v.Items[i].Name != first.Name {
			return ""
		}
	}
	if len(items) == 1 && len(v.itself(first.Name)) > 1 {
		return first.Name + " in " + v.Phases[first.Phase].Name
	}
	return first.Name
}

// meant gives a hint that names what a name that is not found most likely meant: the nearest, or those that have all of its words.
func (v *Version) meant(name string) string {
	names := v.names()
	if spell.Nearest(name, names) != "" {
		return spell.DidYouMean(name, names, "")
	}
	var with []string
	for _, known := range names {
		all := strings.Fields(strings.ToLower(known))
		for _, word := range strings.Fields(strings.ToLower(name)) {
			if !slices.ContainsFunc(all, func(w string) bool { return strings.Trim(w, ",()") == word }) {
				all = nil
			}
		}
		if all != nil && !slices.Contains(with, known) {
			with = append(with, known)
		}
	}
	if len(with) == 0 {
		return "name an ingredient of the formula"
	}
	return "did you mean “" + strings.Join(with, "” or “") + "”?"
}
