package law_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/law"
)

func on(t testing.TB, text string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, text)
	require.NoError(t, err)
	return d
}

func product(t testing.TB, name string) law.Product {
	t.Helper()
	p, ok := law.FindProduct(name)
	require.True(t, ok, name)
	return p
}

// reaching gives the rules of one duty and entry that reach a product, or may.
func reaching(t testing.TB, market, inci, type_, day string, a law.Applicability) []law.Rule {
	t.Helper()
	var out []law.Rule
	for _, r := range law.Find(market, inci, nil) {
		if r.Applies(product(t, type_), on(t, day)) == a {
			out = append(out, r)
		}
	}
	return out
}

// The paragraph stands beside each case: act, annex and entry, in the texts that the tables name.
func TestLimits(t *testing.T) {
	t.Parallel()
	tests := []struct {
		inci, product, day string
		entry, duty, most  string
	}{
		// Annex V, entry 1: wash-off 2.5, mouth 1.7, leave-on 0.5, as acid
		{"Sodium Benzoate", "shampoo", "2026-11-25", "V/1", law.AtMost, "2.5"},
		{"Sodium Benzoate", "toothpaste", "2026-11-25", "V/1", law.AtMost, "1.7"},
		{"Benzoic Acid", "hand cream", "2026-11-25", "V/1", law.AtMost, "0.5"},
		{"Benzoic Acid", "lip balm", "2026-11-25", "V/1", law.AtMost, "0.5"},
		{"Potassium Benzoate", "shampoo", "2026-11-25", "V/1a", law.AtMost, "0.5"},             // entry 1a
		{"Propionic Acid", "toner", "2026-11-25", "V/2", law.AtMost, "2"},                      // entry 2
		{"Salicylic Acid", "toner", "2026-11-25", "V/3", law.AtMost, "0.5"},                    // entry 3
		{"Salicylic Acid", "toothpaste", "2026-11-25", "V/3", law.Ban, "0"},                    // entry 3: not in the mouth
		{"Sodium Salicylate", "toothpaste", "2026-11-25", "V/3", law.AtMost, "0.5"},            // entry 3: the salts may
		{"Potassium Sorbate", "body lotion", "2026-11-25", "V/4", law.AtMost, "0.6"},           // entry 4
		{"o-Phenylphenol", "body wash", "2026-04-30", "V/7", law.AtMost, "0.2"},                // entry 7, old text
		{"o-Phenylphenol", "body lotion", "2026-05-01", "V/7", law.AtMost, "0.15"},             // entry 7, (EU) 2026/78
		{"Sodium o-Phenylphenate", "body wash", "2026-05-01", "V/7", law.AtMost, "0.2"},        // entry 7, (EU) 2026/78
		{"Sodium Metabisulfite", "balm", "2026-11-25", "V/9", law.AtMost, "0.2"},               // entry 9
		{"Chlorobutanol", "toner", "2026-11-25", "V/11", law.AtMost, "0.5"},                    // entry 11
		{"Methylparaben", "hand cream", "2026-11-25", "V/12", law.AtMost, "0.4"},               // entry 12, one ester
		{"Propylparaben", "hand cream", "2026-11-25", "V/12a", law.AtMost, "0.14"},             // entry 12a
		{"Dehydroacetic Acid", "face cream", "2026-11-25", "V/13", law.AtMost, "0.6"},          // entry 13
		{"Thimerosal", "hand cream", "2026-11-25", "V/16", law.Ban, "0"},                       // entry 16: eye products alone
		{"5-Bromo-5-Nitro-1,3-Dioxane", "shampoo", "2026-11-25", "V/20", law.AtMost, "0.1"},    // entry 20
		{"5-Bromo-5-Nitro-1,3-Dioxane", "hand cream", "2026-11-25", "V/20", law.Ban, "0"},      // entry 20: wash-off alone
		{"Dichlorobenzyl Alcohol", "balm", "2026-11-25", "V/22", law.AtMost, "0.15"},           // entry 22
		{"Triclosan", "toothpaste", "2026-11-25", "V/25", law.AtMost, "0.3"},                   // entry 25
		{"Triclosan", "body lotion", "2026-11-25", "V/25", law.Ban, "0"},                       // entry 25: not listed
		{"Imidazolidinyl Urea", "hand cream", "2026-11-25", "V/27", law.AtMost, "0.6"},         // entry 27
		{"Phenoxyethanol", "hand cream", "2026-11-25", "V/29", law.AtMost, "1"},                // entry 29
		{"Climbazole", "foot cream", "2026-11-25", "V/32", law.AtMost, "0.2"},                  // entry 32
		{"Climbazole", "shampoo bar", "2026-11-25", "V/32", law.AtMost, "0.5"},                 // entry 32
		{"Climbazole", "body lotion", "2026-11-25", "V/32", law.Ban, "0"},                      // entry 32: four products alone
		{"DMDM Hydantoin", "shampoo", "2026-11-25", "V/33", law.AtMost, "0.6"},                 // entry 33
		{"Benzyl Alcohol", "body lotion", "2026-11-25", "V/34", law.AtMost, "1"},               // entry 34
		{"Piroctone Olamine", "shampoo", "2026-11-25", "V/35", law.AtMost, "1"},                // entry 35
		{"Piroctone Olamine", "hair oil", "2026-11-25", "V/35", law.AtMost, "0.5"},             // entry 35
		{"Methylchloroisothiazolinone", "shampoo", "2026-11-25", "V/39", law.AtMost, "0.0015"}, // entry 39
		{"Methylisothiazolinone", "hand cream", "2026-11-25", "V/57", law.Ban, "0"},            // entry 57: wash-off alone
		{"Phenoxyisopropanol", "bar soap", "2026-11-25", "V/43", law.AtMost, "1"},              // entry 43
		{"Glutaral", "shampoo", "2026-11-25", "V/48", law.AtMost, "0.1"},                       // entry 48
		{"Chlorphenesin", "face cream", "2026-11-25", "V/50", law.AtMost, "0.3"},               // entry 50
		{"Iodopropynyl Butylcarbamate", "shampoo", "2026-11-25", "V/56", law.AtMost, "0.02"},   // entry 56 (a)
		{"Iodopropynyl Butylcarbamate", "toner", "2026-11-25", "V/56", law.AtMost, "0.01"},     // entry 56 (b)
		{"Iodopropynyl Butylcarbamate", "deodorant", "2026-11-25", "V/56", law.AtMost, "0.01"},
		{"Citric Acid (and) Silver Citrate", "toner", "2026-11-25", "V/59", law.AtMost, "0.2"}, // entry 59
		{"Phenyl Mercuric Acetate", "toner", "2026-11-25", "V/17", law.Ban, "0"},               // entry 17 (net): eye products alone
		// Annex III
		{"Ammonium Hydroxide", "shampoo", "2026-11-25", "III/4", law.AtMost, "6"},
		{"Sodium Carbonate Peroxide", "bath fizz", "2026-11-25", "III/12", law.AtMost, "4"},
		{"Hydrogen Peroxide", "hair mask", "2026-11-25", "III/12", law.AtMost, "12"},
		{"Zinc PCA", "deodorant", "2026-11-25", "III/24", law.AtMost, "1"},
		{"Tetrasodium Etidronate", "bar soap", "2026-11-25", "III/53", law.AtMost, "0.2"},
		{"Tetrasodium Etidronate", "shampoo", "2026-11-25", "III/53", law.AtMost, "1.5"},
		{"Tetrasodium Etidronate", "hand cream", "2026-11-25", "III/53", law.Ban, "0"},
		{"Triethanolamine", "hand cream", "2026-11-25", "III/62", law.AtMost, "2.5"},
		{"TEA-Oleate", "hand cream", "2026-11-25", "III/62", law.AtMost, "2.5"}, // a name of the whole annex
		{"Isoeugenol", "hand cream", "2026-11-25", "III/73", law.AtMost, "0.02"},
		{"Salicylic Acid", "shampoo", "2026-11-25", "III/98", law.AtMost, "3"},
		{"Salicylic Acid", "face cream", "2026-11-25", "III/98", law.AtMost, "2"},
		{"Salicylic Acid", "body lotion", "2026-11-25", "III/98", law.AtMost, "0.5"},
		{"Methyl Eugenol", "hand cream", "2026-11-25", "III/102", law.AtMost, "0.0002"},
		{"Methyl Eugenol", "bar soap", "2026-11-25", "III/102", law.AtMost, "0.001"},
		{"Methyl Salicylate", "hand cream", "2026-11-25", "III/324", law.AtMost, "0.06"},
		{"Methyl Salicylate", "lip balm", "2026-11-25", "III/324", law.AtMost, "0.03"},
		{"Methyl Salicylate", "hand wash", "2026-11-25", "III/324", law.AtMost, "0.6"},
		{"Methyl Salicylate", "body wash", "2026-11-25", "III/324", law.AtMost, "0.06"},
		{"Methyl Salicylate", "toothpaste", "2026-11-25", "III/324", law.AtMost, "2.52"},
		{"Cuminum Cyminum Oil", "body oil", "2026-11-25", "III/156", law.AtMost, "0.4"},
		{"Cetrimonium Chloride", "conditioner", "2026-11-25", "III/286", law.AtMost, "2.5"},
		{"Cetrimonium Chloride", "hair oil", "2026-11-25", "III/286", law.AtMost, "1"},
		{"Behentrimonium Chloride", "conditioner", "2026-11-25", "III/287", law.AtMost, "5"},
		{"BHT", "balm", "2026-11-25", "III/325", law.AtMost, "0.8"},
		{"Diethylene Glycol", "toner", "2026-11-25", "III/186", law.AtMost, "0.1"},
		{"Kojic Acid", "hand cream", "2026-11-25", "III/375", law.AtMost, "1"},
		{"Kojic Acid", "body lotion", "2026-11-25", "III/375", law.Ban, "0"},
		{"Alpha-Arbutin", "face cream", "2026-11-25", "III/377", law.AtMost, "2"},
		{"Alpha-Arbutin", "body lotion", "2026-11-25", "III/377", law.AtMost, "0.5"},
		{"Arbutin", "hand cream", "2026-11-25", "III/378", law.Ban, "0"},
		{"Retinyl Palmitate", "body lotion", "2026-11-25", "III/376", law.AtMost, "0.05"},
		{"Retinol", "face cream", "2026-11-25", "III/376", law.AtMost, "0.3"},
		{"Hexyl Salicylate", "hand cream", "2026-11-25", "III/380", law.AtMost, "0.3"},
		{"Hexyl Salicylate", "baby lotion", "2026-11-25", "III/380", law.AtMost, "0.1"},
		{"Laureth-9", "body wash", "2026-11-25", "III/257", law.AtMost, "4"}, // net
		{"Sodium Fluoride", "toothpaste", "2026-11-25", "III/31", law.AtMost, "0.15"},
		// Annex II
		{"Sodium Borate", "face cream", "2026-11-25", "II/1396", law.Ban, "0"},
		{"Formaldehyde", "shampoo", "2026-11-25", "II/1577", law.Ban, "0"},
		{"Zinc Pyrithione", "shampoo", "2026-11-25", "II/1670", law.Ban, "0"},
		{"Isobutylparaben", "toner", "2026-11-25", "II/1375", law.Ban, "0"},
		{"Butylphenyl Methylpropional", "bar soap", "2026-11-25", "II/1666", law.Ban, "0"},
		{"Lidocaine", "foot cream", "2026-11-25", "II/399", law.Ban, "0"}, // net
		// Annex VI
		{"Ethylhexyl Salicylate", "face cream", "2026-11-25", "VI/20", law.AtMost, "5"},
		{"Zinc Oxide", "balm", "2026-11-25", "VI/30", law.AtMost, "25"},
	}
	require.Greater(t, len(tests), 60)
	for _, test := range tests {
		about := test.inci + " in " + test.product + " on " + test.day
		found := slices.DeleteFunc(reaching(t, "EU", test.inci, test.product, test.day, law.Applies), func(r law.Rule) bool {
			return r.Entry != test.entry || r.Scope == "all-mixture"
		})
		if test.inci == "Iodopropynyl Butylcarbamate" && test.product == "deodorant" { // the general rule and its own
			require.Len(t, found, 2, about)
			assert.Equal(t, "0.0075", found[1].Max.String(), about) // entry 56 (c)
			found = found[:1]
		}
		if !assert.Len(t, found, 1, about) {
			continue
		}
		assert.Equal(t, test.duty, found[0].Duty, about)
		require.NotNil(t, found[0].Max, about)
		assert.Equal(t, test.most, found[0].Max.String(), about)
	}
}

