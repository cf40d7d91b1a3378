package law

import (
	_ "embed"
	"slices"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/quantity"
)

//go:embed eu.csv
var euCSV string

//go:embed us.csv
var usCSV string

// rules holds every rule: the tables worked out by hand first, then the net of whole annexes beneath them, without the
// entries that the hand-worked tables speak of.
var rules = sync.OnceValue(func() []Rule {
	all := handRules("EU", euCSV)
	all = append(all, declarations(entriesOf(all))...)
	all = append(all, net(entriesOf(all))...)
	all = append(all, handRules("US", usCSV)...)
	return append(all, usColours()...)
})

// Rules gives every rule of all markets, in the order of [Find].
func Rules() []Rule { return slices.Clone(rules()) }

func entriesOf(all []Rule) map[string]bool {
	entries := make(map[string]bool)
	for _, r := range all {
		entries[r.Entry] = true
	}
	return entries
}

func handRules(market, text string) []Rule {
	var all []Rule
	shut := make(map[string]bool)
	for _, row := range records(text) {
		r := handRule(market, row)
		all = append(all, r)
		if row["closed"] != "" {
			shut[family(r)] = true
		}
	}
	return finish(all, shut)
}

func handRule(market string, row map[string]string) Rule {
	r := Rule{
		Market: market, Kind: row["kind"], Duty: row["duty"], Purpose: row["purpose"], Entry: row["entry"],
		Citation: citation(market, row["entry"]), Names: list(row["names"]), CAS: list(row["cas"]), Scope: row["scope"],
		Max: number(row["max"]), CountedAs: row["counted_as"], Factors: factors(row["factors"]), Group: row["group"],
		Conditions: row["conditions"], LabelWords: row["label_words"], LabelWhen: row["label_when"],
		From: date(row["from"]), Until: date(row["until"]), StockUntil: date(row["stock_until"]), Status: row["status"],
	}
	r.Source, r.TextDate = cite(row["source"])
	if r.Group == "" {
		r.Group = r.Entry
	}
	return r
}

func factors(cell string) []Factor {
	var all []Factor
	for _, f := range list(cell) {
		name, value, _ := strings.Cut(f, "=")
		all = append(all, Factor{Name: name, Percent: *number(value)})
	}
	return all
}

// citation writes where a rule stands.
func citation(market, entry string) string {
	const act = "Regulation (EC) No 1223/2009"
	annex, n, ok := strings.Cut(entry, "/")
	switch {
	case market == "US":
		return entry
	case entry == "none":
		return act + ": no entry in Annexes II, III and V"
	case entry == "V-preamble-2":
		return act + ", Annex V, preamble, point 2"
	case !ok:
		panic("law: broken embedded table: entry " + entry)
	}
	return act + ", Annex " + annex + ", entry " + n
}

// family tells the rules apart that divide one entry of one date among the kinds of product.
func family(r Rule) string {
	first := ""
	if len(r.Names) > 0 {
		first = r.Names[0]
	}
	return r.Entry + "\n" + first + "\n" + r.From.String() + "\n" + r.Until.String()
}

// finish tells each rule of the scopes beside it, and adds a ban elsewhere to the families that are shut.
func finish(all []Rule, shut map[string]bool) []Rule {
	scopesOf := make(map[string][]string)
	last := make(map[string]int)
	for i, r := range all {
		scopesOf[family(r)] = append(scopesOf[family(r)], r.Scope)
		last[family(r)] = i
	}
	var out []Rule
	for i, r := range all {
		f := family(r)
		for _, s := range scopesOf[f] {
			if s != r.Scope {
				r.beside = append(r.beside, s)
			}
		}
		out = append(out, r)
		if last[f] == i && shut[f] && !coversAll(scopesOf[f]) {
			out = append(out, elsewhere(r, scopesOf[f]))
		}
	}
	return out
}

func coversAll(tokens []string) bool {
	return slices.Contains(tokens, "all") || slices.Contains(tokens, "all-mixture") || slices.Contains(tokens, "other")
}

// elsewhere is the ban that follows from a list of permitted uses.
func elsewhere(r Rule, open []string) Rule {
	zero := quantity.Int(0)
	r.Duty, r.Scope, r.Max, r.beside = Ban, Elsewhere, &zero, open
	r.CountedAs, r.Factors, r.LabelWords, r.LabelWhen = "", nil, "", ""
	r.Conditions = "Open only to the uses that the entry lists."
	return r
}
