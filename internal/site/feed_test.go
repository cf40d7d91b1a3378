package site

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/mmcdole/gofeed"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/golden"
)

// An element is a piece of an XML file as read.
type element struct {
	name  xml.Name
	attrs map[xml.Name]string
	text  string
	inner []*element
}

// elements reads an XML file into its outermost element.
func elements(data []byte) (*element, error) {
	dec, open := xml.NewDecoder(bytes.NewReader(data)), []*element{{}}
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		in := open[len(open)-1]
		switch token := token.(type) {
		case xml.StartElement:
			e := &element{name: token.Name, attrs: map[xml.Name]string{}}
			for _, a := range token.Attr {
				e.attrs[a.Name] = a.Value
			}
			in.inner, open = append(in.inner, e), append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			in.text += string(token)
		}
	}
	if len(open[0].inner) != 1 || strings.TrimSpace(open[0].text) != "" {
		return nil, errors.New("an XML file has one outermost element")
	}
	return open[0].inner[0], nil
}

// all gives the elements of a name that are directly within this one.
func (e *element) all(name string) []*element {
	return slices.DeleteFunc(slices.Clone(e.inner), func(i *element) bool { return i.name.Local != name })
}

// only gives the text of the one element of a name, "" where there is none.
func (e *element) only(name string) string {
	if found := e.all(name); len(found) > 0 {
		return found[0].text
	}
	return ""
}

func (e *element) attr(name string) string { return e.attrs[xml.Name{Local: name}] }

const atomSpace = "http://www.w3.org/2005/Atom"

// What RFC 4287 lets stand in the elements that we write (4.1.1, 4.1.2, 4.2.1, 4.2.2, 4.2.7, 3.2), and how often: 1 once, ? at most once, * any number.
var atomForm = map[string]map[string]byte{
	"feed": {
		"author": '*', "category": '*', "contributor": '*', "generator": '?', "icon": '?', "id": '1', "link": '*', "logo": '?', "rights": '?',
		"subtitle": '?', "title": '1', "updated": '1', "entry": '*',
	},
	"entry": {
		"author": '*', "category": '*', "content": '?', "contributor": '*', "id": '1', "link": '*', "published": '?', "rights": '?', "source": '?',
		"summary": '?', "title": '1', "updated": '1',
	},
	"author": {"name": '1', "uri": '?', "email": '?'},
	"id":     {}, "title": {}, "subtitle": {}, "summary": {}, "updated": {}, "link": {}, "category": {}, "name": {},
}

