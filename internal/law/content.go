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

// Contents gives what an oil of a name usually holds of limited substances, for those that tell no figure of their own.
func Contents(name string) []Content {
	looked := forms(name)
	var all []Content
	for _, c := range contents() {
		if slices.ContainsFunc(c.Names, func(n string) bool { return slices.Contains(looked, key(n)) }) {
			all = append(all, c)
		}
	}
	return all
}
