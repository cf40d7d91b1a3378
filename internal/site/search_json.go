package site

import (
	"bytes"
	"encoding/json"
	"slices"
)

// A searchEntry is one page in search.json. Members is left out where the page is for everyone, and so is what is not known: an ingredient
// without contains may hold any food allergen, one with an empty list is made from none of their sources.
type searchEntry struct {
	Path    string   `json:"path"`
	Title   string   `json:"title"`
	Kind    string   `json:"kind"`
	Summary string   `json:"summary"`
	Tag     string   `json:"tag"`
	Shelf   string   `json:"shelf"`
	Words   []string `json:"words"`
	Members bool     `json:"members,omitempty"`

	Category string          `json:"category,omitempty"` // of a recipe
	Minutes  json.Number     `json:"minutes,omitempty"`  // a recipe's working time
	Takes    []string        `json:"takes,omitempty"`    // ids of the materials of all a recipe's versions
	Versions []searchVersion `json:"versions,omitempty"` // of a recipe
	Material string          `json:"material,omitempty"` // an ingredient's id
	Origin   string          `json:"origin,omitempty"`   // plant, animal, mineral or synthetic
	Contains []string        `json:"contains,omitzero"`  // food-allergen sources of an ingredient
}

// A searchVersion is what a version of a recipe takes: materials by where they stand in the entry's takes, from 0, and the names of what
// has no page.
type searchVersion struct {
	Name   string   `json:"name"`
	Takes  []int    `json:"takes"`
	Others []string `json:"others,omitempty"`
}

// searchJSON gives search.json: what the search of a handbook looks through, one page a line, in the order given.
func searchJSON(entries []Entry) ([]byte, error) {
	var buf bytes.Buffer
	buf.WriteString(`{"schema":1,"entries":[` + "\n")
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	for i, e := range entries {
		if i > 0 {
			buf.WriteByte(',')
		}
		if err := enc.Encode(newSearchEntry(e)); err != nil {
			return nil, err
		}
	}
	buf.WriteString("]}\n")
	return buf.Bytes(), nil
}

func newSearchEntry(e Entry) searchEntry {
	file := searchEntry{
		Path: e.Path, Title: e.Title, Kind: e.Kind, Summary: e.Summary, Tag: e.Tag, Shelf: e.Shelf, Words: []string{}, Members: e.Members,
	}
	if e.Teaser {
		return file
	}
	if e.Words != nil {
		file.Words = e.Words
	}
	f := e.Facts
	file.Category, file.Material, file.Origin, file.Contains = f.Category, f.Material, f.Origin, f.Sources
	if f.Time != nil {
		file.Minutes = json.Number(f.Time.Text(2))
	}
	file.addVersions(f.Versions)
	return file
}

// addVersions writes each material's id once, since versions of a recipe take much the same.
func (file *searchEntry) addVersions(versions []EntryVersion) {
	for _, v := range versions {
		short := searchVersion{Name: v.Name, Takes: []int{}, Others: v.Others}
		for _, id := range v.Takes {
			at := slices.Index(file.Takes, id)
			if at < 0 {
				at = len(file.Takes)
				file.Takes = append(file.Takes, id)
			}
			short.Takes = append(short.Takes, at)
		}
		file.Versions = append(file.Versions, short)
	}
}
