package label

import (
	"sync"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
)

// looked is what the law's tables have of a substance: its rules with words for a label, and whether it is an allergen of the
// latest list, which has all that earlier ones have.
type looked struct {
	words    []law.Rule
	allergen bool
}

// lookUp looks a substance up. Those of the catalogue, which most formulas are made of, are looked up once for all.
func lookUp(inci string) looked {
	if l, ok := lookedUp()[inci]; ok {
		return l
	}
	return lookAfresh(inci)
}

func lookAfresh(inci string) looked {
	var l looked
	for _, r := range law.Find(EU, inci, nil) {
		if r.LabelWords != "" {
			l.words = append(l.words, r)
		}
	}
	_, l.allergen = law.Allergens(latest).Find(inci, nil)
	return l
}

var lookedUp = sync.OnceValue(func() map[string]looked {
	all := make(map[string]looked)
	for _, m := range material.Common().Materials() {
		for _, list := range [][]material.Constituent{m.Composition, m.Fragrance.Allergens} {
			for _, c := range list {
				if _, known := all[c.INCI]; !known {
					all[c.INCI] = lookAfresh(c.INCI)
				}
			}
		}
	}
	return all
})
