package check

import (
	"regexp"
	"slices"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// Words of a name that tell of water and of food in it, and those that tell that it is dry or an oil after all. Common practice, no source.
var (
	wetWords  = regexp.MustCompile(`(?i)\b(?:water|hydrosol|tea|infusion|decoction|juice|pur[eé]e|milk|yogh?urt)\b`)
	foodWords = regexp.MustCompile(`(?i)\b(?:juice|pur[eé]e|milk|yogh?urt)\b`)
	dryWords  = regexp.MustCompile(`(?i)\b(?:powder(?:ed)?|dried|dry|oils?|butter|wax|milk thistle|tea (?:tree|lea(?:f|ves)|seeds?)|water(?: lily|[- ](?:soluble|based|free)))\b`)
)

// unheard gives the lines of which no material is known, together by name, each as what its name tells: of several materials that it can
// mean one that brings water, if one does; else by its words. Untold are those that tell nothing.
func (s *inspection) unheard() (told, untold []*dose) {
	all := s.names.get(s.readNames)
	return all.told, all.untold
}

// A named is what is told by names alone, and what is not.
type named struct{ told, untold []*dose }

func (s *inspection) readNames() named {
	var told, untold []*dose
	for i, m := range s.Materials {
		if m != nil {
			continue
		}
		name := s.Version.Items[i].Name
		several := s.candidates(i)
		list := &told
		switch {
		case len(several) > 1:
			m = several[max(0, slices.IndexFunc(several, (*material.Material).BringsWater))]
		case !wetWords.MatchString(name) || dryWords.MatchString(name):
			list, m = &untold, &material.Material{Name: name}
		case foodWords.MatchString(name):
			m = &material.Material{Name: name, Roles: []string{"water", "food"}}
		default:
			m = &material.Material{Name: name, Roles: []string{"water"}}
		}
		at := slices.IndexFunc(*list, func(d *dose) bool { return material.Key(d.name) == material.Key(name) })
		if at < 0 {
			at = len(*list)
			*list = append(*list, &dose{Material: m, facts: factsOf.Of(m, s.Index), name: name})
		}
		(*list)[at].items = append((*list)[at].items, i)
		(*list)[at].percent = (*list)[at].percent.Add(s.percents[i])
	}
	return named{told, untold}
}

// wetByName gives what brings water by its name alone.
func (s *inspection) wetByName() []*dose {
	told, _ := s.unheard()
	return those(told, func(d *dose) bool { return d.facts.wet && !d.facts.protects })
}

// hardlyAny is the percentage up to which what is not known counts as bringing no water. Common practice, no source.
var hardlyAny = quantity.Int(1)

// mayBeWet gives what may bring water for all that is known, where that is more than hardly any.
func (s *inspection) mayBeWet() []*dose {
	if _, untold := s.unheard(); percentOf(untold).Cmp(hardlyAny) > 0 {
		return untold
	}
	return nil
}

// maybeUnpreserved is the finding on a product without a preservative in which something may bring water.
func maybeUnpreserved(unknown []*dose) Finding {
	shown := past(percentOf(unknown), hardlyAny, 2)
	amount := ", " + shown
	if len(unknown) > 1 {
		amount = ", together " + shown
	}
	return Finding{
		Code: "no-preservative", Level: Caution, Value: shown, Unit: "%", Items: itemsOf(unknown), Source: "common practice",
		Message: "Nothing is known of " + and(namesOf(unknown)) + amount + " % of it, which may bring water, so whether this needs a preservative could not be checked.",
		Mend:    "Add a page for it under ingredients/ with water: or its inci:, and a preservative if it brings water.",
	}
}
