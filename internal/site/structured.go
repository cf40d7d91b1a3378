package site

import (
	"html/template"
	"path"
	"time"

	"larkrow.example/stillroom/internal/handbook"
)

// A Thing is what programs are told of a page: a type of schema.org (names from memory) with some of its properties, by the alphabet.
type Thing interface {
	write(o *jsonInk)
}

// thing writes a thing of a type. id is what it is known by, or "".
func (o *jsonInk) thing(key, id, kind string, properties func()) {
	o.object(key, func() {
		o.anyText("@id", id)
		o.text("@type", kind)
		properties()
	})
}

// Public says whether the page is told of elsewhere, which takes a full address and readers that are everyone.
func (f *Frame) Public() bool { return f.Canonical != "" && f.Edition == string(OpenEdition) }

// Data gives the page's things as JSON-LD 1.1, fit to stand in a script element, and "" where there are none.
func (f *Frame) Data() template.JS {
	if len(f.Things) == 0 {
		return ""
	}
	return template.JS(inkedText(jsonInk{inHTML: true}, func(o *jsonInk) { //nolint:gosec // which escapes < > and &
		o.object("", func() {
			o.text("@context", "https://schema.org")
			o.array("@graph", func() {
				for _, t := range f.Things {
					t.write(o)
				}
			})
		})
	}))
}

// things gives what can be told of any page: what sort it is, and where it stands.
func (s *Build) things(f *Frame, file string, trail []Link) []Thing {
	if !f.Public() {
		return nil
	}
	if f.Kind == "home" {
		return []Thing{s.website(f)}
	}
	page := &webPage{kind: "WebPage", address: f.Canonical, name: f.Title, description: f.Description, lang: f.Lang, site: s.Address}
	switch f.Kind {
	case "shelf", "ingredients", "notes":
		page.kind = "CollectionPage"
	}
	return []Thing{page, breadcrumbs{s.Address, append(trail[:len(trail):len(trail)], Link{Text: f.Title, Href: file})}}
}

// A webPage tells of a page. What is empty is not told.
type webPage struct {
	kind, address, name, description, lang string
	site                                   string // that it is part of
	about                                  string
	modified                               *time.Time
	locked                                 bool // it is not for everyone
	picture                                *Picture
}

func (p *webPage) write(o *jsonInk) {
	o.thing("", p.address, p.kind, func() {
		if p.about != "" {
			o.thing("about", "", "Thing", func() { o.text("name", p.about) })
		}
		if p.modified != nil {
			o.text("dateModified", p.modified.Format(time.DateOnly))
		}
		o.anyText("description", p.description)
		o.anyText("inLanguage", p.lang)
		if p.locked {
			o.truth("isAccessibleForFree", false)
		}
		o.object("isPartOf", func() { o.text("@id", p.site) })
		o.anyText("name", p.name)
		if p.picture != nil {
			o.thing("primaryImageOfPage", "", "ImageObject", func() {
				o.anyText("caption", p.picture.Shows)
				o.anyText("contentUrl", p.picture.Href)
			})
		}
		o.anyText("url", p.address)
	})
}

// breadcrumbs tell of the way to a page. Links lead from the top.
type breadcrumbs struct {
	address string
	trail   []Link
}

func (b breadcrumbs) write(o *jsonInk) {
	o.thing("", "", "BreadcrumbList", func() {
		o.array("itemListElement", func() {
			for i, l := range b.trail {
				o.thing("", "", "ListItem", func() {
					o.anyText("item", absolute(b.address, l.Href))
					o.anyText("name", l.Text)
					o.whole("position", int64(i+1))
				})
			}
		})
	})
}

// A website tells of the handbook. What is empty is not told.
type website struct {
	address, name, description, lang, maker string
	search                                  string // address with a place for what is looked for
}

func (s *Build) website(f *Frame) website {
	w := website{address: s.Address, name: s.Title, description: s.About, lang: f.Lang, maker: s.Maker}
	if s.hasFinder() {
		w.search = absolute(s.Address, findPath) + "?q={search_term_string}"
	}
	return w
}

func (w website) write(o *jsonInk) {
	o.thing("", w.address, "WebSite", func() {
		o.anyText("description", w.description)
		o.anyText("inLanguage", w.lang)
		o.anyText("name", w.name)
		if w.search != "" {
			o.thing("potentialAction", "", "SearchAction", func() {
				o.text("query-input", "required name=search_term_string")
				o.thing("target", "", "EntryPoint", func() { o.text("urlTemplate", w.search) })
			})
		}
		if w.maker != "" {
			o.thing("publisher", "", "Organization", func() { o.text("name", w.maker) })
		}
		o.anyText("url", w.address)
	})
}

// tell adds what is known of one page to what is told of it: its day and its picture. It gives the page's thing.
func (s *Build) tell(f *Frame, p *handbook.Page) *webPage {
	if len(f.Things) == 0 {
		return &webPage{} // of which nothing is told
	}
	page := f.Things[0].(*webPage)
	if !s.teases(p) {
		page.modified = p.Updated
	}
	if p.Picture == nil {
		return page
	}
	at := absolute(s.Address, s.pictures[p.Picture.File])
	page.picture = &Picture{Href: at, Shows: p.Picture.Shows, Width: p.Picture.Width, Height: p.Picture.Height}
	if path.Ext(at) != ".svg" { // which most sites that show such pictures do not
		f.Image = page.picture
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
