package site

import (
	"image"
	"image/png"
	"maps"
	"math/bits"
	"math/rand/v2"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/seal"
)

// The members' recipe of testdata/leaks.txtar, its page and its file.
const (
	canaryNight     = "recipes/canaryanight/index.html"
	canaryNightFile = "recipes/canarytfolder/canaryanight.md"
)

// noise gives a picture that takes more than 64 KiB however it is packed.
func noise(t testing.TB) []byte {
	t.Helper()
	grey := image.NewGray(image.Rect(0, 0, 300, 300))
	chance := rand.NewChaCha8([32]byte{1})
	_, _ = chance.Read(grey.Pix)
	var b strings.Builder
	require.NoError(t, png.Encode(&b, grey))
	return []byte(b.String())
}

// A sealed thing has one of few sizes: a whole number of steps, which are 4096 bytes or, of what is larger than 64 KiB, between a sixteenth
// and an eighth of it.
func TestSealedSizes(t *testing.T) {
	source := edited(t, leakSource(t), canaryNightFile, "canarymcaution", "![Noise](../../pictures/noise.png)")
	source["pictures/noise.png"] = &fstest.MapFile{Data: noise(t)}
	files, key := sealedTree(t, source)
	boxes := openAll(t, files, key).boxes
	require.Greater(t, len(boxes), 15)
	large := 0
	for bound, box := range boxes {
		n := len(box) - 12 - 16 // nonce and tag
		step := 4096
		if n > 1<<16 {
			step = 1 << (bits.Len(uint(n/8)) - 2)
			large++
		}
		assert.Zero(t, n%step, "%s has %d bytes", bound, n)
	}
	assert.Equal(t, 1, large)
}

// differing names what is not the same in two sets of files.
func differing(a, b map[string]string) []string {
	all := map[string]bool{}
	for name := range a {
		if text, there := b[name]; !there || text != a[name] {
			all[name] = true
		}
	}
	for name := range b {
		if _, there := a[name]; !there {
			all[name] = true
		}
	}
	return slices.Sorted(maps.Keys(all))
}

// What changes in members' pages shows in no file's name, and in the bytes of those things alone that say it.
func TestSealedChanges(t *testing.T) {
	source := leakSource(t)
	before, key := sealedTree(t, source)
	boxes := openAll(t, before, key).boxes
	const beeswax, butter, sunflower = "ingredients/beeswax-yellow/index.html", "ingredients/canaryabutter/index.html", "ingredients/sunflower-oil/index.html"
	tests := map[string]struct {
		file, before, after string
		boxes               []string // by what they are bound to
		open                []string // other files
	}{
		"nothing": {"handbook.yaml", "title:", "title: ", nil, nil},
		"method":  {canaryNightFile, "canarymbody", "Another body, and more of it.", []string{canaryNight}, nil},
		"tools":   {canaryNightFile, "tools: [canarymtool, ", "tools: [", []string{canaryNight}, nil},
		"amount":  {canaryNightFile, "17.317 %", "18.317 %", []string{beeswax, butter, canaryNight}, nil},
		"ingredient that there is": {
			canaryNightFile, "      canarymline: 3 %\n", "      canarymline: 3 %\n      Sunflower oil: 2 %\n",
			[]string{butter, sunflower, canaryNight, searchPath},
			nil,
		},
		"words of the search": {canaryNightFile, "      canarymline: 3 %", "      canarymline: 3 %\n      canarymnew: 1 %", []string{butter, canaryNight, searchPath}, nil},
		"summary": {
			canaryNightFile, "A “canarytsümmary” it is", "Another",
			[]string{canaryNight, searchPath},
			[]string{feedPath, homePath, canaryNight, searchPath, "shelves/canarytshelf/index.html"},
		},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			after, key := sealedTree(t, edited(t, source, test.file, test.before, test.after))
			assert.Equal(t, slices.Sorted(maps.Keys(before)), slices.Sorted(maps.Keys(after)), "names of files")
			assert.Equal(t, test.boxes, differing(boxes, openAll(t, after, key).boxes))
			assert.Equal(t, test.open, differing(openFiles(before), openFiles(after)))
		})
	}
}

// openFiles gives the files that everyone can read, without what is sealed in them.
func openFiles(files map[string]string) map[string]string {
	open := map[string]string{}
	for name, text := range files {
		if path.Ext(name) != ".bin" && name != manifestFile {
			open[name] = sealedPart.ReplaceAllString(text, "")
		}
	}
	return open
}

