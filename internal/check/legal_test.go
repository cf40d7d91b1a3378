package check_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A dosed is one line: a material and its percent of the product.
type dosed struct {
	*material.Material
	percent quantity.Number
}

// sold makes a product of dosed materials, filled up with water.
func sold(t require.TestingT, p law.Product, lines ...dosed) *check.Subject {
	s := &check.Subject{Product: p}
	phase := formula.Phase{Name: "All"}
	for _, l := range append(lines, dosed{Material: aqua}) {
		amount := quantity.Amount{Kind: quantity.Percent, Number: l.percent}
		if l.Material == aqua {
			amount = quantity.Amount{Kind: quantity.Balance}
		}
		phase.Lines = append(phase.Lines, formula.Line{Ingredient: formula.Ingredient{Name: l.Name, Fixed: l.Fixed()}, Amount: amount})
		s.Materials = append(s.Materials, l.Material)
	}
	v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{phase}})
	require.NoError(t, problems.Err())
	s.Version = v
	return s
}

var aqua = substanceOf("Aqua", "water")

func substanceOf(inci, roles string) *material.Material {
	return &material.Material{Name: inci, Roles: strings.Fields(roles), Composition: []material.Constituent{{INCI: inci, Percent: quantity.Int(100)}}}
}

// read reads "Sodium Benzoate 0.5 [preservative]" or "Blend 1 [preservative] Phenoxyethanol 90, Ethylhexylglycerin 10".
func read(t require.TestingT, text string) dosed {
	head, rest, ok := strings.Cut(text, " [")
	require.True(t, ok, text)
	roles, parts, _ := strings.Cut(rest, "]")
	cut := strings.LastIndexByte(head, ' ')
	m := substanceOf(head[:cut], roles)
	if parts = strings.TrimSpace(parts); parts != "" {
		m.Composition = nil
		for part := range strings.SplitSeq(parts, ", ") {
			at := strings.LastIndexByte(part, ' ')
			m.Composition = append(m.Composition, material.Constituent{INCI: part[:at], Percent: decimal(t, part[at+1:])})
		}
	}
	return dosed{m, decimal(t, head[cut+1:])}
}

func decimal(t require.TestingT, text string) quantity.Number {
	n, err := quantity.ParseNumber(text)
	require.NoError(t, err, text)
	return n
}

func productOf(t require.TestingT, name string) law.Product {
	if name == "" {
		return law.Product{}
	}
	p, ok := law.FindProduct(name)
	require.True(t, ok, name)
	return p
}

// inMarket gives the findings of the law checks in one market, and of all where it is "".
func inMarket(s *check.Subject, market string) []check.Finding {
	return slices.DeleteFunc(check.Lawful(s), func(f check.Finding) bool {
		ours := slices.Contains([]string{"above-legal-maximum", "banned-substance", "restricted-see-entry", "colourant-use"}, f.Code)
		return !ours || market != "" && f.Market != market
	})
}

// lawful gives the law findings as "MARKET code Subject value/limit entry".
func lawful(s *check.Subject) []string {
	var all []string
	for _, f := range inMarket(s, "") {
		figures := ""
		if f.Limit != "" {
			figures = " " + f.Value + "/" + f.Limit
		}
		citation, _, _ := strings.Cut(f.Source, ";")
		if _, entry, ok := strings.Cut(citation, "Annex "); ok {
			citation = strings.Replace(entry, ", entry ", "/", 1)
		}
		all = append(all, strings.TrimSpace(f.Market+" "+f.Code+" "+f.Subject+figures)+", "+citation)
	}
	return all
}