// Words, certificates, declarations and what the product type does not tell.
func TestNoFigure(t *testing.T) {
	t.Parallel()
	tests := []struct {
		inci, product, entry, duty string
		want                       law.Applicability
	}{
		{"Sodium Hydroxide", "bar soap", "III/15a", law.Words, law.Unclear},         // (d): pH at most 11
		{"Methyl Salicylate", "deodorant", "III/324", law.AtMost, law.Unclear},      // (a) or (e): a spray or not
		{"Alpha-Arbutin", "face oil", "III/377", law.AtMost, law.Unclear},           // (a): face cream
		{"Titanium Dioxide", "body powder", "III/321", law.Words, law.Unclear},      // (c): not where it may be breathed in
		{"Titanium Dioxide", "hand cream", "III/321", law.Free, law.Applies},        // (c)
		{"Limonene", "hand cream", "III/88", law.Purity, law.Applies},               // peroxide value
		{"Abies Sibirica Oil", "bath oil", "III/106", law.Purity, law.Applies},      // peroxide value
		{"Linalool", "hand cream", "III/84", law.Declare, law.Applies},              // declaration alone
		{"Lavandula Angustifolia Oil", "balm", "III/360", law.Declare, law.Applies}, // (EU) 2023/1545
		{"Talc", "body powder", "III/59", law.Warn, law.Unclear},                    // (a): for children under 3
		{"Petrolatum", "balm", "II/904", law.Purity, law.Applies},                   // refining history
		{"Cocamide DEA", "shampoo", "III/60", law.Purity, law.Applies},              // secondary amine
		{"Safrole", "balm", "II/360", law.Words, law.Unclear},                       // what natural oils hold is let through
		{"Fluorescein", "bar soap", "II/1332", "", law.DoesNotApply},                // in hair dye
		{"Glycerin", "hand cream", "none", law.Free, law.Applies},
		{"Sodium Benzoate", "candle", "V/1", "", law.DoesNotApply}, // goes on no skin
		{"Formaldehyde", "room spray", "II/1577", "", law.DoesNotApply},
	}
	for _, test := range tests {
		found := reaching(t, "EU", test.inci, test.product, "2026-11-25", test.want)
		i := slices.IndexFunc(found, func(r law.Rule) bool {
			return r.Entry == test.entry && (test.duty == "" || r.Duty == test.duty)
		})
		assert.GreaterOrEqual(t, i, 0, "%s in %s: %v", test.inci, test.product, found)
	}
}

