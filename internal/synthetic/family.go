package synthetic

// A family is a kind of ingredient that can stand for others of its kind in a formula.
type family string

const (
	water        family = "water"
	hydrosol     family = "hydrosol"
	humectant    family = "humectant"
	oil          family = "oil"
	butter       family = "butter"
	wax          family = "wax"
	alcohol      family = "alcohol"
	fattyAlcohol family = "fatty alcohol"
	emulsifier   family = "emulsifier"
	solubiliser  family = "solubiliser"
	thickener    family = "thickener"
	chelator     family = "chelator"
	preservative family = "preservative"
	antioxidant  family = "antioxidant"
	extract      family = "extract"
	active       family = "active"
	protein      family = "protein"
	fragrance    family = "fragrance"
	essential    family = "essential oil"
	clay         family = "clay"
	starch       family = "starch"
	salt         family = "salt"
	sugar        family = "sugar"
	petals       family = "petals"
	surfactant   family = "surfactant"
	detergent    family = "detergent"
	amphoteric   family = "amphoteric"
	colour       family = "colour"
)

// slots has the families of the first ingredients of a handbook, over and over.
var slots = [...]family{
	water, humectant, preservative, oil, fragrance, extract, butter, emulsifier, oil, active,
	fragrance, wax, extract, oil, humectant, antioxidant, fragrance, clay, oil, protein,
	surfactant, hydrosol, fragrance, oil, butter, essential, thickener, fragrance, oil, extract,
	salt, active, fragrance, oil, essential, wax, fragrance, oil, extract, fragrance,
}

// common gives the materials of the catalogue that recipes take, by their names there.
func common(f family) []string {
	switch f {
	case water:
		return []string{"Distilled water"}
	case hydrosol:
		return []string{"Rose hydrosol", "Lavender hydrosol", "Orange blossom hydrosol", "Chamomile hydrosol"}
	case humectant:
		return []string{"Vegetable glycerin", "Propanediol 1,3 (plant)", "Sodium lactate 60 %", "Butylene glycol", "Sodium PCA 50 %"}
	case oil:
		return []string{
			"Sunflower oil, high oleic", "Sweet almond oil", "Apricot kernel oil", "Olive oil", "Rice bran oil", "Avocado oil", "Grapeseed oil",
			"Jojoba oil, golden", "Camellia seed oil", "Macadamia nut oil", "Meadowfoam seed oil", "Safflower oil, high oleic", "Caprylic/capric triglyceride",
			"Argan oil", "Baobab oil", "Moringa oil", "Sesame oil", "Hemp seed oil", "Calendula infused oil", "Marula oil",
		}
	case butter:
		return []string{"Shea butter, refined", "Mango butter", "Cocoa butter, natural", "Kokum butter", "Cupuacu butter", "Murumuru butter", "Shea butter, unrefined"}
	case wax:
		return []string{"Beeswax, yellow", "Beeswax, white (bleached)", "Candelilla wax", "Rice bran wax"}
	case alcohol:
		return []string{"Denatured ethanol"}
	case fattyAlcohol:
		return []string{"Cetyl alcohol", "Cetearyl alcohol", "Stearyl alcohol"}
	case emulsifier:
		return []string{
			"Emulsifying wax NF (cetearyl alcohol & polysorbate 60)", "Cetearyl olivate & sorbitan olivate blend", "Glyceryl stearate & PEG-100 stearate blend",
			"Cetearyl alcohol & ceteareth-20 blend", "Cetearyl alcohol & cetearyl glucoside blend",
		}
	case solubiliser:
		return []string{"Polysorbate 20", "Polysorbate 80"}
	}
	return commonRest(f)
}

func commonRest(f family) []string {
	switch f {
	case thickener:
		return []string{"Xanthan gum", "Sclerotium gum", "Hydroxyethylcellulose"}
	case chelator:
		return []string{"Sodium gluconate", "Sodium phytate (50 % in water)", "Disodium EDTA"}
	case preservative:
		return []string{"Phenoxyethanol & ethylhexylglycerin blend", "Benzyl alcohol & dehydroacetic acid blend"}
	case antioxidant:
		return []string{"Vitamin E oil (mixed tocopherols)", "Rosemary extract antioxidant (oil soluble)"}
	case extract:
		return []string{"Green tea extract, glycerite", "Cucumber extract, glycerite", "Aloe vera powder 200:1"}
	case active:
		return []string{"Allantoin", "D-panthenol 75 % liquid", "Bisabolol", "Niacinamide", "Vitamin E acetate"}
	case protein:
		return []string{"Hydrolysed oat protein", "Hydrolysed rice protein", "Hydrolysed silk protein"}
	case essential:
		return []string{
			"Lavender essential oil", "Sweet orange essential oil", "Cedarwood essential oil, Atlas", "Frankincense essential oil", "Patchouli essential oil",
			"Petitgrain essential oil", "Rosemary essential oil", "Geranium essential oil", "Spearmint essential oil",
		}
	case clay:
		return []string{"Kaolin, white", "Pink clay", "French green clay (illite)", "Rhassoul clay"}
	case starch:
		return []string{"Arrowroot powder", "Cornstarch"}
	case salt:
		return []string{"Epsom salt", "Sea salt", "Dead Sea salt", "Himalayan pink salt"}
	case sugar:
		return []string{"White sugar", "Brown sugar"}
	case petals:
		return []string{"Lavender buds, dried", "Calendula petals, dried", "Rose petals, dried", "Chamomile flowers, dried"}
	case surfactant:
		return []string{"Coco-glucoside 50 %", "Decyl glucoside 50 to 55 %", "Sodium cocoamphoacetate 40 %", "Sodium methyl cocoyl taurate 30 %"}
	case detergent:
		return []string{"Sodium cocoyl isethionate (powder or noodles)"}
	case amphoteric:
		return []string{"Cocamidopropyl betaine 30 %"}
	case colour:
		return []string{"Mica pearl pigment", "Iron oxide, red", "Iron oxide, yellow"}
	}
	return nil
}

