package preview

import (
	"cmp"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/site"
)

// An Effect is what a change did to a recipe, in numbers and findings.
type Effect struct {
	Version    string          // the first version that changed; "base" for the base, "" where only versions or findings came and went
	Also       []string        // the other versions that changed
	Lines      []EffectLine    // of that version: what the maker wrote differently, then what followed
	Totals     []EffectTotal   // of that version: batches whose weight or containers changed
	Weights    int             // of that version: how many weights read differently, in all batches
	Came, Went []string        // versions that are new, and that are no more
	New, Gone  []check.Finding // findings that came and went, in all versions
	Accepted   []check.Finding // findings that the maker now lets through

	standing []check.Finding // that are not let through, as they are now
}

// An EffectLine is one ingredient that changed. Before and After are percents, "3 %": one is "" where it was added or taken out, both
// are where it only has another name or phase.
type EffectLine struct {
	Name, Was     string // Was: the name before, "" where it is the same
	Before, After string
	From, To      string // the phases that it moved between, else ""
	Written       bool   // the maker wrote it differently; else it followed
}

// An EffectTotal is a batch that changed: its weight or why there is none, and what it fills. Both are "" where there was or is no such batch.
type EffectTotal struct {
	Batch                 string
	Before, After         string
	FillBefore, FillAfter string
}

// Compare gives what the change from one working of a recipe to the next did, or nil where no figure and no finding changed. A version that
// could not be worked out before or after is not compared.
func Compare(before, after []handbook.Worked) *Effect {
	if len(before) == 0 || len(after) == 0 {
		return nil
	}
	e := &Effect{}
	for _, a := range after {
		switch b := versionLike(before, a); {
		case b == nil:
			e.Came = append(e.Came, a.Version.Name)
		case sameFigures(*b, a):
		case e.Version == "":
			e.figures(*b, a)
		default:
			e.Also = append(e.Also, a.Version.Name)
		}
	}
	for _, b := range before {
		if versionLike(after, b) == nil {
			e.Went = append(e.Went, b.Version.Name)
		}
	}
	e.findings(before, after)
	if e.Version == "" && len(e.Came)+len(e.Went)+len(e.New)+len(e.Gone)+len(e.Accepted) == 0 {
		return nil
	}
	return e
}

// versionLike gives the version of the same name, or nil.
func versionLike(all []handbook.Worked, w handbook.Worked) *handbook.Worked {
	i := slices.IndexFunc(all, func(other handbook.Worked) bool {
		return material.Key(other.Version.Name) == material.Key(w.Version.Name)
	})
	if i < 0 {
		return nil
	}
	return &all[i]
}

// sameFigures says whether two workings of a version show the same table.
func sameFigures(b, a handbook.Worked) bool {
	sameItem := func(i int) bool {
		x, y := b.Version.Items[i], a.Version.Items[i]
		return material.Key(x.Name) == material.Key(y.Name) && phaseKey(b.Version, x) == phaseKey(a.Version, y) &&
			b.Version.Percent(i).Cmp(a.Version.Percent(i)) == 0
	}
	if len(b.Version.Items) != len(a.Version.Items) {
		return false
	}
	for i := range b.Version.Items {
		if !sameItem(i) {
			return false
		}
	}
	return slices.EqualFunc(b.Batches, a.Batches, sameBatch)
}

func sameBatch(x, y check.Batch) bool {
	if x.Written != y.Written || (x.Missing == nil) != (y.Missing == nil) {
		return false
	}
	if x.Missing != nil {
		return x.Missing.Message == y.Missing.Message
	}
	sameReading := func(p, q formula.Reading) bool { return p.Text() == q.Text() }
	return slices.EqualFunc(x.Column.Weights, y.Column.Weights, sameReading) && sameFill(x.Sized.Filled, y.Sized.Filled)
}

func sameFill(x, y *formula.Filled) bool {
	if x == nil || y == nil {
		return x == y
	}
	return x.Container == y.Container && x.Count == y.Count && x.Left.Grams().Cmp(y.Left.Grams()) == 0
}

func phaseKey(v *formula.Version, item formula.Item) string {
	return material.Key(v.Phases[item.Phase].Name)
}