// Each case names the place in the law whose figure it is about; the tables of package law have it as it was read.
func TestLegal(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, product, lines, want string }{
		// Annex V, entry 29: 1 %.
		{"phenoxyethanol below", "hand cream", "Phenoxyethanol 0.9 [preservative]", ""},
		{"phenoxyethanol at", "hand cream", "Phenoxyethanol 1 [preservative]", ""},
		{"phenoxyethanol past", "hand cream", "Phenoxyethanol 1.01 [preservative]", "EU above-legal-maximum Phenoxyethanol 1.01/1, V/29"},
		{"phenoxyethanol hardly past", "hand cream", "Phenoxyethanol 1.0000001 [preservative]", "EU above-legal-maximum Phenoxyethanol 1.0000001/1, V/29"},
		{"two blends that both bring it", "body lotion", "Blend A 0.8 [preservative] Phenoxyethanol 90, Ethylhexylglycerin 10; Blend B 0.5 [preservative] Phenoxyethanol 70, Caprylyl Glycol 30", "EU above-legal-maximum Phenoxyethanol 1.07/1, V/29"},
		{"two blends within", "body lotion", "Blend A 0.7 [preservative] Phenoxyethanol 90, Ethylhexylglycerin 10; Blend B 0.5 [preservative] Phenoxyethanol 70, Caprylyl Glycol 30", ""},
		{"what keeps a gel counts", "toner", "Phenoxyethanol 0.7 [preservative]; Gel 80 [botanical] Aloe Barbadensis Leaf Juice 99.5, Phenoxyethanol 0.5", "EU above-legal-maximum Phenoxyethanol 1.1/1, V/29"},
		{"a page without a role", "hand cream", "Phenoxyethanol 1.2 []", "EU above-legal-maximum Phenoxyethanol 1.2/1, V/29"},
		{"as a solvent", "hand cream", "Phenoxyethanol 1.2 [solvent]", "EU restricted-see-entry Phenoxyethanol 1.2/1, V/29"},
		{"no product given", "", "Phenoxyethanol 1.2 [preservative]", "EU above-legal-maximum Phenoxyethanol 1.2/1, V/29"},
		{"a candle", "candle", "Phenoxyethanol 5 [preservative]", ""},

		// Annex V, entry 1: 0.5 % leave-on, 2.5 % rinse-off, 1.7 % in the mouth, as benzoic acid; sodium benzoate × 0.8475.
		{"benzoate as the acid, leave-on", "hand cream", "Sodium Benzoate 0.5 [preservative]", ""},
		{"benzoate at the salt's equivalent", "hand cream", "Sodium Benzoate 0.5899 [preservative]", ""},
		{"benzoate past", "hand cream", "Sodium Benzoate 0.6 [preservative]", "EU above-legal-maximum Sodium Benzoate 0.5085/0.5, V/1"},
		{"benzoate, rinse-off", "shampoo", "Sodium Benzoate 0.6 [preservative]", ""},
		{"benzoate past, rinse-off", "shampoo", "Sodium Benzoate 3 [preservative]", "EU above-legal-maximum Sodium Benzoate 2.5425/2.5, V/1"},
		{"benzoate, toothpaste", "toothpaste", "Sodium Benzoate 2.1 [preservative]", "EU above-legal-maximum Sodium Benzoate 1.7798/1.7, V/1"},
		{"acid and salt together", "hand cream", "Benzoic Acid 0.3 [preservative]; Sodium Benzoate 0.3 [preservative]", "EU above-legal-maximum Benzoic Acid and Sodium Benzoate 0.5543/0.5, V/1"},
		{"product not known: may be leave-on", "", "Sodium Benzoate 0.6 [preservative]", "EU restricted-see-entry Sodium Benzoate 0.5085/0.5, V/1"},
		{"product not known: below all", "", "Sodium Benzoate 0.5 [preservative]", ""},
		{"product not known: past all", "", "Sodium Benzoate 3 [preservative]", "EU above-legal-maximum Sodium Benzoate 2.5425/2.5, V/1"},
		// Annex V, entry 4: 0.6 % as sorbic acid; potassium sorbate × 0.7464.
		{"sorbate", "hand cream", "Potassium Sorbate 0.8 [preservative]", ""},
		{"sorbate past", "hand cream", "Potassium Sorbate 0.81 [preservative]", "EU above-legal-maximum Potassium Sorbate 0.6046/0.6, V/4"},
		{"sorbate and sorbic acid", "hand cream", "Potassium Sorbate 0.4 [preservative]; Sorbic Acid 0.31 [preservative]", "EU above-legal-maximum Potassium Sorbate and Sorbic Acid 0.6086/0.6, V/4"},
		// Annex V, entries 12 and 12a: 0.4 % for one ester, 0.8 % together, 0.14 % butyl and propyl, as the acid.
		{"one paraben", "hand cream", "Methylparaben 0.44 [preservative]", ""},
		{"one paraben past", "hand cream", "Methylparaben 0.45 [preservative]", "EU above-legal-maximum Methylparaben 0.4085/0.4, V/12"},
		{"two parabens", "hand cream", "Methylparaben 0.44 [preservative]; Ethylparaben 0.48 [preservative]", ""},
		{"three parabens", "hand cream", "Methylparaben 0.44 [preservative]; Ethylparaben 0.48 [preservative]; Propylparaben 0.15 [preservative]", "EU above-legal-maximum Methylparaben, Ethylparaben and Propylparaben 0.9134/0.8, V/12"},
		{"propylparaben", "hand cream", "Propylparaben 0.19 [preservative]", "EU above-legal-maximum Propylparaben 0.1456/0.14, V/12a"},
		// Annex V, entries 39 and 57: rinsed off alone.
		{"isothiazolinone rinsed off", "shampoo", "Methylisothiazolinone 0.0015 [preservative]", ""},
		{"isothiazolinone left on", "hand cream", "Methylisothiazolinone 0.0015 [preservative]", "EU banned-substance Methylisothiazolinone 0.0015/0, V/57"},
		{"isothiazolinone that keeps a surfactant", "hand cream", "Base 5 [surfactant] Aqua 69.99, Decyl Glucoside 30, Methylisothiazolinone 0.01", "EU banned-substance Methylisothiazolinone 0.0005/0, V/57"},
		// Annex V, entries 3 and III/98: 0.5 % preserving; 2 % otherwise, 3 % rinsed off hair, 0.5 % body lotion.
		{"salicylic acid preserves", "hand cream", "Salicylic Acid 0.6 [preservative]", "EU above-legal-maximum Salicylic Acid 0.6/0.5, V/3"},
		{"acid and salt of it", "hand cream", "Salicylic Acid 0.3 [preservative]; Sodium Salicylate 0.3 [preservative]", "EU above-legal-maximum Salicylic Acid and Sodium Salicylate 0.5588/0.5, V/3"},
		{"salicylic acid peels", "face cream", "Salicylic Acid 2 [active]", ""},
		{"salicylic acid peels past", "face cream", "Salicylic Acid 2.1 [active]", "EU above-legal-maximum Salicylic Acid 2.1/2, III/98"},
		{"salt of it counted by molar mass", "face cream", "Sodium Salicylate 2.3 [active]", ""},
		{"salicylic acid in a shampoo", "shampoo", "Salicylic Acid 2.9 [active]", ""},
		{"salicylic acid in a body lotion", "body lotion", "Salicylic Acid 0.6 [active]", "EU above-legal-maximum Salicylic Acid 0.6/0.5, III/98"},
		{"both uses: what else it is for decides", "face cream", "Salicylic Acid 1 [acid active preservative]", ""},
		{"not clear whether a body lotion", "body butter", "Salicylic Acid 1 [active]", "EU restricted-see-entry Salicylic Acid 1/0.5, III/98"},
		{"not clear, and past both", "body butter", "Salicylic Acid 2.5 [active]", "EU above-legal-maximum Salicylic Acid 2.5/2, III/98"},
		{"not clear, and within both", "body butter", "Salicylic Acid 0.5 [active]", ""},
		// Annex V, entry 34, and III/45: 1 % to preserve, none otherwise.
		{"benzyl alcohol preserves", "hand cream", "Benzyl Alcohol 1.1 [preservative]", "EU above-legal-maximum Benzyl Alcohol 1.1/1, V/34"},
		{"benzyl alcohol in a scent", "hand cream", "Benzyl Alcohol 1.1 [fragrance]", ""},
		// Annex III.
		{"BHT", "hand cream", "BHT 0.8 [antioxidant]", ""},
		{"BHT past, III/325", "hand cream", "BHT 0.81 [antioxidant]", "EU above-legal-maximum BHT 0.81/0.8, III/325"},
		{"hydroxycitronellal in a scent, III/72", "hand cream", "Scent 4 [fragrance] Parfum 70, Hydroxycitronellal 30", "EU above-legal-maximum Hydroxycitronellal 1.2/1, III/72"},
		{"methyl eugenol, III/102", "hand cream", "Basil 0.1 [essential-oil] Ocimum Basilicum Oil 99, Methyl Eugenol 1", "EU above-legal-maximum Methyl Eugenol 0.001/0.0002, III/102"},
		{"methyl salicylate, III/324", "balm", "Wintergreen 1 [essential-oil] Gaultheria Procumbens Leaf Oil 2, Methyl Salicylate 98", "EU above-legal-maximum Methyl Salicylate 0.98/0.06, III/324"},
		{"retinoids added up, III/376", "face cream", "Retinol 0.2 [active]; Retinyl Palmitate 0.3 [active]", "EU above-legal-maximum Retinol and Retinyl Palmitate 0.3637/0.3, III/376"},
		{"kojic acid elsewhere, III/375", "body lotion", "Kojic Acid 0.5 [active]", "EU banned-substance Kojic Acid 0.5/0, III/375"},
		{"kojic acid on hands", "hand cream", "Kojic Acid 1 [active]", ""},
		{"etidronate in soap, III/53", "bar soap", "Tetrasodium Etidronate 0.28 [chelator]", ""},
		{"etidronate in soap past, III/53", "bar soap", "Tetrasodium Etidronate 0.3 [chelator]", "EU above-legal-maximum Tetrasodium Etidronate 0.2103/0.2, III/53"},
		{"zinc salts as zinc, III/24", "toner", "Zinc PCA 2 [active]", ""},
		{"zinc salts as zinc past, III/24", "toner", "Zinc Sulfate Heptahydrate 5 [active]", "EU above-legal-maximum Zinc Sulfate Heptahydrate 1.137/1, III/24"},
		{"conditioner, III/286", "conditioner", "Cetrimonium Chloride 2.5 [emulsifier]", ""},
		{"conditioner past, III/286", "conditioner", "Cetrimonium Chloride 2.6 [emulsifier]", "EU above-legal-maximum Cetrimonium Chloride 2.6/2.5, III/286"},
		{"the strictest of two limits", "conditioner", "Cetrimonium Chloride 6 [emulsifier]", "EU above-legal-maximum Cetrimonium Chloride 6/2.5, III/286"},
		{"conditioner on hands", "hand cream", "Cetrimonium Chloride 1 [emulsifier]", "EU banned-substance Cetrimonium Chloride 1/0, III/286"},
		{"two marigolds added up, III/308 and 309", "hand cream", "Tagetes Minuta Flower Oil 0.006 [essential-oil]; Tagetes Patula Flower Oil 0.006 [essential-oil]", "EU above-legal-maximum Tagetes Minuta Flower Oil and Tagetes Patula Flower Oil 0.012/0.01, III/308"},
		// Annex II.
		{"borax, II/1396", "hand cream", "Borax 0.5 [emulsifier] Sodium Borate 100", "EU banned-substance Sodium Borate 0.5/0, II/1396"},
		{"a trace of a ban", "hand cream", "Scent 0.1 [fragrance] Parfum 99.9999, Butylphenyl Methylpropional 0.0001", "EU banned-substance Butylphenyl Methylpropional 0.0000001/0, II/1666"},
		{"banned as fragrance, II/450", "hand cream", "Lippia Citriodora Oil 0.1 [essential-oil]", "EU banned-substance Lippia Citriodora Oil 0.1/0, II/450"},
		{"banned as fragrance, here for something else", "hand cream", "Lippia Citriodora Oil 0.1 [botanical]", "EU restricted-see-entry Lippia Citriodora Oil 0.1/0, II/450"},
		// 21 CFR.
		{"21 CFR 700.18 and II/366", "hand cream", "Chloroform 0.1 [solvent]", "EU banned-substance Chloroform 0.1/0, II/366; US banned-substance Chloroform 0.1/0, 21 CFR 700.18"},
		// Annex VI, entry 30.
		{"zinc oxide covers", "hand cream", "Zinc Oxide 20 [active colourant]", ""},
		{"zinc oxide, much", "hand cream", "Zinc Oxide 26 [active colourant]", "EU restricted-see-entry Zinc Oxide 26/25, VI/30"},
		// What a maker has in the cupboard.
		{"ordinary", "body lotion", "Glycerin 5 [humectant]; Helianthus Annuus (Sunflower) Seed Oil 20 [oil]; Citric Acid 0.3 [ph-adjuster acid]; Tocopherol 0.5 [antioxidant]; Xanthan Gum 0.3 [thickener]; Cetyl Alcohol 3 [fatty-alcohol]; Lactic Acid 0.5 [ph-adjuster acid]; Panthenol 1 [active]; Sodium Lactate 2 [humectant]; Parfum 0.5 [fragrance]", ""},
		{"ordinary bath", "bath fizz", "Sodium Bicarbonate 50 [salt]; Citric Acid 25 [acid]; Magnesium Sulfate 10 [salt]; Sodium Chloride 5 [salt]; CI 77491 0.1 [colourant]", ""},
		{"ordinary oils", "body oil", "Citrus Limon Peel Oil 0.4 [essential-oil] Citrus Limon Peel Oil 30, Limonene 65, Citral 3, Pinene 2; Lavandula Angustifolia Oil 0.5 [essential-oil]; Melaleuca Alternifolia Leaf Oil 0.5 [essential-oil]", ""},
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
				assert.NotEmpty(t, f.Items)
				assert.NotEmpty(t, f.Mend)
				assert.Equal(t, f.Level == check.Stop, f.Code != "restricted-see-entry")
			}
		})
	}
}