// The day before a change and the day of it, for products first sold then.
func TestDates(t *testing.T) {
	t.Parallel()
	tests := []struct {
		inci, product, entry, duty string
		day                        string
		want                       law.Applicability
		words                      string
	}{
		{"Retinol", "body lotion", "III/376", law.AtMost, "2025-10-31", law.DoesNotApply, ""}, // (EU) 2024/996
		{"Retinol", "body lotion", "III/376", law.AtMost, "2025-11-01", law.Applies, "Contains Vitamin A. Consider your daily intake before use"},
		{"DMDM Hydantoin", "shampoo", "V-preamble-2", law.Warn, "2024-07-30", law.Applies, "contains formaldehyde"}, // (EU) 2022/1181
		{"DMDM Hydantoin", "shampoo", "V-preamble-2", law.Warn, "2024-07-31", law.Applies, "releases formaldehyde"},
		{"Hexyl Salicylate", "balm", "III/380", law.AtMost, "2026-04-30", law.DoesNotApply, ""}, // (EU) 2026/78
		{"Hexyl Salicylate", "balm", "III/380", law.AtMost, "2026-05-01", law.Applies, ""},
		{"BHT", "balm", "III/325", law.AtMost, "2023-06-30", law.DoesNotApply, ""},
		{"BHT", "balm", "III/325", law.AtMost, "2023-07-01", law.Applies, ""},
		{"Kojic Acid", "body lotion", "III/375", law.Ban, "2025-01-31", law.DoesNotApply, ""}, // (EU) 2024/996
		{"Kojic Acid", "body lotion", "III/375", law.Ban, "2025-02-01", law.Applies, ""},
		{"Sodium o-Phenylphenate", "body wash", "V/7", law.AtMost, "2026-04-30", law.DoesNotApply, ""},
		{"Lavandula Angustifolia Oil", "balm", "III/360", law.Declare, "2026-07-31", law.DoesNotApply, ""}, // (EU) 2023/1545
		{"Lavandula Angustifolia Oil", "balm", "III/360", law.Declare, "2026-08-01", law.Applies, ""},
	}
	for _, test := range tests {
		about := test.inci + " on " + test.day
		found := slices.DeleteFunc(reaching(t, "EU", test.inci, test.product, test.day, law.Applies), func(r law.Rule) bool {
			return r.Entry != test.entry || r.Duty != test.duty
		})
		if test.want == law.DoesNotApply {
			assert.Empty(t, found, about)
			continue
		}
		if assert.Len(t, found, 1, about) {
			assert.Equal(t, test.words, found[0].LabelWords, about)
		}
	}
	// the time of day and its place change nothing
	r := law.Find("EU", "Retinol", nil)[0]
	assert.True(t, r.InForce(time.Date(2025, 11, 1, 0, 0, 0, 0, time.FixedZone("east", 12*3600))))
	assert.False(t, r.InForce(time.Date(2025, 10, 31, 23, 59, 59, 0, time.FixedZone("west", -12*3600))))
	assert.Equal(t, on(t, "2027-05-01"), r.StockUntil)
}

