package site

import (
	"html/template"

	"larkrow.example/stillroom/internal/words"
)

// drawEntries draws pages as the lines of a list. For a theme: points of class entry, with a div of class thumb where there is a picture and one of
// class words, in it paragraphs of the classes line (a link, a badge, a leader, a tag) and summary.
func drawEntries(cards []Card, l *words.Language) template.HTML {
	k := newInk()
	for i := range cards {
		c := &cards[i]
		k.openCard("entry", c)
		if c.Picture != nil {
			k.raw(`<div class="thumb">`)
			k.picture(c.Picture)
			k.raw("</div>")
		}
		k.raw("\n<div class=\"words\">\n<p class=\"line\">")
		k.lead(c)
		k.raw(" ")
		k.badge(c.Access, l)
		if c.Tag != "" {
			k.raw(` <span class="leader"></span> <span class="tag">`)
			k.value(c.Tag)
			k.raw("</span>")
		}
		k.raw("</p>")
		k.paragraph("summary", c.Summary)
		k.raw("\n</div>\n</li>\n")
	}
	return k.html()
}

// drawCards draws pages as cards. For a theme: points of class card, with a div of class plate for the picture, a heading, and paragraphs of the
// classes tag and summary.
func drawCards(cards []Card, l *words.Language) template.HTML {
	k := newInk()
	for i := range cards {
		c := &cards[i]
		k.openCard("card", c)
		k.raw("\n<div class=\"plate\">")
		if c.Picture != nil {
			k.picture(c.Picture)
		}
		k.raw("</div>\n<h2>")
		k.lead(c)
		if c.Access != "" {
			k.raw(" ")
			k.badge(c.Access, l)
		}
		k.raw("</h2>")
		k.paragraph("tag", c.Tag)
		k.paragraph("summary", c.Summary)
		k.raw("\n</li>\n")
	}
	return k.html()
}

// openCard opens the point of a list that stands for a page.
func (k *ink) openCard(class string, c *Card) {
	k.raw("\n<li class=\"")
	k.raw(class)
	k.raw(`"`)
	if c.Updated != "" {
		k.raw(` data-updated="`)
		k.value(c.Updated)
		k.raw(`"`)
	}
	k.raw(">")
}

// lead draws the link to a page.
func (k *ink) lead(c *Card) {
	k.raw(`<a href="`)
	k.address(c.Href)
	k.raw(`">`)
	k.value(c.Title)
	k.raw("</a>")
}

// paragraph draws a paragraph on a line of its own, and nothing where there is nothing to say.
func (k *ink) paragraph(class, s string) {
	if s == "" {
		return
	}
	k.raw("\n<p class=\"")
	k.raw(class)
	k.raw(`">`)
	k.value(s)
	k.raw("</p>")
}

// picture draws a picture.
func (k *ink) picture(p *Picture) {
	k.raw(`<img src="`)
	k.address(p.Href)
	k.raw(`" alt="`)
	k.value(p.Shows)
	k.raw(`"`)
	if p.Width != 0 {
		k.raw(` width="`)
		k.whole(p.Width)
		k.raw(`"`)
	}
	if p.Height != 0 {
		k.raw(` height="`)
		k.whole(p.Height)
		k.raw(`"`)
	}
	k.raw(` decoding="async">`)
}

// badge draws whom a page is for, where that is not everyone.
func (k *ink) badge(access string, l *words.Language) {
	switch access {
	case "members":
		k.raw(`<span class="badge">`)
		k.told(l, "access.members")
		k.raw("</span>")
	case "maker":
		k.raw(`<span class="badge">`)
		k.told(l, "access.maker")
		k.raw("</span>")
	}
	k.raw("\n")
}
