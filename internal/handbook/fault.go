package handbook

import (
	"errors"
	"regexp"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v4"
)

// fault tells a YAML error in the maker's words, as far as they are known. A text with nothing in it is left to the caller.
func (d *document) fault(text string, err error) {
	var load *yaml.LoadError
	if !errors.As(err, &load) {
		d.problems.Addf(d.whole(), "check the indentation and the quotes", "this is not readable: %v", err)
		return
	}
	switch {
	case strings.Contains(load.Message, "no documents in stream"):
	case strings.Contains(load.Message, "found multiple"):
		d.secondDocument(text)
	case strings.Contains(load.Message, "control characters"):
		d.controlCharacter(text)
	case strings.Contains(load.Message, "mapping values are not allowed"):
		d.colon(d.offset(load.Mark.Line, load.Mark.Column))
	default:
		d.known(load)
	}
}

// known looks a fault up in the table.
func (d *document) known(load *yaml.LoadError) {
	start := d.offset(load.Mark.Line, load.Mark.Column)
	if load.Message == "did not find expected key" && quoted.MatchString(strings.TrimRight(d.lineBefore(start), " ")) {
		d.problems.Addf(d.char(start), "put the whole value into one pair of quotes, and double an apostrophe inside single ones: 'maker''s'", "there are words after the closing quote")
		return
	}
	if strings.HasPrefix(d.source.Text[start:], "\t") {
		d.problems.Addf(d.char(start), "indent with spaces", "a tab cannot indent a line")
		return
	}
	for _, row := range faults {
		if strings.Contains(load.ContextMsg+": "+load.Message, row.contains) {
			if row.opened && load.ContextMark.Line > 0 {
				start = d.offset(load.ContextMark.Line, load.ContextMark.Column)
			}
			d.problems.Addf(d.char(start), row.hint, "%s", row.says)
			return
		}
	}
	d.problems.Addf(d.char(start), "check the indentation, the brackets and the quotes around here", "this is not readable (%s)", load.Message)
}

// quoted finds text that ends in a closing quote.
var quoted = regexp.MustCompile(`(^|[:,\[{-]\s+)('[^']*'|"[^"]*")$`)

// faults are the errors of the YAML reader in our words; opened ones are told where the thing begins.
var faults = []struct {
	contains, says, hint string
	opened               bool
}{
	{"that cannot start any token", "a value cannot begin with this character", "put quotes around the value", false},
	{"expected ',' or ']'", "a list in square brackets is not closed", "close it with ], and part its values with commas", true},
	{"expected ',' or '}'", "a group in curly brackets is not closed", "close it with }, and part its values with commas", true},
	{"unexpected end of stream", "a quote is opened here and not closed", "close it, or double an apostrophe inside single quotes", true},
	{"unknown escape character", "a backslash in double quotes begins a code, and this one is not known", "use single quotes, or write the backslash twice", false},
	{"did not find expected key", "this line does not fit the ones around it", "check its indentation, its brackets, and the quotes of the line before", false},
	{"could not find expected ':'", "there is a name here without a colon and a value", "write it as name: value, with an ordinary space after the colon", true},
	{"expected '-' indicator", "this line does not fit the list around it", "begin it with “- ”, or check its indentation", false},
	{"sequence entries are not allowed", "a list cannot begin on the line of its name", "begin each value on a line of its own with “- ”, or write [a, b]", false},
	{"expected comment or line break", "a value cannot begin with > or | and go on", "put quotes around the value", true},
	{"expected node content", "a bracket is closed that is not open, or one is not closed", "check the brackets before this place", false},
	{"unknown anchor", "a value cannot begin with *", "put quotes around the value", false},
	{"while scanning an a", "a value cannot begin with & or *", "put quotes around the value", false},
	{"max depth", "the brackets or lists go too deep", "take some away; nothing here is more than five deep", false},
	{"directive", "a line cannot begin with %", "take the line out, or put quotes around the value", true},
	{"YAML document", "a line cannot begin with %", "take the line out", false},
}

// colon tells of a colon where none can be: the second on its line, or the first where the line before has a name without one.
func (d *document) colon(at int) {
	if strings.ContainsAny(d.lineBefore(at), ":{[,\"'") || at == d.start {
		d.problems.Addf(d.char(at), "put quotes around the text that has the colon in it: name: \"this: that\"; or check the line's indentation",
			"there is a second colon here, and only one can part a name from its value")
		return
	}
	text := strings.TrimRight(d.source.Text[d.start:at-len(d.lineBefore(at))], " \t\n")
	start := d.start + strings.LastIndexByte(text, '\n') + 1
	start += len(d.source.Text[start:d.start+len(text)]) - len(strings.TrimLeft(d.source.Text[start:d.start+len(text)], " \t-"))
	says := "there is a name here without a colon and a value"
	if strings.Contains(d.source.Text[start:d.start+len(text)], ":") {
		says = "a colon parts a name from its value only with a space after it"
	}
	d.problems.Addf(d.at(start, d.start+len(text)), "write it as name: value, and check that the next line is indented as it should be", "%s", says)
}

// lineBefore gives what stands before a place on its line.
func (d *document) lineBefore(at int) string {
	before := d.source.Text[d.start:max(at, d.start)]
	return before[strings.LastIndexByte(before, '\n')+1:]
}

// secondDocument tells of a line that ends the YAML before its end.
func (d *document) secondDocument(text string) {
	at := documentEnd.FindStringSubmatchIndex(text)
	if at != nil {
		at = at[2:]
	} else {
		at = []int{0, 1}
	}
	d.problems.Addf(d.at(d.start+at[0], d.start+at[1]), "take the line out", "what comes after this line would not be read")
}

// documentEnd finds a line that ends a YAML document; the first line of a text may begin one.
var documentEnd = regexp.MustCompile(`(?m)\n(\.\.\.|---)(?:\s|$)`)

// controlCharacter finds the character that the YAML reader refused.
func (d *document) controlCharacter(text string) {
	i := max(strings.IndexFunc(text, isControl), 0)
	d.problems.Addf(d.char(d.start+i), "delete it", "there is a control character here, which no text has")
}

// isControl finds control characters, other than what ends a line or indents.
func isControl(r rune) bool {
	return unicode.IsControl(r) && !strings.ContainsRune("\n\t\u0085", r) || r == '\uFFFE' || r == '\uFFFF'
}