// Percent of a salt times its factor: potassium sorbate up to 0.6 / 0.7464 = 0.80 %.
func TestCounted(t *testing.T) {
	t.Parallel()
	tests := []struct {
		inci, percent, want string
		known               bool
	}{
		{"Potassium Sorbate", "0.8", "0.59712", true},
		{"sodium benzoate", "0.5", "0.42375", true},
		{"Benzoic Acid", "0.5", "0.5", true},
		{"Sodium Dehydroacetate monohydrate", "0.7", "0.56546", true},
		{"Phenoxyethanol", "1", "1", true},
		{"Zinc Glycinate", "1", "1", false}, // as zinc, and no factor is known
		{"Benzalkonium Chloride", "0.1", "0.1", true},
	}
	for _, test := range tests {
		got, known := law.Find("EU", test.inci, nil)[0].Counted(test.inci, number(t, test.percent))
		assert.Equal(t, test.want, got.String(), test.inci)
		assert.Equal(t, test.known, known, test.inci)
	}
	got, known := law.Find("EU", "DMDM Hydantoin", nil)[1].Counted("DMDM Hydantoin", number(t, "0.4"))
	assert.Equal(t, "0.4", got.String())
	assert.False(t, known, "released formaldehyde is not worked out")
	_, known = law.Find("EU", "Cocamide DEA", nil)[0].Counted("Cocamide DEA", number(t, "3"))
	assert.False(t, known, "secondary amine is not worked out")
}

