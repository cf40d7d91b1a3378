package record

import (
	"slices"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
)

// lotRemarks tells of the lots that a line was weighed from.
func (b *Batch) lotRemarks(h *handbook.Handbook, l *Line) {
	if len(l.Lots) == 0 && l.Weighed.Grams().Sign() > 0 && b.wantsLot(h, l) {
		b.open(l.At, "name the lot on the line: lot: …", "No lot is named for %s, so this batch cannot be traced by it.", l.Name)
	}
	if codes := l.unshared(); codes != nil {
		b.open(l.At, "write what came from each: lot: {"+codes[0]+": … g, "+codes[1]+": … g}",
			"How much of %s came from which of the lots %s is not told, so it is taken off them together.", l.Name, strings.Join(codes, ", "))
	}
	for _, use := range l.Lots {
		if b.Made != nil && use.Lot != nil && use.Lot.Expires != "" && use.Lot.Expires < b.Made.Format(time.DateOnly) {
			b.remark(check.Caution, use.At, because(l.Note, ""), "The lot %s of %s was past its date on the day, %s.", use.Code, l.Name, use.Lot.Expires)
		}
		if other := otherwise(h, l, use.Code); use.Lot == nil && other != nil {
			b.open(use.At, "if it is the same material, write the name as it is there, or this name under also: on that page; else write lots: on a page of its own",
				"%s has no page with lots, and the lot %s is on the page of %s: nothing is taken off it.", l.Name, use.Code, other.Name)
		}
	}
}

// wantsLot says whether a line has to name its lot: the batch was released, or the material's lots are listed or named in another record.
func (b *Batch) wantsLot(h *handbook.Handbook, l *Line) bool {
	if b.Checked != nil && b.Checked.Passed {
		return true
	}
	return l.Material != nil && (len(l.Material.Lots) > 0 || slices.ContainsFunc(h.Records, func(r *handbook.Record) bool {
		return slices.ContainsFunc(r.Lines, func(o handbook.RecordLine) bool {
			return len(o.Lots) > 0 && o.Material != nil && o.Material.ID == l.Material.ID
		})
	}))
}

// otherwise gives the material on whose page a lot of that code is listed, where the line's own has no page of its own; else nil.
func otherwise(h *handbook.Handbook, l *Line, code string) *material.Material {
	if m := l.Material; m != nil && slices.ContainsFunc(h.Ingredients, func(i *handbook.Ingredient) bool { return i.Material.ID == m.ID && i.File != "" }) {
		return nil
	}
	for _, i := range h.Ingredients {
		if slices.ContainsFunc(i.Material.Lots, func(known material.Lot) bool { return strings.EqualFold(known.Code, code) }) {
			return i.Material
		}
	}
	return nil
}