// A line is one line of a version's table, as the page shows it.
type line struct {
	item    formula.Item
	phase   string
	at      int // its place in the phase
	share   quantity.Number
	percent string
	weights []site.WeightView
}

// figures notes how a version's table changed.
func (e *Effect) figures(b, a handbook.Worked) {
	e.Version = a.Version.Name
	before, after := viewOf(b), viewOf(a)
	pairs := matched(linesOf(b.Version, before), linesOf(a.Version, after))
	for _, p := range pairs {
		if l, changed := p.line(); changed {
			e.Lines = append(e.Lines, l)
		}
	}
	slices.SortStableFunc(e.Lines, func(x, y EffectLine) int { return cmp.Compare(order(x), order(y)) })
	e.Totals = totals(before.Batches, after.Batches)
	e.Weights = reweighed(pairs, before.Batches, after.Batches)
}

// order puts what the maker wrote first.
func order(l EffectLine) int {
	if l.Written {
		return 0
	}
	return 1
}

func viewOf(w handbook.Worked) *site.FormulaView {
	return site.NewFormulaView(&handbook.Recipe{}, w, func(string) string { return "" })
}

// linesOf gives the lines of a version with their figures as the table shows them.
func linesOf(v *formula.Version, view *site.FormulaView) []line {
	lines := make([]line, len(v.Items))
	next := make([]int, len(v.Phases))
	for i, item := range v.Items {
		at := next[item.Phase]
		next[item.Phase]++
		row := view.Phases[item.Phase].Rows[at]
		lines[i] = line{item, v.Phases[item.Phase].Name, at, v.Percent(i), trimmed(row.Percent), row.Weights}
	}
	return lines
}

// trimmed takes zeros off the end of a decimal.
func trimmed(decimal string) string {
	if strings.Contains(decimal, ".") {
		decimal = strings.TrimRight(strings.TrimRight(decimal, "0"), ".")
	}
	return decimal
}

// A pair is one ingredient before and after; one of them is nil where it was added or taken out.
type pair struct{ before, after *line }

// matched finds which line became which: by name and phase, by name, by material, and last by standing in the same place with the same amount.
func matched(before, after []line) []pair {
	alike := []func(b, a *line) bool{
		func(b, a *line) bool { return sameName(b, a) && material.Key(b.phase) == material.Key(a.phase) },
		sameName,
		func(b, a *line) bool { return b.item.Material != "" && b.item.Material == a.item.Material },
		func(b, a *line) bool {
			return material.Key(b.phase) == material.Key(a.phase) && b.at == a.at && b.item.Amount.Written == a.item.Amount.Written
		},
	}
	pairs := make([]pair, len(after))
	taken := make([]bool, len(before))
	for _, same := range alike {
		for i := range after {
			for k := range before {
				if pairs[i].before == nil && !taken[k] && same(&before[k], &after[i]) {
					pairs[i].before, taken[k] = &before[k], true
				}
			}
		}
	}
	for i := range after {
		pairs[i].after = &after[i]
	}
	for k := range before {
		if !taken[k] {
			pairs = append(pairs, pair{before: &before[k]})
		}
	}
	return pairs
}

func sameName(b, a *line) bool { return material.Key(b.item.Name) == material.Key(a.item.Name) }

// line gives what changed of an ingredient, and whether anything did.
func (p pair) line() (EffectLine, bool) {
	b, a := p.before, p.after
	switch {
	case b == nil:
		return EffectLine{Name: a.item.Name, After: a.percent + " %", Written: true}, true
	case a == nil:
		return EffectLine{Name: b.item.Name, Before: b.percent + " %", Written: true}, true
	}
	l := EffectLine{Name: a.item.Name, Written: b.item.Amount.Written != a.item.Amount.Written}
	if !sameName(b, a) {
		l.Was, l.Written = b.item.Name, true
	}
	if material.Key(b.phase) != material.Key(a.phase) {
		l.From, l.To, l.Written = b.phase, a.phase, true
	}
	l.Before, l.After = apart(b, a)
	return l, l.Before != "" || l.Was != "" || l.From != ""
}

