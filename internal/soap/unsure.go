package soap

import (
	"strings"

	"larkrow.example/stillroom/internal/material"
)

// Unsure gives a fault for each ingredient of a mix that may be a fat, for all that is known: a sum that leaves a fat out is wrong.
// A name that can mean several materials of an index (nil: none) is no fat where none of them is one.
func (mix Mix) Unsure(index *material.Index) Faults {
	var faults Faults
	for _, name := range mix.Unknown {
		candidates := several(name, index)
		if candidates != nil && !anyFat(candidates) {
			continue
		}
		hint := "name it more closely"
		if candidates != nil {
			hint += " (" + name + " can be " + either(candidates) + ")"
		}
		faults.addf(name, hint+", or give its page saponification:; for what is no fat, a page with its role: will do", "%s may be a fat", name)
	}
	return faults
}

// several gives the materials that a name can mean, where it can mean more than one.
func several(name string, index *material.Index) []*material.Material {
	if index == nil {
		return nil
	}
	if all := index.Candidates(name); len(all) > 1 {
		return all
	}
	return nil
}

// anyFat says whether one of some materials takes up alkali or nothing tells that it does not.
func anyFat(materials []*material.Material) bool {
	for _, m := range materials {
		if _, fat := FatOf(m.Name, m, hundred()); fat || !tells(m) {
			return true
		}
	}
	return false
}

// either joins the names of materials, which may have commas in them: A or B or C.
func either(materials []*material.Material) string {
	names := make([]string, len(materials))
	for i, m := range materials {
		names[i] = m.Name
	}
	return strings.Join(names, " or ")
}
