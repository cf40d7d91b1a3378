package site

import (
	"encoding/json"
	"html/template"
	"path"
	"time"

	"larkrow.example/stillroom/internal/handbook"
)

// A Thing is what programs are told of a page: a type of schema.org (names from memory) with some of its properties.
type Thing map[string]any

// newThing makes a thing of a type.
func newThing(kind string) Thing { return Thing{"@type": kind} }

// with adds a property, unless there is nothing to say.
func (t Thing) with(property string, value any) Thing {
	switch value := value.(type) {
	case string:
		if value == "" {
			return t
		}
	case []Thing:
		if len(value) == 0 {
			return t
		}
	case Thing:
		if value == nil {
			return t
		}
	}
	t[property] = value
	return t
}

// Public says whether the page is told of elsewhere, which takes a full address and readers that are everyone.
func (f *Frame) Public() bool { return f.Canonical != "" && f.Edition == string(OpenEdition) }

// Data gives the page's things as JSON-LD 1.1, fit to stand in a script element, and "" where there are none.
func (f *Frame) Data() (template.JS, error) {
	if len(f.Things) == 0 {
		return "", nil
	}
	data, err := json.Marshal(map[string]any{"@context": "https://schema.org", "@graph": f.Things}) // which escapes < > and &
	return template.JS(data), err
}

// things gives what can be told of any page: what sort it is, and where it stands.
func (s *Build) things(f *Frame, file string, trail []Link) []Thing {
	if !f.Public() {
		return nil
	}
	if f.Kind == "home" {
		return []Thing{s.website(f)}
	}
	page := newThing(map[string]string{"shelf": "CollectionPage", "ingredients": "CollectionPage", "notes": "CollectionPage"}[f.Kind])
	if page["@type"] == "" {
		page["@type"] = "WebPage"
	}
	page.with("@id", f.Canonical).with("url", f.Canonical).with("name", f.Title).with("description", f.Description).with("inLanguage", f.Lang)
	page["isPartOf"] = Thing{"@id": s.Address}
	var places []Thing
	for i, l := range append(trail[:len(trail):len(trail)], Link{Text: f.Title, Href: file}) {
		places = append(places, newThing("ListItem").with("position", i+1).with("name", l.Text).with("item", absolute(s.Address, l.Href)))
	}
	return []Thing{page, newThing("BreadcrumbList").with("itemListElement", places)}
}

// website tells of the handbook.
func (s *Build) website(f *Frame) Thing {
	site := newThing("WebSite").with("@id", s.Address).with("url", s.Address).with("name", s.Title).with("description", s.About).with("inLanguage", f.Lang)
	if s.hasFinder() {
		target := newThing("EntryPoint").with("urlTemplate", absolute(s.Address, findPath)+"?q={search_term_string}")
		site["potentialAction"] = newThing("SearchAction").with("target", target).with("query-input", "required name=search_term_string")
	}
	if s.Maker != "" {
		site["publisher"] = newThing("Organization").with("name", s.Maker)
	}
	return site
}

// tell adds what is known of one page to what is told of it: its day and its picture. It gives the page's thing.
func (s *Build) tell(f *Frame, p *handbook.Page) Thing {
	if len(f.Things) == 0 {
		return newThing("WebPage") // of which nothing is told
	}
	page := f.Things[0]
	if p.Updated != nil && !s.teases(p) {
		page["dateModified"] = p.Updated.Format(time.DateOnly)
	}
	if p.Picture == nil {
		return page
	}
	at := absolute(s.Address, s.pictures[p.Picture.File])
	page["primaryImageOfPage"] = newThing("ImageObject").with("contentUrl", at).with("caption", p.Picture.Shows)
	if path.Ext(at) != ".svg" { // which most sites that show such pictures do not
		f.Image = &Picture{Href: at, Shows: p.Picture.Shows, Width: p.Picture.Width, Height: p.Picture.Height}
	}
	return page
}

// emblem is the mark as a picture for sites that show a page's address with one.
func (s *Build) emblem() *Picture {
	if s.Address == "" || s.assets[largeMark] == "" {
		return nil
	}
	return &Picture{Href: absolute(s.Address, s.assets[largeMark]), Shows: s.Title, Width: 512, Height: 512}
}
