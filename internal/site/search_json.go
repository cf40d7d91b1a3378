package site

import (
	"bytes"
	"encoding/json"
)

// A searchEntry is one page in search.json. Members is left out where the page is for everyone.
type searchEntry struct {
	Path    string   `json:"path"`
	Title   string   `json:"title"`
	Kind    string   `json:"kind"`
	Summary string   `json:"summary"`
	Tag     string   `json:"tag"`
	Shelf   string   `json:"shelf"`
	Words   []string `json:"words"`
	Members bool     `json:"members,omitempty"`
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
	if !e.Teaser && e.Words != nil {
		file.Words = e.Words
	}
	return file
}
