package site

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/record"
)

// The pages of recipes and of ingredients tell which batches were made of them, the latest first: where there are records, in the maker's edition alone.

// indexRecord notes what a record was made of.
func (s *Build) indexRecord(r *handbook.Record) {
	if r.Recipe != nil {
		s.recordsOf[r.Recipe.File] = append(s.recordsOf[r.Recipe.File], r)
	}
	ids := recordMaterials(r)
	slices.Sort(ids)
	for _, id := range slices.Compact(ids) {
		s.recordsTaking[id] = append(s.recordsTaking[id], r)
	}
}

// batch works a record out, once.
func (s *Build) batch(r *handbook.Record) *record.Batch {
	if b, ok := s.batches.Load(r); ok {
		return b.(*record.Batch)
	}
	b, _ := s.batches.LoadOrStore(r, record.Of(s.Handbook, r))
	return b.(*record.Batch)
}

// latest gives records with the latest made first, before them those that are not made yet.
func latest(records []*handbook.Record) []*handbook.Record {
	all := record.InOrder(records)
	slices.Reverse(all)
	return all
}

// batchesOf lists the batches of a recipe.
func (s *Build) batchesOf(r *handbook.Recipe, root string) []RecordEntry {
	var all []RecordEntry
	for _, b := range latest(s.recordsOf[r.File]) {
		e := s.recordEntry(b, root)
		e.Recipe, e.State = strings.TrimPrefix(strings.TrimPrefix(e.Recipe, r.Title), ", "), s.state(b) // the version alone
		all = append(all, e)
	}
	return all
}

// batchesTaking lists the batches that a material was weighed for, or is to be.
func (s *Build) batchesTaking(id, root string) []TakenView {
	var all []TakenView
	for _, b := range latest(s.recordsTaking[id]) {
		t := TakenView{RecordEntry: s.recordEntry(b, root)}
		t.State = s.state(b)
		grams, weighed := quantity.Number{}, false
		for _, l := range b.Lines {
			if l.Material == nil || l.Material.ID != id {
				continue
			}
			if l.Weighed != nil {
				grams, weighed = grams.Add(l.Weighed.Grams()), true
			}
			for _, use := range l.Lots {
				t.Lots = appendOnce(t.Lots, use.Code)
			}
		}
		if weighed {
			t.Weight = s.words.Number(grams.Text(6)) + " g"
		}
		all = append(all, t)
	}
	return all
}

func appendOnce(all []string, s string) []string {
	if slices.Contains(all, s) {
		return all
	}
	return append(all, s)
}

// toldOf lists the pages that tell of a record: its recipe's and those of its materials.
func (s *Build) toldOf(r *handbook.Record) []Dependent {
	var all []Dependent
	if r.Recipe != nil && s.has(&r.Recipe.Page) {
		all = append(all, s.dependent(&r.Recipe.Page, UsedBy))
	}
	for _, id := range recordMaterials(r) {
		if i := s.byID[id]; i != nil {
			all = append(all, s.dependent(&i.Page, UsedBy))
		}
	}
	return all
}