// The words are for a maker: what, how much, how much is allowed, by whom, what to do.
func TestLegalWords(t *testing.T) {
	t.Parallel()
	s := sold(t, productOf(t, "hand cream"), read(t, "Quiet Keep 1.2 [preservative] Phenoxyethanol 90, Ethylhexylglycerin 10"), read(t, "Sodium Benzoate 0.6 [preservative]"))
	found := inMarket(s, "EU")
	require.Len(t, found, 2)
	f := found[0]
	assert.Equal(t, "Phenoxyethanol (from Quiet Keep) comes to 1.08 %, and EU law (Annex V, entry 29) allows 1 %.", f.Message)
	assert.Equal(t, "Lower Quiet Keep to 1.111 % at most.", f.Mend)
	assert.Equal(t, []int{0}, f.Items)
	assert.Equal(t, "%", f.Unit)
	assert.Contains(t, f.Source, "Regulation (EC) No 1223/2009, Annex V, entry 29; European Commission, CosIng export")
	assert.Equal(t, "Sodium Benzoate comes to 0.6 %, which is 0.5085 % counted as benzoic acid, and EU law (Annex V, entry 1) allows 0.5 %.", found[1].Message)
	assert.Equal(t, "Lower Sodium Benzoate to 0.589 % at most.", found[1].Mend)
}

