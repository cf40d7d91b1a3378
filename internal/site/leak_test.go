package site

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/seal"
)

// mark begins every marked word of testdata/leaks.txtar; the sign after it is the word's kind.
const mark = "canary"

var markedWord = regexp.MustCompile(`(?i)canary[oatmkn][\p{L}\p{N}&]*`)

// Figures and words of testdata/leaks.txtar without a mark, by kind. Each stands there and, for what is not open, in nothing that is.
var unmarked = map[string][]string{
	"m": {
		"17.317", "3.0717", "0.1217", "2.3171", "617.3", "57.17", "21.717", "2.717", "72 °c / 161 °f", "71.9 °c", "17 months", "2 hours 51 minutes", "37 hours", // Canarytwörd&night
		"6.171", "517.3", // its soap
		"70.171", "1.717", "0.9171", "37.17", "42 °c / 107 °f", "3.9171", "5 months", "7.3171", "171.317", "47.317", // Canaryo butter
		"71.371", "2.7171", "5.171", // Canaryo keeper
		"farnesol", "chlorphenesin", "candelilla", "euphorbia cerifera", "lip balm", "17 february 2026", "11 february 2026", "2026-02-11",
	},
	"k": {
		"125.17", "881.72", "1070.06", "987.61", "876.54", "765.43", "2031-07-19", "2033-08-23", "2031-09-19", "2033-09-23",
		"2.9171", "4.1717", "717.3", "59.17", "2026-03-11", "17 march 2026", "carnauba", "copernicia cerifera", "foot cream", // the trial
		"0.3371", "0.3171", "0.3271", "0.0371", "3.3171", "12.371", "0.1171", "eugenol", // Canaryo scent
		"20.1717", "241.717", "5.7171", "5 january 2032", "5 february 2032", // the batch records
		"10.1371", "62 °c / 143 °f", place, // Canaryo binder, a photograph
	},
	"d": {"2026-02-17"},                                              // of a teaser
	"n": {"43.9191", "87.1717", "88.1717", "89.1717", "2.171 per 1"}, // which show as sums alone
}

// A tree is what a build gives one circle of readers.
type tree struct {
	name  string
	files map[string]string
	kinds string // of the words that may stand in it
	each  string // of the kinds of which every word does
}

// teasing are the files in which words of teasers may stand: the teasers, what lists pages, pictures, and the list of files.
var teasing = regexp.MustCompile(`^((index|sealed/index|find/index)\.html|(shelves|notes|ingredients|recipes)/(canary[at][^/]*/|shelf-t/)?index\.html|shelves/canarytshelf/index\.html|search\.json|feed\.xml|sitemap.*\.xml|pictures/.*canaryt.*|\.stillroom\.json)$`)

// A known leak is one that is meant.
type knownLeak struct{ tree, word, file, why string }

var knownLeaks = []knownLeak{
	{"sealed door", "2026-02-17", feedPath, feedDays},
	{"folder door", "2026-02-17", feedPath, feedDays},
	{"sealed door", "2026-02-17", sitemapPath, feedDays},
	{"folder door", "2026-02-17", sitemapPath, feedDays},
}

const feedDays = "readers of the feed learn that there is a new page for members, and so the day; search engines may know it, too"

func TestNothingLeaks(t *testing.T) {
	source := leakSource(t)
	kinds := leakWords(t, source)
	scan := newScanner(kinds)
	held := bookIn(t, source).HeldBack(MembersEdition)
	for _, h := range held[1:] {
		t.Error(h.Recipe.File, h.Stops)
	}
	sealed, key := sealedTree(t, source)
	all := []tree{
		{"no door", published(t, withDoor(t, source, ""), OpenEdition, nil), "o", "o"},
		{"sealed door", sealed, "oat", "oat"},
		{"folder door", published(t, withDoor(t, source, "door: {kind: folder, address: \"https://canaryolower.example/\"}"), OpenEdition, nil), "oat", "oat"},
		{"members", published(t, withDoor(t, source, "door: folder"), MembersEdition, nil), "oatmd", "oatmd"},
		{"unsealed", unsealed(t, sealed, key), "oatm", "m"},
		{"maker", published(t, source, MakerEdition, nil), "oatmdk", "oatmdk"},
	}
	used := map[knownLeak]bool{}
	for _, tree := range all {
		t.Run(tree.name, func(t *testing.T) {
			t.Logf("%d files", len(tree.files))
			seen := map[string]bool{}
			for file, text := range tree.files {
				for word := range scan.in(file + "\n" + text) {
					seen[word] = true
					if allowed(tree, kinds[word], file) {
						continue
					}
					if i := slices.IndexFunc(knownLeaks, func(k knownLeak) bool { return k.tree == tree.name && k.word == word && k.file == file }); i >= 0 {
						used[knownLeaks[i]] = true
						continue
					}
					t.Errorf("%s stands in %s: %s", word, file, around(text, word))
				}
			}
			for word, kind := range kinds {
				if strings.Contains(tree.each, kind) {
					assert.True(t, seen[word], "%s stands nowhere, and the scan proves nothing of it", word)
				}
			}
		})
	}
	for _, k := range knownLeaks {
		assert.True(t, used[k], "%v does not happen any more: take it off the list", k)
	}
}

