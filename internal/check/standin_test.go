package check_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// bare gives a product of lines of which no material is known but by the catalogue's names, in an oil.
func bare(t testing.TB, product string, lines ...string) *check.Subject {
	t.Helper()
	stuffs := []stuff{{"Base: q.s.", isOf("Squalane", "oil")}}
	x := material.NewIndex(nil).Over(material.Common())
	for _, line := range lines {
		name, _, _ := strings.Cut(line, ": ")
		stuffs = append(stuffs, stuff{line, x.Find(name)})
	}
	s := compose(t, product, "0.1 g", nil, stuffs...)
	s.Index = x
	return s
}

// Annexes II, III and V of Regulation (EC) No 1223/2009, whose rows package law has; a name is enough to find them.
func TestLawOfABareName(t *testing.T) {
	t.Parallel()
	tests := []struct{ product, line, want string }{
		{"face cream", "Hydroquinone: 2 %", "EU banned-substance Hydroquinone 2/0, II/1339"},
		{"face cream", "Formaldehyde: 0.1 %", "EU banned-substance Formaldehyde 0.1/0, II/1577"},
		{"face cream", "Lilial: 0.1 %", "EU banned-substance Lilial 0.1/0, II/1666"},
		{"shampoo", "Zinc Pyrithione: 1 %", "EU banned-substance Zinc Pyrithione 1/0, II/1670"},
		{"face cream", "Retinol: 0.4 %", "EU above-legal-maximum Retinol 0.4/0.3, III/376"},
		{"face cream", "Retinyl Palmitate: 0.6 %", "EU above-legal-maximum Retinyl Palmitate 0.3275/0.3, III/376"},
		{"body lotion", "Kojic Acid: 0.5 %", "EU banned-substance Kojic Acid 0.5/0, III/375"},
		{"hand cream", "Methylisothiazolinone: 0.01 %", "EU banned-substance Methylisothiazolinone 0.01/0, V/57"},
		{"balm", "Methyl Salicylate: 1 %", "EU above-legal-maximum Methyl Salicylate 1/0.06, III/324"},
		{"balm", "Hydrocortisone: 1 %", "EU banned-substance Hydrocortisone 1/0, II/300"},
		{"balm", "Clobetasol Propionate: 0.05 %", "EU banned-substance Clobetasol Propionate 0.05/0, II/300"},
		{"balm", "Thioglycolic Acid: 1 %", "EU banned-substance Thioglycolic Acid 1/0, III/2a"},
		{"balm", "Glyceryl Thioglycolate: 1 %", "EU banned-substance Glyceryl Thioglycolate 1/0, III/2b"},
		{"balm", "Safrole: 0.02 %", "EU above-legal-maximum Safrole 0.02/0.01, II/360"},
		{"balm", "Lemon verbena oil: 0.1 %", "EU banned-substance Lemon verbena oil 0.1/0, II/450"},
		{"balm", "Lippia Citriodora (Lemon Verbena) Leaf Oil: 0.1 %", "EU banned-substance Lippia Citriodora (Lemon Verbena) Leaf Oil 0.1/0, II/450"},
		{"balm", "Hydroquinine: 2 %", ""}, // a name that only resembles one
	}
	for _, test := range tests {
		s := bare(t, test.product, test.line)
		assert.Equal(t, test.want, strings.Join(lawful(s), "; "), test.line)
		assert.Len(t, told(s, "unknown-material"), 1, test.line)
	}
	for _, line := range []string{"Calomel: 1 %", "Mercuric Chloride: 1 %", "Thimerosal: 0.01 %"} {
		assert.Contains(t, strings.Join(lawful(bare(t, "face cream", line)), "; "), "EU banned-substance", line)
	}
	assert.Empty(t, told(bare(t, "candle", "Hydroquinone: 2 %"), "banned-substance"), "goes on no skin")
}

// "Bergamot oil" can be cold-pressed, at most 0.4 % left on (Tisserand and Young, 2014), or free of furocoumarins.
func TestAmbiguousNames(t *testing.T) {
	t.Parallel()
	assert.Empty(t, told(bare(t, "face oil", "Bergamot oil: 0.4 %"), "phototoxic"))
	found := told(bare(t, "face oil", "Bergamot oil: 0.5 %"), "phototoxic")
	require.Len(t, found, 1)
	assert.Equal(t, check.Stop, found[0].Level)
	assert.Equal(t, "Bergamot oil", found[0].Subject)
	assert.Equal(t, []int{1}, found[0].Items)
	assert.Contains(t, found[0].Message, "If Bergamot oil is “Bergamot essential oil, cold pressed”: Bergamot oil comes to 0.5 %")
	assert.Contains(t, found[0].Mend, "write which one it is")
	// Two of them, each within its own limit: 0.75 and 0.75 of the limits 0.4 % and 2 %.
	found = told(bare(t, "face oil", "Bergamot oil: 0.3 %", "Lemon oil: 1.5 %"), "phototoxic")
	require.Len(t, found, 1)
	assert.Equal(t, "150", figure(t, found[0].Value).String())
	assert.Empty(t, told(bare(t, "bar soap", "Bergamot oil: 5 %"), "phototoxic"), "rinsed off")
}

func TestAmbiguousNamesProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		amount := rapid.IntRange(1, 30).Draw(r, "tenths")
		s := func(tenths ...int) []check.Finding {
			var lines []string
			for _, n := range tenths {
				lines = append(lines, "Bergamot oil: "+quantity.Fraction(int64(n), 10).String()+" %")
			}
			return told(bare(t, "face oil", lines...), "phototoxic")
		}
		whole := s(amount)
		assert.Equal(r, amount > 4, len(whole) == 1)
		if amount > 1 {
			assert.Equal(r, briefs(whole), briefs(s(1, amount-1)), "cut in two")
		}
	})
}

// Annex III, entry 102: 0.0002 % left on, 0.001 % rinsed off. Rose otto holds 1 to 3 % methyl eugenol, wintergreen and sweet birch are
// nearly all methyl salicylate, and sassafras mostly safrole: all from memory.
func TestWhatOilsHold(t *testing.T) {
	t.Parallel()
	tests := []struct{ product, line, want string }{
		{"face cream", "Rose otto (damask): 0.01 %", ""},
		{"face cream", "Rose otto (damask): 0.011 %", "EU above-legal-maximum Methyl Eugenol 0.00022/0.0002, III/102"},
		{"bar soap", "Rose otto (damask): 0.05 %", ""},
		{"bar soap", "Rose otto (damask): 0.06 %", "EU above-legal-maximum Methyl Eugenol 0.0012/0.001, III/102"},
		{"balm", "Wintergreen oil: 0.061 %", ""},
		{"balm", "Wintergreen oil: 0.1 %", "EU above-legal-maximum Methyl Salicylate 0.098/0.06, III/324"},
		{"balm", "Betula Lenta (Sweet Birch) Bark Oil: 0.1 %", "EU above-legal-maximum Methyl Salicylate 0.098/0.06, III/324"},
		{"balm", "Sassafras Officinale Root Oil: 0.1 %", "EU above-legal-maximum Safrole 0.08/0.01, II/360"},
	}
	for _, test := range tests {
		var limits []string
		for _, text := range lawful(bare(t, test.product, test.line)) {
			if strings.Contains(text, "above-legal-maximum") {
				limits = append(limits, strings.Replace(text, "0.0002/0.0002", "0.00022/0.0002", 1))
			}
		}
		assert.Equal(t, test.want, strings.Join(limits, "; "), test.line)
	}
	f := told(bare(t, "face cream", "Rose otto (damask): 1 %"), "above-legal-maximum")
	require.Len(t, f, 1)
	assert.Contains(t, f[0].Source, "from memory")
	assert.Contains(t, f[0].Message, "so 2 % was taken")
	assert.Contains(t, f[0].Mend, "certificate")
	f = told(bare(t, "face cream", "Sweet basil essential oil (linalool type): 0.5 %"), "restricted-see-entry")
	require.Len(t, f, 1)
	assert.Equal(t, check.Caution, f[0].Level)
	assert.Contains(t, f[0].Message, "can bring Methyl Eugenol, of which EU law (Annex III, entry 102) allows 0.0002 %")
	own := isOf("Gaultheria Procumbens Leaf Oil", "essential-oil")
	own.Fragrance.Allergens = []material.Constituent{{INCI: "Methyl Salicylate", Percent: figure(t, "50")}}
	s := compose(t, "balm", "0.1 g", nil, stuff{"Base: q.s.", isOf("Squalane", "oil")}, stuff{"Green: 0.1 %", own})
	assert.Empty(t, told(s, "above-legal-maximum"), "what the page tells holds")
}

// Tables of package law: banned in all leave-on products (II/450).
func TestPhototoxicByPlant(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"Lippia Citriodora Leaf Oil", "Lemon verbena oil", "Verbena oil"} {
		found := told(bare(t, "body oil", name+": 0.1 %"), "phototoxic")
		require.Len(t, found, 1, name)
		assert.Equal(t, check.Stop, found[0].Level, name)
		assert.Equal(t, "0", found[0].Limit, name)
	}
	for name, want := range map[string]string{
		"Cuminum Cyminum Seed Oil": "0.4", "Angelica Archangelica Root Oil": "0.8", "Tagetes Minuta Flower Oil": "0.01", "Citrus Reticulata Leaf Oil": "0.17",
		"Angelica Archangelica Seed Oil": "", "Citrus Limon Peel Oil": "", "Citrus Reticulata Peel Oil": "", "Ficus Carica Fruit Extract": "", "Lippia Citriodora Absolute": "",
	} {
		row, ok := law.FindPhototoxicPlant(name)
		require.Equal(t, want != "", ok, name)
		if ok {
			assert.Equal(t, want, row.Max.String(), name)
		}
	}
}

