package synthetic

import "strings"

// quoted writes a text as a YAML value or name that is right inside curly brackets too.
func quoted(s string) string {
	if strings.ContainsAny(s, ",:#{}[]\"") || strings.ContainsAny(s[:1], "&*!|>'%@`?-") {
		return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
	}
	return s
}

// list writes texts as a YAML list in square brackets.
func list(texts []string) string {
	all := make([]string, len(texts))
	for i, s := range texts {
		all[i] = quoted(s)
	}
	return "[" + strings.Join(all, ", ") + "]"
}

// A pair is a field of a group in curly brackets; one without a value is left out.
type pair struct{ name, value string }

// group writes fields as a YAML group in curly brackets.
func group(pairs ...pair) string {
	var all []string
	for _, p := range pairs {
		if p.value != "" {
			all = append(all, p.name+": "+quoted(p.value))
		}
	}
	return "{" + strings.Join(all, ", ") + "}"
}

// slug gives the file name of a title without its ending.
func slug(title string) string {
	words := strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	return strings.Join(words, "-")
}

// A page is a page's text while it is written.
type page struct{ strings.Builder }

// say writes pieces of text.
func (p *page) say(pieces ...string) {
	for _, s := range pieces {
		p.WriteString(s)
	}
}

// field writes a line of front matter, unless it has no value. The value is YAML already.
func (p *page) field(name, value string) {
	if value != "" {
		p.say(name, ": ", value, "\n")
	}
}

func (p *page) bytes() []byte { return []byte(p.String()) }
