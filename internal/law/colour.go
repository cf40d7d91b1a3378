package law

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/quantity"
)

//go:embed colours.csv
var coloursCSV string

// A Colour is what the markets say of a colourant. No EU or US entries mean that it is not listed there.
type Colour struct {
	EU []ColourEU
	US []ColourUS
}

// A ColourEU is an entry of Annex IV.
type ColourEU struct {
	Rule        // Scope is the field of application: all, rinse-off, non-mucous or non-eye
	Note string // further limits by a newer text, in our words
}

// A ColourUS is a line of the US colour additives, or says that there is none.
type ColourUS struct {
	Names    []string // the first is the US name
	Citation string   // section, or that there is no listing
	CI       []string // of the EU counterpart
	Entries  []string // of Annex IV

	General, Lips, Eye, External bool // may be used: in cosmetics generally, on lips, near eyes, outside of the body
	Certified                    bool // each batch has to be certified by FDA, lakes always
	Listed                       bool
	OtherUse                     bool   // not listed, but at home in cosmetics for another purpose than colour
	Limits                       string // in our words
	NoteEU                       string // in our words
	Source, Status, TextDate     string
	SourceEU, StatusEU           string
}

var coloursUS = sync.OnceValue(func() []ColourUS {
	var all []ColourUS
	for _, row := range records(coloursCSV) {
		c := ColourUS{
			Names: list(row["names"]), Citation: row["section"], CI: list(row["ci"]), Entries: entries(row["eu_entry"]),
			General: row["general"] == "yes", Lips: row["lips"] == "yes", Eye: row["eye"] == "yes",
			External: row["external"] == "yes", Certified: row["certified"] == "yes", Listed: row["certified"] != "", OtherUse: row["other_use"] != "",
			Limits: row["us_limits"], NoteEU: row["eu_limits"], Status: row["status_us"], StatusEU: row["status_eu"],
		}
		c.Names = append(c.Names, shortNames(c.Names[0])...)
		c.Source, c.TextDate = cite(row["source_us"])
		c.SourceEU, _ = cite(row["source_eu"])
		all = append(all, c)
	}
	return all
})

// shortNames gives the label names of a certified colour: Red 40 and Red 40 Lake for FD&C Red No. 40.
func shortNames(name string) []string {
	_, plain, ok := strings.Cut(name, "D&C ")
	if !ok || strings.HasPrefix(name, "Ext.") {
		return nil
	}
	plain = strings.Replace(plain, "No. ", "", 1)
	return []string{plain, plain + " Lake", name + " Lake"}
}

// entries opens a cell such as IV/134-137 or IV/55|IV/111.
func entries(cell string) []string {
	var all []string
	for _, e := range list(cell) {
		annex, n, _ := strings.Cut(e, "/")
		from, to, ranged := strings.Cut(n, "-")
		if !ranged {
			all = append(all, e)
			continue
		}
		first, errFirst := strconv.Atoi(from)
		last, errLast := strconv.Atoi(to)
		if errFirst != nil || errLast != nil {
			panic("law: broken embedded table: entry " + e)
		}
		for i := first; i <= last; i++ {
			all = append(all, annex+"/"+strconv.Itoa(i))
		}
	}
	return all
}

// ColoursUS gives all lines of the US table. The list is shared: leave it unchanged.
func ColoursUS() []ColourUS { return coloursUS() }

// A palette is the tables of colours, each row with the keys of its names.
type palette struct {
	us    []hue[ColourUS]
	eu    []hue[Rule]
	known map[string]bool // the keys of all names
}

// A hue is a row with the keys of its names, and of those that are colour index numbers beside a US name.
type hue[T any] struct {
	row      T
	keys, ci []string
}