// A date of RFC 3339 as RFC 4287, 3.3 has it: with capital T and Z.
var atomDate = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d+)?(Z|[+-]\d{2}:\d{2})$`)

// feedFaults tells what RFC 4287 forbids in a feed.
func feedFaults(data []byte) []string {
	root, err := elements(data)
	if err != nil {
		return []string{err.Error()}
	}
	var faults []string
	told := func(format string, words ...any) { faults = append(faults, fmt.Sprintf(format, words...)) }
	if root.name.Local != "feed" {
		told("the outermost element is %s", root.name.Local)
	}
	atomShape(root, told)
	if len(root.all("author")) == 0 {
		told("the feed has no author") // 4.1.1: unless all its entries have
	}
	if !slices.ContainsFunc(root.all("link"), func(l *element) bool { return l.attr("rel") == "self" }) {
		told("the feed does not say where it is from") // 4.1.1: should
	}
	ids := map[string]bool{root.only("id"): true}
	for _, e := range root.all("entry") {
		if id := e.only("id"); ids[id] {
			told("the id %s stands twice", id) // 4.1.1 with 4.2.6
		} else {
			ids[id] = true
		}
		if len(e.all("content")) == 0 && !slices.ContainsFunc(e.all("link"), func(l *element) bool { return l.attr("rel") == "alternate" }) {
			told("an entry has neither content nor page") // 4.1.2
		}
	}
	return faults
}

// atomShape tells of elements that may not stand where they do, and of what they may not hold.
func atomShape(e *element, told func(string, ...any)) {
	form, known := atomForm[e.name.Local]
	if e.name.Space != atomSpace || !known {
		told("%s %s is no element of ours", e.name.Space, e.name.Local)
	}
	for name, times := range form {
		if n := len(e.all(name)); times == '1' && n != 1 || times == '?' && n > 1 {
			told("%s has %d of %s", e.name.Local, n, name)
		}
	}
	pages := map[string]bool{}
	for _, in := range e.inner {
		if form[in.name.Local] == 0 {
			told("%s stands in %s", in.name.Local, e.name.Local)
		}
		if in.name.Local == "link" && in.attr("rel") == "alternate" {
			if kind := in.attr("type"); pages[kind] {
				told("%s has two pages of type %s", e.name.Local, kind) // 4.1.1 and 4.1.2
			} else {
				pages[kind] = true
			}
		}
		atomShape(in, told)
	}
	atomValue(e, told)
}

// atomValue tells of a text that is none of those that its element may have.
func atomValue(e *element, told func(string, ...any)) {
	switch e.name.Local {
	case "id":
		absoluteIRI(e.text, told)
	case "updated":
		if _, err := time.Parse(time.RFC3339, e.text); err != nil || !atomDate.MatchString(e.text) {
			told("%q is no date", e.text)
		}
	case "link":
		absoluteIRI(e.attr("href"), told)
		if !regexp.MustCompile(`^[a-z]+/[a-z+.-]+$`).MatchString(e.attr("type")) {
			told("%q is no media type", e.attr("type"))
		}
	case "title", "name":
		if strings.TrimSpace(e.text) == "" {
			told("%s is empty", e.name.Local) // 4.1.1.1: of an entry it is advisable that it is not
		}
	case "category":
		if e.attr("term") == "" {
			told("a category has no term")
		}
	}
}

// absoluteIRI tells of what is no absolute address by RFC 3987, 2.2: with a scheme and a host, and without signs that none may have.
func absoluteIRI(s string, told func(string, ...any)) {
	u, err := url.Parse(s)
	if err != nil || !u.IsAbs() || u.Host == "" || strings.ContainsAny(s, " <>\"{}|\\^`\t\r\n") {
		told("%q is no absolute address", s)
	}
}

var larkrowFeed = FeedInfo{
	Title: "The Larkrow stillroom", About: "The working formulas of a small stillroom.", Maker: "Larkrow stillroom", Address: "https://larkrow.example/handbook/", Lang: "en",
}

func feedOf(t testing.TB, f FeedInfo, entries []Entry) []byte {
	t.Helper()
	data, err := atomFeed(f, entries)
	require.NoError(t, err)
	return data
}

func TestAtomFeed(t *testing.T) {
	t.Parallel()
	data := feedOf(t, larkrowFeed, append(hostilePages(), buildOf(t, larder(), OpenEdition).entries()...))
	golden.Equal(t, filepath.Join("testdata", "lists", feedPath), string(data))
	assert.Empty(t, feedFaults(data))

	root, err := elements(data)
	require.NoError(t, err)
	assert.Equal(t, "https://larkrow.example/handbook/", root.only("id"))
	assert.Equal(t, "2026-06-30T00:00:00Z", root.only("updated"))
	assert.Equal(t, "en", root.attrs[xml.Name{Space: "http://www.w3.org/XML/1998/namespace", Local: "lang"}])
	var days []string
	for _, e := range root.all("entry") {
		days = append(days, e.only("updated"))
		assert.Equal(t, e.only("id"), e.all("link")[0].attr("href"))
	}
	assert.Len(t, days, len(hostileWords)+2, "pages without a date are left out")
	assert.True(t, slices.IsSortedFunc(days, func(a, b string) int { return strings.Compare(b, a) }), "newest first: %v", days)
}

// What XML 1.0 cannot write is left out of a text; all else reaches the reader as it is.
func TestAtomText(t *testing.T) {
	t.Parallel()
	want := map[string]string{
		hostileWords[4]: "abcd\x7fe\u0085f", "\xff\xfe broken \xc3": "\ufffd\ufffd broken \ufffd", "\ufffe\uffff\ufdd0": "\ufdd0",
	}
	root, err := elements(feedOf(t, larkrowFeed, hostilePages()))
	require.NoError(t, err)
	entries := root.all("entry")
	require.Len(t, entries, len(hostileWords))
	for i, word := range hostileWords {
		text, changed := want[word]
		if !changed {
			text = word
		}
		assert.Equal(t, text, entries[i].only("title"), "%q", word)
		assert.Equal(t, "Of "+text, entries[i].only("summary"), "%q", word)
		assert.Len(t, entries[i].all("category"), map[bool]int{true: 1}[i%5 == 0], "members' pages are marked")
	}
}

