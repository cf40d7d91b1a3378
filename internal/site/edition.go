package site

import (
	"fmt"
	"slices"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
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
	var all []Held
	for _, r := range b.Recipes {
		if e == MakerEdition || !e.shows(r.Access) {
			continue
		}
		h := Held{Recipe: r}
		for _, w := range b.worked[r] {
			for _, f := range w.Findings {
				if f.Stops() {
					h.Stops = append(h.Stops, f)
				}
			}
		}
		if h.Stops != nil {
			all = append(all, h)
		}
	}
	return all
}

// LeftOut counts the pages that the edition is not for.
func (b *Book) LeftOut(e Edition) int {
	n := 0
	for _, p := range b.pages() {
		if !e.shows(p.Access) {
			n++
		}
	}
	return n
}
