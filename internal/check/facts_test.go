package check_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/check"
)

// Two names have one folded form just where the standard library finds them equal under folding.
func TestFolded(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringOf(rapid.RuneFrom([]rune("aAkK\u212asS\u017fµμéÉσς ßẞİıi-1"))).Draw(t, "name")
		other := rapid.SampledFrom([]string{strings.ToUpper(name), strings.ToLower(name), strings.ToTitle(name), name + "x"}).Draw(t, "other")
		assert.Equal(t, strings.EqualFold(name, other), check.Folded(name) == check.Folded(other), "%q %q", name, other)
	})
}
