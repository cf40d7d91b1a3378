package law

import (
	_ "embed"

	"larkrow.example/stillroom/internal/quantity"
)

//go:embed annex-ii.csv
var annexIICSV string

//go:embed annex-iii.csv
var annexIIICSV string

//go:embed annex-iv.csv
var annexIVCSV string

//go:embed annex-v.csv
var annexVCSV string

//go:embed annex-vi.csv
var annexVICSV string

// net gives the rules of the whole annexes, without the entries that are known better.
func net(known map[string]bool) []Rule {
	all := banned(known)
	all = append(all, annex("III", Restricted, "", "a3", annexIIICSV, known)...)
	all = append(all, annex("V", Preservative, ToPreserve, "a5-net", annexVCSV, known)...)
	all = append(all, annex("VI", UVFilter, AsUVFilter, "a6-net", annexVICSV, known)...)
	return append(all, euColours()...)
}

func netRule(annex, kind, src string, row map[string]string) Rule {
	r := Rule{
		Market: "EU", Kind: kind, Duty: AtMost, Entry: annex + "/" + row["entry"], Names: list(row["names"]),
		CAS: list(row["cas"]), Scope: row["scope"], Max: number(row["max"]), CountedAs: row["counted_as"],
		Group: row["group"], MoreWords: row["words"] != "", MoreLabel: row["label"] != "", Net: true, Status: "read",
	}
	r.Citation = citation("EU", r.Entry)
	r.Source, r.TextDate = cite(src)
	if r.Group == "" {
		r.Group = r.Entry
	}
	return r
}

// banned reads Annex II: how is "" for a plain ban, or tells that the ban is on a use, or hangs on words.
func banned(known map[string]bool) []Rule {
	zero := quantity.Int(0)
	var all []Rule
	for _, row := range records(annexIICSV) {
		r := netRule("II", Prohibited, "a2-net", row)
		r.Duty, r.Scope, r.Max = Ban, "prohibited", &zero
		switch row["how"] {
		case "moved":
			continue
		case "fragrance":
			r.Purpose, r.Conditions = AsFragrance, "As fragrance."
		case "hair-dye":
			r.Scope, r.Conditions = "hair-dye", "In hair dye."
		case "words":
			r.Duty, r.Max, r.MoreWords, r.Conditions = Words, nil, true, "Banned, with exceptions or only as the entry says."
		}
		if !known[r.Entry] {
			all = append(all, r)
		}
	}
	return all
}

// annex reads Annex III, V or VI. An entry without a figure has its conditions in words. Annexes V and VI list what
// alone is open.
func annex(number, kind, purpose, src, text string, known map[string]bool) []Rule {
	var all []Rule
	shut := make(map[string]bool)
	for _, row := range records(text) {
		r := netRule(number, kind, src, row)
		if row["scope"] == "moved" || known[r.Entry] {
			continue
		}
		r.Purpose = purpose
		if r.Max == nil {
			r.Duty, r.Conditions = Words, "Conditions in words: see the entry."
		}
		shut[family(r)] = purpose != "" && r.Scope != "see-entry"
		all = append(all, r)
	}
	return finish(all, shut)
}

// euColours reads Annex IV: the colourants and where each may be used.
func euColours() []Rule {
	var all []Rule
	shut := make(map[string]bool)
	for _, row := range records(annexIVCSV) {
		row["scope"], row["label"], row["group"], row["counted_as"] = row["field"], "", "", ""
		r := netRule("IV", Colourant, "a4-net", row)
		r.Purpose, r.Names = AsColour, append(list(row["ci"]), r.Names...)
		if r.Max == nil {
			r.Duty = Free
		}
		if r.MoreWords {
			r.Conditions = "With conditions in words: see the entry."
		}
		shut[family(r)] = true
		all = append(all, r)
	}
	return finish(all, shut)
}
