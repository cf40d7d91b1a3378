package law

import (
	"slices"
	"strings"
	"sync"
)

// indexes finds the rules of a market by name and by CAS number.
type indexes struct{ name, cas map[string][]int }

var index = sync.OnceValue(func() map[string]indexes {
	all := map[string]indexes{}
	for _, market := range []string{"EU", "US"} {
		all[market] = indexes{name: map[string][]int{}, cas: map[string][]int{}}
	}
	for i, r := range rules() {
		x := all[r.Market]
		for _, name := range r.Names {
			put(x.name, key(name), i)
		}
		for _, cas := range r.CAS {
			put(x.cas, cas, i)
		}
	}
	return all
})

func put(to map[string][]int, k string, i int) {
	if have := to[k]; len(have) == 0 || have[len(have)-1] != i {
		to[k] = append(have, i)
	}
}

// Find gives the rules of a market, EU or US, on a substance: by ingredient name, by another name, or by CAS number,
// each exact but for case, spaces and spelling. Hand-worked rules come first. A name that only resembles one finds
// nothing. A CAS number that stands with a rule found by name finds no more: some numbers are shared by several
// substances of the annexes.
func Find(market, inci string, cas []string) []Rule {
	x := index()[market]
	var found []int
	for _, name := range forms(inci) {
		found = append(found, x.name[name]...)
	}
	byName := slices.Clone(found)
	for _, number := range cas {
		number = strings.TrimSpace(number)
		if !slices.ContainsFunc(byName, func(i int) bool { return slices.Contains(rules()[i].CAS, number) }) {
			found = append(found, x.cas[number]...)
		}
	}
	slices.Sort(found)
	out := make([]Rule, 0, len(found))
	for _, i := range slices.Compact(found) {
		out = append(out, rules()[i])
	}
	return out
}
