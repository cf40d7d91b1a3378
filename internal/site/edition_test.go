package site

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The marked words of testdata/canaries.txtar, and the figures that stand for the maker's prices and dates.
var (
	canary        = regexp.MustCompile(`canary[mkn][a-z]*`)
	makersFigures = []string{"987.61", "876.54", "2031-07-19", "2033-08-23"}
)

// canariesOf gives every marked word in the names and bytes of some files.
func canariesOf(files map[string]string) []string {
	seen := map[string]bool{}
	for name, text := range files {
		for _, word := range canary.FindAllString(strings.ToLower(name+"\n"+text), -1) {
			seen[word] = true
		}
		for _, figure := range makersFigures {
			if strings.Contains(text, figure) {
				seen[figure] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// No byte of what an edition is not for is in it: not in a page, a list, a table, a file's name or the list of files.
func TestEditionsKeepSilent(t *testing.T) {
	source := filesIn(t, "canaries.txtar")
	all := map[string]string{}
	for name, file := range source {
		all[name] = string(file.Data)
	}
	having := func(letters string) (words []string) {
		for _, word := range canariesOf(all) {
			kind := "k" // the figures are the maker's
			if canary.MatchString(word) {
				kind = word[len("canary"):][:1]
			}
			if strings.Contains(letters, kind) {
				words = append(words, word)
			}
		}
		return words
	}
	require.Greater(t, len(having("m")), 30)
	require.Greater(t, len(having("k")), 30)
	tests := []struct {
		edition Edition
		shows   []string
	}{
		{OpenEdition, nil}, {MembersEdition, having("m")}, {MakerEdition, having("mk")},
	}
	for _, test := range tests {
		t.Run(string(test.edition), func(t *testing.T) {
			dir := t.TempDir()
			buildInto(t, source, test.edition, dir)
			assert.Equal(t, test.shows, canariesOf(filesOf(t, dir)))
		})
	}
}

// Links to what the edition leaves out are plain words; in the maker's own they lead there.
func TestLinksToWhatIsLeftOut(t *testing.T) {
	source := filesIn(t, "canaries.txtar")
	open, mine := t.TempDir(), t.TempDir()
	buildInto(t, source, OpenEdition, open)
	buildInto(t, source, MakerEdition, mine)
	const note, recipe = "notes/open-note/index.html", "recipes/open-balm/index.html"
	o, m := filesOf(t, open), filesOf(t, mine)

	assert.Contains(t, o[note], "<p>Read the members' note and the maker's too.</p>")
	assert.Contains(t, m[note], `<a href="../../notes/canarymnote/index.html#part">the members' note</a>`)
	assert.Contains(t, o[recipe], "See the trial, the night version, the butter,\nthe scent, their notes and mine.")
	assert.Contains(t, m[recipe], `<a href="../../recipes/canarymbalm/index.html#how">the night version</a>`)
	assert.Contains(t, o[recipe], "Secret butter", "a formula names what it is made of")
	assert.Contains(t, o[recipe], `href="../../ingredients/plain-oil/index.html"`)
	assert.NotContains(t, o["ingredients/plain-oil/index.html"], "<h2>Private", "no empty heading where the maker's facts stand")
}

// An ingredient whose page the edition has not is known in formula.json by what the recipe calls it.
func TestFormulaFileNamesNoHiddenPage(t *testing.T) {
	source := filesIn(t, "canaries.txtar")
	for edition, id := range map[Edition]string{OpenEdition: "secret-butter", MembersEdition: "canarymbutterfile", MakerEdition: "canarymbutterfile"} {
		dir := t.TempDir()
		buildInto(t, source, edition, dir)
		version := readFormula(t, filesOf(t, dir)["recipes/open-balm/formula.json"]).Versions[0]
		assert.Equal(t, id, version.Items[2].Ingredient, edition)
		assert.Equal(t, id, version.Batches[0].Items[2].Ingredient, edition)
	}
}

func TestParseEdition(t *testing.T) {
	for _, name := range []string{"open", "members", "maker"} {
		e, err := ParseEdition(name)
		require.NoError(t, err)
		assert.Equal(t, name, string(e))
	}
	for _, name := range []string{"", "Open", "makers", "public"} {
		_, err := ParseEdition(name)
		assert.ErrorContains(t, err, "open, members or maker", name)
	}
}

func TestHeldBack(t *testing.T) {
	b := bookIn(t, filesIn(t, "canaries.txtar"))
	for edition, want := range map[Edition][]string{OpenEdition: {"held-back"}, MembersEdition: {"held-back"}, MakerEdition: nil} {
		var got []string
		for _, h := range b.HeldBack(edition) {
			got = append(got, h.Recipe.Slug)
			assert.Equal(t, "total-not-100", h.Stops[0].Code)
		}
		assert.Equal(t, want, got, edition)
	}
	assert.Len(t, NewBuild(b, OpenEdition, defaultTheme(t)).LeftOut(), 6)
	assert.Len(t, NewBuild(b, MembersEdition, defaultTheme(t)).LeftOut(), 3)
	assert.Empty(t, NewBuild(b, MakerEdition, defaultTheme(t)).LeftOut())
}