// allowed says whether a word of a kind may stand in a file of a tree.
func allowed(tree tree, kind, file string) bool {
	if !strings.Contains(tree.kinds, kind) {
		return false
	}
	return kind != "t" || strings.Contains(tree.kinds, "m") || teasing.MatchString(file)
}

// around gives what stands around a word, for the eyes of whoever mends it.
func around(text, word string) string {
	i := strings.Index(smallLetters(text), word)
	if i < 0 {
		return "in another spelling"
	}
	return fmt.Sprintf("%q", text[max(0, i-90):min(len(text), i+len(word)+30)])
}

// leakSource gives the handbook with its pictures.
func leakSource(t testing.TB) fstest.MapFS {
	source := filesIn(t, "leaks.txtar")
	for name, data := range map[string][]byte{
		"pictures/canaryopicture.jpg": photograph(t, "canarykopen"), "recipes/canarytfolder/canarytphoto.jpg": photograph(t, "canarykphoto"),
		"pictures/canarymshown.png": screenshot(t, "canarykshown"), "pictures/canarytbutter.png": screenshot(t, "canarykbutterpicture"),
	} {
		source[name] = &fstest.MapFile{Data: data}
	}
	return source
}

// withDoor gives the handbook with another line for its door.
func withDoor(t testing.TB, source fstest.MapFS, line string) fstest.MapFS {
	t.Helper()
	return edited(t, source, "handbook.yaml", "door: sealed", line)
}

// edited gives the handbook with other words in a file, where they stand once.
func edited(t testing.TB, source fstest.MapFS, file, before, after string) fstest.MapFS {
	t.Helper()
	text := string(source[file].Data)
	require.Equal(t, 1, strings.Count(text, before), "%q in %s", before, file)
	changed := maps.Clone(source)
	changed[file] = &fstest.MapFile{Data: []byte(strings.Replace(text, before, after, 1))}
	return changed
}

// leakWords gives all marked words, figures and other words with their kinds.
func leakWords(t testing.TB, source fstest.MapFS) map[string]string {
	kinds := map[string]string{}
	for name, file := range source {
		for _, view := range views(string(file.Data), 1) {
			for _, word := range markedWord.FindAllString(name+"\n"+view+"\n"+strings.ReplaceAll(view, "\x00", ""), -1) { // as some words are in UTF-16
				word = strings.ToLower(word)
				kinds[word] = word[len(mark) : len(mark)+1]
			}
		}
	}
	for kind, words := range unmarked {
		for _, word := range words {
			kinds[word] = kind
		}
	}
	counts := map[string]int{}
	for _, kind := range kinds {
		counts[kind]++
	}
	for kind, least := range map[string]int{"o": 25, "a": 3, "t": 15, "m": 90, "k": 90, "n": 7} {
		require.GreaterOrEqual(t, counts[kind], least, kind)
	}
	return kinds
}

// published builds an edition and gives its files by path, as they lie in the folder.
func published(t testing.TB, source fstest.MapFS, edition Edition, lock *Lock) map[string]string {
	t.Helper()
	read := func(file string) ([]byte, error) { return fs.ReadFile(source, file) }
	book, problems := Skim(source, nil, edition)
	require.Zero(t, problems.Len())
	build := NewBuild(book, edition, defaultTheme(t))
	if lock != nil {
		build.Seal(*lock, read)
	}
	dir := t.TempDir()
	tree, err := OpenTree(dir, edition)
	require.NoError(t, err)
	_, err = build.Write(t.Context(), tree, nil, read, func() {})
	require.NoError(t, err)
	require.NoError(t, tree.Close())
	return filesOf(t, dir)
}

