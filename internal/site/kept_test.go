package site

import (
	"testing"

	"github.com/stretchr/testify/assert"
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