// The checks are in the list of all checks.
func TestLegalIsRun(t *testing.T) {
	t.Parallel()
	s := sold(t, productOf(t, "lip balm"), read(t, "Phenoxyethanol 1.2 [preservative]"), read(t, "Sodium Borate 1 [emulsifier]"), read(t, "Petrolatum 5 [butter]"),
		read(t, "CI 77007 1 [colourant]"), read(t, "Linalool 1 [fragrance]"), dosed{&material.Material{Name: "Moss", Roles: []string{"botanical"}}, quantity.Int(1)})
	codes := make(map[string]bool)
	for _, f := range check.Run(s) {
		codes[f.Code+" "+f.Subject] = true
	}
	for _, want := range []string{
		"above-legal-maximum Phenoxyethanol", "banned-substance Sodium Borate", "restricted-see-entry Petrolatum", "colourant-use CI 77007",
		"allergen-to-declare Linalool", "unknown-material Moss",
	} {
		assert.True(t, codes[want], want)
	}
}

// A row from memory says so.
func TestLegalFromMemory(t *testing.T) {
	t.Parallel()
	s := sold(t, productOf(t, "face cream"), read(t, "Mercury 1 [active]"))
	found := inMarket(s, "US")
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Source, "from memory")
	assert.Contains(t, found[0].Message, "counted in full since it is not known how much mercury (Hg) that is")
}

