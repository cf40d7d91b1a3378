package handbook

import (
	"net/url"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v4"
)

// A Video is a film elsewhere that a page links to.
type Video struct {
	Address string // begins with https://
	Title   string // "" if not given
}

// Host gives the name of the site where the video is, in small letters.
func (v Video) Host() string {
	u, err := url.Parse(v.Address)
	if err != nil {
		return ""
	}
	return strings.ToLower(u.Hostname())
}

// video reads the field video: an address, or {address, title}; nil where there is none, or one with a problem.
func (d *document) video(n *yaml.Node) *Video {
	if n == nil {
		return nil
	}
	v, address := Video{}, n
	if n.Kind == yaml.MappingNode {
		m, ok := d.mapping(n, "video:", []string{"address", "title"})
		if !ok {
			return nil
		}
		address, v.Title = m.need("address", "video:", "write it as video: {address: "+someVideo+", title: …}"), m.words("title")
	}
	s, ok := d.text(address)
	if !ok {
		return nil
	}
	if message := unlinked(s); message != "" {
		d.problems.Addf(d.span(address), "write the video's whole address, such as "+someVideo, "%s", message)
		return nil
	}
	v.Address = s
	return &v
}

const someVideo = "https://video.example/stirring"

// unlinked says why a page cannot link to an address; "" where it can. The host must read as browsers take it, since pages tell its name.
func unlinked(s string) string {
	u, err := url.Parse(s)
	switch {
	case err == nil && u.Scheme == "http":
		return "the address does not begin with https://, so that others could see or change what is sent"
	case err != nil || u.Scheme != "https" || u.Hostname() == "" || u.User != nil ||
		strings.ContainsAny(s, `"'<>\`) || strings.ContainsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || !unicode.IsGraphic(r) }):
		return "this is no web address"
	case strings.ContainsFunc(u.Hostname(), notOfHost):
		return "“" + u.Hostname() + "” is no name of a site"
	}
	return ""
}

// notOfHost says whether a character is none that a site's name can have.
func notOfHost(r rune) bool {
	return r != '-' && r != '.' && !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r)
}