func TestAtomFeedOfFew(t *testing.T) {
	t.Parallel()
	day := time.Date(2026, 5, 3, 23, 0, 0, 0, time.FixedZone("", -3*60*60))
	tests := map[string]struct {
		info    FeedInfo
		entries []Entry
		has     []string
		hasNot  []string
	}{
		"no page":      {larkrowFeed, nil, nil, nil},
		"no date":      {larkrowFeed, []Entry{{Path: "a", Title: "A"}}, nil, nil},
		"no maker":     {FeedInfo{Title: "T & T", Address: "http://h/"}, []Entry{{Path: "a", Title: "A", Updated: &day}}, []string{"<name>T &amp; T</name>"}, []string{"lang", "subtitle"}},
		"no summary":   {larkrowFeed, []Entry{{Path: "a", Title: "A", Updated: &day}}, []string{"<title>A</title>"}, []string{"<summary", "<category"}},
		"no title":     {larkrowFeed, []Entry{{Path: "a/é", Title: "\x01", Updated: &day}}, []string{"<title>a/é</title>", "handbook/a/%C3%A9</id>"}, nil},
		"another zone": {larkrowFeed, []Entry{{Path: "a", Title: "A", Updated: &day}}, []string{"<updated>2026-05-04T02:00:00Z</updated>"}, nil},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			data := feedOf(t, test.info, test.entries)
			if test.has == nil {
				assert.Nil(t, data)
				return
			}
			assert.Empty(t, feedFaults(data))
			for _, text := range test.has {
				assert.Contains(t, string(data), text)
			}
			for _, text := range test.hasNot {
				assert.NotContains(t, string(data), text)
			}
		})
	}
}

// The feed tells of the 30 newest pages; of those of one day, of the first in the order of the handbook.
func TestNewest(t *testing.T) {
	t.Parallel()
	entries := manyPages(6001)
	before := slices.Clone(entries)
	var got []string
	for _, e := range newest(entries) {
		got = append(got, e.Path)
	}
	var want []string
	for day := 1999; day >= 1990; day-- {
		for _, i := range []int{day, day + 2000, day + 4000} {
			want = append(want, entries[i].Path)
		}
	}
	assert.Equal(t, want, got)
	assert.Equal(t, before, entries, "the entries are left as they are")
}

// The rules find what is wrong: each change makes a good feed a bad one.
func TestFeedFaults(t *testing.T) {
	t.Parallel()
	good := string(feedOf(t, larkrowFeed, larderEntries(t)))
	require.Empty(t, feedFaults([]byte(good)))
	id := "<id>https://larkrow.example/handbook/notes/shelving/index.html</id>"
	tests := map[string]struct{ old, new, fault string }{
		"no id":             {id, "", "entry has 0 of id"},
		"two ids":           {id, id + id, "entry has 2 of id"},
		"an id twice":       {"/notes/shelving/index.html</id>", "/recipes/plain/index.html</id>", "stands twice"},
		"a relative id":     {"<id>https://larkrow.example/handbook/notes", "<id>notes", "no absolute address"},
		"a space in an id":  {"/notes/shelving/index.html</id>", "/a b</id>", "no absolute address"},
		"a relative link":   {`href="https://larkrow.example/handbook/notes`, `href="notes`, "no absolute address"},
		"a day alone":       {"T00:00:00Z</updated>", "</updated>", "no date"},
		"a small t":         {"T00:00:00Z</updated>", "t00:00:00Z</updated>", "no date"},
		"no zone":           {"T00:00:00Z</updated>", "T00:00:00</updated>", "no date"},
		"no author":         {" <author>\n  <name>Larkrow stillroom</name>\n </author>\n", "", "no author"},
		"no title":          {"<title>Shelving</title>", "", "entry has 0 of title"},
		"an empty title":    {"<title>Shelving</title>", "<title> </title>", "title is empty"},
		"no link of itself": {`rel="self"`, `rel="related"`, "where it is from"},
		"no page":           {`<link rel="alternate" type="text/html" href="https://larkrow.example/handbook/notes`, `<link rel="related" type="text/html" href="https://larkrow.example/handbook/notes`, "neither content nor page"},
		"another space":     {"2005/Atom", "2005/atom", "no element of ours"},
		"an open &":         {"Shelving<", "Shelving &<", "XML syntax error"},
		"a control sign":    {"Shelving<", "Shelving\x07<", "XML syntax error"},
		"a strange element": {"<title>Shelving", "<words>w</words><title>Shelving", "words"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			bad := strings.Replace(good, test.old, test.new, 1)
			require.NotEqual(t, good, bad)
			assert.Contains(t, strings.Join(feedFaults([]byte(bad)), "\n"), test.fault)
		})
	}
}