// Annex III, entry 376: new products from 1 November 2025. Annex III, entry 373: from 1 February 2025. No day means the
// latest text known.
func TestLegalDates(t *testing.T) {
	t.Parallel()
	tests := []struct{ lines, on, want string }{
		{"Retinol 0.4 [active]", "2025-10-31", ""},
		{"Retinol 0.4 [active]", "2025-11-01", "EU above-legal-maximum Retinol 0.4/0.3, III/376"},
		{"Retinol 0.4 [active]", "", "EU above-legal-maximum Retinol 0.4/0.3, III/376"},
		{"Genistein 0.01 [active]", "2025-01-31", ""},
		{"Genistein 0.01 [active]", "2025-02-01", "EU above-legal-maximum Genistein 0.01/0.007, III/373"},
		{"Hexyl Salicylate 0.5 [fragrance]", "2026-04-30", ""},
		{"Hexyl Salicylate 0.5 [fragrance]", "2026-05-01", "EU above-legal-maximum Hexyl Salicylate 0.5/0.3, III/380"},
	}
	for _, test := range tests {
		t.Run(test.lines+" "+test.on, func(t *testing.T) {
			t.Parallel()
			s := sold(t, productOf(t, "face cream"), read(t, test.lines))
			if test.on != "" {
				day, err := time.Parse(time.DateOnly, test.on)
				require.NoError(t, err)
				s.On = day
			}
			assert.Equal(t, test.want, strings.Join(lawful(s), "; "))
		})
	}
}

