package law

import (
	_ "embed"
	"slices"
	"sync"

	"larkrow.example/stillroom/internal/quantity"
)

//go:embed contents.csv
var contentsCSV string

// A Content is what a plant oil usually holds of a substance that the law limits, where its label name does not tell.
type Content struct {
	Names     []string // of the oil
	Substance string
	Percent   *quantity.Number // of the oil by weight; nil where it differs too much to tell
	Note      string           // in our words
	Source    string
	Status    string // read or memory
}

var contents = sync.OnceValue(func() []Content {
	var all []Content
	for _, row := range records(contentsCSV) {
		c := Content{Names: list(row["names"]), Substance: row["substance"], Percent: number(row["percent"]), Note: row["note"], Status: row["status"]}
		c.Source, _ = cite(row["source"])
		all = append(all, c)
	}
	return all
})

// contentsByName has the contents by the keys of the oils' names.
var contentsByName = sync.OnceValue(func() map[string][]Content {
	byName := make(map[string][]Content)
	for _, c := range contents() {
		for _, name := range c.Names {
			byName[key(name)] = append(byName[key(name)], c)
		}
	}
	return byName
})

// Contents gives what an oil of a name usually holds of limited substances, for those that tell no figure of their own.
func Contents(name string) []Content {
	var all []Content
	for _, form := range forms(name) {
		for _, c := range contentsByName()[form] {
			if !slices.ContainsFunc(all, func(have Content) bool { return have.Substance == c.Substance && slices.Equal(have.Names, c.Names) }) {
				all = append(all, c)
			}
		}
	}
	return all
}