// Substances that share a limit share its group.
func TestGroups(t *testing.T) {
	t.Parallel()
	tests := []struct {
		group string
		names []string
	}{
		{"sorbates", []string{"Sorbic Acid", "Potassium Sorbate"}},
		{"benzoic acid and sodium benzoate", []string{"Benzoic Acid", "Sodium Benzoate"}},
		{"other benzoates", []string{"Potassium Benzoate", "Ethyl Benzoate"}},
		{"methylparaben", []string{"Methylparaben", "Sodium Methylparaben"}},
		{"parabens", []string{"Methylparaben", "Sodium Ethylparaben", "Propylparaben", "Butylparaben", "Calcium Paraben"}},
		{"butyl- and propylparaben", []string{"Propylparaben", "Butylparaben"}},
		{"salicylic acid and its salts", []string{"Salicylic Acid", "Sodium Salicylate"}},
		{"formaldehyde releasers", []string{
			"DMDM Hydantoin", "Diazolidinyl Urea", "Imidazolidinyl Urea", "Methenamine", "2-Bromo-2-Nitropropane-1,3-Diol",
			"5-Bromo-5-Nitro-1,3-Dioxane", "Dimethyl Oxazolidine", "7-Ethylbicyclooxazolidine", "Benzylhemiformal",
			"Sodium Hydroxymethylglycinate",
		}},
		{"alkali hydroxides", []string{"Sodium Hydroxide", "Potassium Hydroxide", "Lithium Hydroxide"}},
		{"tagetes", []string{"Tagetes Minuta Flower Oil", "Tagetes Patula Flower Oil"}},
		{"retinoids", []string{"Retinol", "Retinyl Acetate", "Retinyl Palmitate"}},
		{"behentrimonium with cetrimonium and steartrimonium", []string{"Behentrimonium Chloride", "Cetrimonium Chloride", "Steartrimonium Chloride"}},
		{"mercury compounds", []string{"Thimerosal", "Phenyl Mercuric Acetate"}},
		{"titanium dioxide filters", []string{"Titanium Dioxide", "Titanium Dioxide (nano)"}},
		{"fluorides", []string{"Sodium Fluoride", "Sodium Monofluorophosphate"}},
		{"rose ketones", []string{"Alpha-Damascone", "Rose Ketone-5"}},
		{"zinc salts", []string{"Zinc PCA", "Zinc Sulfate"}},
	}
	for _, test := range tests {
		for _, name := range test.names {
			assert.True(t, slices.ContainsFunc(law.Find("EU", name, nil), func(r law.Rule) bool { return r.Group == test.group }), "%s: %s", test.group, name)
		}
	}
	single := law.Find("EU", "Ethylparaben", nil)
	assert.False(t, slices.ContainsFunc(single, func(r law.Rule) bool { return r.Group == "methylparaben" }))
}

