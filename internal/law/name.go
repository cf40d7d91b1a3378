package law

import (
	"regexp"
	"strings"
)

var (
	loneColourIndex = regexp.MustCompile(`^c\.?\s?i\.?\s?(?:no\.?\s?)?(\d{5}(?::\d+)?)$`)
	colourIndex     = regexp.MustCompile(`\bc\.?\s?i\.?\s?(?:no\.?\s?)?(\d{5})(:\d+)?\b`)
	commonName      = regexp.MustCompile(` \([^()]*\) `) // as in Prunus Amygdalus Dulcis (Sweet Almond) Oil
	tightened       = regexp.MustCompile(` ?([/,-]) ?`)
	spelling        = strings.NewReplacer("\u00ad", "", "’", "'", "′", "'", "‐", "-", "‑", "-", "–", "-",
		"(and)", "and", " no. ", " ", "sulph", "sulf", "aluminium", "aluminum")
)

// key gives the form in which names are compared: lower case, single spaces, none around / - and comma,
// one spelling of the letters that British and American names differ in, and "ci 77891" for a colour index number.
func key(name string) string {
	name = spelling.Replace(strings.ToLower(strings.Join(strings.Fields(name), " ")))
	name = strings.Join(strings.Fields(name), " ")
	if strings.ContainsAny(name, "/,-") {
		name = tightened.ReplaceAllString(name, "$1")
	}
	if m := loneColourIndex.FindStringSubmatch(name); m != nil {
		return "ci " + m[1]
	}
	return name
}

// forms gives the keys under which a name is looked for: as written; without the common name within a Latin one; the
// colour index number in it, with and without what follows the colon; and the parts that "(and)" joins.
func forms(name string) []string {
	all := []string{key(name)}
	if !strings.ContainsAny(name, "(0123456789") {
		return all
	}
	lower := strings.ToLower(strings.Join(strings.Fields(name), " "))
	if plain := commonName.ReplaceAllString(strings.ReplaceAll(lower, "(and)", "and"), " "); plain != lower {
		all = append(all, key(plain))
	}
	for _, m := range colourIndex.FindAllStringSubmatch(lower, -1) {
		all = append(all, "ci "+m[1]+m[2], "ci "+m[1])
	}
	if parts := strings.Split(lower, "(and)"); len(parts) > 1 {
		for _, part := range parts {
			all = append(all, key(part))
		}
	}
	return all
}
