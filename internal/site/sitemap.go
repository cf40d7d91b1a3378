package site

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"slices"
	"time"

	"larkrow.example/stillroom/internal/handbook"
)

// What one file may hold, by the sitemap protocol 0.9 of sitemaps.org.
const (
	sitemapSpace   = "http://www.sitemaps.org/schemas/sitemap/0.9"
	sitemapURLs    = 50_000
	sitemapBytes   = 50 << 20
	sitemapAddress = 2048 // an address is shorter than this
)

// sitemap gives the files that tell search engines of the edition's pages: sitemap.xml, which is an index of the others where
// one file may not hold all.
func sitemap(address string, entries []Entry) []output {
	pages := mapped(entries)
	parts := slices.Collect(slices.Chunk(pages, sitemapLength(address, pages)))
	if len(parts) == 1 {
		return []output{{sitemapPath, func(*bytes.Buffer) ([]byte, error) { return sitemapPart(address, pages), nil }}}
	}
	all := []output{{sitemapPath, func(*bytes.Buffer) ([]byte, error) { return sitemapIndex(address, len(parts)), nil }}}
	for i, part := range parts {
		all = append(all, output{sitemapPartPath(i), func(*bytes.Buffer) ([]byte, error) { return sitemapPart(address, part), nil }})
	}
	return all
}

// mapped puts the lists that lead to the pages before them.
func mapped(entries []Entry) []Entry {
	of := func(kind handbook.PageKind) func(Entry) bool {
		return func(e Entry) bool { return e.Kind == string(kind) }
	}
	pages := []Entry{{Path: homePath}}
	if slices.ContainsFunc(entries, of(handbook.IngredientPage)) {
		pages = append(pages, Entry{Path: ingredientsPath})
	}
	if slices.ContainsFunc(entries, of(handbook.NotePage)) {
		pages = append(pages, Entry{Path: notesPath})
	}
	return append(pages, entries...)
}

// sitemapLength gives how many addresses a file may surely hold, the longest path being as long as it is.
func sitemapLength(address string, pages []Entry) int {
	const (
		aroundAll = 200 // bytes at most
		aroundOne = len("<url><loc></loc><lastmod>2006-01-02</lastmod></url>\n")
		asURL     = len("%C3")
		asXML     = len("&amp;")
	)
	longest := 0
	for _, e := range pages {
		longest = max(longest, len(e.Path))
	}
	longest = min(len(address)+asURL*longest, sitemapAddress)
	return min(sitemapURLs, (sitemapBytes-aroundAll)/(aroundOne+asXML*longest))
}

func sitemapPartPath(i int) string { return fmt.Sprintf("sitemap-%d.xml", i+1) }

// sitemapPart writes one file of addresses. One that is too long is left out.
func sitemapPart(address string, pages []Entry) []byte {
	var buf bytes.Buffer
	buf.WriteString(xml.Header + `<urlset xmlns="` + sitemapSpace + `">` + "\n")
	for _, e := range pages {
		at := absolute(address, e.Path)
		if len(at) >= sitemapAddress {
			continue
		}
		buf.WriteString("<url><loc>")
		xml.EscapeText(&buf, []byte(at)) //nolint:errcheck // a buffer takes everything
		buf.WriteString("</loc>")
		if e.Updated != nil {
			buf.WriteString("<lastmod>" + e.Updated.Format(time.DateOnly) + "</lastmod>")
		}
		buf.WriteString("</url>\n")
	}
	buf.WriteString("</urlset>\n")
	return buf.Bytes()
}

// sitemapIndex writes the file that leads to a number of others.
func sitemapIndex(address string, parts int) []byte {
	var buf bytes.Buffer
	buf.WriteString(xml.Header + `<sitemapindex xmlns="` + sitemapSpace + `">` + "\n")
	for i := range parts {
		buf.WriteString("<sitemap><loc>")
		xml.EscapeText(&buf, []byte(absolute(address, sitemapPartPath(i)))) //nolint:errcheck // a buffer takes everything
		buf.WriteString("</loc></sitemap>\n")
	}
	buf.WriteString("</sitemapindex>\n")
	return buf.Bytes()
}
