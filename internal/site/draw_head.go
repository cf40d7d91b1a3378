package site

import "html/template"

// drawHead draws a page's title and what is told of it to search engines and where it is passed on: by the names of HTML's metadata and of the Open Graph
// protocol (from memory).
func drawHead(f *Frame) template.HTML {
	k := newInk()
	k.raw("<title>")
	k.value(f.Title)
	if f.Kind != "home" {
		k.raw(" · ")
		k.value(f.Handbook.Title)
	}
	k.raw("</title>")
	if f.Description != "" {
		k.meta("name", "description", f.Description)
	}
	if f.Canonical != "" {
		k.raw("\n<link rel=\"canonical\" href=\"")
		k.address(f.Canonical)
		k.raw(`">`)
	}
	if f.Public() {
		k.passedOn(f)
	}
	return k.html()
}

// passedOn draws what is shown of a page where it is passed on.
func (k *ink) passedOn(f *Frame) {
	kind := "article"
	if f.Kind == "home" {
		kind = "website"
	}
	k.meta("property", "og:type", kind)
	k.meta("property", "og:site_name", f.Handbook.Title)
	k.meta("property", "og:title", f.Title)
	k.meta("property", "og:url", f.Canonical)
	if f.Description != "" {
		k.meta("property", "og:description", f.Description)
	}
	if p := f.Image; p != nil {
		k.meta("property", "og:image", p.Href)
		k.meta("property", "og:image:alt", p.Shows)
		if p.Width != 0 && p.Height != 0 {
			k.metaWhole("og:image:width", p.Width)
			k.metaWhole("og:image:height", p.Height)
		}
	}
}

func (k *ink) openMeta(by, name string) {
	k.raw("\n<meta ")
	k.raw(by)
	k.raw(`="`)
	k.raw(name)
	k.raw(`" content="`)
}

func (k *ink) meta(by, name, content string) {
	k.openMeta(by, name)
	k.value(content)
	k.raw(`">`)
}

func (k *ink) metaWhole(name string, n int) {
	k.openMeta("property", name)
	k.whole(n)
	k.raw(`">`)
}
