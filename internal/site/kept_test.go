package site

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestKept(t *testing.T) {
	t.Parallel()
	for given, want := range map[string]string{
		"":                           "",
		"75 °C / 167 °F":             "75\u00a0°C / 167\u00a0°F",
		"1.5–2 % of 40 g":            "1.5–2\u00a0% of 40\u00a0g",
		"1 1/2 oz, 1½ lb, 2 great":   "1 1/2\u00a0oz, 1½\u00a0lb, 2 great",
		"12 × 60 ml tin":             "12 × 60\u00a0ml tin",
		"no figure % nor g":          "no figure % nor g",
		"already\u00a0so: 5\u00a0kg": "already\u00a0so: 5\u00a0kg",
	} {
		assert.Equal(t, want, kept(given))
	}
}

// What is kept together, and where words end, is what these expressions say.
var (
	beforeUnit = regexp.MustCompile(`([0-9½¼¾]) (%|°[CF]|(?:mg|kg|g|oz|lb|ml|min|h)\b)`)
	endOfJoint = regexp.MustCompile(`(?i)(?:phenoxy|hydroxy|methyl|ethyl|hexyl|propyl|butyl|amido|glyceryl|hydrogen|potassium|sodium|capryl|poly)`)
)

func TestAsExpressionsSay(t *testing.T) {
	t.Parallel()
	parts := append([]string{" ", " ", "1", "9", "½", "¾", "°", "C", "a", "_", "é", "\xbd", "-", "Phenoxy", "ETHYL", "xyz", "oxydol", "alcohol", "min.", "gal"}, slices.Concat(unitSigns, joints)...)
	rapid.Check(t, func(t *rapid.T) {
		s := strings.Join(rapid.SliceOfN(rapid.SampledFrom(parts), 0, 12).Draw(t, "parts"), "")
		require.Equal(t, beforeUnit.ReplaceAllString(s, "$1"+noBreak+"$2"), kept(s), "%q", s)
		words := strings.Split(s, " ")
		for i, word := range words {
			if utf8.RuneCountInString(word) >= longWord {
				words[i] = strings.TrimSuffix(endOfJoint.ReplaceAllString(word, "$0"+soft), soft)
			}
		}
		require.Equal(t, strings.Join(words, " "), hyphenated(s), "%q", s)
	})
}

func TestHyphenated(t *testing.T) {
	t.Parallel()
	for given, want := range map[string]string{
		"":                         "",
		"Cetyl alcohol":            "Cetyl alcohol",
		"Ethyl oleate, refined":    "Ethyl oleate, refined",
		"Phenoxyethanol":           "Phenoxy\u00adethanol",
		"ethylhexylglycerin blend": "ethyl\u00adhexyl\u00adglycerin blend",
		"Cocamidopropyl betaine":   "Cocamido\u00adpropyl betaine",
	} {
		assert.Equal(t, want, hyphenated(given))
	}
}
