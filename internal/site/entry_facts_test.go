package site

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What the finder is told: versions with what they take, a material without a page by its name alone, and of food allergens the difference
// between none and nothing said.
func TestEntryFacts(t *testing.T) {
	t.Parallel()
	list := func(edition Edition) map[string]searchEntry {
		data := searchJSON(buildOf(t, filesIn(t, "find.txtar"), edition).everyEntry)
		all := map[string]searchEntry{}
		for _, e := range searched(t, data) {
			all[strings.Split(e.Path, "/")[1]] = e
		}
		return all
	}
	open := list(OpenEdition)
	orchard := open["orchard-balm"]
	assert.Equal(t, "leave-on", orchard.Category)
	assert.Equal(t, "90", orchard.Minutes.String())
	assert.Equal(t, []string{"almond-oil-sweet", "candelilla-wax", "olive-oil", "argan-oil"}, orchard.Takes)
	assert.Equal(t, []searchVersion{
		{Name: "As written", Takes: []int{0, 1}}, {Name: "From olives", Takes: []int{2, 1}}, {Name: "From argan", Takes: []int{3, 1}},
	}, orchard.Versions)
	assert.Empty(t, open["cliff-oil"].Minutes)
	assert.Equal(t, []string{"argan-oil"}, open["cliff-oil"].Takes)
	assert.Equal(t, []searchVersion{{Name: "As written", Takes: []int{0}, Others: []string{"Attic drops"}}}, open["cliff-oil"].Versions)
	assert.NotContains(t, open, "attic-drops")
	assert.Empty(t, open["moth-salve"].Versions, "of a teaser nothing is told")
	assert.Empty(t, open["moth-salve"].Takes)
	assert.Empty(t, open["moth-salve"].Minutes)
	assert.Equal(t, []string{"tree nuts"}, open["almond-oil-sweet"].Contains)
	assert.Equal(t, []string{}, open["olive-oil"].Contains, "made from none")
	assert.NotNil(t, open["olive-oil"].Contains)
	assert.Nil(t, open["argan-oil"].Contains, "not known")
	assert.Equal(t, []string{"castor-oil", "plant"}, []string{open["castor-oil"].Material, open["castor-oil"].Origin}, "a page has what the catalogue knows")
	assert.Equal(t, "animal", open["beeswax-yellow"].Origin)

	assert.Len(t, list(MembersEdition)["moth-salve"].Versions, 1)
	maker := list(MakerEdition)
	assert.Equal(t, []string{"argan-oil", "attic-drops"}, maker["cliff-oil"].Takes)
	assert.Equal(t, []string{}, maker["attic-drops"].Contains)
}

// The finder is there as soon as there is something to find.
func TestHasFinder(t *testing.T) {
	t.Parallel()
	assert.Contains(t, buildOf(t, filesIn(t, "find.txtar"), OpenEdition).Paths(), findPath)
	empty := filesIn(t, "find.txtar")
	for name := range empty {
		if strings.HasPrefix(name, "recipes/") {
			delete(empty, name)
		}
	}
	b := buildOf(t, empty, OpenEdition)
	assert.NotContains(t, b.Paths(), findPath)
	for _, l := range b.menu("", "") {
		assert.NotEqual(t, findPath, l.Href)
	}
}
