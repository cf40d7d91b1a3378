package site

import (
	"fmt"
	"slices"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/parallel"
)

// An Edition is who a build is for: it takes in the pages that they may read, and no word of any other.
type Edition string

// The editions, from the widest circle of readers.
const (
	OpenEdition    Edition = "open"
	MembersEdition Edition = "members"
	MakerEdition   Edition = "maker"
)

// ParseEdition reads an edition's name.
func ParseEdition(s string) (Edition, error) {
	e := Edition(s)
	if !slices.Contains([]Edition{OpenEdition, MembersEdition, MakerEdition}, e) {
		return "", fmt.Errorf("there is no edition “%s”: it can be open, members or maker", s)
	}
	return e, nil
}

// Readers says who the edition is for.
func (e Edition) Readers() string {
	switch e {
	case MakerEdition:
		return "the maker"
	case MembersEdition:
		return "members"
	}
	return "everyone"
}

// shows says whether a page belongs to the edition.
func (e Edition) shows(access handbook.Access) bool {
	switch e {
	case MakerEdition:
		return true
	case MembersEdition:
		return access == handbook.Open || access == handbook.Members
	}
	return access == handbook.Open
}

// Held is a recipe that is kept from being published, with the findings that stop it.
type Held struct {
	Recipe *handbook.Recipe
	Stops  []check.Finding
}

// HeldBack lists the recipes of an edition that have a stop finding which the maker has not accepted. In the maker's own edition
// none is held back; its pages say that it is not for use.
func (b *Book) HeldBack(e Edition) []Held {
	if e == MakerEdition {
		return nil
	}
	var all []Held
	b.WorkAll(e)
	for _, r := range b.Recipes {
		if !e.shows(r.Access) {
			continue
		}
		if stops := b.stops(r); stops != nil {
			all = append(all, Held{Recipe: r, Stops: stops})
		}
	}
	return all
}

// WorkAll works out an edition's recipes on all cores.
func (b *Book) WorkAll(e Edition) {
	parallel.Do(len(b.Recipes), func(i int) {
		if r := b.Recipes[i]; e.shows(r.Access) {
			b.stops(r)
		}
	})
}

// LeftOut lists the files of the pages of which the edition has not even a teaser, held ones and batch records apart.
func (s *Build) LeftOut() []string {
	var files []string
	for _, p := range s.pages() {
		if p.Kind != handbook.RecordPage && !s.edition.shows(p.Access) && (s.Door.Kind == "" || s.edition != OpenEdition || p.Access != handbook.Members) {
			files = append(files, p.File)
		}
	}
	return files
}
