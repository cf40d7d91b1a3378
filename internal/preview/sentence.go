package preview

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
)

// How many lines and findings a sentence names before it counts the rest.
const (
	mostWritten  = 3
	mostFollowed = 2
	mostNamed    = 3
)

// Sentence tells the effect in one sentence: what was written, what followed from it, and how the findings stand.
func (e *Effect) Sentence() string {
	var parts []string
	add := func(words string) {
		if words != "" {
			parts = append(parts, words)
		}
	}
	add(e.amounts())
	add(named("new version", e.Came))
	add(named("version taken out", e.Went))
	add(counted("new", e.New))
	add(counted("mended", e.mended()))
	add(counted("let through", e.Accepted))
	if !slices.ContainsFunc(e.New, serious) {
		add(e.verdict())
	}
	return upper(strings.Join(parts, "; ")) + "."
}

// Findings tells which stops and cautions came, went or are now let through, or gives "". A name says in which recipe, where that is not clear.
func (e *Effect) Findings(recipe string) string {
	if recipe != "" {
		recipe = " in " + recipe
	}
	var parts []string
	for _, f := range []struct {
		what string
		all  []check.Finding
	}{{"new", e.New}, {"mended", e.mended()}, {"let through", e.Accepted}} {
		if words := counted(f.what+recipe, slices.DeleteFunc(slices.Clone(f.all), mild)); words != "" {
			parts = append(parts, words)
		}
	}
	return strings.Join(parts, "; ")
}

// amounts tells of the lines, or where none changed of the batches, or else of the weights.
func (e *Effect) amounts() string {
	words := e.lines()
	switch {
	case e.Version == "":
		return ""
	case words == "" && len(e.Totals) > 0:
		words = e.batches()
	case words == "" && e.Weights > 0:
		words = plural(e.Weights, "weight reads", "weights read") + " differently"
	case words == "":
		words = "the table is in another order"
	}
	if e.Version != string(formula.Base) {
		words = e.Version + ": " + words
	}
	return words
}

func (e *Effect) lines() string {
	var written, followed []string
	for _, l := range e.Lines {
		if l.Written {
			written = append(written, l.words())
		} else {
			followed = append(followed, l.words())
		}
	}
	words := firstOf(written, mostWritten, ", ")
	if len(written) > 0 && len(followed) > 0 {
		words += ": "
	}
	return words + firstOf(followed, mostFollowed, ", ")
}

// words tells of one line: "Glycerin 3 % → 4 %", "Allantoin 0.5 % added".
func (l EffectLine) words() string {
	name := l.Name
	if l.Was != "" {
		name = l.Was + " becomes " + l.Name
	}
	if l.To != "" {
		name += " moved from " + l.From + " to " + l.To
	}
	if l.Before != "" && l.After != "" && (l.Was != "" || l.To != "") {
		name += ","
	}
	switch {
	case l.Before != "" && l.After != "":
		return name + " " + l.Before + " → " + l.After
	case l.After != "":
		return name + " " + l.After + " added"
	case l.Before != "":
		return name + " (" + l.Before + ") taken out"
	}
	return name
}

func (e *Effect) batches() string {
	var all []string
	for _, t := range e.Totals {
		all = append(all, t.words())
	}
	return firstOf(all, mostWritten, "; ")
}

func (t EffectTotal) words() string {
	switch {
	case t.Before == "":
		return "batch of " + t.Batch + " added"
	case t.After == "":
		return "batch of " + t.Batch + " taken out"
	case t.Before == t.After:
		return "batch of " + t.Batch + " fills " + orNone(t.FillBefore) + " → " + orNone(t.FillAfter)
	}
	return "batch of " + t.Batch + ": " + t.Before + " → " + t.After
}

// orNone gives a fill's words, or says that none is known.
func orNone(fill string) string {
	if fill == "" {
		return "an unknown number"
	}
	return fill
}

// mended gives the findings that went, without those that came back at a worse level.
func (e *Effect) mended() []check.Finding {
	return slices.DeleteFunc(slices.Clone(e.Gone), func(g check.Finding) bool {
		return slices.ContainsFunc(e.New, func(n check.Finding) bool {
			again := causeOf(n)
			again.level = g.Level
			return again == causeOf(g) && worse(n.Level, g.Level)
		})
	})
}

// levels lists the levels, worst first.
func levels() []check.Level { return []check.Level{check.Stop, check.Caution, check.Note} }

func worse(a, b check.Level) bool { return slices.Index(levels(), a) < slices.Index(levels(), b) }

func serious(f check.Finding) bool { return f.Level != check.Note }

func mild(f check.Finding) bool { return !serious(f) }

// verdict says how the recipe stands where nothing serious is new: its stops, else what lies outside a limit, else that nothing does.
// It does not say so where a material is not known, since its limits are not known either.
func (e *Effect) verdict() string {
	for _, level := range []check.Level{check.Stop, check.Caution} {
		words := counted("still", slices.DeleteFunc(slices.Clone(e.standing), func(f check.Finding) bool {
			return f.Level != level || level == check.Caution && !aboutLimit(f)
		}))
		if words != "" {
			return strings.Replace(words, ":", "", 1)
		}
	}
	if slices.ContainsFunc(e.standing, func(f check.Finding) bool { return f.Code == "unknown-material" }) {
		return "not every limit is known"
	}
	if slices.ContainsFunc(e.Gone, serious) {
		return "now within limits"
	}
	return "still within limits"
}

// aboutLimit says whether a finding tells of a limit on what is in the recipe. What the scale cannot read is no such limit.
func aboutLimit(f check.Finding) bool { return f.Limit != "" && f.Code != "below-scale" }

// counted counts findings by level and names the first: "new: 1 stop (above-usual-maximum: Glycerin)". What several versions share counts once.
func counted(what string, all []check.Finding) string {
	groups := groupsOf(all)
	if len(groups) == 0 {
		return ""
	}
	var counts, names []string
	for _, g := range groups {
		counts = append(counts, plural(g.Count, string(g.Level), string(g.Level)+"s"))
		names = append(names, g.Names...)
	}
	return what + ": " + strings.Join(counts, ", ") + " (" + firstOf(names, mostNamed, "; ") + ")"
}

// A group is the findings of one level, each named once though several versions have it: "above-usual-maximum: Glycerin".
type group struct {
	Level check.Level
	Count int
	Names []string
}

// groupsOf gives the findings by level, worst first.
func groupsOf(all []check.Finding) []group {
	var groups []group
	for _, level := range levels() {
		g := group{Level: level}
		for _, f := range all {
			if name := nameOf(f); f.Level == level && !slices.Contains(g.Names, name) {
				g.Names = append(g.Names, name)
			}
		}
		if g.Count = len(g.Names); g.Count > 0 {
			groups = append(groups, g)
		}
	}
	return groups
}

func nameOf(f check.Finding) string {
	if f.Subject == "" {
		return f.Code
	}
	return f.Code + ": " + f.Subject
}

func named(what string, names []string) string {
	if len(names) == 0 {
		return ""
	}
	return what + ": " + firstOf(names, mostNamed, ", ")
}

// firstOf joins the first of some words and counts the rest.
func firstOf(words []string, most int, comma string) string {
	if more := len(words) - most; more > 0 {
		return strings.Join(words[:most], comma) + fmt.Sprintf(" and %d more", more)
	}
	return strings.Join(words, comma)
}

// plural writes a count with its noun.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// upper gives words with a capital letter.
func upper(words string) string {
	r, n := utf8.DecodeRuneInString(words)
	return string(unicode.ToUpper(r)) + words[n:]
}