// One substance, many spellings; several substances, one number.
func TestFind(t *testing.T) {
	t.Parallel()
	tests := []struct {
		market, inci string
		cas          []string
		entries      []string
	}{
		{"EU", "phenoxyethanol", nil, []string{"V/29"}},
		{"EU", " PHENOXY\u00adETHANOL ", nil, []string{"V/29"}},
		{"EU", "", []string{"122-99-6"}, []string{"V/29"}},
		{"EU", "a solvent by another name", []string{" 122-99-6 "}, []string{"V/29"}},
		{"EU", "Phenoxyethanol (and) Ethylhexylglycerin", nil, []string{"V/29", "none"}},
		{"EU", "Citrus Aurantium Bergamia (Bergamot) Peel Oil", nil, []string{"III/352"}},
		{"EU", "Lavandula angustifolia (lavender) oil", nil, []string{"III/360"}},
		{"EU", "Lavandula Angustifolia Flower / Leaf / Stem Extract", nil, []string{"III/360"}},
		{"EU", "CI 77007", nil, []string{"IV/120"}},
		{"EU", "C.I. 77007", nil, []string{"IV/120"}},
		{"EU", "CI77007", nil, []string{"IV/120"}},
		{"EU", "CI 15850:1", nil, []string{"IV/27"}},
		{"EU", "Sodium Sulphite", nil, []string{"III/99", "V/9"}},
		{"EU", "Quaternium-15", []string{"51229-78-8"}, []string{"II/1385"}},
		{"EU", "Lippia Citriodora Absolute", []string{"8024-12-2"}, []string{"III/196"}}, // II/450 has the same number
		{"EU", "Lippia Citriodora Oil", []string{"8024-12-2"}, []string{"II/450"}},
		{"EU", "Myroxylon Pereirae Oil", []string{"8007-00-9"}, []string{"III/154"}}, // II/1136 has the same number
		{"EU", "Titanium Dioxide", []string{"13463-67-7"}, []string{"III/321", "IV/143", "VI/27"}},
		{"EU", "Atranol", nil, []string{"II/1381"}},
		{"EU", "Peru Balsam", nil, []string{"II/1136"}},
		{"US", "Chloroform", nil, []string{"21 CFR 700.18"}},
		{"US", "Dichloromethane", []string{"75-09-2"}, []string{"21 CFR 700.19"}},
		{"US", "Bithionol", nil, []string{"21 CFR 700.11"}},
		{"US", "Tribromsalan", nil, []string{"21 CFR 700.15"}},
		{"US", "Hexachlorophene", nil, []string{"21 CFR 250.250"}},
		{"US", "Thimerosal", nil, []string{"21 CFR 700.13(d)"}},
		{"US", "Glycolic Acid", nil, []string{"CIR 1998"}},
		{"US", "Ultramarines", nil, []string{"21 CFR 73.2725"}},
		{"US", "Phenoxyethanol", nil, nil},
		{"UK", "Phenoxyethanol", nil, nil},
	}
	for _, test := range tests {
		var got []string
		for _, r := range law.Find(test.market, test.inci, test.cas) {
			assert.Equal(t, test.market, r.Market)
			got = append(got, r.Entry)
		}
		slices.Sort(got)
		assert.Equal(t, test.entries, slices.Compact(got), "%s %q %v", test.market, test.inci, test.cas)
	}
}

// A name that only resembles an entry finds nothing.
func TestNearNames(t *testing.T) {
	t.Parallel()
	for _, name := range []string{
		"", " ", "Phenoxyethano", "Phenoxyethanols", "Phenoxy", "ethanol", "Sodium", "Benzoate", "Sodium Benzoate Extract",
		"Methyl", "Paraben", "Retinal", "Retinyl", "Behentrimonium Methosulfate", "Zinc Ricinoleate", "Zinc Stearat",
		"Potassium", "Salicylic", "Lavandula Latifolia Oil", "Lavandula", "Rosa Canina Seed Oil", "Citrus", "Peel Oil",
		"Coco-Caprylate", "Cetearyl Alcohol", "Aqua", "Parfum", "CI", "CI 7700", "CI 770077", "Acid", "N", "Nano",
		"Glyceryl Stearate", "Tocopherol", "Mica (and) Nothing", "II/1577", "50-00-0",
	} {
		assert.Empty(t, law.Find("EU", name, nil), "%q", name)
	}
	for _, cas := range []string{"", "122-99", "122-99-60", "0122-99-6", "not a number"} {
		assert.Empty(t, law.Find("EU", "", []string{cas}), "%q", cas)
	}
}