func larderEntries(t testing.TB) []Entry { return buildOf(t, larder(), OpenEdition).entries() }

// A reader that is not ours finds in the feed what was put into it.
func TestAtomFeedIsReadElsewhere(t *testing.T) {
	t.Parallel()
	entries := hostilePages()
	feed, err := gofeed.NewParser().Parse(bytes.NewReader(feedOf(t, larkrowFeed, entries)))
	require.NoError(t, err)
	assert.Equal(t, "atom", feed.FeedType)
	assert.Equal(t, "1.0", feed.FeedVersion)
	assert.Equal(t, larkrowFeed.Title, feed.Title)
	assert.Equal(t, larkrowFeed.About, feed.Description)
	assert.Equal(t, larkrowFeed.Address, feed.Link)
	assert.Equal(t, larkrowFeed.Address+"feed.xml", feed.FeedLink)
	require.Len(t, feed.Authors, 1)
	assert.Equal(t, larkrowFeed.Maker, feed.Authors[0].Name)
	require.Len(t, feed.Items, len(entries))
	for i, item := range feed.Items {
		e := entries[i]
		assert.Equal(t, strings.TrimSpace(xmlText(e.Title)), item.Title)
		assert.Equal(t, strings.TrimSpace(xmlText(e.Summary)), item.Description)
		assert.Equal(t, larkrowFeed.Address+e.Path, item.GUID)
		assert.Equal(t, larkrowFeed.Address+e.Path, item.Link)
		require.NotNil(t, item.UpdatedParsed)
		assert.True(t, e.Updated.Equal(*item.UpdatedParsed))
	}
}

// Whatever the words are, every list can be read, and says what was put into it.
func FuzzLists(f *testing.F) {
	for i, word := range hostileWords {
		f.Add(word, hostileWords[len(hostileWords)-1-i], "recipes/a/index.html")
	}
	f.Add("", "", "recipes/a b&c'\"<é/index.html")
	f.Fuzz(func(t *testing.T, title, summary, path string) {
		if path == homePath {
			t.Skip("the home page is no entry")
		}
		day := time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC)
		entries := []Entry{{Path: path, Title: title, Summary: summary, Words: []string{title}, Kind: "recipe", Updated: &day}}
		data := searchJSON(oneByOne(entries))
		got := searched(t, data)
		require.Len(t, got, 1)
		assert.Equal(t, []string{jsonText(path), jsonText(title), jsonText(summary), jsonText(title)}, []string{got[0].Path, got[0].Title, got[0].Summary, got[0].Words[0]})

		root, err := elements(feedOf(t, larkrowFeed, entries))
		require.NoError(t, err)
		e := root.all("entry")[0]
		assert.Equal(t, xmlText(summary), e.only("summary"))
		if want := xmlText(title); want != "" {
			assert.Equal(t, want, e.only("title"))
		}
		absoluteIRI(e.only("id"), func(format string, words ...any) { t.Errorf(format, words...) })

		u, err := url.Parse(e.only("id"))
		require.NoError(t, err)
		assert.Equal(t, "/handbook/"+path, u.Path)
	})
}

func BenchmarkAtomFeed(b *testing.B) {
	entries := manyPages(10_000)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := atomFeed(larkrowFeed, entries); err != nil {
			b.Fatal(err)
		}
	}
}
