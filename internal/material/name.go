package material

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Key gives the form in which names are compared exactly: lower case, single spaces.
func Key(name string) string {
	if !isTidy(name) {
		name = strings.Join(strings.Fields(name), " ")
	}
	return strings.ToLower(name)
}

// isTidy says whether a name is seen at a glance to have single spaces and no others: most names are.
func isTidy(name string) bool {
	parted := true // whether a space here would be one too many
	for i := range len(name) {
		switch c := name[i]; {
		case c < ' ' || c >= utf8.RuneSelf || c == ' ' && parted:
			return false
		default:
			parted = c == ' '
		}
	}
	return !parted
}

// keys are the forms in which a name is looked up, the strictest first.
type keys struct {
	exact  string // as Key gives it
	joined string // its words in order without what parts them: "wheatgermoil"
	sorted string // its words in the order of the alphabet: "germ oil wheat"
}

func keysOf(name string) keys {
	all := words(name)
	k := keys{exact: Key(name), joined: singular(strings.Join(all, ""))}
	for i, word := range all {
		all[i] = singular(word)
	}
	slices.Sort(all)
	k.sorted = strings.Join(all, " ")
	return k
}

// words gives the words of a name, each in one spelling; figures are words of their own.
func words(name string) []string {
	var all []string
	var now strings.Builder
	flush := func() {
		if now.Len() > 0 {
			all = append(all, spelled(now.String()))
			now.Reset()
		}
	}
	digits := false
	for _, c := range norm.NFKD.String(name) {
		digit := unicode.IsDigit(c)
		switch {
		case c == '&':
			flush()
			all = append(all, "and")
		case unicode.Is(unicode.Mn, c) || strings.ContainsRune("'’®™", c):
		case digit || unicode.IsLetter(c):
			if digit != digits {
				flush()
			}
			digits = digit
			now.WriteRune(unicode.ToLower(c))
		default:
			flush()
		}
	}
	flush()
	return all
}

// spellings turns spellings of one word into each other: British, American, and old ones with an e.
var spellings = strings.NewReplacer(
	"sulph", "sulf", "colour", "color", "mould", "mold", "flavour", "flavor", "odour", "odor", "aluminium", "aluminum", "hydrolys", "hydrolyz",
	"glycerine", "glycerin", "gelatine", "gelatin", "lanoline", "lanolin", "camomile", "chamomile", "soya", "soy", "oestr", "estr",
	"grey", "gray", "fibre", "fiber",
)

// spelled gives a word in one spelling.
func spelled(word string) string {
	word = spellings.Replace(word)
	for _, end := range []string{"ised", "iser", "ising", "isation"} {
		if len(word) > len(end)+2 && strings.HasSuffix(word, end) {
			word = word[:len(word)-len(end)] + "iz" + end[2:]
		}
	}
	return word
}

// singular takes the plural's ending from a word. Short words and abbreviations without a vowel stay as they are.
func singular(word string) string {
	if len(word) < 4 || !strings.HasSuffix(word, "s") || !strings.ContainsAny(word, "aeiou") {
		return word
	}
	for _, end := range []string{"ss", "us", "is"} {
		if strings.HasSuffix(word, end) {
			return word
		}
	}
	for _, end := range []string{"sses", "xes", "ches", "shes"} {
		if strings.HasSuffix(word, end) {
			return word[:len(word)-2]
		}
	}
	if len(word) > 4 && strings.HasSuffix(word, "ies") {
		return word[:len(word)-3] + "y"
	}
	return word[:len(word)-1]
}

// shorts gives the shorter forms in which a catalogue's name is written too: without what stands in brackets, without
// the grade after a comma, without a concentration or "blend" at the end, and an essential oil as an oil.
func shorts(name string) []string {
	all := []string{name}
	for i := 0; i < len(all); i++ { // all grows as forms of forms are found
		for _, shorten := range []func(string) string{withoutBrackets, withoutGrade, withoutStrength, withoutBlend, asOil} {
			if s := shorten(all[i]); s != "" && !slices.Contains(all, s) {
				all = append(all, s)
			}
		}
	}
	return all[1:]
}

func withoutBrackets(name string) string {
	from, to := strings.IndexByte(name, '('), strings.LastIndexByte(name, ')')
	if from < 1 || to < from {
		return ""
	}
	return strings.TrimSpace(name[:from] + name[to+1:])
}

// withoutGrade leaves the names of blends alone, whose commas part substances.
func withoutGrade(name string) string {
	if strings.ContainsAny(name, "(&") || strings.Count(name, ", ") != 1 {
		return ""
	}
	return name[:strings.Index(name, ", ")]
}

// withoutStrength takes "60 %" or "50 to 55 %" from the end of a name.
func withoutStrength(name string) string {
	rest, found := strings.CutSuffix(name, " %")
	if !found {
		return ""
	}
	rest = strings.TrimRight(rest, "0123456789. ")
	if before, found := strings.CutSuffix(rest, " to"); found {
		rest = strings.TrimRight(before, "0123456789. ")
	}
	if strings.HasSuffix(rest, " or") || strings.Contains(rest, "%") {
		return ""
	}
	return rest
}

func withoutBlend(name string) string {
	rest, _ := strings.CutSuffix(name, " blend")
	return rest
}

func asOil(name string) string { return strings.Replace(name, " essential oil", " oil", 1) }
