package site

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// benchOf gives the web with lots and batch records; more files take the place of its own, an empty one takes one away.
func benchOf(more map[string]string) fstest.MapFS {
	files := map[string]string{
		"ingredients/hedge.md": "---\nname: Hedge oil\nprice: 8 per kg\nlots: [{lot: H-1, opened: 2026-01-05, expires: 2027-01-31, holds: 100 g}]\n---\nGreen.\n",
		"batches/eo-1.md":      "---\nbatch: EO-1\nrecipe: elbow-oil\nsize: 100 g\nmade: 2026-06-01\nby: WH\nweighed:\n  Hedge oil: {target: 90.0 g, weighed: 95.1 g, lot: H-1, note: Slipped.}\n  Castor oil: {weighed: 10.0 g, lot: C<1>}\nyield: 99 g\n---\nSee [heat](../notes/heat.md).\n",
		"batches/gb-1.md":      "---\nbatch: GB-1\nrecipe: gate-balm\nsize: 50 g\n---\nFor the fair.\n",
	}
	maps.Copy(files, more)
	return webOf(files)
}

// Batches and stock have pages in the maker's edition, and in no other is a word of them.
func TestRecordPages(t *testing.T) {
	t.Parallel()
	source := benchOf(nil)
	for _, edition := range []Edition{OpenEdition, MembersEdition} {
		build := NewProof(bookIn(t, source), edition, defaultTheme(t))
		for _, file := range build.Paths() {
			data, found, err := build.Page(file, func(name string) ([]byte, error) { return []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`), nil })
			require.NoError(t, err)
			require.True(t, found, file)
			assert.NotRegexp(t, `(?i)EO-1|GB-1|H-1|C<1|Slipped|95\.1|batches/|stock/`, file+string(data), "%s edition, %s", edition, file)
		}
		for _, file := range []string{"batches/index.html", "batches/eo-1/index.html", "stock/index.html"} {
			_, found, err := build.Page(file, nil)
			assert.NoError(t, err)
			assert.False(t, found, file)
			assert.Empty(t, build.Source(file))
		}
	}
	mine := NewProof(bookIn(t, source), MakerEdition, defaultTheme(t))
	page := func(file string) string {
		data, found, err := mine.Page(file, nil)
		require.NoError(t, err)
		require.True(t, found, file)
		checkPage(t, string(data))
		return string(data)
	}
	record := page("batches/eo-1/index.html")
	for _, words := range []string{
		"<td>90.0</td><td>95.1</td><td>&#43;5.1 <span class=\"mark caution\">off</span></td><td class=\"lots\">H-1</td>", "Slipped.", "C&lt;1&gt;",
		`<a href="../../recipes/elbow-oil/index.html">Elbow oil</a>`, `<a href="../../notes/heat/index.html">heat</a>`, "7.2.3", "94.2\u00a0% of what was weighed", "no safety assessment",
	} {
		assert.Contains(t, record, words)
	}
	list := page("batches/index.html")
	assert.Less(t, strings.Index(list, "Planned"), strings.Index(list, "Made"))
	assert.Contains(t, list, `<a href="../batches/eo-1/index.html">EO-1</a>`)
	stock := page("stock/index.html")
	assert.Contains(t, stock, "<td>100</td><td>95.1</td><td>4.9</td>", "held, used, left")
	assert.Contains(t, stock, "<td>30.1</td><td>0.24</td>", "35 g are needed for the balm, and 4.9 g are there")
	assert.Contains(t, page("index.html"), `<a href="./stock/index.html">Stock</a>`)
	assert.Equal(t, "batches/eo-1.md", mine.Source("batches/eo-1/index.html"))
	assert.Empty(t, mine.Source("batches/index.html"))
	assert.Contains(t, page("ingredients/hedge/index.html"), "opened 2026-01-05, expires 2027-01-31, held 100\u00a0g")
}

// Lots alone make a page on stock; nothing makes neither.
func TestStockWithoutRecords(t *testing.T) {
	t.Parallel()
	paths := func(more map[string]string) []string {
		build := NewProof(bookIn(t, benchOf(more)), MakerEdition, defaultTheme(t))
		return slices.DeleteFunc(build.Paths(), func(file string) bool {
			return !strings.HasPrefix(file, "batches") && !strings.HasPrefix(file, "stock")
		})
	}
	none := map[string]string{"batches/eo-1.md": "", "batches/gb-1.md": ""}
	assert.Equal(t, []string{"stock/index.html"}, paths(none))
	none["ingredients/hedge.md"] = "---\nname: Hedge oil\n---\nGreen.\n"
	assert.Empty(t, paths(none))
	assert.ElementsMatch(t, []string{"batches/index.html", "stock/index.html", "batches/gb-1/index.html"}, paths(map[string]string{"batches/eo-1.md": "", "ingredients/hedge.md": none["ingredients/hedge.md"]}))
}

func TestDependsOnRecords(t *testing.T) {
	t.Parallel()
	lists := what{"batches/index.html": Lists, "stock/index.html": Lists}
	plus := func(more what) what {
		all := maps.Clone(lists)
		maps.Copy(all, more)
		return all
	}
	for _, row := range []struct {
		name    string
		edition Edition
		file    string
		want    what
	}{
		{"a record", MakerEdition, "batches/eo-1.md", plus(what{"batches/eo-1/index.html": Itself, "recipes/elbow-oil/index.html": UsedBy, "ingredients/hedge/index.html": UsedBy, "ingredients/castor-oil/index.html": UsedBy})},
		{"the folder", MakerEdition, "batches", plus(what{
			"batches/eo-1/index.html": Itself, "batches/gb-1/index.html": Itself, "recipes/elbow-oil/index.html": UsedBy, "recipes/gate-balm/index.html": UsedBy,
			"ingredients/hedge/index.html": UsedBy, "ingredients/castor-oil/index.html": UsedBy, "ingredients/candelilla-wax/index.html": UsedBy,
		})},
		{"its recipe", MakerEdition, "recipes/gate-balm.md", plus(what{
			"recipes/gate-balm/index.html": Itself, "batches/gb-1/index.html": Uses, "index.html": Lists, "shelves/balms/index.html": Lists, "find/index.html": Lists,
			"ingredients/hedge/index.html": UsedBy, "ingredients/candelilla-wax/index.html": UsedBy,
		})},
		{"a material", MakerEdition, "ingredients/hedge.md", plus(what{
			"ingredients/hedge/index.html": Itself, "batches/eo-1/index.html": Uses, "batches/gb-1/index.html": Uses,
			"recipes/elbow-oil/index.html": Uses, "recipes/gate-balm/index.html": Uses, "ingredients/index.html": Lists, "find/index.html": Lists, "ingredients/unused/index.html": LinksTo,
			"ingredients/castor-oil/index.html": UsedBy, "ingredients/candelilla-wax/index.html": UsedBy,
		})},
		{"a material of no batch", MakerEdition, "ingredients/unused.md", what{"ingredients/unused/index.html": Itself, "ingredients/index.html": Lists, "find/index.html": Lists}},
		{"a note that a record links to", MakerEdition, "notes/heat.md", what{
			"notes/heat/index.html": Itself, "notes/index.html": Lists, "index.html": Lists, "recipes/gate-balm/index.html": LinksTo, "batches/eo-1/index.html": LinksTo,
		}},
		{"a record, among the open pages", OpenEdition, "batches/eo-1.md", what{}},
		{"a record, among the members' pages", MembersEdition, "batches/eo-1.md", what{}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			build := NewProof(bookIn(t, benchOf(nil)), row.edition, defaultTheme(t))
			all := build.DependsOn(row.file)
			assert.Equal(t, row.want, what(how(all)))
			for i, d := range all {
				assert.Contains(t, build.Paths(), d.Path)
				assert.False(t, d.How == Itself && i > 0 && all[i-1].How != Itself, "those that are written in the files come first")
			}
		})
	}
}

// A record whose recipe means something else by a change to another file is told, too.
func TestAffectedRecords(t *testing.T) {
	t.Parallel()
	fsys := benchOf(nil)
	reader := handbook.NewReader(fsys)
	h, problems := reader.Read(handbook.Everything)
	book := Prepare(h, problems)
	require.Empty(t, problems.All())
	before := NewProof(book, MakerEdition, defaultTheme(t))
	fsys["ingredients/ours.md"] = &fstest.MapFile{Data: []byte("---\nname: Castor oil\nprice: 4 per kg\n---\nOurs.\n")}
	h, problems = reader.Read(handbook.Files("ingredients/ours.md"))
	after := NewProof(book.Renew(h, problems), MakerEdition, before.theme)
	told := how(Affected(before, after, "ingredients/ours.md"))
	assert.Equal(t, Uses, told["batches/eo-1/index.html"])
	assert.Equal(t, Lists, told["stock/index.html"])
	assert.NotContains(t, told, "batches/gb-1/index.html")
}

// The pages of a recipe and of an ingredient tell of the batches made of them, the latest first, and these lead back.
func TestBatchesAreTold(t *testing.T) {
	t.Parallel()
	source := benchOf(map[string]string{
		"batches/eo-2.md": "---\nbatch: EO-2\nrecipe: elbow-oil\nsize: 100 g\nmade: 2026-07-01\nweighed:\n  Hedge oil: {weighed: 90.0 g, lot: H-1}\n  Castor oil: {weighed: 10.0 g}\nchecked: {by: WH, on: 2026-07-02, passed: yes}\n---\nClear.\n",
		"batches/eo-3.md": "---\nbatch: EO-3\nrecipe: elbow-oil\nsize: 50 g\n---\n",
	})
	mine := NewProof(bookIn(t, source), MakerEdition, defaultTheme(t))
	page := func(file string) string {
		data, found, err := mine.Page(file, nil)
		require.NoError(t, err)
		require.True(t, found, file)
		checkPage(t, string(data))
		return string(data)
	}
	recipe := page("recipes/elbow-oil/index.html")
	inOrder(t, recipe, `id="part--made"`, `<a href="../../batches/eo-3/index.html">EO-3</a> <span class="of">50 g</span>`, "planned",
		`<a href="../../batches/eo-2/index.html">EO-2</a> <span class="of">100 g</span>`, "made 2026-07-01", `<span class="badge">released</span>`,
		`<a href="../../batches/eo-1/index.html">EO-1</a>`, "made 2026-06-01", "99 g came out", `<span class="badge">not released</span>`)
	assert.NotContains(t, recipe, "GB-1", "a batch of another recipe")
	hedge := page("ingredients/hedge/index.html")
	inOrder(t, hedge, "EO-2</a>", "Elbow oil, 100 g", "90 g from lot H-1", "EO-1</a>", "95.1 g from lot H-1")
	assert.Contains(t, hedge, `<a href="../../batches/gb-1/index.html">GB-1</a>`, "a batch that is to take it")
	for _, file := range []string{"batches/eo-2/index.html", "batches/eo-1/index.html"} {
		assert.Contains(t, page(file), `href="../../recipes/elbow-oil/index.html"`)
		assert.Contains(t, page(file), `href="../../ingredients/hedge/index.html"`)
	}
	bare := NewProof(bookIn(t, webOf(nil)), MakerEdition, defaultTheme(t))
	data, _, err := bare.Page("recipes/elbow-oil/index.html", nil)
	require.NoError(t, err)
	assert.NotContains(t, string(data), "part--made")
}

// inOrder wants words in a text, each after the one before.
func inOrder(t *testing.T, text string, all ...string) {
	t.Helper()
	for _, words := range all {
		at := strings.Index(text, words)
		require.GreaterOrEqual(t, at, 0, "%s, after what came before", words)
		text = text[at+len(words):]
	}
}

// The page on stock counts as the command does, by the latest day in the records: a lot past its date covers nothing, and no share is made up.
func TestStockByTheLatestDay(t *testing.T) {
	t.Parallel()
	source := benchOf(map[string]string{
		"ingredients/hedge.md": "---\nname: Hedge oil\nprice: 8 per kg\nlots: [{lot: H-1, expires: 2026-05-31, holds: 100 g}, {lot: H-2, holds: 60 g}, {lot: H-3, holds: 50 g}]\n---\nGreen.\n",
		"batches/eo-1.md":      "---\nbatch: EO-1\nrecipe: elbow-oil\nsize: 100 g\nmade: 2026-06-01\nby: WH\nweighed:\n  Hedge oil: {target: 90.0 g, weighed: 90.0 g, lot: [H-2, H-3]}\n  Castor oil: {weighed: 1 oz, lot: C-1}\nyield: 99 g\n---\n",
	})
	mine := NewProof(bookIn(t, source), MakerEdition, defaultTheme(t))
	page := func(file string) string {
		data, found, err := mine.Page(file, nil)
		require.NoError(t, err)
		require.True(t, found, file)
		checkPage(t, string(data))
		return string(data)
	}
	stock := page("stock/index.html")
	assert.Contains(t, stock, "past its date on 2026-06-01, the latest day in the records")
	assert.Regexp(t, `H-1 .*past its date`, stock)
	assert.Contains(t, stock, "90 g from H-2 or H-3 in EO-1: not told how much from each")
	assert.Contains(t, stock, "<td>60</td><td>not told</td><td>at most 60</td>")
	assert.Contains(t, stock, "<td>15</td><td>0.12</td>", "35 g are needed for the balm, and of 110 g in date 20 are left")
	assert.Contains(t, page("batches/eo-1/index.html"), "<td>28.350</td><td>&#43;18.350", "an ounce, as far as three places")
}

// What is wrong with a batch as it was weighed stands beside its release, and above on its page.
func TestListTellsStops(t *testing.T) {
	t.Parallel()
	source := benchOf(map[string]string{
		"batches/eo-1.md": "---\nbatch: EO-1\nrecipe: elbow-oil\nsize: 100 g\nmade: 2027-06-01\nby: WH\nweighed:\n  Hedge oil: {weighed: 90.0 g, lot: H-1, note: Tested.}\n  Castor oil: {weighed: 10 g, lot: C-1}\n  Bergamot essential oil, cold pressed: {weighed: 20 g, lot: B-1}\nchecked: {by: AB, on: 2027-06-02, passed: yes}\n---\n",
		"batches/eo-2.md": "---\nbatch: EO-2\nrecipe: knee-salve-of-old\nsize: 100 g\nmade: 2026-05-01\nweighed:\n  Castor oil: {target: 10 g}\n---\n",
	})
	mine := NewProof(bookIn(t, source), MakerEdition, defaultTheme(t))
	page := func(file string) string {
		data, found, err := mine.Page(file, nil)
		require.NoError(t, err)
		require.True(t, found, file)
		checkPage(t, string(data))
		return string(data)
	}
	list := page("batches/index.html")
	assert.Regexp(t, `good until 2027-01-31 <span class="mark caution">before it was made</span> <span class="badge">released</span> <span class="mark stop">\d stops? as weighed</span>`, list)
	assert.Contains(t, list, "knee-salve-of-old, 100 g", "a recipe that is gone is named as the record names it")
	batch := page("batches/eo-1/index.html")
	assert.Less(t, strings.Index(batch, "may not be used, though it was released"), strings.Index(batch, `id="head--weighed"`))
	assert.Contains(t, batch, "The batch was past its date on the day on which it was made")
}

// An amount may be named by another name of its material.
func TestAmountByAnotherName(t *testing.T) {
	t.Parallel()
	source := webOf(map[string]string{
		"ingredients/hedge.md": "---\nname: Hedge oil\nalso: [lane oil]\n---\nGreen.\n",
		"recipes/lane-balm.md": "---\ntitle: Lane balm\nproduct: balm\nshelf: Balms\nformula:\n  - phase: All\n    weigh: {Lane oil: 60 %, Castor oil: 40 %}\nbatches: [50 g]\n---\nTake :amount[Hedge oil].\n",
	})
	data, found, err := NewProof(bookIn(t, source), OpenEdition, defaultTheme(t)).Page("recipes/lane-balm/index.html", nil)
	require.NoError(t, err)
	require.True(t, found)
	assert.Regexp(t, `Take <span class="amount"><span class="[^"]*" data-items="0"><span class="[^"]*">30.0 g`, string(data))
}
