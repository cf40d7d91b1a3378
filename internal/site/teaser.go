package site

import (
	"encoding/base64"
	"html/template"

	"larkrow.example/stillroom/internal/handbook"
)

// A teaser is a page of which the edition has a teaser, and the shelf that it stands on.
type teaser struct {
	page  *handbook.Page
	shelf string
}

// A TeaserView is what everyone sees of a page for members: what it is about, and the door to it.
type TeaserView struct {
	Frame
	Name    string
	Summary string
	What    string // recipe, ingredient or note
	Shelf   Link   // of a recipe
	Picture *Picture
	Address string        // of the members' own site, where the door is a folder behind a login
	Sealed  template.HTML // the sealed page, where it is in this one; "" where it is elsewhere
}

// A DoorView tells the script of a page where the sealed things are; addresses are relative to the page.
type DoorView struct {
	Ring   string // of who may open them
	Search string // the sealed list for the search
	Page   string // the members' form of this page, where it is a file of its own; "" else
	Path   string // of the page from the top, which the sealed form is bound to
	Lobby  bool   // the page shows whatever sealed file its address names
}

// teases says whether an edition shows a teaser of a page: for readers who may not see it, but may know of it.
func (s *Build) teases(p *handbook.Page) bool {
	return s.edition == OpenEdition && s.Door.Kind != "" && p.Access == handbook.Members && !s.isHeld(p)
}

// Teasers counts the pages of which the edition has but a teaser.
func (s *Build) Teasers() int { return len(s.teasers) }

// isHeld says whether a page is that of a recipe that is held back.
func (s *Build) isHeld(p *handbook.Page) bool {
	return p.Kind == handbook.RecipePage && s.held[p.File]
}

// reaches says whether the edition has a page or a teaser of it, so that a link may lead there.
func (s *Build) reaches(p *handbook.Page) bool { return s.has(p) || s.teases(p) }

// teaserOutput gives the page that stands in the place of one for members.
func (s *Build) teaserOutput(t teaser) output {
	p, shelf, path := t.page, t.shelf, s.pathOf(t.page)
	return s.page(path, "teaser", func() (any, error) {
		trail := []Link{{Text: s.Title, Href: homePath}}
		if shelf != "" {
			trail = append(trail, Link{Text: shelf, Href: shelfPath(shelf)})
		}
		v := &TeaserView{Frame: s.frame("teaser", path, p.Title, p.Summary, trail...), Name: p.Title, Summary: p.Summary, What: string(p.Kind), Address: s.Door.Address}
		if shelf != "" {
			v.Shelf = Link{Text: shelf, Href: v.Root + shelfPath(shelf)}
		}
		v.Picture = s.picture(p, v.Root)
		s.tell(&v.Frame, p).locked = true
		if s.sealing == nil {
			return v, nil
		}
		sealed, err := s.sealing.page(path)
		if err != nil {
			return nil, err
		}
		v.Sealed = drawSealed(path, sealed)
		return v, nil
	})
}

// lobbyOutput gives the page that shows sealed pages which have no teaser.
func (s *Build) lobbyOutput() output {
	return s.page(lobbyPath, "teaser", func() (any, error) {
		v := &TeaserView{Frame: s.frame("teaser", lobbyPath, s.words.Say("door.page"), "", Link{Text: s.Title, Href: homePath}), Name: s.words.Say("door.page"), What: "page"}
		v.Door.Lobby, v.Canonical = true, ""
		return v, nil
	})
}

// sealedID is the id of the element that carries a sealed page.
const sealedID = "sealed-page"

// drawSealed draws the element that carries a sealed page. It is data that no browser runs.
func drawSealed(path string, sealed []byte) template.HTML {
	k := &ink{}
	k.raw(`<script type="text/plain" id="` + sealedID + `" data-type="` + payloadType + `" data-path="`)
	k.text(path)
	k.raw(`">`)
	k.raw(base64.StdEncoding.EncodeToString(sealed))
	k.raw(`</script>`)
	return k.html()
}
