package site

import (
	"slices"

	"larkrow.example/stillroom/internal/handbook"
)

// Batch records and stock are in the maker's edition alone: a record's access is always the maker's, and the lists ask for the edition.

// addRecords takes in the batch records.
func (s *Build) addRecords() {
	s.recordsBySlug = make(map[string]*handbook.Record, len(s.Records))
	s.recordsOf, s.recordsTaking = make(map[string][]*handbook.Record), make(map[string][]*handbook.Record)
	for _, r := range s.Records {
		if s.has(&r.Page) {
			s.records = append(s.records, r)
			s.recordsBySlug[r.Slug] = r
			s.indexRecord(r)
			s.showPictures(&r.Page)
		}
	}
}

func (s *Build) recordOutput(r *handbook.Record) output {
	return s.page(recordPath(r), "batch", func() (any, error) { return s.record(r) })
}

func (s *Build) recordOutputs() []output {
	var all []output
	for _, r := range s.records {
		all = append(all, s.recordOutput(r))
	}
	return all
}

// recordLists gives the pages that lead to batch records.
func (s *Build) recordLists() []output {
	var all []output
	if len(s.records) > 0 {
		all = append(all, s.page(recordsPath, "batches", s.recordList))
	}
	if s.hasStock() {
		all = append(all, s.page(stockPath, "stock", s.stock))
	}
	return all
}

// recordMenu gives the menu's entries for them.
func (s *Build) recordMenu(root, file string) []Link {
	var all []Link
	for _, d := range s.recordDirectories() {
		all = append(all, Link{Text: d.Title, Href: root + d.Path, Current: file == d.Path})
	}
	return all
}

// recordDirectories lists the pages that lead to batch records.
func (s *Build) recordDirectories() []Dependent {
	var all []Dependent
	if len(s.records) > 0 {
		all = append(all, Dependent{Path: recordsPath, Title: s.words.Say("menu.batches"), Access: handbook.Maker})
	}
	if s.hasStock() {
		all = append(all, Dependent{Path: stockPath, Title: s.words.Say("menu.stock"), Access: handbook.Maker})
	}
	return all
}

// writtenRecords adds the batch records that are written in one of the files. It says whether there are any.
func (q *question) writtenRecords() (found bool) {
	for _, r := range q.build.records {
		found = q.self(&r.Page) || found
	}
	return found
}

// records adds the batch records that are made from a recipe or a material whose page is among the files, and the lists that tell of records.
func (q *question) records() {
	s, onLists := q.build, q.onRecords
	var written []*handbook.Record
	for _, r := range s.records {
		if q.files.has(r.File) {
			written = append(written, r)
		}
		if r.Recipe != nil && q.files.has(r.Recipe.File) || slices.ContainsFunc(recordMaterials(r), func(id string) bool { return q.ids[id] }) {
			q.add(s.dependent(&r.Page, Uses))
			q.tellers(r)
			onLists = true
		} else if q.files.has(r.File) {
			q.tellers(r)
		}
	}
	changed := slices.DeleteFunc(slices.Clone(s.ingredients), func(i *handbook.Ingredient) bool { return !q.files.has(i.File) })
	for _, r := range s.hangOn(written, changed) {
		q.add(s.dependent(&r.Page, Uses))
	}
	for _, d := range s.recordDirectories() {
		if onLists || d.Path == stockPath && q.stocked() {
			d.How = Lists
			q.add(d)
		}
	}
}

// tellers adds the pages that tell of a record.
func (q *question) tellers(r *handbook.Record) {
	for _, d := range q.build.toldOf(r) {
		q.add(d)
	}
}

// stocked says whether one of the files is the page of a material whose lots are listed.
func (q *question) stocked() bool {
	return slices.ContainsFunc(q.build.ingredientsWithLots(), func(i *handbook.Ingredient) bool { return q.ids[i.Slug] })
}

// recordMaterials gives the ids of the materials that a record weighs or is to weigh.
func recordMaterials(r *handbook.Record) []string {
	var all []string
	for _, l := range r.Lines {
		if l.Material != nil {
			all = append(all, l.Material.ID)
		}
	}
	if r.Version != nil {
		for _, item := range r.Version.Items {
			all = append(all, item.Material)
		}
	}
	return all
}

// recordsOtherwise lists the pages on batches that are otherwise in one build than in another for a reason that no file tells: a record that was read
// anew, since its recipe or a material was.
func (s *Build) recordsOtherwise(other *Build) []Dependent {
	var all []Dependent
	var anew []*handbook.Record
	for _, r := range s.records {
		if other.recordsBySlug[r.Slug] != r {
			anew = append(anew, r)
			all = append(append(all, s.dependent(&r.Page, Uses)), s.toldOf(r)...)
		}
	}
	some := all != nil
	for _, r := range s.hangOn(anew, nil) {
		all = append(all, s.dependent(&r.Page, Uses))
	}
	for _, d := range s.recordDirectories() {
		if some || d.Path == stockPath && !slices.Equal(s.ingredientsWithLots(), other.ingredientsWithLots()) {
			d.How = Lists
			all = append(all, d)
		}
	}
	return all
}

func (s *Build) ingredientsWithLots() []*handbook.Ingredient {
	return slices.DeleteFunc(slices.Clone(s.Ingredients), func(i *handbook.Ingredient) bool { return len(i.Material.Lots) == 0 })
}
