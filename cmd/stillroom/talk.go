package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"unicode"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/spell"
)

// What is said to the user: results go to standard output, everything else to standard error. A line says what happened, an indented
// line below it what to do. There is no colour. A bar is drawn only on a terminal and only for a long build.

// talk is the only way in which commands speak.
type talk struct {
	out, err io.Writer
	code     int
}

// A hinted error has been told in full, or carries what to do.
type hinted struct {
	error
	hint string
}

// hint wraps an error with what to do about it.
func hint(err error, todo string) error { return &hinted{err, todo} }

// fail tells an error and gives the exit code for it.
func (t *talk) fail(err error, todo ...string) int {
	fmt.Fprintf(t.err, "stillroom: %s\n", harmless(err.Error()))
	var h *hinted
	if errors.As(err, &h) {
		todo = []string{h.hint}
	}
	for _, line := range todo {
		fmt.Fprintf(t.err, "  what to do: %s\n", harmless(line))
	}
	return unreadable
}

// say writes a line to standard error.
func (t *talk) say(format string, args ...any) {
	fmt.Fprintln(t.err, harmless(fmt.Sprintf(format, args...)))
}

// harmless puts a box in place of each character with which words from elsewhere would drive the terminal, or turn about what it shows.
func harmless(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' || spell.Turns(r) {
			return '▯'
		}
		return r
	}, s)
}

// problems tells problems in full and sets the exit code.
func (t *talk) problems(list *problem.List) {
	if n := len(list.All()); n > 0 {
		_ = list.Print(t.err)
		t.say("%s in the handbook", counted(n, "problem"))
		t.code = unreadable
	}
}

// declare is the code of the findings that are told in one line: a scented recipe has a dozen of them.
const declare = "allergen-to-declare"

// findings tells the findings on a recipe, each once with the versions that it is about, and the names to be declared in one line.
func (t *talk) findings(w io.Writer, all []check.Finding) {
	for i, f := range all {
		same := func(g check.Finding) bool {
			return g.Code == f.Code && g.Accepted == f.Accepted && (g.Message == f.Message || f.Code == declare)
		}
		if slices.IndexFunc(all, same) < i {
			continue
		}
		var versions, subjects []string
		for _, g := range all[i:] {
			if same(g) {
				versions, subjects = appendNew(versions, g.Version), appendNew(subjects, g.Subject)
			}
		}
		if f.Code == declare {
			f.Message = "To be named on the label above their thresholds: " + strings.Join(subjects, ", ") + "."
			f.Mend, f.Source = "The label copy on the recipe's page names them in their place, with the paragraph and the day from which it holds.", ""
		}
		t.finding(w, f, strings.Join(versions, ", "))
	}
}

func appendNew(all []string, s string) []string {
	if slices.Contains(all, s) {
		return all
	}
	return append(all, s)
}

// finding tells one finding.
func (t *talk) finding(w io.Writer, f check.Finding, versions string) {
	line, column := f.At.Position()
	fmt.Fprintf(w, "%s:%d:%d: %s %s (%s): %s\n", f.At.File(), line, column, f.Level, f.Code, versions, f.Message)
	if f.Accepted != "" {
		fmt.Fprintf(w, "  accepted: %s\n", f.Accepted)
		return
	}
	if f.Mend != "" {
		fmt.Fprintf(w, "  what to do: %s\n", f.Mend)
	}
	if f.Source != "" {
		fmt.Fprintf(w, "  source: %s\n", f.Source)
	}
}

// counted writes a number with its noun: "1 problem", "2 problems".
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// firstOf names the first of some things and counts the rest.
func firstOf(names []string, most int) string {
	if more := len(names) - most; more > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), more)
	}
	return strings.Join(names, ", ")
}

// longBuild is the number of files from which a build shows how far it has come.
const longBuild = 400

// progress gives what to call for each file done: it draws a bar where that helps.
func (t *talk) progress(files int) (step, end func()) {
	f, ok := t.err.(*os.File)
	if !ok || files < longBuild || !term.IsTerminal(int(f.Fd())) {
		return func() {}, func() {}
	}
	bar := progressbar.NewOptions(files, progressbar.OptionSetWriter(f), progressbar.OptionSetDescription("writing"),
		progressbar.OptionShowCount(), progressbar.OptionClearOnFinish(), progressbar.OptionSetPredictTime(false))
	return func() { _ = bar.Add(1) }, func() { _ = bar.Finish() }
}