// apart writes two percents so that they can be told apart, or gives "" where six places do not.
func apart(b, a *line) (before, after string) {
	if b.share.Cmp(a.share) == 0 {
		return "", ""
	}
	before, after = b.percent, a.percent
	for places := 3; before == after; places++ {
		if places > 6 {
			return "", ""
		}
		before, after = b.share.Text(places), a.share.Text(places)
	}
	return before + " %", after + " %"
}

// totals gives the batches that changed; batches are told apart by how they are written.
func totals(before, after []site.BatchColumn) []EffectTotal {
	var all []EffectTotal
	for _, a := range after {
		t := EffectTotal{Batch: a.Size, After: weightWords(a), FillAfter: a.Fill}
		if i := batchLike(before, a); i >= 0 {
			t.Before, t.FillBefore = weightWords(before[i]), before[i].Fill
		}
		if t.Before != t.After || t.FillBefore != t.FillAfter {
			all = append(all, t)
		}
	}
	for _, b := range before {
		if batchLike(after, b) < 0 {
			all = append(all, EffectTotal{Batch: b.Size, Before: weightWords(b), FillBefore: b.Fill})
		}
	}
	return all
}

func batchLike(all []site.BatchColumn, c site.BatchColumn) int {
	return slices.IndexFunc(all, func(other site.BatchColumn) bool { return other.Size == c.Size })
}

// weightWords gives what a batch weighs, or why there is none.
func weightWords(c site.BatchColumn) string {
	if c.Missing != "" {
		return c.Missing
	}
	return c.TotalG + " g"
}

// reweighed counts the weights that read differently in the batches that both have.
func reweighed(pairs []pair, before, after []site.BatchColumn) int {
	n := 0
	for j, a := range after {
		k := batchLike(before, a)
		if k < 0 {
			continue
		}
		for _, p := range pairs {
			if p.before != nil && p.after != nil && p.before.weights[k].G != p.after.weights[j].G {
				n++
			}
		}
	}
	return n
}

// findings notes which findings came, went, or are now let through. A finding stays the same one while only its figures change. What stood in
// another version before is not new in one that came, and what stood in one that is no more is not mended.
func (e *Effect) findings(before, after []handbook.Worked) {
	was, is := findingsOf(before), findingsOf(after)
	e.Accepted = without(accepted(is), accepted(was))
	e.New = slices.DeleteFunc(without(unaccepted(is), unaccepted(was)), func(f check.Finding) bool {
		return slices.Contains(e.Came, f.Version) && slices.ContainsFunc(was, func(w check.Finding) bool { return likeIn(f.Version, w) == causeOf(f) })
	})
	e.Gone = slices.DeleteFunc(without(without(unaccepted(was), unaccepted(is)), e.Accepted), func(f check.Finding) bool {
		return slices.Contains(e.Went, f.Version)
	})
	e.standing = unaccepted(is)
}

// likeIn gives the cause that a finding would have in another version.
func likeIn(version string, f check.Finding) cause {
	f.Version = version
	return causeOf(f)
}

func findingsOf(worked []handbook.Worked) []check.Finding {
	var all []check.Finding
	for _, w := range worked {
		all = append(all, w.Findings...)
	}
	return all
}

func accepted(all []check.Finding) []check.Finding {
	return slices.DeleteFunc(slices.Clone(all), func(f check.Finding) bool { return f.Accepted == "" })
}

func unaccepted(all []check.Finding) []check.Finding {
	return slices.DeleteFunc(slices.Clone(all), func(f check.Finding) bool { return f.Accepted != "" })
}

// without gives the findings that others do not have; of two alike one can be left.
func without(all, others []check.Finding) []check.Finding {
	have := make(map[cause]int)
	for _, f := range others {
		have[causeOf(f)]++
	}
	return slices.DeleteFunc(slices.Clone(all), func(f check.Finding) bool {
		have[causeOf(f)]--
		return have[causeOf(f)] >= 0
	})
}

// A cause is what makes two findings the same one.
type cause struct {
	code, version, subject, market string
	level                          check.Level
}

func causeOf(f check.Finding) cause {
	return cause{f.Code, material.Key(f.Version), material.Key(f.Subject), f.Market, f.Level}
}
