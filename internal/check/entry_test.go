package check_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// Each case names the entry whose condition can, or cannot, matter.
func TestEntry(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, product, lines, want string }{
		{"III/15a: pH at most 11", "hand cream", "Sodium Hydroxide 0.1 [alkali]", "EU restricted-see-entry Sodium Hydroxide, III/15a"},
		{"III/15a: what a chelator has left", "hand cream", "Chelator 0.5 [chelator] Tetrasodium Glutamate Diacetate 45, Sodium Hydroxide 2, Aqua 53", ""},
		{"III/15a and 15d: potassium", "foot cream", "Potassium Hydroxide 0.1 [ph-adjuster]", "EU restricted-see-entry Potassium Hydroxide, III/15a"},
		{"III/15d: 1.5 % as sodium hydroxide to soften hard skin", "foot cream", "Potassium Hydroxide 2.2 [ph-adjuster]", "EU restricted-see-entry Potassium Hydroxide 1.5684/1.5, III/15d"},
		{"II/904: refining known", "balm", "Petrolatum 50 [butter]", "EU restricted-see-entry Petrolatum, II/904"},
		{"III/306: peanut protein", "body oil", "Arachis Hypogaea Oil 50 [oil]", "EU restricted-see-entry Arachis Hypogaea Oil, III/306"},
		{"III/307: small peptides", "hand cream", "Hydrolyzed Wheat Protein 1 [protein]", "EU restricted-see-entry Hydrolyzed Wheat Protein, III/307"},
		{"21 CFR 700.27: tallow", "balm", "Tallow 50 [oil]", "US restricted-see-entry Tallow, 21 CFR 700.27"},
		{"III/62: purity and nitrosamines", "hand cream", "Triethanolamine 1 [ph-adjuster]", "EU restricted-see-entry Triethanolamine, III/62"},
		{"III/62: 2.5 % left on", "hand cream", "Triethanolamine 2.6 [ph-adjuster]", "EU above-legal-maximum Triethanolamine 2.6/2.5, III/62"},
		{"III/88: peroxides are a matter of the bottle", "hand cream", "Limonene 1 [fragrance]", ""},
		{"III/122: the same", "hand cream", "Cedrus Atlantica Wood Oil 1 [essential-oil]", ""},
		{"V, preamble: gives off formaldehyde", "hand cream", "Imidazolidinyl Urea 0.3 [preservative]", "EU restricted-see-entry Imidazolidinyl Urea, V, preamble, point 2"},
		{"III/59: talc", "body powder", "Talc 50 [clay]", "EU restricted-see-entry Talc, III/59"},
		{"III/59: talc elsewhere", "face mask", "Talc 50 [clay]", ""},
		{"III/321: fine powder", "body powder", "Titanium Dioxide 5 [colourant]", "EU restricted-see-entry Titanium Dioxide, III/321"},
		{"III/321: in a cream", "hand cream", "Titanium Dioxide 5 [colourant]", ""},
		{"V/56: not for large areas", "body lotion", "Iodopropynyl Butylcarbamate 0.01 [preservative]", "EU restricted-see-entry Iodopropynyl Butylcarbamate, V/56"},
		{"V/56: on hands", "hand cream", "Iodopropynyl Butylcarbamate 0.01 [preservative]", ""},
		{"V/56: not on lips", "lip balm", "Iodopropynyl Butylcarbamate 0.01 [preservative]", "EU restricted-see-entry Iodopropynyl Butylcarbamate, V/56"},
		{"V/3: not for children under 3", "baby lotion", "Salicylic Acid 0.3 [preservative]", "EU restricted-see-entry Salicylic Acid, V/3"},
		{"V/28: not in sprays", "body mist", "Polyaminopropyl Biguanide 0.1 [preservative]", "EU restricted-see-entry Polyaminopropyl Biguanide, V/28"},
		{"V/28: elsewhere", "hand cream", "Polyaminopropyl Biguanide 0.1 [preservative]", ""},
		{"V/45: pH above 6", "hand cream", "Dimethyl Oxazolidine 0.1 [preservative]", "EU restricted-see-entry Dimethyl Oxazolidine, V/45; EU restricted-see-entry Dimethyl Oxazolidine, V, preamble, point 2"},
		{"V/32: hair lotion alone, and a hair oil may be one", "hair oil", "Climbazole 0.1 [preservative]", "EU restricted-see-entry Climbazole 0.1/0, V/32"},
		{"several of one condition once", "hand cream", "Triethanolamine 1 [ph-adjuster]; Triisopropanolamine 1 [ph-adjuster]", "EU restricted-see-entry Triethanolamine and Triisopropanolamine, III/62"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			var lines []dosed
			for line := range strings.SplitSeq(test.lines, "; ") {
				lines = append(lines, read(t, line))
			}
			s := sold(t, productOf(t, test.product), lines...)
			assert.Equal(t, test.want, strings.Join(lawful(s), "; "))
			for _, f := range inMarket(s, "") {
				assert.NotEmpty(t, f.Mend)
				assert.NotContains(t, f.Message, "CAS")
				assert.NotContains(t, f.Message, "..")
			}
		})
	}
}