// The US has no list of preservatives; its rules on other ingredients (21 CFR 250 and 700).
func TestUS(t *testing.T) {
	t.Parallel()
	tests := []struct {
		inci, product, duty, most string
		want                      law.Applicability
	}{
		{"Chloroform", "toothpaste", law.Ban, "0", law.Applies},                              // 21 CFR 700.18
		{"Mercury", "hand cream", law.AtMost, "0.0001", law.Applies},                         // 21 CFR 700.13(d)
		{"Hexachlorophene", "bar soap", law.AtMost, "0.1", law.Applies},                      // 21 CFR 250.250
		{"Hexachlorophene", "lip balm", law.Ban, "0", law.Applies},                           // 21 CFR 250.250
		{"Vinyl Chloride", "body mist", law.Ban, "0", law.Unclear},                           // 21 CFR 700.14
		{"Aluminum Zirconium Tetrachlorohydrex Gly", "deodorant", law.Ban, "0", law.Unclear}, // 21 CFR 700.16
		{"Tallow", "bar soap", law.Purity, "0.15", law.Applies},                              // 21 CFR 700.27
		{"Glycolic Acid", "toner", law.Advice, "10", law.Applies},                            // CIR 1998
		{"Chromium Oxide Greens", "lip balm", law.Ban, "0", law.Applies},                     // 21 CFR 73.2327
		{"CI 77288", "bar soap", law.Free, "", law.Applies},                                  // 21 CFR 73.2327
		{"CI 17200", "lip balm", law.AtMost, "3", law.Applies},                               // 21 CFR 74.2333
		{"CI 45370", "lip balm", law.AtMost, "5", law.Applies},                               // 21 CFR 74.2255
		{"CI 74160", "bar soap", law.Ban, "0", law.Applies},                                  // no listing
		{"Red 40", "bath fizz", law.Free, "", law.Applies},                                   // 21 CFR 74.2340
		{"Activated Charcoal", "bar soap", law.Words, "", law.Unclear},                       // no listing as a colour
		{"Henna", "hair mask", law.Words, "", law.Unclear},                                   // 21 CFR 73.2190
	}
	for _, test := range tests {
		found := reaching(t, "US", test.inci, test.product, "2026-11-25", test.want)
		i := slices.IndexFunc(found, func(r law.Rule) bool {
			return r.Duty == test.duty && (test.most == "" && r.Max == nil || r.Max != nil && r.Max.String() == test.most)
		})
		assert.GreaterOrEqual(t, i, 0, "%s in %s: %v", test.inci, test.product, found)
	}
}

// A product of no known type is reached by what reaches all, and leaves the rest open.
func TestUnknownProduct(t *testing.T) {
	t.Parallel()
	day := on(t, "2026-11-25")
	assert.Equal(t, law.Applies, law.Find("EU", "Phenoxyethanol", nil)[0].Applies(law.Product{}, day))
	assert.Equal(t, law.Applies, law.Find("EU", "Formaldehyde", nil)[0].Applies(law.Product{}, day))
	for _, r := range law.Find("EU", "Sodium Benzoate", nil) {
		assert.Equal(t, law.Unclear, r.Applies(law.Product{}, day), r.Scope)
	}
	assert.Equal(t, "unclear", law.Unclear.String())
	assert.Equal(t, "applies", law.Applies.String())
	assert.Equal(t, "does not apply", law.DoesNotApply.String())
}

// Every rule answers for every product type; and of the scopes of an entry that hold what the others leave, none
// reaches a product that another one reaches.
func TestAppliesEverywhere(t *testing.T) {
	t.Parallel()
	day := on(t, "2026-11-25")
	for _, r := range law.Rules() {
		for _, name := range law.ProductNames() {
			p := product(t, name)
			a := r.Applies(p, day)
			if p.Category == "not on skin" {
				require.Equal(t, law.DoesNotApply, a, "%s %s", r.Entry, name)
			}
			if r.Scope == law.Elsewhere && a == law.Applies {
				for _, other := range law.Find(r.Market, r.Names[0], nil) {
					if other.Entry == r.Entry && other.Scope != law.Elsewhere && other.Names[0] == r.Names[0] && other.InForce(day) {
						require.Equal(t, law.DoesNotApply, other.Applies(p, day), "%s %s", r.Entry, name)
					}
				}
			}
		}
	}
}

