package soap

import (
	_ "embed"
	"errors"
	"sync"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// An AcidFacts is one form of an acid that takes up alkali in a soap.
type AcidFacts struct {
	INCI      string
	Form      string // such as anhydrous, or ""
	MolarMass quantity.Number
	Groups    quantity.Number // acid groups
	Source    string
	Status    string
}

// Demand gives the KOH that the acid takes up, in mg per g: as a saponification value.
func (a AcidFacts) Demand() quantity.Number {
	return quantity.Int(1000).Mul(a.Groups).Mul(Potassium.MolarMass()).Quo(a.MolarMass)
}

//go:embed acids.csv
var acidsCSV string

var acidTable = sync.OnceValue(func() []AcidFacts { return mustParse(acidsCSV, parseAcid) })

// AcidTable gives every acid of the table in each of its forms.
func AcidTable() []AcidFacts { return append([]AcidFacts(nil), acidTable()...) }

// FindAcid gives what an acid takes up by its INCI name, in mg KOH per g: the range over its forms, which the name does not tell apart.
func FindAcid(inci string) (quantity.Interval, bool) {
	var v quantity.Interval
	found := false
	for _, a := range acidTable() {
		if material.Key(a.INCI) != withoutBrackets(inci) {
			continue
		}
		d := a.Demand()
		if !found || d.Cmp(v.Low) < 0 {
			v.Low = d
		}
		if !found || d.Cmp(v.High) > 0 {
			v.High = d
		}
		found = true
	}
	return v, found
}

func parseAcid(row []string) (AcidFacts, error) {
	if len(row) != 6 {
		return AcidFacts{}, errors.New("wrong number of columns")
	}
	mass, err := quantity.ParseNumber(row[2])
	groups, wrong := quantity.ParseNumber(row[3])
	return AcidFacts{INCI: row[0], Form: row[1], MolarMass: mass, Groups: groups, Source: row[4], Status: row[5]}, errors.Join(err, wrong)
}
