package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/preview"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/site"
)

// The preview tells of each save in a line: what was saved, then what is wrong with it or else what is made from it, then what it did to the stops
// and cautions of the recipes. Problems follow in full where they are in what was saved or are new; the others are counted.

// changed tells of a change that was taken, with what it did to the recipes that it touched.
func (t *talk) changed(r preview.Report, did []preview.Affected) {
	now := r.State()
	if t.absent(now); now.Absent {
		return
	}
	told, others := r.Troubles()
	parts := []string{t.upshot(r, told)}
	if len(told) == 0 && r.Mended() {
		parts = append(parts, mended(len(now.Problems)))
	}
	parts = append(parts, effects(r, did)...)
	t.say("%s  %s: %s (%s)", time.Now().Format(time.TimeOnly), savedFiles(r), strings.Join(parts, "; "), r.Took.Round(100*time.Microsecond))
	for _, p := range told {
		fmt.Fprint(t.err, p.Text())
	}
	if n := len(others); n > 0 {
		t.say("%s to mend in other files", counted(n, "problem"))
	}
}

// upshot says what is wrong with what was saved, or what is made from it.
func (t *talk) upshot(r preview.Report, told []*problem.Problem) string {
	if len(told) > 0 {
		return counted(len(told), "problem") + stays(r, told)
	}
	if r.All {
		return counted(r.Read, "recipe") + " read anew"
	}
	if slices.Contains(r.Files, "handbook.yaml") {
		return "everything depends on it"
	}
	depends := r.Depends()
	from := "it"
	if len(withoutFolders(r.Files)) > 1 {
		from = "them"
	}
	words := madeFrom(len(depends), from)
	if n := len(slices.DeleteFunc(depends, func(d site.Dependent) bool { return d.Access != "members" })); n > 0 {
		words += fmt.Sprintf(", %d of them for members", n)
	}
	return words
}

// madeFrom counts the pages that are made from something.
func madeFrom(pages int, from string) string {
	switch pages {
	case 0:
		return "no page is made from " + from
	case 1:
		return "1 page is made from " + from
	}
	return fmt.Sprintf("%d pages are made from %s", pages, from)
}

// stays says what is shown meanwhile of files that have problems.
func stays(r preview.Report, told []*problem.Problem) string {
	var files, good []string
	for _, p := range told {
		files = appendNew(files, p.Span.File())
		if _, was := r.State().LastGood(p.Span.File()); was {
			good = appendNew(good, p.Span.File())
		}
	}
	switch {
	case slices.Equal(good, []string{"handbook.yaml"}):
		return "; the pages keep to it as it was last good"
	case len(good) == 0:
		return "; there is no earlier form to show"
	case len(files) == 1 && len(r.Files) == 1 && r.Files[0] == files[0]:
		return "; its page stays as it was last good"
	case len(files) == 1:
		return " in " + files[0] + "; its page stays as it was last good"
	}
	return " in " + firstOf(files, 3) + "; the pages stay as they were last good"
}

// mended says that there were more problems before.
func mended(left int) string {
	if left == 0 {
		return "mended: no problems"
	}
	return "mended: " + counted(left, "problem") + " left"
}

// effects tells which stops and cautions came and went, of the first three recipes that have any.
func effects(r preview.Report, did []preview.Affected) []string {
	var all []string
	for _, a := range did {
		name := a.Title
		if len(r.Files) == 1 && r.Files[0] == a.File {
			name = ""
		}
		if words := a.Effect.Findings(name); words != "" {
			all = append(all, words)
		}
	}
	if more := len(all) - 3; more > 0 {
		all = append(all[:3], "and findings in "+counted(more, "more recipe"))
	}
	return all
}

// savedFiles names what was saved.
func savedFiles(r preview.Report) string {
	if files := withoutFolders(r.Files); !r.All && len(files) > 0 {
		return firstOf(files, 3)
	}
	return "everything was looked through"
}

// withoutFolders gives files without the folders that others of them are in: those only came, went or were written to.
func withoutFolders(files []string) []string {
	return slices.DeleteFunc(slices.Clone(files), func(name string) bool {
		return slices.ContainsFunc(files, func(other string) bool { return strings.HasPrefix(other, name+"/") })
	})
}

// absent tells what is wrong with the folder or the theme.
func (t *talk) absent(now *preview.State) {
	switch {
	case now.Absent:
		t.say("the handbook's folder is not there; its last pages stay until it is back")
	case now.Theme != nil:
		t.say("%v\n  what to do: mend the theme; the pages keep the last one that worked", now.Theme)
	}
}

// standing tells the problems that there are to begin with.
func (t *talk) standing(all []*problem.Problem) {
	for _, p := range all {
		fmt.Fprint(t.err, p.Text())
	}
	if n := len(all); n > 0 {
		t.say("%s in the handbook; what could be read of the pages concerned is shown", counted(n, "problem"))
	}
}