// A picture, or an ingredient that only members' recipes take, is a sealed file of its own: that there is one more shows, and no more than that.
func TestSealedFilesAreCounted(t *testing.T) {
	source := leakSource(t)
	before, _ := sealedTree(t, source)
	for name, line := range map[string]string{"ingredient": "Mango butter: 1 %", "two": "Mango butter: 1 %\n      Castor oil: 1 %"} {
		after, _ := sealedTree(t, edited(t, source, canaryNightFile, "      canarymline: 3 %\n", "      canarymline: 3 %\n      "+line+"\n"))
		for file := range before {
			assert.Contains(t, after, file, name)
			delete(after, file)
		}
		assert.Len(t, slices.Sorted(maps.Keys(after)), strings.Count(line, ":"), name)
		for file := range after {
			assert.Regexp(t, `^sealed/[0-9a-z]{24}\.bin$`, file)
		}
	}
}

// After a member is removed every sealed thing has other bytes under the same name; neither key opens what the other sealed.
func TestSealedAnew(t *testing.T) {
	source := leakSource(t)
	lock := testLock(t)
	next := lockOf(t, lock.Door.NextEpoch(), 9)
	before, after := published(t, source, OpenEdition, &lock), published(t, source, OpenEdition, &next)
	assert.Equal(t, slices.Sorted(maps.Keys(before)), slices.Sorted(maps.Keys(after)))
	assert.Equal(t, []string{"sealed/ring.js"}, differing(openFiles(before), openFiles(after)))
	oldKey, newKey := lock.Door.ContentKey(), next.Door.ContentKey()
	old, anew := openAll(t, before, oldKey), openAll(t, after, newKey)
	assert.Equal(t, old.opened, anew.opened)
	require.NotEmpty(t, anew.boxes)
	for bound, box := range anew.boxes {
		assert.NotEqual(t, old.boxes[bound], box, bound)
		for _, kind := range []string{payloadType, mediaType(bound)} {
			_, err := oldKey.Open(bound, kind, []byte(box))
			assert.ErrorIs(t, err, seal.ErrDamaged, bound)
			_, err = newKey.Open(bound, kind, []byte(old.boxes[bound]))
			assert.ErrorIs(t, err, seal.ErrDamaged, bound)
		}
	}
}

// A sealed page opens to the page of the members' edition, byte for byte, with its downloads.
func TestSealedIsTheMembersEdition(t *testing.T) {
	source := leakSource(t)
	files, key := sealedTree(t, source)
	members := published(t, source, MembersEdition, nil)
	pages := 0
	for file, text := range unsealed(t, files, key) {
		if file != searchPath {
			assert.Equal(t, members[file], text, file)
			pages++
		}
	}
	require.Greater(t, pages, 10)
	for file, text := range members {
		if path.Ext(file) == ".html" && strings.Contains(text, `class="badge">for members`) && strings.Count(file, "/") == 2 && !strings.HasPrefix(file, "shelves/") {
			assert.Contains(t, unsealed(t, files, key), file)
		}
	}
}

// What members' and makers' pages leave in the open edition beside the teasers: links to the ones, plain words for the others.
func TestBesideTeasers(t *testing.T) {
	files, _ := sealedTree(t, leakSource(t))
	cream := files["recipes/canaryocream/index.html"]
	for _, link := range []string{
		`<a href="../../recipes/canaryanight/index.html#how">two</a>`, `<a href="../../ingredients/canaryabutter/index.html">three</a>`,
		`<a href="../../notes/canaryanote/index.html">five</a>`, `<a href="../../recipes/canaryosoap/index.html">eight</a>`, "See one,", "\nfour,", "six, seven and",
	} {
		assert.Contains(t, cream, link)
	}
	assert.Contains(t, files["ingredients/sunflower-oil/index.html"], `Used in <a href="../../recipes/canaryanight/index.html">the night version</a> and the trial.`)
	for file := range files {
		assert.NotContains(t, file, "canaryk")
	}
	assert.Contains(t, files["ingredients/sunflower-oil/index.html"], "Cream of canaryocreamtitle", "where it is used")
	assert.NotContains(t, files["ingredients/beeswax-yellow/index.html"], `class="used"`, "only members' recipes take it")
	assert.NotRegexp(t, "canary[tmk]", files["404.html"])

	cards := strings.Count(files[ingredientsPath], `class="entry`) + strings.Count(files[ingredientsPath], `class="card"`)
	counted := regexp.MustCompile(`(\d+) ingredients? described`).FindStringSubmatch(files[homePath])
	require.NotNil(t, counted)
	assert.Equal(t, strconv.Itoa(cards), counted[1], "teasers are counted as they are listed, what members alone know is not")
}

