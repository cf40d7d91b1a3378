package site

import "html/template"

// drawTrail draws the way to a page as the points of a list.
func drawTrail(trail []Link) template.HTML {
	k := newInk()
	for i := range trail {
		k.raw("\n<li>")
		k.leads(&trail[i])
		k.raw("</li>")
	}
	return k.html()
}

// drawLinks draws links in a row, with a dot between.
func drawLinks(links []Link) template.HTML {
	k := newInk()
	for i := range links {
		if i > 0 {
			k.raw(" · ")
		}
		k.leads(&links[i])
	}
	return k.html()
}

// leads writes a link as a template does.
func (k *ink) leads(to *Link) {
	k.raw(`<a href="`)
	k.address(to.Href)
	k.raw(`">`)
	k.value(to.Text)
	k.raw("</a>")
}
