package site

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"slices"
	"strings"
	"time"
)

// FeedInfo is what a feed says of the handbook as a whole.
type FeedInfo struct {
	Title, About, Maker string
	Address             string // ends with /
	Lang                string
}

// feedLength is how many pages the feed tells of.
const feedLength = 30

// The shape of feed.xml, by RFC 4287.
type (
	feedFile struct {
		XMLName  xml.Name    `xml:"http://www.w3.org/2005/Atom feed"`
		Lang     string      `xml:"xml:lang,attr,omitempty"`
		ID       string      `xml:"id"`
		Title    string      `xml:"title"`
		Subtitle string      `xml:"subtitle,omitempty"`
		Updated  string      `xml:"updated"`
		Author   string      `xml:"author>name"`
		Links    []feedLink  `xml:"link"`
		Entries  []feedEntry `xml:"entry"`
	}

	feedEntry struct {
		ID       string        `xml:"id"`
		Title    string        `xml:"title"`
		Updated  string        `xml:"updated"`
		Link     feedLink      `xml:"link"`
		Category *feedCategory `xml:"category"`
		Summary  string        `xml:"summary,omitempty"`
	}

	feedLink struct {
		Rel  string `xml:"rel,attr"`
		Type string `xml:"type,attr"`
		Href string `xml:"href,attr"`
	}

	feedCategory struct {
		Term  string `xml:"term,attr"`
		Label string `xml:"label,attr"`
	}
)

// newest gives the pages that a feed tells of, the latest first. Those without a date are not among them.
func newest(entries []Entry) []*Entry {
	var dated []*Entry
	for i := range entries {
		if entries[i].Updated != nil {
			dated = append(dated, &entries[i])
		}
	}
	slices.SortStableFunc(dated, func(a, b *Entry) int { return b.Updated.Compare(*a.Updated) })
	return dated[:min(len(dated), feedLength)]
}

// atomFeed gives feed.xml: title and summary of the newest pages. A feed has to say when it last changed, so there is none, nil,
// where no page says when it was updated.
func atomFeed(f FeedInfo, entries []Entry) ([]byte, error) {
	latest := newest(entries)
	if len(latest) == 0 {
		return nil, nil
	}
	file := feedFile{
		Lang: f.Lang, ID: f.Address, Title: xmlText(f.Title), Subtitle: xmlText(f.About), Updated: feedTime(latest[0].Updated),
		Author: xmlText(cmp.Or(f.Maker, f.Title)),
		Links: []feedLink{
			{Rel: "self", Type: "application/atom+xml", Href: absolute(f.Address, feedPath)},
			{Rel: "alternate", Type: "text/html", Href: f.Address},
		},
	}
	for _, e := range latest {
		file.Entries = append(file.Entries, newFeedEntry(f.Address, e))
	}
	return encodeXML(file)
}

func newFeedEntry(address string, e *Entry) feedEntry {
	at := absolute(address, e.Path)
	file := feedEntry{
		ID: at, Title: cmp.Or(xmlText(e.Title), e.Path), Updated: feedTime(e.Updated),
		Link: feedLink{Rel: "alternate", Type: "text/html", Href: at}, Summary: xmlText(e.Summary),
	}
	if e.Members {
		file.Category = &feedCategory{Term: "members", Label: "for members"}
	}
	return file
}

// feedTime writes a day as RFC 3339 has it.
func feedTime(t *time.Time) string { return t.UTC().Format(time.RFC3339) }

// encodeXML writes a value as indented XML, ended by a line break.
func encodeXML(v any) ([]byte, error) {
	var buf bytes.Buffer
	buf.WriteString(xml.Header)
	enc := xml.NewEncoder(&buf)
	enc.Indent("", " ")
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	buf.WriteByte('\n')
	return buf.Bytes(), nil
}

// xmlText takes out of a text the characters that XML 1.0 (5th edition, production 2) has no way to write.
func xmlText(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t', r == '\n', r == '\r', r >= 0x20 && r <= 0xD7FF, r >= 0xE000 && r <= 0xFFFD, r >= 0x10000:
			return r
		}
		return -1
	}, s)
}
