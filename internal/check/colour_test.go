package check_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/law"
)

// Sources: Annex IV by its entry; 21 CFR by its section. The tables of package law have both, with what was only remembered.
func TestColour(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, product, lines, want string }{
		{"iron oxide in a mask", "face mask", "CI 77491 2 [colourant]", ""},
		{"iron oxide on lips", "lip balm", "CI 77491 2 [colourant]", ""},
		{"clay coloured with it", "face mask", "Pink clay 30 [clay colourant] Kaolin 70, CI 77491 30", ""},
		{"pearl pigment on lips", "lip balm", "Pearl 2 [colourant] Mica 58, CI 77891 40, Tin Oxide 2", ""},
		{"ultramarine in soap, 21 CFR 73.2725", "bar soap", "CI 77007 0.5 [colourant]", ""},
		{"ultramarine on lips, 21 CFR 73.2725", "lip balm", "CI 77007 0.5 [colourant]", "US colourant-use CI 77007, 21 CFR 73.2725"},
		{"chromium oxide on lips, 21 CFR 73.2327", "lip balm", "CI 77288 0.5 [colourant]", "US colourant-use CI 77288, 21 CFR 73.2327"},
		{"silver on hands, 21 CFR 73.2500", "hand cream", "CI 77820 0.1 [colourant]", "US colourant-use CI 77820, 21 CFR 73.2500"},
		{"dye from a certified batch alone, 21 CFR 74.2340", "bath fizz", "CI 16035 0.01 [colourant]", "US colourant-use CI 16035, 21 CFR 74.2340"},
		{"one number, two colours, one of them open: 21 CFR 74.2101", "lip balm", "CI 42090 0.01 [colourant]", "US colourant-use CI 42090, 21 CFR 74.2101"},
		{"no colour of US cosmetics", "body wash", "CI 74160 0.01 [colourant]", "US colourant-use CI 74160, no listing for cosmetics"},
		{"not in the US table", "body wash", "CI 10006 0.01 [colourant]", "US colourant-use CI 10006, 21 CFR parts 73 and 74 (from memory)"},
		{"rinsed off alone, IV/1", "hand cream", "CI 10006 0.01 [colourant]", "EU colourant-use CI 10006, IV/1; US colourant-use CI 10006, 21 CFR parts 73 and 74 (from memory)"},
		{"not on mucous membranes, IV/2", "lip balm", "CI 10020 0.01 [colourant]", "EU colourant-use CI 10020, IV/2; US colourant-use CI 10020, 21 CFR parts 73 and 74 (from memory)"},
		{"not on mucous membranes, elsewhere, IV/2", "hand cream", "CI 10020 0.01 [colourant]", "US colourant-use CI 10020, 21 CFR parts 73 and 74 (from memory)"},
		{"a maximum, IV/74: 6 %", "body oil", "CI 45350 6 [colourant]", "US colourant-use CI 45350, 21 CFR 74.2707"},
		{"past it, IV/74", "body oil", "CI 45350 6.1 [colourant]", "EU above-legal-maximum CI 45350 6.1/6, IV/74; US colourant-use CI 45350, 21 CFR 74.2707"},
		{"not allowed in the EU", "body oil", "D&C Orange No. 10 0.01 [colourant]", "EU colourant-use D&C Orange No. 10, IV; US colourant-use D&C Orange No. 10, 21 CFR 74.2260"},
		{"lip maximum, 21 CFR 74.2333: 3 %", "lip balm", "CI 17200 3.1 [colourant]", "US above-legal-maximum CI 17200 3.1/3, 21 CFR 74.2333; US colourant-use CI 17200, 21 CFR 74.2333"},
		{"charcoal as a colour", "bar soap", "Charcoal Powder 1 [colourant]", "restricted-see-entry Charcoal Powder, no listing"},
		{"charcoal to scrub", "bar soap", "Charcoal Powder 1 [exfoliant colourant]", ""},
		{"a root, before all to colour", "bar soap", "Alkanna Tinctoria Root Powder 1 [colourant botanical]", "restricted-see-entry Alkanna Tinctoria Root Powder, IV to Regulation (EC) No 1223/2009, May 2024"},
		{"a root on the side", "bar soap", "Curcuma Longa Root Powder 1 [food colourant]", ""},
		{"zinc oxide may be breathed in, IV/144", "body powder", "Zinc Oxide 5 [colourant]", "EU restricted-see-entry Zinc Oxide, IV/144"},
		{"henna off the hair, 21 CFR 73.2190", "hand cream", "Henna 1 [colourant]", "EU colourant-use Henna, IV; US colourant-use Henna, 21 CFR 73.2190"},
		{"product not known", "", "CI 10006 0.01 [colourant]", "EU restricted-see-entry CI 10006, IV/1; US colourant-use CI 10006, 21 CFR parts 73 and 74 (from memory)"},
		{"a candle", "candle", "CI 10006 1 [colourant]", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := sold(t, productOf(t, test.product), read(t, test.lines))
			got := lawful(s)
			assert.ElementsMatch(t, strings.Split(test.want, "; "), strings.Split(strings.Join(got, "; "), "; "))
			for _, f := range inMarket(s, "") {
				assert.NotEmpty(t, f.Message)
				assert.NotEmpty(t, f.Mend)
				assert.NotEmpty(t, f.Source)
				assert.Equal(t, []int{0}, f.Items)
			}
		})
	}
}

// What US law lists for all cosmetics and Annex IV does not have is taken for a filler: that is mica and nothing else.
func TestFillers(t *testing.T) {
	t.Parallel()
	var fillers []string
	for _, us := range law.ColoursUS() {
		if c, ok := law.FindColour(us.Names[0]); us.General && ok && len(c.EU) == 0 {
			fillers = append(fillers, us.Names[0])
		}
	}
	assert.Equal(t, []string{"Mica"}, fillers)
}

func TestColourWords(t *testing.T) {
	t.Parallel()
	found := inMarket(sold(t, productOf(t, "lip balm"), read(t, "Blue 0.5 [colourant] CI 77007 100"), read(t, "Red 0.1 [colourant] CI 16035 100")), "US")
	require.Len(t, found, 2)
	assert.Equal(t, check.Stop, found[0].Level)
	assert.Equal(t, "CI 77007 (from Blue) may not colour a product of the type “lip balm” in the US (21 CFR 73.2725): outside of the body alone, eye area allowed; lead 20, arsenic 3, mercury 1 ppm at most.", found[0].Message)
	assert.Equal(t, "CI 16035 (from Red) may colour a cosmetic in the US only from a batch that the FDA has certified (21 CFR 74.2340).", found[1].Message)
}