// What is worked out of an ingredient's page stands in no edition without that page, however it may be put together.
// Pages of ingredients that only members' recipes take are told of, and what teasers there are is counted.
func TestOnlyForMembers(t *testing.T) {
	recipe := func(access, weigh string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("---\ntitle: Salve of " + access + "\nproduct: balm\nshelf: Balms\naccess: " + access +
			"\nformula:\n  - phase: Melt\n    weigh: {" + weigh + "}\nbatches: [100 g]\n---\n")}
	}
	ingredient := func(name, more string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("---\nname: " + name + "\n" + more + "---\n")}
	}
	files := fstest.MapFS{
		"handbook.yaml":         {Data: []byte("title: Salves\nshelves: [Balms]\ndoor: sealed\n")},
		"recipes/one.md":        recipe("open", "Sorrel wax: 10 %, Teal oil: q.s."),
		"recipes/two.md":        recipe("members", "Sorrel wax: 5 %, Umber wax: 5 %, Heather oil: 1 %, Fir moss: 1 %, Shea butter: q.s."),
		"recipes/three.md":      recipe("maker", "Umber wax: 10 %, Mine alone: q.s."),
		"ingredients/sorrel.md": ingredient("Sorrel wax", ""),
		"ingredients/teal.md":   ingredient("Teal oil", ""),
		"ingredients/umber.md":  ingredient("Umber wax", ""),
		"ingredients/fir.md":    ingredient("Fir moss", "access: members\n"),
		"ingredients/hea.md":    ingredient("Heather oil", ""),
		"ingredients/mine.md":   ingredient("Mine alone", ""),
		"ingredients/unused.md": ingredient("Unused wax", ""),
	}
	b := bookIn(t, files)
	open := NewBuild(b, OpenEdition, defaultTheme(t))
	var got []string
	for _, i := range open.OnlyForMembers() {
		got = append(got, i.Title)
	}
	assert.ElementsMatch(t, []string{"Umber wax", "Heather oil"}, got)
	assert.Equal(t, 2, open.Teasers())
	assert.Zero(t, NewBuild(b, MembersEdition, defaultTheme(t)).Teasers())
}

func TestWithheld(t *testing.T) {
	source := leakSource(t)
	members := published(t, source, MembersEdition, nil)
	open, _ := sealedTree(t, source)
	cream, bar := "recipes/canaryocream/", "recipes/canaryosoap/"
	for name, files := range map[string]map[string]string{"open": open, "members": members} {
		version := readFormula(t, files[cream+"formula.json"]).Versions[0]
		assert.Empty(t, version.Listed.EU+version.Listed.US, name)
		assert.Empty(t, version.Contains, name)
		assert.Nil(t, version.Emulsion, name)
		assert.NotContains(t, files[cream+"index.html"], `class="label`, name)
	}
	assert.Nil(t, readFormula(t, open[bar+"formula.json"]).Versions[0].Soap)
	assert.NotContains(t, open[bar+"index.html"], "Superfat")
	require.NotNil(t, readFormula(t, members[bar+"formula.json"]).Versions[0].Soap, "members have the butter's page")
	assert.Contains(t, members[bar+"index.html"], "Superfat")

	found := map[string]string{}
	for _, f := range readFormula(t, open[cream+"formula.json"]).Versions[0].Findings {
		found[f.Code+" "+f.Subject] = strings.Join([]string{f.Level, f.Value, f.Limit, f.Market, f.Source, f.Accepted}, "|")
	}
	assert.Equal(t, "stop|||||canaryoreason", found["above-legal-maximum Canaryo keeper"], "the level and the reason stay")
	assert.Equal(t, "note|||||", found["allergen-to-declare Canaryo scent"], "once, whatever it brings")
	assert.Contains(t, found, "hot canaryowater (75 °C) and canaryooil (75 °C)", "what rests on the formula alone is told")

	b := bookIn(t, source)
	assert.Equal(t, map[string]bool{"canaryabutter": true, "canarytkeeper": true, "canarykscent": true, "canarykbinder": true}, NewBuild(b, OpenEdition, defaultTheme(t)).secret,
		"Allantoin's page says nothing of it that the catalogue does not")
	assert.Equal(t, map[string]bool{"canarykscent": true, "canarykbinder": true}, NewBuild(b, MembersEdition, defaultTheme(t)).secret)
	assert.Empty(t, NewBuild(b, MakerEdition, defaultTheme(t)).secret)
}
