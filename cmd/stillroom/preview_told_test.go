package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A picture that was saved is told without its folder; a folder that stands alone is told.
func TestWithoutFolders(t *testing.T) {
	for _, row := range []struct{ files, want []string }{
		{[]string{"pictures", "pictures/jar.svg"}, []string{"pictures/jar.svg"}},
		{[]string{"recipes", "recipes/trials", "recipes/trials/a.md", "recipes.md"}, []string{"recipes/trials/a.md", "recipes.md"}},
		{[]string{"notes"}, []string{"notes"}},
		{nil, []string{}},
	} {
		assert.ElementsMatch(t, row.want, withoutFolders(row.files))
	}
}

func TestMadeFrom(t *testing.T) {
	assert.Equal(t, "no page is made from it", madeFrom(0, "it"))
	assert.Equal(t, "1 page is made from it", madeFrom(1, "it"))
	assert.Equal(t, "11 pages are made from them", madeFrom(11, "them"))
	assert.Equal(t, "mended: no problems", mended(0))
	assert.Equal(t, "mended: 1 problem left", mended(1))
	assert.Equal(t, "a, b and 2 more", firstOf([]string{"a", "b", "c", "d"}, 2))
}
