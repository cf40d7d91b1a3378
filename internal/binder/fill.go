package binder

import (
	"fmt"
	"html"
	"regexp"
	"strconv"
	"strings"
)

// Pages has the page that each id stands on, counted from 1 at the title page. It is nil before the first printing.
type Pages map[string]int

// mark is where page numbers are to stand: one id's, or a list of them.
var mark = regexp.MustCompile(`<!--(page|pages) ([a-z0-9 -]+?)-->`)

// reserved stands for a number while there is none.
const reserved = "000"

// fill puts page numbers in at their marks. Without pages, numbers keep room for themselves.
func (p Pages) fill(text []byte) ([]byte, error) {
	var missing []string
	number := func(id string) string {
		switch n, known := p[id]; {
		case p == nil:
			return reserved
		case known:
			return strconv.Itoa(n)
		}
		missing = append(missing, id)
		return ""
	}
	filled := mark.ReplaceAllFunc(text, func(m []byte) []byte {
		parts := mark.FindSubmatch(m)
		if string(parts[1]) == "page" {
			return []byte(number(string(parts[2])))
		}
		var links []string
		last := ""
		for id := range strings.FieldsSeq(string(parts[2])) {
			n := number(id)
			if n == last && p != nil {
				continue // the same page again
			}
			last = n
			links = append(links, `<a href="#`+id+`">`+n+`</a>`)
		}
		return []byte(strings.Join(links, ", "))
	})
	if missing != nil {
		return nil, fmt.Errorf("these places have no page: %s", strings.Join(missing, ", "))
	}
	return filled, nil
}

// fillNames puts names where page numbers would stand: for a document whose pages are not known.
func fillNames(text []byte, names map[string]string) []byte {
	return mark.ReplaceAllFunc(text, func(m []byte) []byte {
		parts := mark.FindSubmatch(m)
		if string(parts[1]) == "page" {
			return nil
		}
		var links []string
		for id := range strings.FieldsSeq(string(parts[2])) {
			links = append(links, `<a href="#`+id+`">`+html.EscapeString(names[id])+`</a>`)
		}
		return []byte(strings.Join(links, ", "))
	})
}

// Links and ids within the document.
var (
	link = regexp.MustCompile(`href="#([a-z0-9-]+)"`)
	name = regexp.MustCompile(` id="([a-z0-9-]+)"`)
)
