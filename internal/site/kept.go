package site

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

// beforeUnit is a space between a figure and its unit.
var beforeUnit = regexp.MustCompile(`([0-9½¼¾]) (%|°[CF]|(?:mg|kg|g|oz|lb|ml|min|h)\b)`)

// kept keeps figures and their units on one line: a no-break space stands between them.
func kept(s string) string { return beforeUnit.ReplaceAllString(s, "$1\u00a0$2") }

// longWord is how many letters a word has that may not fit into a narrow column.
const longWord = 13

// soft is a hyphen that shows only where a line ends at it.
const soft = "\u00ad"

// joints are the parts of chemical names after which a word may end a line.
var joints = regexp.MustCompile(`(?i)(?:phenoxy|hydroxy|methyl|ethyl|hexyl|propyl|butyl|amido|glyceryl|hydrogen|potassium|sodium|capryl|poly)`)

// hyphenated lets long words of a name end a line at a joint with a hyphen.
func hyphenated(name string) string {
	if utf8.RuneCountInString(name) < longWord {
		return name
	}
	all := strings.Split(name, " ")
	for i, word := range all {
		if utf8.RuneCountInString(word) >= longWord {
			all[i] = strings.TrimSuffix(joints.ReplaceAllString(word, "$0"+soft), soft)
		}
	}
	return strings.Join(all, " ")
}