func FuzzFind(f *testing.F) {
	for _, seed := range []string{
		"Phenoxyethanol", "CI 77891", "C.I. No. 15850:1", "Citric Acid (and) Silver Citrate", "(and)", "(and)(and)", "/ / -",
		"Prunus Amygdalus Dulcis (Sweet Almond) Oil", "50-00-0", "\xff\xfe", "\ufeffRetinol\r\n", "İ", "ci", "c.i.12345:99",
	} {
		f.Add(seed, "50-00-0")
	}
	f.Fuzz(func(t *testing.T, name, cas string) {
		for _, market := range []string{"EU", "US", name} {
			first := law.Find(market, name, []string{cas})
			again := law.Find(market, name, []string{cas})
			require.Len(t, again, len(first))
			for i, r := range first {
				require.Equal(t, r.Entry+r.Scope, again[i].Entry+again[i].Scope)
				require.Equal(t, market, r.Market)
				own := law.Find(market, append(slices.Clone(r.Names), "")[0], r.CAS) // each rule is found by what it is for
				require.True(t, slices.ContainsFunc(own, func(o law.Rule) bool { return o.Entry == r.Entry && o.Scope == r.Scope }))
			}
		}
	})
}

// A list of thirty ingredients, as a check asks for it; the index is built once.
func BenchmarkFind(b *testing.B) {
	names := []string{
		"Aqua", "Glycerin", "Cetearyl Alcohol", "Caprylic/Capric Triglyceride", "Butyrospermum Parkii Butter",
		"Prunus Amygdalus Dulcis (Sweet Almond) Oil", "Glyceryl Stearate", "Sodium Stearoyl Lactylate", "Panthenol",
		"Xanthan Gum", "Phenoxyethanol", "Ethylhexylglycerin", "Potassium Sorbate", "Sodium Benzoate", "Citric Acid",
		"Sodium Hydroxide", "Tocopherol", "Helianthus Annuus Seed Oil", "Parfum", "Linalool", "Limonene", "Geraniol",
		"Citral", "Lavandula Angustifolia Oil", "CI 77491", "CI 77891", "Mica", "Allantoin", "Disodium EDTA", "Benzyl Alcohol",
	}
	law.Find("EU", "Aqua", nil)
	b.ReportAllocs()
	for b.Loop() {
		for _, name := range names {
			law.Find("EU", name, nil)
		}
	}
}

// Names of a group ban and of lists that are closed, after the text of Annex II, entries 221, 300 and 360, and Annex III, entry 2.
func TestGroupBans(t *testing.T) {
	t.Parallel()
	tests := []struct{ inci, product, entry, duty string }{
		{"Calomel", "balm", "II/221", law.Ban},
		{"Mercurous Chloride", "shampoo", "II/221", law.Ban},
		{"Thimerosal", "balm", "II/221", law.Ban},
		{"Hydrocortisone", "balm", "II/300", law.Ban},
		{"Ammonium Thioglycolate", "body lotion", "III/2a", law.Ban},
		{"Ethyl Thioglycolate", "shampoo", "III/2b", law.Ban},
		{"Safrole", "balm", "II/360", law.AtMost},
	}
	for _, test := range tests {
		found := reaching(t, "EU", test.inci, test.product, "2026-11-25", law.Applies)
		assert.True(t, slices.ContainsFunc(found, func(r law.Rule) bool { return r.Entry == test.entry && r.Duty == test.duty }), "%s: %v", test.inci, found)
	}
	open := reaching(t, "EU", "Thioglycolic Acid", "shampoo", "2026-11-25", law.Applies)
	assert.False(t, slices.ContainsFunc(open, func(r law.Rule) bool { return r.Duty == law.Ban }), "2 % in hair products that are rinsed off")
}

func TestContents(t *testing.T) {
	t.Parallel()
	got := law.Contents("Gaultheria Procumbens (Wintergreen) Leaf Oil")
	require.Len(t, got, 1)
	assert.Equal(t, "Methyl Salicylate", got[0].Substance)
	assert.Equal(t, "98", got[0].Percent.String())
	assert.Nil(t, law.Contents("Basil oil")[0].Percent)
	assert.Equal(t, "memory", got[0].Status)
	assert.Contains(t, got[0].Source, "from memory")
	assert.Empty(t, law.Contents("Rosa Canina Fruit Oil"))
}
