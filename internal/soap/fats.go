package soap

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// Facts are what the embedded table knows of a fat. A status is read, memory, common practice, computed or, of soap names, uncertain.
type Facts struct {
	INCI          string // with its grade in brackets where it has one: "… (high oleic)"
	Also          string // another label name, or ""
	Name          string // in words
	Kind          string // oil, butter, fat, wax or acid
	Saponified    quantity.Interval
	Iodine        *quantity.Interval // nil where none is stated
	IodineStatus  string
	Source        string // of the saponification and iodine values
	Address       string
	Status        string
	SodiumSoap    string // what comes out, by INCI name; "" where not known
	PotassiumSoap string
	SoapStatus    string
	Acids         []AcidPart // those that are stated; nil where none are
	AcidsSource   string
	AcidsAddress  string
	AcidsStatus   string
	Note          string
}

//go:embed fats.csv
var fatsCSV string

var fatTable = sync.OnceValue(func() []Facts { return mustParse(fatsCSV, parseFacts) })

// FatTable gives the facts of every fat in the table.
func FatTable() []Facts { return append([]Facts(nil), fatTable()...) }

// FindFat gives the facts of a fat by its INCI name, whatever the case and with or without a common name in brackets:
// Helianthus Annuus (Sunflower) Seed Oil. A grade is found only with its bracket, or by its other name.
func FindFat(inci string) (Facts, bool) {
	for _, key := range []string{material.Key(inci), withoutBrackets(inci)} {
		if f, ok := fatsByName()[key]; ok {
			return f, true
		}
	}
	return Facts{}, false
}

// fatsByName has the fats by the keys of their names and other names; of several the first.
var fatsByName = sync.OnceValue(func() map[string]Facts {
	byName := make(map[string]Facts)
	for _, f := range fatTable() {
		for _, key := range []string{material.Key(f.INCI), material.Key(f.Also)} {
			if _, taken := byName[key]; !taken && key != "" {
				byName[key] = f
			}
		}
	}
	return byName
})

// withoutBrackets gives the key of a name with what stands in brackets left out.
func withoutBrackets(name string) string {
	before, rest, found := strings.Cut(name, "(")
	_, after, closed := strings.Cut(rest, ")")
	if !found || !closed {
		return material.Key(name)
	}
	return withoutBrackets(before + " " + after)
}

// mustParse reads an embedded table and leaves its heading out. The tables are ours and the tests read them all.
func mustParse[T any](text string, parse func([]string) (T, error)) []T {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 2 {
		panic("soap: broken embedded table")
	}
	var all []T
	for _, row := range rows[1:] {
		v, err := parse(row)
		if err != nil {
			panic(fmt.Sprintf("soap: broken embedded table: %s: %v", row[0], err))
		}
		all = append(all, v)
	}
	return all
}

func parseFacts(row []string) (Facts, error) {
	const firstAcid = 13
	after := firstAcid + len(FattyAcids())
	if len(row) != after+4 {
		return Facts{}, errors.New("wrong number of columns")
	}
	f := Facts{
		INCI: row[0], Also: row[1], Name: row[2], Kind: row[3], IodineStatus: row[6], Source: row[7], Address: row[8], Status: row[9],
		SodiumSoap: row[10], PotassiumSoap: row[11], SoapStatus: row[12],
		AcidsSource: row[after], AcidsAddress: row[after+1], AcidsStatus: row[after+2], Note: row[after+3],
	}
	saponified, err := quantity.ParseInterval(row[4])
	f.Saponified = saponified
	if row[5] != "" {
		iodine, wrong := quantity.ParseInterval(row[5])
		f.Iodine, err = &iodine, errors.Join(err, wrong)
	}
	for i, acid := range FattyAcids() {
		if row[firstAcid+i] != "" {
			percent, wrong := quantity.ParseNumber(row[firstAcid+i])
			f.Acids, err = append(f.Acids, AcidPart{Acid: acid, Percent: percent}), errors.Join(err, wrong)
		}
	}
	return f, err
}
