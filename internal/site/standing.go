package site

import (
	"html/template"
	"strings"
	"sync"
)

// Much of a page is the same on every page of its kind: what devices are told, style sheets, scripts, the menu, the search. Templates draw it with
//
//	{{standing "pieces/around.html" .}}
//
// which draws the piece once for all those pages. So that it can be no other on one of them, the piece is given an [Around] instead of the page.

// An Around is what the pages of a kind have in common around their content.
type Around struct {
	Kind, Edition string
	Handbook      Handbook
	Root          string // relative address of the home page's folder
	Menu          []Link // the handbook's main parts
	Assets        map[string]string
	Feed          string // address of the feed, "" where there is none
	Manifest      string // address of what devices are told
	Door          bool   // the edition has something sealed
}

// Asset gives the relative address of a theme's asset by its name in assets/.
func (a *Around) Asset(name string) string { return a.Root + a.Assets[name] }

// Says says whether scripts in the page have words to say.
func (a *Around) Says() bool { return a.Assets[wordsAsset] != "" }

// around gives what the page has in common with others.
func (f *Frame) around() *Around {
	return &Around{
		Kind: f.Kind, Edition: f.Edition, Handbook: f.Handbook, Root: f.Root, Menu: f.Menu, Assets: f.Assets, Feed: f.Feed, Manifest: f.Manifest, Door: f.Door != nil,
	}
}

// standing is what has been drawn for the pages that have an Around in common: template.HTML by the piece's name.
type standing struct{ drawn sync.Map }

// A commonality is what pages that share an Around of one build have in common.
type commonality struct {
	kind, root string
	current    string // the page's file where the menu leads to it
	door       bool
}

// standingOf gives what is drawn once for a page and those like it.
func (s *Build) standingOf(f *Frame, file string) *standing {
	key := commonality{kind: f.Kind, root: f.Root, door: f.Door != nil}
	for _, l := range f.Menu {
		if l.Current {
			key.current = file
		}
	}
	if known, ok := s.standing.Load(key); ok {
		return known.(*standing)
	}
	known, _ := s.standing.LoadOrStore(key, &standing{})
	return known.(*standing)
}

// framed is the view of any page.
type framed interface{ frame() *Frame }

func (f *Frame) frame() *Frame { return f }

// drawStanding draws a piece from what a page has in common with others, unless that was done before.
func drawStanding(set *template.Template, piece string, page framed) (template.HTML, error) {
	f := page.frame()
	if f.standing != nil {
		if drawn, ok := f.standing.drawn.Load(piece); ok {
			return drawn.(template.HTML), nil
		}
	}
	var b strings.Builder
	if err := set.ExecuteTemplate(&b, piece, f.around()); err != nil {
		return "", err
	}
	drawn := template.HTML(b.String()) //nolint:gosec // which a template escaped
	if f.standing != nil {
		f.standing.drawn.Store(piece, drawn)
	}
	return drawn, nil
}