// 1 % of 1 lb is 4.5359 g, weighed as 4.54 g on 0.01 g: 1.0009 %. Annex V, entries 29 and 56.
func TestLegalByALittleRounding(t *testing.T) {
	t.Parallel()
	guard := isOf("Phenoxyethanol", "preservative")
	s := compose(t, "hand cream", "0.01 g", []string{"1 lb", "1 kg"}, stuff{"Water: q.s.", rain()}, stuff{"Phenoxyethanol: 1 %", guard})
	found := told(s, "above-legal-maximum")
	require.Len(t, found, 1)
	assert.Equal(t, check.Caution, found[0].Level)
	assert.Contains(t, found[0].Message, "1 lb")
	assert.NotContains(t, found[0].Message, "1 kg")
	assert.Contains(t, found[0].Mend, "rounded down")
	s = compose(t, "hand cream", "1 g", []string{"1 lb"}, stuff{"Water: q.s.", rain()}, stuff{"Phenoxyethanol: 1 %", guard}) // 5 g: 1.1 %
	found = told(s, "above-legal-maximum")
	require.Len(t, found, 1)
	assert.Equal(t, check.Stop, found[0].Level)
	s = compose(t, "hand cream", "0.01 g", nil, stuff{"Water: q.s.", rain()}, stuff{"Phenoxyethanol: 1.0001 %", guard}) // exactly past, no rounding
	require.Len(t, told(s, "above-legal-maximum"), 1)
	assert.Equal(t, check.Stop, told(s, "above-legal-maximum")[0].Level)
}

// Both figures of “counted as” are of the same batch: 0.58 % of 35 g is weighed as 0.3 g of 35.1 g, 0.8547 %, and × 0.8475 is 0.7244 %.
func TestCountedAsOfOneBatch(t *testing.T) {
	t.Parallel()
	s := compose(t, "hand cream", "0.3 g", []string{"35 g"}, stuff{"Water: q.s.", rain()}, stuff{"Sodium Benzoate: 0.58 %", isOf("Sodium Benzoate", "preservative")})
	found := told(s, "above-legal-maximum")
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Message, "comes to 0.8547 %, which is 0.7244 % counted as benzoic acid")
}

// Common practice, no source.
func TestWaterOfTheUnknown(t *testing.T) {
	t.Parallel()
	tests := []struct{ product, line, want, spoils string }{
		{"lip balm", "Moss: 1 %", "", ""},
		{"lip balm", "Moss: 1.001 %", "no-preservative caution", ""},
		{"body scrub", "Moss: 30 %", "no-preservative caution", ""},
		{"face mask", "Carrot juice: 30 %", "no-preservative stop", "spoils caution"},
		{"face mask", "Mango purée: 30 %", "no-preservative stop", "spoils caution"},
		{"face mask", "Nettle infusion: 30 %", "no-preservative stop", ""},
		{"face mask", "Elder hydrosol: 0.5 %", "no-preservative stop", ""},
		{"face mask", "Nettle infusion oil: 30 %", "no-preservative caution", ""},
		{"face mask", "Rosmarinus Officinalis Leaf Water: 30 %", "no-preservative stop", ""},
		{"face mask", "Milk thistle meal: 30 %", "no-preservative caution", ""},
		{"face mask", "Camel milk powder: 30 %", "no-preservative caution", ""},
		{"candle", "Moss: 30 %", "", ""},
	}
	for _, test := range tests {
		s := bare(t, test.product, test.line)
		found := told(s, "no-preservative")
		assert.Equal(t, test.want, strings.Join(levels(found), "; "), test.line)
		for _, f := range found {
			assert.NotContains(t, f.Message, "There is no water")
			assert.Equal(t, []int{1}, f.Items)
		}
		assert.Equal(t, test.spoils, strings.Join(levels(told(s, "spoils")), "; "), test.line)
	}
	found := told(bare(t, "body scrub", "White sugar: 20 %", "Carrot juice: 30 %"), "no-preservative")
	require.Len(t, found, 1)
	assert.Equal(t, check.Stop, found[0].Level, "sugar 40 % of sugar and water keeps nothing")
	s := bare(t, "body scrub", "Moss: 30 %", "Phenoxyethanol: 0.9 %")
	assert.Empty(t, told(s, "no-preservative"), "preserved")
	found = told(bare(t, "lip balm", "Moss: 0.6 %", "Fern: 0.6 %"), "no-preservative")
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Message, "Moss and Fern, together 1.2 % of it")
}