// A making is how ingredients of a family are invented.
type making struct {
	nouns []string // after a place's name
	role  string
	inci  []string // one is taken, in YAML
	facts string   // lines of front matter that all have
	most  int      // the usual most in leave-on products, in hundredths of a percent
	price int      // in the middle, in pence for a kilogram
}

// makingOf gives how to invent an ingredient. The figures are invented too, within what is usual of the kind.
func makingOf(f family) making {
	switch f {
	case oil:
		return making{
			[]string{"seed oil", "pressed oil", "kernel oil", "field oil", "blended oil", "golden oil"},
			"oil",
			[]string{"{Helianthus Annuus Seed Oil: 60 %, Prunus Armeniaca Kernel Oil: 40 %}", "{Olea Europaea Fruit Oil: 70 %, Persea Gratissima Oil: 30 %}", "{Brassica Campestris Seed Oil: 100 %}"},
			"dissolves: oil\ndensity: {value: 0.918 g/ml, source: supplier's sheet}\nrequired-hlb: {value: 6–8, source: supplier's sheet}\n" +
				"saponification: {value: 188–192, source: supplier's sheet}\niodine: {value: 80–96, source: supplier's sheet}\norigin: plant\n", 10000, 1400,
		}
	case butter:
		return making{
			[]string{"nut butter", "hard butter", "soft butter", "seed butter", "whipping butter", "white butter"},
			"butter",
			[]string{"{Butyrospermum Parkii Butter: 80 %, Theobroma Cacao Seed Butter: 20 %}", "{Mangifera Indica Seed Butter: 100 %}"},
			"dissolves: oil\ndensity: {value: 0.91 g/ml, source: from memory}\nmelts: 31–38 °C\nrequired-hlb: 8\nsaponification: 184–192\niodine: 45–60\norigin: plant\n", 6000, 1900,
		}
	case wax:
		return making{
			[]string{"hive wax", "leaf wax", "candle wax", "hard wax", "stem wax", "bloom wax"},
			"wax",
			[]string{"{Cera Alba: 100 %}", "{Euphorbia Cerifera Cera: 60 %, Oryza Sativa Bran Cera: 40 %}"},
			"dissolves: oil\nmelts: {value: 62–69 °C, source: supplier's sheet}\nrequired-hlb: 10–12\norigin: plant\n", 3000, 2300,
		}
	case fragrance:
		return making{
			[]string{"blossom fragrance", "wood fragrance", "orchard fragrance", "moss fragrance", "hearth fragrance", "linen fragrance", "spice fragrance", "rain fragrance"},
			"fragrance",
			[]string{"{Parfum: 100 %}"},
			"dissolves: oil\ndensity: {value: 0.96 g/ml, source: supplier's sheet}\nheat-limit: {value: 60 °C, source: supplier's sheet}\norigin: synthetic\n", 200, 16000,
		}
	case essential:
		return making{
			[]string{"needle oil", "twig oil", "herb oil", "flower oil", "bark oil", "root oil"},
			"[essential-oil, fragrance]",
			[]string{"{Pinus Sylvestris Leaf Oil: 100 %}", "{Abies Sibirica Oil: 100 %}"},
			"dissolves: oil\ndensity: 0.89 g/ml\nheat-limit: 45 °C\nphototoxic: {value: 4 %, source: supplier's sheet}\norigin: plant\n", 200, 24000,
		}
	case humectant:
		return making{
			[]string{"sugar humectant", "dew concentrate", "moisture blend", "sap humectant", "syrup humectant", "barley humectant"},
			"humectant",
			[]string{"{Glycerin: 60 %, Aqua: 30 %, Betaine: 10 %}", "{Sorbitol: 70 %, Aqua: 30 %}"},
			"dissolves: water\ndensity: {value: 1.22 g/ml, source: supplier's sheet}\nph: 5–7\norigin: plant\n", 1000, 900,
		}
	}
	return makingOfRest(f)
}