var colours = sync.OnceValue(func() palette {
	p := palette{known: make(map[string]bool)}
	keys := func(names []string) []string {
		all := make([]string, len(names))
		for i, name := range names {
			all[i] = key(name)
			p.known[all[i]] = true
		}
		return all
	}
	for _, us := range coloursUS() {
		p.us = append(p.us, hue[ColourUS]{row: us, keys: keys(slices.Concat(us.Names, us.CI)), ci: keys(us.CI)})
	}
	for _, r := range annexIV() {
		p.eu = append(p.eu, hue[Rule]{row: r, keys: keys(r.Names)})
	}
	return p
})

// FindColour gives what is known of a colourant by its name, its US name or its colour index number, as in "CI 77491",
// "Ultramarines" or "Red 40". It is false where no table has it.
func FindColour(name string) (Colour, bool) {
	var c Colour
	names, p := forms(name), colours()
	if !slices.ContainsFunc(names, func(n string) bool { return p.known[n] }) {
		return c, false
	}
	own := make(map[string]bool) // entries of Annex IV that the US rows name
	for _, us := range p.us {
		if !anyOf(names, us.keys) {
			continue
		}
		c.US = append(c.US, us.row)
		// A colour that was found by one of several index numbers picks its own entry.
		for _, entry := range us.row.Entries {
			own[entry] = own[entry] || len(us.ci) < 2 || !anyOf(names, us.ci)
		}
	}
	for _, eu := range p.eu {
		if own[eu.row.Entry] || anyOf(names, eu.keys) {
			c.EU = append(c.EU, ColourEU{Rule: eu.row, Note: noteEU(eu.row.Entry)})
		}
	}
	if len(c.US) == 0 {
		c.US = counterparts(c.EU)
	}
	return c, len(c.EU) > 0 || len(c.US) > 0
}

func anyOf(some, all []string) bool {
	return slices.ContainsFunc(some, func(s string) bool { return slices.Contains(all, s) })
}

func counterparts(eu []ColourEU) []ColourUS {
	var all []ColourUS
	for _, us := range coloursUS() {
		if slices.ContainsFunc(eu, func(e ColourEU) bool { return slices.Contains(us.Entries, e.Entry) }) {
			all = append(all, us)
		}
	}
	return all
}

func noteEU(entry string) string {
	for _, us := range coloursUS() {
		if slices.Contains(us.Entries, entry) && us.NoteEU != "" {
			return us.NoteEU
		}
	}
	return ""
}

var annexIV = sync.OnceValue(func() []Rule {
	return slices.DeleteFunc(euColours(), func(r Rule) bool { return r.Scope == Elsewhere })
})

// usColours gives the US colours as rules: where each may be used, and bans where it may not.
func usColours() []Rule {
	var all []Rule
	for _, c := range coloursUS() {
		rule := func(duty, scope string, most *quantity.Number) {
			all = append(all, Rule{
				Market: "US", Kind: Colourant, Duty: duty, Purpose: AsColour, Citation: c.Citation, Entry: c.Citation,
				Names: slices.Concat(c.Names, c.CI), Scope: scope, Max: most, Group: c.Names[0], Conditions: c.Limits,
				Source: c.Source, Status: c.Status, TextDate: c.TextDate,
			})
		}
		zero := quantity.Int(0)
		switch {
		case c.General:
			rule(Free, "all", nil)
		case c.External && c.Lips: // mouth products and lip maxima are told in words
			rule(Free, "external", nil)
			rule(lipDuty(c), "lip", lipMax(c.Limits))
		case c.External:
			rule(Free, "external", nil)
			rule(Ban, "lips-and-mouth", &zero)
		case !c.Listed && !c.OtherUse:
			rule(Ban, "all", &zero)
		default:
			rule(Words, "all", nil)
		}
	}
	return all
}

func lipDuty(c ColourUS) string {
	if lipMax(c.Limits) == nil {
		return Words
	}
	return AtMost
}

// lipMax reads the maximum out of "lip products up to 3 %; …".
func lipMax(limits string) *quantity.Number {
	_, rest, ok := strings.Cut(limits, "lip products up to ")
	figure, _, percent := strings.Cut(rest, " %")
	if !ok || !percent {
		return nil
	}
	return number(figure)
}
