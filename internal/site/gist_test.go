package site

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/formula"
)

// A packed gist unpacks to the same.
func TestPackedGist(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		text, at := rapid.String(), rapid.Uint16()
		want := &gist{
			Items:    rapid.SliceOf(rapid.Custom(func(t *rapid.T) gistItem { return gistItem{text.Draw(t, "name"), text.Draw(t, "id")} })).Draw(t, "items"),
			Links:    rapid.SliceOf(text).Draw(t, "links"),
			Pictures: rapid.SliceOf(text).Draw(t, "pictures"),
			Minutes:  text.Draw(t, "minutes"),
			Versions: rapid.SliceOf(rapid.Custom(func(t *rapid.T) gistVersion {
				return gistVersion{text.Draw(t, "version"), formula.VersionKind(text.Draw(t, "kind")), rapid.SliceOf(at).Draw(t, "takes")}
			})).Draw(t, "versions"),
			Uses: rapid.SliceOf(rapid.Custom(func(t *rapid.T) gistUse {
				return gistUse{at.Draw(t, "item"), at.Draw(t, "of"), text.Draw(t, "percent")}
			})).Draw(t, "uses"),
		}
		assert.Equal(t, want, want.pack().unpack())
	})
}
