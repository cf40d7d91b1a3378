package site

import (
	"bytes"
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/golden"
)

// The sitemap protocol's dates are those of the W3C's note on dates and times, of which a day alone is one.
var sitemapDate = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)

// sitemapFaults tells what the sitemap protocol 0.9 (sitemaps.org, from memory) forbids in a file under an address; it gives the addresses too.
func sitemapFaults(data []byte, root, item, address string) (faults, locs []string) {
	if len(data) > 50*1024*1024 {
		return []string{"more than 50 MB"}, nil
	}
	all, err := elements(data)
	if err != nil {
		return append(faults, err.Error()), nil
	}
	if all.name.Local != root || all.name.Space != "http://www.sitemaps.org/schemas/sitemap/0.9" {
		faults = append(faults, "the outermost element is "+all.name.Local)
	}
	if n := len(all.inner); n == 0 || n > 50_000 {
		return append(faults, fmt.Sprintf("%d addresses", n)), nil
	}
	told := func(format string, words ...any) { faults = append(faults, fmt.Sprintf(format, words...)) }
	for _, e := range all.inner {
		if e.name.Local != item || e.name.Space != all.name.Space || len(e.all("loc")) != 1 || len(e.all("lastmod")) > 1 || len(e.inner) != 1+len(e.all("lastmod")) {
			told("%s is not as it should be", e.name.Local)
		}
		loc := e.only("loc")
		locs = append(locs, loc)
		absoluteIRI(loc, told)
		if len(loc) >= 2048 || !strings.HasPrefix(loc, address) {
			told("%s is too long, or not under %s", loc, address)
		}
		if day := e.only("lastmod"); len(e.all("lastmod")) > 0 && !sitemapDate.MatchString(day) {
			told("%q is no day", day)
		}
	}
	return faults, locs
}

// part reads one file of addresses.
func part(t *testing.T, o output, address string) []string {
	t.Helper()
	data, err := o.bytes()
	require.NoError(t, err)
	faults, locs := sitemapFaults(data, "urlset", "url", address)
	assert.Empty(t, faults, o.path)
	return locs
}

func TestSitemap(t *testing.T) {
	t.Parallel()
	const address = "https://larkrow.example/handbook/"
	files := sitemap(address, larderEntries(t))
	require.Len(t, files, 1)
	assert.Equal(t, "sitemap.xml", files[0].path)
	data, err := files[0].bytes()
	require.NoError(t, err)
	golden.Equal(t, filepath.Join("testdata", "lists", sitemapPath), string(data))
	locs := part(t, files[0], address)
	assert.Equal(t, []string{address, address + "ingredients/index.html", address + "notes/index.html"}, locs[:3])
	assert.Len(t, locs, 3+len(larderEntries(t)))
}

func TestSitemapOfFew(t *testing.T) {
	t.Parallel()
	const address = "https://larkrow.example/a&b/"
	day := time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC)
	tests := map[string]struct {
		entries []Entry
		want    []string
	}{
		"none":        {nil, []string{address}},
		"a note":      {[]Entry{{Path: "notes/a/index.html", Kind: "note", Updated: &day}}, []string{address, address + "notes/index.html", address + "notes/a/index.html"}},
		"strange":     {[]Entry{{Path: "a b/<é&'\">.html"}}, []string{address, address + "a%20b/%3C%C3%A9&%27%22%3E.html"}},
		"just short":  {[]Entry{{Path: strings.Repeat("a", 2047-len(address))}}, []string{address, address + strings.Repeat("a", 2047-len(address))}},
		"too long":    {[]Entry{{Path: strings.Repeat("a", 2048-len(address))}}, []string{address}},
		"hidden home": {[]Entry{{Path: "404.html"}}, []string{address, address + "404.html"}},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			files := sitemap(address, test.entries)
			require.Len(t, files, 1)
			assert.Equal(t, test.want, part(t, files[0], address))
		})
	}
}

