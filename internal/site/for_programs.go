package site

import (
	"bytes"
	"path"
	"slices"

	"larkrow.example/stillroom/internal/handbook"
)

// forPrograms lists the files that programs read: the search, devices, and, in the edition for everyone, feed readers and
// search engines. Those that name full addresses are made where the handbook gives its own.
func (s *Build) forPrograms() []output {
	all := []output{
		{searchPath, func(*bytes.Buffer) ([]byte, error) { return searchJSON(s.everyEntry), nil }},
		{manifestPath, func(*bytes.Buffer) ([]byte, error) { return webManifest(s.manifestInfo()) }},
		{robotsPath, func(*bytes.Buffer) ([]byte, error) { return robots(s.Address, s.edition), nil }},
	}
	all = append(all, s.workerOutput()...)
	if s.Address == "" || s.edition != OpenEdition {
		return all
	}
	if s.feeds {
		all = append(all, output{feedPath, func(*bytes.Buffer) ([]byte, error) {
			return atomFeed(FeedInfo{Title: s.Title, About: s.About, Maker: s.Maker, Address: s.Address, Lang: s.words.Code()}, s.briefEntries())
		}})
	}
	return append(all, sitemap(s.Address, s.briefEntries())...)
}

// isForPrograms says whether a file may be one that programs read.
func isForPrograms(file string) bool {
	known := []string{searchPath, manifestPath, robotsPath, workerPath, feedPath}
	odd, _ := path.Match("sitemap*.xml", file)
	return odd || slices.Contains(known, file)
}

// hasFeed says whether the edition has a feed, which takes an address and a page with a date.
func (s *Build) hasFeed() bool {
	return s.Address != "" && s.edition == OpenEdition && slices.ContainsFunc(s.pages(), func(p *handbook.Page) bool { return p.Updated != nil && s.reaches(p) })
}

// largeMark is the largest drawn form of the mark.
const largeMark = "icon-512.png"

// icons are the forms of the mark that a theme may have, by their names in assets/.
var icons = []ManifestIcon{
	{Path: "mark.svg", Type: "image/svg+xml", Sizes: "any"},
	{Path: "icon-192.png", Type: "image/png", Sizes: "192x192"},
	{Path: largeMark, Type: "image/png", Sizes: "512x512"},
	{Path: "icon-512-maskable.png", Type: "image/png", Sizes: "512x512", Trim: true},
}

func (s *Build) manifestInfo() ManifestInfo {
	info := ManifestInfo{Title: s.Title, About: s.About, Lang: s.words.Code(), Dir: s.words.Direction(), Address: s.Address}
	for _, i := range icons {
		if i.Path = s.assets[i.Path]; i.Path != "" {
			info.Icons = append(info.Icons, i)
		}
	}
	return info
}
