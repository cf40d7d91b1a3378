package law

import (
	_ "embed"
	"regexp"
	"slices"
	"strconv"
	"sync"

	"larkrow.example/stillroom/internal/quantity"
)

//go:embed acids.csv
var acidsCSV string

//go:embed molar.csv
var molarCSV string

// An Acid is a weak acid that preserves or sets pH.
type Acid struct {
	Name    string // ingredient name
	Formula string
	Mass    quantity.Number   // g/mol
	PKa     []quantity.Number // in rising order
	Salts   []Salt
	Note    string // in our words
	Source  string // of the pKa
	Status  string // of the pKa: read or memory
}

// A Salt is a salt of an [Acid].
type Salt struct {
	Name    string // ingredient name
	Formula string
	Mass    quantity.Number // g/mol
}

var acids = sync.OnceValue(func() []Acid {
	var all []Acid
	for _, row := range records(acidsCSV) {
		if len(all) == 0 || all[len(all)-1].Name != row["acid"] {
			a := Acid{
				Name: row["acid"], Formula: row["acid_formula"], Mass: *number(row["acid_mass"]), Note: row["note"],
				Source: row["source"], Status: row["status"],
			}
			for _, c := range []string{"pka1", "pka2", "pka3"} {
				if n := number(row[c]); n != nil {
					a.PKa = append(a.PKa, *n)
				}
			}
			all = append(all, a)
		}
		a := &all[len(all)-1]
		a.Salts = append(a.Salts, Salt{Name: row["salt"], Formula: row["salt_formula"], Mass: *number(row["salt_mass"])})
	}
	return all
})

// Acids gives all acids of the table. The list is shared: leave it unchanged.
func Acids() []Acid { return acids() }

// FindAcid gives the acid that a substance is, or is a salt of, and how much of the acid one unit of the substance is
// worth by molar masses: 1 for the acid itself.
func FindAcid(inci string) (Acid, quantity.Number, bool) {
	names := forms(inci)
	for _, a := range acids() {
		if slices.Contains(names, key(a.Name)) {
			return a, quantity.Int(1), true
		}
		for _, s := range a.Salts {
			if slices.Contains(names, key(s.Name)) {
				return a, a.Mass.Quo(s.Mass), true
			}
		}
	}
	return Acid{}, quantity.Number{}, false
}

// An equivalent is a substance and what it is counted as.
type equivalent struct {
	name, formula, as, asFormula string
	times                        quantity.Number // parts of it in one formula
}

var equivalents = sync.OnceValue(func() []equivalent {
	var all []equivalent
	for _, row := range records(molarCSV) {
		all = append(all, equivalent{
			name: row["name"], formula: row["formula"], as: row["counted_as"], asFormula: row["counted_formula"],
			times: *number(row["times"]),
		})
	}
	return all
})

// Equivalent gives what one unit of a substance counts as another by molar masses, as for potassium sorbate and
// "sorbic acid": the exact ratio that the printed factors of the tables are rounded from.
func Equivalent(inci, countedAs string) (quantity.Number, bool) {
	for _, e := range equivalents() {
		if key(e.name) == key(inci) && e.as == countedAs {
			whole, ok1 := MolarMass(e.formula)
			part, ok2 := MolarMass(e.asFormula)
			return part.Mul(e.times).Quo(whole), ok1 && ok2
		}
	}
	return quantity.Number{}, false
}

var element = regexp.MustCompile(`([A-Z][a-z]?)(\d{0,3})`)

// MolarMass gives the mass of a formula such as C6H7O2K in g/mol, from conventional atomic weights. It is false for
// a formula with brackets, or with an element that the tables do not need.
func MolarMass(formula string) (quantity.Number, bool) {
	var mass quantity.Number
	read := 0
	for _, m := range element.FindAllStringSubmatch(formula, -1) {
		weight, known := atomicWeight(m[1])
		if !known {
			return quantity.Number{}, false
		}
		count := int64(1)
		if m[2] != "" {
			count, _ = strconv.ParseInt(m[2], 10, 64) // at most three digits
		}
		mass = mass.Add(weight.Mul(quantity.Int(count)))
		read += len(m[0])
	}
	return mass, read == len(formula) && read > 0
}

// atomicWeight gives the conventional weight of IUPAC (Pure Appl. Chem. 94, 2022), in g/mol.
func atomicWeight(symbol string) (quantity.Number, bool) {
	milli, ok := map[string]int64{
		"H": 1008, "C": 12011, "N": 14007, "O": 15999, "Na": 22990, "Mg": 24305, "P": 30974, "S": 32060, "Cl": 35450,
		"K": 39098, "Ca": 40078, "Zn": 65380,
	}[symbol]
	return quantity.Fraction(milli, 1000), ok
}