// What does not fit into one file is parted, and sitemap.xml leads to the parts: no page is lost, and each file keeps to both limits.
func TestSitemapOfMany(t *testing.T) {
	t.Parallel()
	const address = "https://larkrow.example/"
	tests := map[string]struct {
		entries []Entry
		parts   int // 1 for no index
	}{
		"as many as one holds": {manyPages(49_999), 1},
		"one more":             {manyPages(50_000), 2},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			files := sitemap(address, test.entries)
			if test.parts > 1 {
				data, err := files[0].bytes()
				require.NoError(t, err)
				faults, locs := sitemapFaults(data, "sitemapindex", "sitemap", address)
				assert.Empty(t, faults)
				files = files[1:]
				require.Len(t, locs, len(files))
				for i, loc := range locs {
					assert.Equal(t, loc, address+files[i].path)
				}
			}
			require.Len(t, files, test.parts)
			seen := map[string]bool{}
			for _, file := range files {
				data, err := file.bytes()
				require.NoError(t, err)
				assert.LessOrEqual(t, len(data), 50*1024*1024)
				assert.LessOrEqual(t, bytes.Count(data, []byte("<url>")), 50_000)
				for line := range strings.Lines(string(data)) {
					if strings.HasPrefix(line, "<url><loc>") {
						seen[line] = true
					}
				}
			}
			assert.Len(t, seen, len(test.entries)+1)
		})
	}
}

// However long the addresses are when written, as many of them as a file may hold are not more than 50 MB.
func TestSitemapLength(t *testing.T) {
	t.Parallel()
	for _, address := range []string{"https://larkrow.example/", "https://larkrow.example/" + strings.Repeat("&", 1000) + "/"} {
		for _, sign := range []string{"a", "&", "'", "é", "<"} {
			for _, n := range []int{1, 20, 60, 255, 300, 900} {
				pages := make([]Entry, 100)
				day := time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC)
				for i := range pages {
					pages[i] = Entry{Path: strings.Repeat(sign, n), Updated: &day}
				}
				whole, none := len(sitemapPart(address, pages)), len(sitemapPart(address, nil))
				length := sitemapLength(address, pages)
				assert.LessOrEqual(t, none+(whole-none)/len(pages)*length, 50*1024*1024, "%d of %s under %s", n, sign, address)
				assert.LessOrEqual(t, length, 50_000)
				assert.GreaterOrEqual(t, length, 5_000)
			}
		}
	}
}

// The rules find what is wrong.
func TestSitemapFaults(t *testing.T) {
	t.Parallel()
	const address = "https://larkrow.example/handbook/"
	good := string(sitemapPart(address, larderEntries(t)))
	faults, _ := sitemapFaults([]byte(good), "urlset", "url", address)
	require.Empty(t, faults)
	tests := map[string]struct{ old, new string }{
		"another host": {"https://larkrow.example/handbook/notes", "https://lark.example/handbook/notes"},
		"relative":     {"<loc>https://larkrow.example/handbook/notes", "<loc>notes"},
		"above":        {"https://larkrow.example/handbook/notes", "https://larkrow.example/notes"},
		"too long":     {"/notes/", "/" + strings.Repeat("n", 2048) + "/"},
		"no day":       {"<lastmod>2026-", "<lastmod>26-"},
		"two days":     {"<lastmod>", "<lastmod>2026-01-01</lastmod><lastmod>"},
		"no address":   {"<loc>" + address + "notes/shelving/index.html</loc>", ""},
		"an open &":    {"/notes/", "/&/"},
		"a space":      {"/notes/", "/n otes/"},
		"space of 0.8": {"/0.9", "/0.8"},
		"stranger":     {"<lastmod>", "<word/><lastmod>"},
		"many":         {"<url>", strings.Repeat("<url/>", 50_000) + "<url>"},
		"none":         {good[strings.Index(good, "<url>"):strings.LastIndex(good, "</urlset>")], ""},
		"too large":    {"<url>", strings.Repeat(" ", 50<<20) + "<url>"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			bad := strings.Replace(good, test.old, test.new, 1)
			require.NotEqual(t, good, bad)
			faults, _ := sitemapFaults([]byte(bad), "urlset", "url", address)
			assert.NotEmpty(t, faults)
			if name == "many" {
				assert.Contains(t, faults, "50007 addresses")
			}
		})
	}
}

func BenchmarkSitemap(b *testing.B) {
	entries := manyPages(10_000)
	b.ReportAllocs()
	for b.Loop() {
		for _, o := range sitemap("https://larkrow.example/handbook/", entries) {
			if _, err := o.bytes(); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// The files of the sitemap are listed whenever the files of an edition are.
func BenchmarkSitemapFiles(b *testing.B) {
	entries := manyPages(10_000)
	b.ReportAllocs()
	for b.Loop() {
		sitemap("https://larkrow.example/handbook/", entries)
	}
}
