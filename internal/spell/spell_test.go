package spell_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/spell"
)

func TestNearest(t *testing.T) {
	t.Parallel()
	known := []string{"glycerin", "lanolin", "shea butter", "cocoa butter", "beeswax", "Öl", "oz"}
	for _, row := range []struct{ name, typed, want string }{
		{"a letter left out", "glycrin", "glycerin"},
		{"a letter too many", "glycerine", "glycerin"},
		{"a letter wrong", "glyderin", "glycerin"},
		{"a swap counts once", "glycerni", "glycerin"},
		{"two swaps", "lgycerni", "glycerin"},
		{"a swap at the start", "ebeswax", "beeswax"},
		{"capitals do not count", "GLYCERIN", "glycerin"},
		{"the nearer of two", "shea buter", "shea butter"},
		{"a third of the letters", "cera wax", ""},
		{"just a third of the letters", "beesxyz", ""},
		{"within a third of the letters", "beeswyz", "beeswax"},
		{"a short name must be itself", "az", ""},
		{"a short name in capitals", "OZ", "oz"},
		{"letters beyond ASCII", "öl", "Öl"},
		{"nothing near", "magnesium sulfate", ""},
		{"nothing typed", "", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, row.want, spell.Nearest(row.typed, known))
		})
	}
	assert.Empty(t, spell.Nearest("glycerin", nil))
	assert.Equal(t, "abcd", spell.Nearest("abce", []string{"abcd", "abcf"}), "the first of two that are equally near")
}

func TestDidYouMean(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "did you mean “lanolin”?", spell.DidYouMean("lanolni", []string{"glycerin", "lanolin"}, "see the list"))
	assert.Equal(t, "see the list", spell.DidYouMean("talc", []string{"glycerin", "lanolin"}, "see the list"))
}

// FuzzNearest checks what must hold of any nearest name: it is known, a known name is nearest to itself, and one slip in a
// name of six letters or more is always found.
func FuzzNearest(f *testing.F) {
	f.Add("glycerin", 3)
	f.Add("蜜蜂蜜蜂蜜蜂", 1)
	f.Fuzz(func(t *testing.T, name string, at int) {
		name = strings.ToValidUTF8(name, "")
		known := []string{"unlike it", name}
		assert.Contains(t, append(known, ""), spell.Nearest(name, known))
		if name == "" || strings.EqualFold(name, known[0]) {
			return
		}
		assert.Equal(t, name, spell.Nearest(name, []string{name}))
		letters := []rune(name)
		if len(letters) < 6 {
			return
		}
		i := max(0, at%(len(letters)-1))
		swapped := []rune(name)
		swapped[i], swapped[i+1] = swapped[i+1], swapped[i]
		assert.Equal(t, name, spell.Nearest(string(swapped), []string{name}), "a swap at %d", i)
		left := string(letters[:i]) + string(letters[i+1:])
		assert.Equal(t, name, spell.Nearest(left, []string{name}), "a letter left out at %d", i)
	})
}