// A product's pH answers the condition of the alkalis.
func TestEntryPH(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		low, high, lines string
		open             bool
	}{
		{"5", "5.5", "Sodium Hydroxide 0.1 [alkali]", false},
		{"9", "11", "Sodium Hydroxide 0.1 [alkali]", false},
		{"9", "11.1", "Sodium Hydroxide 0.1 [alkali]", true},
		{"6.1", "7", "Dimethyl Oxazolidine 0.1 [preservative]", false},
		{"6", "7", "Dimethyl Oxazolidine 0.1 [preservative]", true},
		{"10", "11", "Calcium Hydroxide 0.1 [ph-adjuster]", true},
		{"10", "10.9", "Calcium Hydroxide 0.1 [ph-adjuster]", false},
	} {
		s := sold(t, productOf(t, "shampoo"), read(t, test.lines))
		s.PH = &quantity.Interval{Low: decimal(t, test.low), High: decimal(t, test.high)}
		got := strings.Join(lawful(s), "; ")
		assert.Equal(t, test.open, strings.Contains(got, "III/15") || strings.Contains(got, "V/45"), "%s at %s–%s: %s", test.lines, test.low, test.high, got)
	}
}

// Lye that the fats take up is no longer lye: where a soap: block works it out, and where a listed lye leaves fat over.
// Olive oil takes up 190 mg KOH per g, which is 13.5 % of sodium hydroxide.
func TestEntrySoap(t *testing.T) {
	t.Parallel()
	oil := read(t, "Olea Europaea Fruit Oil 60 [oil]")
	oil.Saponified = material.Sourced[quantity.Interval]{Value: quantity.Interval{Low: quantity.Int(190), High: quantity.Int(190)}, Known: true}
	lye := func(percent string) []dosed { return []dosed{oil, read(t, "Sodium Hydroxide "+percent+" [alkali]")} }
	bar := productOf(t, "bar soap")
	assert.Empty(t, lawful(sold(t, bar, lye("7.7")...)))
	assert.Equal(t, []string{"EU restricted-see-entry Sodium Hydroxide, III/15a"}, lawful(sold(t, bar, lye("8.3")...)), "more than the fat takes")
	assert.Equal(t, []string{"EU restricted-see-entry Sodium Hydroxide, III/15a"}, lawful(sold(t, productOf(t, "hand cream"), lye("0.1")...)), "a cream is no soap")
	tallow := read(t, "Tallow 60 [oil]")
	tallow.Saponified = oil.Saponified
	assert.Empty(t, lawful(sold(t, bar, tallow, read(t, "Sodium Hydroxide 7.7 [alkali]"))), "21 CFR 700.27: what is made from tallow is free")
	s := sold(t, bar, lye("8.3")...)
	s.Lye = &soap.Block{}
	assert.Empty(t, lawful(s), "too much lye is the matter of another check")
}

