package preview

import (
	"strconv"
	"time"

	"larkrow.example/stillroom/internal/problem"
)

const (
	mostProblems = 20 // of a page, told in full
	mostFiles    = 12 // other files that are linked
	mostTold     = 3  // of their problems, told in a line
)

// A problemsView is what the problems at a page's foot are drawn from.
type problemsView struct {
	Heading   string
	Alone     bool   // the page has nothing else to show
	Kept      string // that the page above is an earlier form of it, "" where it is not
	Here      []problemView
	More      int // of this page, beyond those told in full
	Elsewhere int // problems in other files
	Files     []faultyFile
	MoreFiles int
	Told      []noteView // the first of the problems in other files, a line each
}

// A problemView is one problem. Where is file:line:column.
type problemView struct {
	Where, Message, Hint string
	Excerpt              []excerptLine
	Notes                []noteView
}

// A noteView is a second place that matters.
type noteView struct{ Where, Message string }

// A faultyFile is another file with problems; Href is "" where no page is made from it.
type faultyFile struct {
	Name, Href string
	Count      int
}

// problemsOf gathers what is told of problems on a page: those of its own file first. It is nil where nothing is wrong anywhere.
func problemsOf(s *State, file string) *problemsView {
	if len(s.Problems) == 0 {
		return nil
	}
	v := &problemsView{}
	source, here := sourceFile(s, file), 0
	at := map[string]int{} // other files, by name, in v.Files
	for _, p := range s.Problems {
		name := p.Span.File()
		switch i, known := at[name]; {
		case name == source || name == "":
			if here++; here <= mostProblems {
				v.Here = append(v.Here, viewOfProblem(p))
			}
			continue
		case known:
			v.Files[i].Count++
		default:
			at[name] = len(v.Files)
			f := faultyFile{Name: shown(name), Count: 1}
			if page := pagePath(name); page != "" {
				f.Href = addressOf(page)
			}
			v.Files = append(v.Files, f)
		}
		if v.Elsewhere++; len(v.Told) < mostTold {
			v.Told = append(v.Told, noteView{Where: place(p.Span), Message: shown(p.Message)})
		}
	}
	v.More = here - len(v.Here)
	if more := len(v.Files) - mostFiles; more > 0 {
		v.Files, v.MoreFiles = v.Files[:mostFiles], more
	}
	v.Heading = heading(here, v.Elsewhere, source)
	v.Alone = isBlank(s, file)
	v.Kept = kept(s, source)
	return v
}

// kept says that what is shown of a file is its last good form, and since when, or gives "".
func kept(s *State, source string) string {
	at, known := s.LastGood(source)
	switch {
	case !known:
		return ""
	case source == settingsFile:
		return "The pages keep to " + settingsFile + " as it was last good, at " + at.Format(time.TimeOnly) + "."
	}
	return "The page above is as it was last good, at " + at.Format(time.TimeOnly) + "."
}

// heading says how many problems there are, and where.
func heading(here, elsewhere int, source string) string {
	in := " in this page"
	if source == settingsFile {
		in = " in " + settingsFile
	}
	switch {
	case here == 0:
		return plural(elsewhere, "problem", "problems") + " in other files"
	case elsewhere == 0:
		return plural(here, "problem", "problems") + in
	}
	return plural(here, "problem", "problems") + in + ", " + plural(elsewhere, "more", "more") + " in other files"
}

func viewOfProblem(p *problem.Problem) problemView {
	v := problemView{Where: place(p.Span), Message: shown(p.Message), Hint: shown(p.Hint), Excerpt: excerptOf(p.Span)}
	for _, n := range p.Notes {
		v.Notes = append(v.Notes, noteView{Where: place(n.Span), Message: shown(n.Message)})
	}
	return v
}

// place writes a span's place as file:line:column, or "" where it has none.
func place(s problem.Span) string {
	if s.Source == nil {
		return ""
	}
	line, column := s.Position()
	return shown(s.File()) + ":" + strconv.Itoa(line) + ":" + strconv.Itoa(column)
}
