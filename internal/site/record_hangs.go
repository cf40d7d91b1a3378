package site

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
)

// What is to be known of a batch may hang on more than its recipe and its materials: whether a line has to name its lot on the other records, and of
// which material a lot is on the pages of all ingredients. (A record whose recipe is gone is read anew when there are other recipes.)

// hangOn lists the records whose remarks hang on others that changed or on what ingredients' pages list.
func (s *Build) hangOn(changed []*handbook.Record, ingredients []*handbook.Ingredient) []*handbook.Record {
	var all []*handbook.Record
	for _, o := range changed {
		for _, l := range o.Lines {
			if l.Material == nil || len(l.Lots) == 0 {
				continue
			}
			for _, r := range s.recordsTaking[l.Material.ID] {
				if r != o && weighsWithoutLot(r, l.Material.ID) {
					all = append(all, r)
				}
			}
		}
	}
	codes := lotCodes(ingredients)
	if codes == nil {
		return all
	}
	for _, r := range s.records {
		if takesUnlisted(r, codes) {
			all = append(all, r)
		}
	}
	return all
}

// weighsWithoutLot says whether a record weighed a material and names no lot of it.
func weighsWithoutLot(r *handbook.Record, id string) bool {
	return slices.ContainsFunc(r.Lines, func(l handbook.RecordLine) bool {
		return l.Weighed != nil && len(l.Lots) == 0 && l.Material != nil && l.Material.ID == id
	})
}

// lotCodes gives the codes of the lots that ingredients' pages list, in small letters; nil where there are none.
func lotCodes(ingredients []*handbook.Ingredient) map[string]bool {
	var codes map[string]bool
	for _, i := range ingredients {
		for _, lot := range i.Material.Lots {
			if codes == nil {
				codes = make(map[string]bool)
			}
			codes[strings.ToLower(lot.Code)] = true
		}
	}
	return codes
}

// takesUnlisted says whether a record names a lot of one of the codes that its own material's page does not list.
func takesUnlisted(r *handbook.Record, codes map[string]bool) bool {
	return slices.ContainsFunc(r.Lines, func(l handbook.RecordLine) bool {
		return slices.ContainsFunc(l.Lots, func(use handbook.LotUse) bool { return use.Lot == nil && codes[strings.ToLower(use.Code)] })
	})
}
