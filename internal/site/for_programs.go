package site

import (
	"path"
	"slices"

	"larkrow.example/stillroom/internal/handbook"
)

// forPrograms lists the files that programs read: the search, devices, and, in the edition for everyone, feed readers and
// search engines. Those that name full addresses are made where the handbook gives its own.
func (s *Build) forPrograms() []output {
	all := []output{
		{searchPath, func() ([]byte, error) { return searchJSON(s.everyEntry()) }},
		{manifestPath, func() ([]byte, error) { return webManifest(s.manifestInfo()) }},
		{robotsPath, func() ([]byte, error) { return robots(s.Address, s.edition), nil }},
	}
	all = append(all, s.workerOutput()...)
	if s.Address == "" || s.edition != OpenEdition {
		return all
	}
	if s.feeds {
		all = append(all, output{feedPath, func() ([]byte, error) {
			return atomFeed(FeedInfo{Title: s.Title, About: s.About, Maker: s.Maker, Address: s.Address, Lang: "en"}, s.everyEntry())
		}})
	}
	return append(all, sitemap(s.Address, s.everyEntry())...)
}

// isForPrograms says whether a file may be one that programs read.
func isForPrograms(file string) bool {
	known := []string{searchPath, manifestPath, robotsPath, workerPath, feedPath}
	odd, _ := path.Match("sitemap*.xml", file)
	return odd || slices.Contains(known, file)
}

// everyEntry lists the edition's pages, and its teasers.
func (s *Build) everyEntry() []Entry {
	s.entriesOnce.Do(func() {
		s.allEntries = s.entries()
		for _, t := range s.teasers {
			e := s.pageEntry(t.page)
			e.Shelf, e.Teaser = t.shelf, true
			s.allEntries = append(s.allEntries, e)
		}
	})
	return s.allEntries
}

// hasFeed says whether the edition has a feed, which takes an address and a page with a date.
func (s *Build) hasFeed() bool {
	return s.Address != "" && s.edition == OpenEdition && slices.ContainsFunc(s.pages(), func(p *handbook.Page) bool { return p.Updated != nil && s.reaches(p) })
}

func (s *Build) manifestInfo() ManifestInfo {
	info := ManifestInfo{Title: s.Title, About: s.About, Lang: "en"}
	if mark := s.assets["mark.svg"]; mark != "" {
		info.Icons = []ManifestIcon{{Path: mark, Type: "image/svg+xml", Sizes: "any"}}
	}
	return info
}
