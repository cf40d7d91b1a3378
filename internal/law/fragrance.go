package law

import (
	_ "embed"
	"slices"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/quantity"
)

//go:embed fragrance-categories.csv
var categoriesCSV string

//go:embed phototoxic.csv
var phototoxicCSV string

// A FragranceCategory is a product category of the fragrance trade.
type FragranceCategory struct {
	ID             string // 5C
	Words          string // in our words
	Products       []string
	Source         string
	Status         string // of the definition
	ProductsStatus string // of the list of products
}

var categories = sync.OnceValue(func() []FragranceCategory {
	var all []FragranceCategory
	for _, row := range records(categoriesCSV) {
		c := FragranceCategory{
			ID: row["category"], Words: row["words"], Products: list(row["products"]), Status: row["status"],
			ProductsStatus: row["products_status"],
		}
		c.Source, _ = cite(row["source"])
		all = append(all, c)
	}
	return all
})

// FragranceCategories gives all categories, 1 to 12. The list is shared: leave it unchanged.
func FragranceCategories() []FragranceCategory { return categories() }

// A Phototoxic is an oil that makes skin burn in the sun, or that is known not to, or a rule on such oils.
type Phototoxic struct {
	Material   string
	Also       []string
	Latin      string
	Phototoxic string           // yes, no, or "" for a rule on others
	Max        *quantity.Number // percent of a leave-on product; 0 where banned, nil where none is given
	For        string           // the products that Max is for
	Note       string           // in our words
	Source     string
	Status     string // read or memory
}

var phototoxics = sync.OnceValue(func() []Phototoxic {
	var all []Phototoxic
	for _, row := range records(phototoxicCSV) {
		p := Phototoxic{
			Material: row["material"], Also: list(row["also"]), Latin: row["latin"], Phototoxic: row["phototoxic"], Max: number(row["max"]),
			For: row["for"], Note: row["note"], Status: row["status"],
		}
		p.Source, _ = cite(row["source"])
		all = append(all, p)
	}
	return all
})

// Phototoxics gives all rows on phototoxic oils. The list is shared: leave it unchanged.
func Phototoxics() []Phototoxic { return phototoxics() }

// FindPhototoxic gives the row of a material by its name in the table, or another name there. One Latin name may stand for
// several grades, so it finds nothing; see [FindPhototoxicPlant].
func FindPhototoxic(material string) (Phototoxic, bool) {
	p, ok := phototoxicByName()[key(material)]
	return p, ok
}

// phototoxicByName has the rows by the keys of their names and other names; of several rows the first.
var phototoxicByName = sync.OnceValue(func() map[string]Phototoxic {
	byName := make(map[string]Phototoxic)
	for _, p := range phototoxics() {
		for _, name := range append([]string{p.Material}, p.Also...) {
			if _, taken := byName[key(name)]; !taken {
				byName[key(name)] = p
			}
		}
	}
	return byName
})

// FindPhototoxicPlant gives a row for the label name of an oil or absolute, where every grade of it in the table is
// phototoxic with one limit.
func FindPhototoxicPlant(inci string) (Phototoxic, bool) {
	var found []Phototoxic
	for _, name := range forms(inci) {
		for _, p := range phototoxics() {
			switch {
			case !p.names(name):
			case len(found) > 0 && len(p.Latin) < len(found[0].Latin):
			case len(found) > 0 && len(p.Latin) > len(found[0].Latin):
				found = []Phototoxic{p}
			default:
				found = append(found, p)
			}
		}
	}
	if len(found) == 0 {
		return Phototoxic{}, false
	}
	for _, p := range found {
		if p.Phototoxic != "yes" || p.Max == nil || found[0].Max == nil || p.Max.Cmp(*found[0].Max) != 0 {
			return Phototoxic{}, false
		}
	}
	return found[0], true
}

// plantParts are those that tell the oils of one plant apart.
var plantParts = []string{"root", "leaf", "seed", "fruit", "flower", "bark", "peel"}

// names says whether a label name is of the row's plant and kind, and of no other part of the plant than the row's.
func (p Phototoxic) names(inci string) bool {
	plant, material := strings.TrimSuffix(key(p.Latin), " spp."), strings.Fields(key(p.Material))
	words := strings.Fields(inci)
	if plant == "" || !strings.HasPrefix(inci, plant+" ") {
		return false
	}
	if kind := words[len(words)-1]; kind != "oil" && kind != "absolute" || !strings.Contains(key(p.Material), kind) {
		return false
	}
	for _, part := range plantParts {
		if slices.Contains(material, part) && !strings.Contains(inci, part) {
			return !slices.ContainsFunc(plantParts, func(other string) bool { return strings.Contains(inci, other) })
		}
	}
	return true
}
