package law

import (
	_ "embed"
	"encoding/csv"
	"maps"
	"slices"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/spell"
)

// A Product is a product type: what the law and the fragrance trade make depend on it.
type Product struct {
	Name      string // "hand cream"
	Category  string // leave-on, rinse-off, or "not on skin"
	Site      string // body, face, lips, hands, feet, hair, underarm, baby, mouth or none
	Fragrance string // product category for fragrance limits, such as 5C
	Source    string
	Status    string // read or memory
}

//go:embed products.csv
var productsCSV string

var products = sync.OnceValue(func() map[string]Product {
	all := make(map[string]Product)
	for _, row := range table(productsCSV) {
		all[row[0]] = Product{Name: row[0], Category: row[1], Site: row[2], Fragrance: row[3], Source: row[4], Status: row[5]}
	}
	return all
})

// table reads an embedded table and leaves its heading row out. The tables are ours and the tests read them all.
func table(text string) [][]string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 2 {
		panic("law: broken embedded table")
	}
	return rows[1:]
}

// FindProduct gives the product type of a name, whatever its case.
func FindProduct(name string) (Product, bool) {
	p, ok := products()[strings.ToLower(strings.Join(strings.Fields(name), " "))]
	return p, ok
}

// SuggestProduct says what an unknown product type may have meant: those that have one of its words, else the nearest, else all.
func SuggestProduct(name string) string {
	var alike []string
	for _, known := range ProductNames() {
		for word := range strings.FieldsSeq(strings.ToLower(name)) {
			if slices.Contains(strings.Fields(known), word) {
				alike = append(alike, known)
				break
			}
		}
	}
	if alike != nil {
		return "did you mean one of these: " + strings.Join(alike, ", ") + "?"
	}
	return spell.DidYouMean(name, ProductNames(), "it can be: "+strings.Join(ProductNames(), ", "))
}

// ProductNames gives the names of all product types, sorted.
func ProductNames() []string { return slices.Sorted(maps.Keys(products())) }
