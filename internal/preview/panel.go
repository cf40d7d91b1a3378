package preview

import (
	"bytes"
	"fmt"
	"html/template"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

const (
	mostLinks    = 12 // pages that the panel links to, before it counts the rest
	mostFindings = 12 // findings of a level that it names
)

// A panelView is what the writer's panel is drawn from: finished words.
type panelView struct {
	File       string // that the page is written in, "" for none
	Common     bool   // the page is of a material that only the catalogue knows
	Absent     bool
	Theme      string
	Fault      string // of our own
	Took       string
	Problems   string // how many, "" for none
	Effect     *effectView
	Batches    []site.BatchColumn // of the base
	Checked    bool
	Findings   []group
	Accepted   []group
	Uses       *linksView // recipes that take the ingredient
	Depends    linksView  // pages that are made from this page's file
	Members    linksView  // of these, pages for members
	MakersOnly int        // of these, pages for the maker alone
}

// An effectView is the last change's effect: its sentence, and what the sentence has no room for.
type effectView struct {
	Sentence string
	Lines    []string
	Totals   []string
	Also     []string
}

// A linksView is some pages, the first of them as links.
type linksView struct {
	Count int
	First []pageLink
	More  int
}

// A pageLink is a link to a page, with why it depends on the file, and who may read it where not everyone may.
type pageLink struct {
	Title, Href, How, Access string
}

// slip gives what stands at the foot of a page: the writer's panel, and the problems if there are any.
func slip(s *State, file string) []byte {
	var b bytes.Buffer
	problems := problemsOf(s, file)
	views := []struct {
		name string
		view any
	}{{"panel.html", panelOrFault(s, file, problems)}, {"problems.html", problems}}
	for _, v := range views {
		if v.name == "problems.html" && problems == nil {
			continue
		}
		if err := slips().ExecuteTemplate(&b, v.name, v.view); err != nil {
			panic(err) // the templates are ours, and tests draw them
		}
	}
	return b.Bytes()
}

// slips gives the templates of what is added to a page.
var slips = sync.OnceValue(func() *template.Template {
	return template.Must(template.ParseFS(linen.Preview, "preview/*.html"))
})

// panelOrFault gives a page's panel. A bug that panics in working something out for it does not keep the page from being seen.
func panelOrFault(s *State, file string, problems *problemsView) (v *panelView) {
	defer func() {
		if r := recover(); r != nil {
			v = &panelView{Fault: shown(fmt.Sprintf("internal error: %v", r))}
		}
	}()
	return panelOf(s, file, problems)
}

// panelOf gathers what the panel of a page says.
func panelOf(s *State, file string, problems *problemsView) *panelView {
	v := &panelView{File: sourceFile(s, file), Absent: s.Absent, Took: took(s.Took)}
	if s.Theme != nil {
		v.Theme = shown(s.Theme.Error())
	}
	if problems != nil {
		v.Problems = plural(len(s.Problems), "problem", "problems")
	}
	v.Common = v.File == "" && strings.HasPrefix(file, "ingredients/") && strings.Count(file, "/") == 2
	if file == "index.html" {
		return v // every page follows handbook.yaml
	}
	if r := s.Build.Recipe(file); r != nil {
		v.recipe(s, r, file)
	}
	v.depends(s, file)
	return v
}

// recipe adds what is said of a recipe.
func (v *panelView) recipe(s *State, r *handbook.Recipe, file string) {
	worked := s.Build.Worked(r)
	if len(worked) == 0 {
		return
	}
	v.Batches, v.Checked = viewOf(worked[0]).Batches, true
	all := findingsOf(worked)
	v.Findings, v.Accepted = shortGroups(unaccepted(all)), shortGroups(accepted(all))
	if e := s.Effect(file); e != nil {
		v.Effect = &effectView{Sentence: e.Sentence(), Also: e.Also}
		if len(e.Lines) > mostFollowed {
			for _, l := range e.Lines {
				v.Effect.Lines = append(v.Effect.Lines, l.words())
			}
		}
		for _, t := range e.Totals {
			v.Effect.Totals = append(v.Effect.Totals, t.words())
		}
	}
}

// shortGroups gives findings by level, with not too many names.
func shortGroups(all []check.Finding) []group {
	groups := groupsOf(all)
	for i := range groups {
		if names := groups[i].Names; len(names) > mostFindings {
			groups[i].Names = append(slices.Clone(names[:mostFindings]), "and "+strconv.Itoa(len(names)-mostFindings)+" more")
		}
	}
	return groups
}

// depends adds which pages are made from the page's file.
func (v *panelView) depends(s *State, file string) {
	if v.File == "" {
		return
	}
	var uses, others, members []pageLink
	for _, d := range s.Build.DependsOn(v.File) {
		if d.Path == file || d.Path == missingFile {
			continue
		}
		link := pageLink{Title: d.Title, Href: addressOf(d.Path), How: string(d.How), Access: badge(d.Access)}
		switch d.Access {
		case handbook.Members:
			members = append(members, link)
		case handbook.Maker:
			v.MakersOnly++
		}
		if d.How == site.Uses {
			uses = append(uses, link)
		} else {
			others = append(others, link)
		}
	}
	if strings.HasPrefix(file, "ingredients/") {
		v.Uses = &linksView{}
		*v.Uses = linksOf(uses)
	}
	v.Depends, v.Members = linksOf(others), linksOf(members)
}

func linksOf(all []pageLink) linksView {
	n := min(mostLinks, len(all))
	return linksView{Count: len(all), First: all[:n], More: len(all) - n}
}

// addressOf gives where a page is served.
func addressOf(file string) string {
	return "/" + strings.TrimSuffix(file, "index.html")
}

// badge says who may read a page that not everyone may.
func badge(a handbook.Access) string {
	switch a {
	case handbook.Members:
		return "for members"
	case handbook.Maker:
		return "maker only"
	}
	return ""
}

// took writes how long a change took.
func took(d time.Duration) string {
	switch {
	case d <= 0:
		return ""
	case d < time.Millisecond:
		return "less than 1 ms"
	case d < time.Second:
		return strconv.FormatInt(d.Milliseconds(), 10) + " ms"
	}
	return strconv.FormatFloat(d.Seconds(), 'f', 1, 64) + " s"
}
