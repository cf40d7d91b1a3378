package site

import (
	"net/url"
	"path"

	"larkrow.example/stillroom/internal/handbook"
)

// A resolver gives a body's names their addresses on one page of one edition.
type resolver struct {
	build   *Build
	page    *handbook.Page
	root    string
	amounts func(name string) string // nil where the page has no formula
}

// Amount gives the amounts of an ingredient or phase, for every version and batch.
func (r *resolver) Amount(name string) string {
	if r.amounts == nil {
		return ""
	}
	return r.amounts(name)
}

// Block gives what a block of a kind is called.
func (r *resolver) Block(kind string) string { return r.build.words.Say("block." + kind) }

// Link gives the address of a page or picture; "" where the edition does not have it, so that only the words are shown.
func (r *resolver) Link(destination string) string {
	target, fragment := cutFragment(destination)
	if fragment != "" {
		fragment = "#" + url.PathEscape(unescapePath(fragment))
	}
	if target == "" {
		return fragment
	}
	if p := r.build.PageOf(path.Join(path.Dir(r.page.File), target)); p != nil {
		if !r.build.reaches(p) {
			return ""
		}
		return r.root + r.build.pathOf(p) + fragment
	}
	if picture := r.build.FindPicture(r.page.File, target); picture != nil {
		return r.root + urlPath(r.build.pictures[picture.File])
	}
	return ""
}

// Picture gives the address of a picture and its size.
func (r *resolver) Picture(destination string) (href string, width, height int) {
	p := r.build.FindPicture(r.page.File, unescapePath(destination))
	if p == nil {
		return "", 0, 0
	}
	return r.root + urlPath(r.build.pictures[p.File]), p.Width, p.Height
}

// has says whether the edition has a page in full.
func (s *Build) has(p *handbook.Page) bool { return s.edition.shows(p.Access) && !s.isHeld(p) }

// urlPath writes a file's path as an address.
func urlPath(file string) string { return (&url.URL{Path: file}).EscapedPath() }
