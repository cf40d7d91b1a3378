package browsertest

import (
	_ "embed"
	"fmt"
	"strings"
	"testing"
)

// axe is the checker, unchanged (testdata/axe/VERSION.md).
//
//go:embed testdata/axe/axe.min.js
var axe string

// ForAll are the rules that every page has to keep: those of WCAG 2.0, 2.1 and 2.2 at levels A and AA, and good practice.
var ForAll = []string{"wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"}

// A Barrier is something that keeps a reader from a part of a page: the rule that it breaks, where, and what is wrong.
type Barrier struct{ Rule, At, Why string }

func (b Barrier) String() string { return b.Rule + " at " + b.At + ": " + b.Why }

// Barriers looks for what keeps readers from parts of the page as it is shown now, by the rules of axe-core with any of some tags, or of
// some names. It takes a page whose scripts may run.
func Barriers(t testing.TB, p *Page, by string, rules ...string) []Barrier {
	t.Helper()
	if !Ask[bool](t, p, `typeof axe !== 'undefined'`) {
		Ask[bool](t, p, axe+"\n;true")
	}
	Ask[bool](t, p, fmt.Sprintf(`window.looked = axe.run(document, {
		runOnly: {type: %q, values: ['%s']}, resultTypes: ['violations'], elementRef: false, preload: false,
	}).then(({violations}) => violations.flatMap(({id, nodes}) => nodes.map(node => ({
		Rule: id, At: node.target.join(' '), Why: node.failureSummary.replace(/\s+/g, ' ') + ' ' + node.html.slice(0, 200),
	})))), true`, by, strings.Join(rules, "', '")))
	for !Await[bool](t, p, `Promise.race([looked.then(() => true), new Promise(done => setTimeout(done, 1000, false))])`) {
		continue // a long page takes its time where much else is run
	}
	return Await[[]Barrier](t, p, `looked`)
}