func makingOfRest(f family) making {
	switch f {
	case extract:
		return making{
			[]string{"leaf extract", "berry extract", "flower glycerite", "root extract", "bud glycerite", "bark infusion"},
			"botanical",
			[]string{"{Glycerin: 70 %, Aqua: 25 %, Rosa Canina Fruit Extract: 5 %}", "{Glycerin: 60 %, Aqua: 37 %, Urtica Dioica Leaf Extract: 3 %}"},
			"dissolves: water\nheat-limit: {value: 40 °C, source: supplier's sheet}\nph: 4–7\norigin: plant\n", 500, 3800,
		}
	case active:
		return making{
			[]string{"ferment", "comfort complex", "oat lipid", "calm concentrate", "peptide blend", "mineral active"},
			"active",
			[]string{"{Aqua: 80 %, Saccharomyces Ferment: 20 %}", "{Glycerin: 90 %, Beta-Glucan: 10 %}"},
			"dissolves: water\nheat-limit: 40 °C\nph: {value: 4.5–7, source: supplier's sheet}\norigin: synthetic\n", 300, 9500,
		}
	case emulsifier:
		return making{
			[]string{"emulsifying wax", "cream maker", "emulsifying base", "lotion wax", "cold emulsifier", "olive emulsifier"},
			"emulsifier",
			[]string{"{Cetearyl Alcohol: 70 %, Glyceryl Stearate: 20 %, Sodium Stearoyl Lactylate: 10 %}", "{Glyceryl Stearate: 55 %, Cetearyl Alcohol: 45 %}"},
			"dissolves: oil\nhlb: {value: 8, source: supplier's sheet}\nmelts: 56–62 °C\norigin: plant\n", 800, 1700,
		}
	case surfactant:
		return making{
			[]string{"foam", "mild wash", "wash base", "lather", "gentle foam", "thick foam"},
			"surfactant",
			[]string{"{Aqua: 50 %, Coco-Glucoside: 50 %}", "{Aqua: 60 %, Lauryl Glucoside: 40 %}"},
			"dissolves: water\ndensity: 1.07 g/ml\nph: {value: 4–9, source: supplier's sheet}\norigin: plant\n", 3000, 800,
		}
	case preservative:
		return making{
			[]string{"preserver", "guard", "keeping blend", "shelf guard", "keeper", "jar guard"},
			"preservative",
			[]string{"{Phenoxyethanol: 90 %, Ethylhexylglycerin: 10 %}"},
			"dissolves: either\nheat-limit: 45 °C\nph: {value: 3–8, source: supplier's sheet}\nprotects: {bacteria: good, yeast: moderate, mould: moderate}\norigin: synthetic\n", 110, 4800,
		}
	case thickener:
		return making{
			[]string{"gum", "clear gum", "root gum", "gel powder", "seed gum", "soft gum"},
			"[thickener, stabiliser]",
			[]string{"{Xanthan Gum: 50 %, Cyamopsis Tetragonoloba Gum: 50 %}"},
			"dissolves: water\nph: 4–9\norigin: plant\n", 100, 2600,
		}
	}
	return makingOfLast(f)
}

func makingOfLast(f family) making {
	switch f {
	case protein:
		return making{
			[]string{"oat protein", "pea protein", "barley protein", "wheat protein", "bean protein", "seed protein"},
			"protein",
			[]string{"{Aqua: 78 %, Hydrolyzed Oat Protein: 22 %}"},
			"dissolves: water\ncontains: [cereals containing gluten]\norigin: plant\n", 400, 3300,
		}
	case clay:
		return making{
			[]string{"white clay", "river clay", "hill clay", "red clay", "lake clay", "blue clay"},
			"clay",
			[]string{"{Kaolin: 100 %}", "{Illite: 100 %}"},
			"dissolves: neither\norigin: mineral\n", 1000, 600,
		}
	case salt:
		return making{
			[]string{"bath salt", "spring salt", "flake salt", "grey salt", "well salt", "coarse salt"},
			"salt",
			[]string{"{Magnesium Sulfate: 100 %}", "{Maris Sal: 100 %}"},
			"dissolves: water\norigin: mineral\n", 5000, 250,
		}
	case antioxidant:
		return making{
			[]string{"oil keeper", "seed antioxidant", "leaf antioxidant", "oil saver", "stem antioxidant", "freshness blend"},
			"antioxidant",
			[]string{"{Tocopherol: 70 %, Helianthus Annuus Seed Oil: 30 %}"},
			"dissolves: oil\ndensity: 0.94 g/ml\norigin: plant\n", 200, 5200,
		}
	}
	m := making{
		[]string{"flower water", "herb water", "leaf water", "petal water", "moss water", "rain water"},
		"water",
		[]string{"{Aqua: 99.5 %, Rosa Damascena Flower Water: 0.5 %}", "{Lavandula Angustifolia Flower Water: 100 %}"},
		"dissolves: water\ndensity: {value: 1 g/ml, source: from memory}\nheat-limit: 80 °C\norigin: plant\n", 9000, 700,
	}
	if f == water {
		m.nouns, m.inci = []string{"spring water", "boiled water", "well water", "filtered water", "soft water", "still water"}, []string{"{Aqua: 100 %}"}
	}
	return m
}