// A limit that only rounding passes is the same finding, with the batches named.
func TestLegalAsWeighed(t *testing.T) {
	t.Parallel()
	s := sold(t, productOf(t, "hand cream"), read(t, "Phenoxyethanol 0.999 [preservative]"))
	for _, text := range []string{"35 g", "1 kg", "45 g"} {
		s.Batches = append(s.Batches, weighed(t, s, text))
	}
	found := inMarket(s, "EU") // on 0.1 g: 0.34965 g is weighed as 0.3 g, 9.99 g as 10.0 g, 0.44955 g as 0.4 g
	assert.Empty(t, found)
	s.Batches = append(s.Batches, weighed(t, s, "36 g"), weighed(t, s, "55 g")) // 0.35964 g as 0.4 g; 0.54945 g as 0.5 g
	found = inMarket(s, "EU")
	require.Len(t, found, 1)
	assert.Equal(t, "above-legal-maximum", found[0].Code)
	assert.Equal(t, "1.1111", found[0].Value)
	assert.Equal(t, "As it will be weighed for the batch of 36 g, Phenoxyethanol comes to 1.1111 %, and EU law (Annex V, entry 29) allows 1 %.", found[0].Message)
	assert.Equal(t, "Lower it a little, or make a batch that the scale reads more finely.", found[0].Mend)
}

// Raising an amount never takes a stop away, and cutting a line in two changes nothing.
func TestLegalProperties(t *testing.T) {
	t.Parallel()
	cupboard := []string{
		"Phenoxyethanol 1 [preservative]", "Blend 1 [preservative] Phenoxyethanol 70, Sorbic Acid 8, Caprylyl Glycol 22", "Sodium Benzoate 1 [preservative]",
		"Benzoic Acid 1 [preservative]", "Potassium Sorbate 1 [preservative]", "Salicylic Acid 1 [active preservative]", "Salicylic Acid 1 [preservative]", "Salicylic Acid 1 [active]",
		"Benzyl Alcohol 1 [preservative]", "Scent 1 [fragrance] Parfum 60, Benzyl Alcohol 30, Hydroxycitronellal 10", "Cetrimonium Chloride 1 [emulsifier]", "Cetrimonium Chloride 1 [preservative]",
		"Methylisothiazolinone 1 [preservative]", "Gel 1 [botanical] Aloe Barbadensis Leaf Juice 98, Phenoxyethanol 1, Sodium Benzoate 1", "Retinol 1 [active]", "Zinc Oxide 1 [active]",
		"Methylparaben 1 [preservative]", "Propylparaben 1 [preservative]", "Sodium Salicylate 1 []", "CI 45370 1 [colourant]", "CI 45350 1 [colourant]", "Sodium Borate 1 [emulsifier]",
	}
	names := slices.DeleteFunc(law.ProductNames(), func(name string) bool { p, _ := law.FindProduct(name); return p.Category == "not on skin" })
	rapid.Check(t, func(r *rapid.T) {
		p := productOf(r, rapid.SampledFrom(append(names, "")).Draw(r, "product"))
		var lines []dosed
		for _, line := range rapid.SliceOfNDistinct(rapid.SampledFrom(cupboard), 1, 5, rapid.ID[string]).Draw(r, "lines") {
			d := read(r, line)
			d.percent = quantity.Fraction(rapid.Int64Range(1, 40_000).Draw(r, "percent"), 10_000)
			lines = append(lines, d)
		}
		before := sold(r, p, lines...)
		which := rapid.IntRange(0, len(lines)-1).Draw(r, "which")

		more := slices.Clone(lines)
		more[which].percent = more[which].percent.Add(quantity.Fraction(rapid.Int64Range(1, 40_000).Draw(r, "more"), 10_000))
		now := stops(sold(r, p, more...))
		for _, stop := range stops(before) {
			assert.Contains(r, now, stop)
		}

		part := quantity.Fraction(rapid.Int64Range(1, 99).Draw(r, "part"), 100)
		cut := slices.Clone(lines)
		cut[which].percent = lines[which].percent.Mul(part)
		cut = slices.Insert(cut, which+1, dosed{lines[which].Material, lines[which].percent.Sub(cut[which].percent)})
		assert.Equal(r, lawful(before), lawful(sold(r, p, cut...)))
	})
}

// stops gives the stops by code, market and each substance that they name.
func stops(s *check.Subject) []string {
	var all []string
	for _, f := range inMarket(s, "") {
		if f.Level == check.Stop {
			for name := range strings.SplitSeq(strings.ReplaceAll(f.Subject, " and ", ", "), ", ") {
				all = append(all, f.Code+" "+f.Market+" "+name)
			}
		}
	}
	return all
}