func TestEntryWords(t *testing.T) {
	t.Parallel()
	s := sold(t, productOf(t, "hand cream"), read(t, "Quiet Keep 0.5 [preservative] Diazolidinyl Urea 60, Propylene Glycol 40"))
	found := inMarket(s, "EU")
	require.Len(t, found, 1)
	assert.Equal(t, check.Caution, found[0].Level)
	assert.Equal(t, "With Diazolidinyl Urea (from Quiet Keep) the words “releases formaldehyde” may be due on the label above 0.001 % of released formaldehyde by EU law (Annex V, preamble, point 2); how much that is the formula does not tell.", found[0].Message)

	s.On = onDay(t, "2024-07-30") // Regulation (EU) 2022/1181: until then above 0.05 %, in other words
	assert.Contains(t, inMarket(s, "EU")[0].Message, "“contains formaldehyde” may be due on the label above 0.05 %")
}

// What a material is made of has to be known before the law can be checked.
func TestUnknownComposition(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		m    material.Material
		want string
	}{
		{"nothing", material.Material{Name: "Moss", Roles: []string{"botanical"}}, "It is not known what Moss is made of, so the law could not be checked for all that is in it."},
		{"a part", material.Material{Name: "Moss", Composition: []material.Constituent{{INCI: "Aqua", Percent: quantity.Int(60)}, {INCI: "Glycerin"}}}, "Only 60 % of what Moss is made of is known, so the law could not be checked for all that is in it."},
		{"a placeholder", material.Material{Name: "Moss", NeedsSheet: true, Composition: substanceOf("Mica", "").Composition}, "What Moss is made of is a placeholder that only the supplier's sheet can correct, so the law could not be checked for all that is in it."},
		{"a scent, of which its certificate tells", material.Material{Name: "Moss", Roles: []string{"fragrance"}, NeedsSheet: true, Composition: substanceOf("Parfum", "").Composition}, ""},
		{"one substance without a percent", material.Material{Name: "Moss", Composition: []material.Constituent{{INCI: "Glycerin"}}}, ""},
		{"rounded", material.Material{Name: "Moss", Composition: []material.Constituent{{INCI: "Glycerin", Percent: decimal(t, "99.1")}}}, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := sold(t, productOf(t, "hand cream"), dosed{&test.m, quantity.Int(1)}, dosed{&test.m, quantity.Int(2)})
			var got []string
			for _, f := range check.Lawful(s) {
				if f.Code == "unknown-material" {
					got = append(got, f.Message)
					assert.Equal(t, []int{0, 1}, f.Items)
				}
			}
			assert.Equal(t, test.want, strings.Join(got, "; "))
			assert.Empty(t, check.Lawful(sold(t, law.Product{Category: "not on skin"}, dosed{&test.m, quantity.Int(1)})))
		})
	}
}

// A material that a market bans as such is told, unless the ban of a substance in it tells already.
func TestBannedMaterial(t *testing.T) {
	t.Parallel()
	d := read(t, "Old wax 1 [wax] Cera Alba 100")
	d.BannedIn = material.Sourced[[]string]{Value: []string{"EU"}, Source: "a decision", Known: true, Status: material.Memory}
	found := inMarket(sold(t, productOf(t, "balm"), d), "")
	require.Len(t, found, 1)
	assert.Equal(t, "banned-substance", found[0].Code)
	assert.Equal(t, "Old wax is banned from cosmetics in the EU.", found[0].Message)
	assert.Equal(t, "a decision (from memory)", found[0].Source)

	d.Composition = substanceOf("Sodium Borate", "").Composition
	assert.Len(t, inMarket(sold(t, productOf(t, "balm"), d), ""), 1)
}