// constantly is a source of chance for tests: always the same byte.
type constantly byte

func (c constantly) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(c)
	}
	return len(p), nil
}

// testLock gives a door that is the same in every run, with one member.
func testLock(t testing.TB) Lock {
	t.Helper()
	door, err := seal.NewDoor(constantly(7), 1)
	require.NoError(t, err)
	return lockOf(t, door, 7)
}

// lockOf gives a door with one member.
func lockOf(t testing.TB, door seal.Door, seed byte) Lock {
	t.Helper()
	code, err := seal.NewCode(constantly(seed))
	require.NoError(t, err)
	ring, err := door.Ring([]seal.Member{door.Admit(code)})
	require.NoError(t, err)
	return Lock{door, ring}
}

func sealedTree(t testing.TB, source fstest.MapFS) (map[string]string, seal.ContentKey) {
	lock := testLock(t)
	return published(t, source, OpenEdition, &lock), lock.Door.ContentKey()
}

// The parts of a page that say where sealed things are.
var (
	sealedPart = regexp.MustCompile(`<script type="text/plain" id="sealed-page" data-type="([^"]*)" data-path="([^"]*)">([^<]*)</script>`)
	sealedPage = regexp.MustCompile(` data-page="([^"]*)" data-path="([^"]*)"`)
	sealedList = regexp.MustCompile(` data-sealed="([^"]*)"`)
)

// An opener opens the sealed things of an edition as a reader does, from one to the next.
type opener struct {
	t      testing.TB
	files  map[string]string
	key    seal.ContentKey
	opened map[string]string // by path; lone pages by their names
	boxes  map[string]string // path → what is sealed, of all that was opened
}

// unsealed opens everything that is sealed in an edition, and sees that no sealed file is left over.
func unsealed(t testing.TB, files map[string]string, key seal.ContentKey) map[string]string {
	t.Helper()
	all := map[string]string{}
	for bound, text := range openAll(t, files, key).opened {
		var p payload
		if json.Unmarshal([]byte(text), &p) != nil || p.Page == "" {
			all[bound] = text
			continue
		}
		all[p.Path] = p.Page
		for name, file := range p.Files {
			all[path.Join(path.Dir(p.Path), name)] = file
		}
	}
	return all
}

func openAll(t testing.TB, files map[string]string, key seal.ContentKey) *opener {
	t.Helper()
	o := &opener{t, files, key, map[string]string{}, map[string]string{}}
	read := map[string]bool{}
	for file, text := range files {
		if path.Ext(file) != ".html" || file == "404.html" { // whose addresses are whole
			continue
		}
		for _, m := range sealedPart.FindAllStringSubmatch(text, -1) {
			box, err := base64.StdEncoding.DecodeString(m[3])
			require.NoError(t, err, file)
			require.Equal(t, file, html.UnescapeString(m[2]))
			o.open(file, m[1], string(box))
		}
		for _, m := range sealedPage.FindAllStringSubmatch(text, -1) {
			o.file(path.Join(path.Dir(file), m[1]), html.UnescapeString(m[2]), payloadType, read)
		}
		for _, m := range sealedList.FindAllStringSubmatch(text, -1) {
			o.file(path.Join(path.Dir(file), m[1]), searchPath, payloadType, read)
		}
	}
	for more := true; more; {
		more = false
		for _, text := range o.opened {
			var p payload
			if json.Unmarshal([]byte(text), &p) != nil {
				continue
			}
			for to, picture := range p.Pictures {
				more = o.file(picture.Name, to, picture.Type, read) || more
			}
			for _, name := range p.Pages {
				more = o.file(sealedFolder+name+".bin", name, payloadType, read) || more
			}
		}
	}
	for file := range files {
		if strings.HasSuffix(file, ".bin") {
			assert.True(t, read[file], "nothing leads to %s", file)
		}
	}
	return o
}

// file opens a sealed file; false where that was done before.
func (o *opener) file(file, bound, kind string, read map[string]bool) bool {
	if read[file] {
		return false
	}
	read[file] = true
	box, there := o.files[file]
	require.True(o.t, there, "%s, for %s", file, bound)
	o.open(bound, kind, box)
	return true
}

func (o *opener) open(bound, kind, box string) {
	plain, err := o.key.Open(bound, kind, []byte(box))
	require.NoError(o.t, err, bound)
	require.Empty(o.t, o.opened[bound], bound)
	o.opened[bound], o.boxes[bound] = string(plain), box
}
