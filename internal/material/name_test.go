package material

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/spell"
)

// shared are the other names that several materials have in the trade.
var shared = []string{"sugar surfactant", "ci 77007", "vitamin e"}

func TestEachNameFindsItself(t *testing.T) {
	t.Parallel()
	c := Common()
	for _, m := range c.Materials() {
		for _, name := range append([]string{m.Name}, m.Also...) {
			if slices.Contains(shared, Key(name)) {
				assert.Greater(t, len(c.Candidates(name)), 1, name)
				assert.Contains(t, c.Candidates(name), m, name)
				continue
			}
			assert.Same(t, m, c.Find(name), name)
		}
	}
}

// TestLooseFormsMeanOne sees that no two materials have names that differ only in spelling, number or the order of words.
func TestLooseFormsMeanOne(t *testing.T) {
	t.Parallel()
	s := Common().shelf
	for _, forms := range []map[string][]*Material{s.exact, s.joined, s.sorted} {
		for key, found := range forms {
			if len(found) > 1 {
				assert.Contains(t, []string{"sugar surfactant", "sugarsurfactant", "ci 77007", "ci77007", "77007 ci", "vitamin e", "vitamine", "e vitamin"}, key)
			}
		}
	}
}

func TestFind(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, id string }{
		{"olive oil", "olive-oil"},
		{"OLIVE  Oil", "olive-oil"},
		{"oil, olive", "olive-oil"},
		{"olive oils", "olive-oil"},
		{"almond oils", "almond-oil-sweet"},
		{"olive squalane", ""},
		{"olive", ""},
		{"oil", ""},
		{"", ""},
		{"???", ""},
		{"oil of lavender", ""},
		{"lavender", ""},
		{"lavender oil", "lavender-oil"},
		{"Lavender essential oils", "lavender-oil"},
		{"lavender flower water", ""},
		{"lavender water", "hydrosol-lavender"},
		{"Lavandula Angustifolia (Lavender) Oil", "lavender-oil"},
		{"Lavandula angustifolia oil", "lavender-oil"},
		{"refined shea butter", "shea-butter-refined"},
		{"unrefined shea butter", "shea-butter-unrefined"},
		{"Shea butter (refined)", "shea-butter-refined"},
		{"Karité", "shea-butter-unrefined"},
		{"shea butter", ""},
		{"beeswax", ""},
		{"yellow beeswax", "beeswax-yellow"},
		{"bees wax, yellow", "beeswax-yellow"},
		{"Cera alba", "beeswax-white"}, // the name of the bleached wax in the trade
		{"coconut oil", ""},
		{"virgin coconut oil", "coconut-oil-virgin"},
		{"coconut 76", "coconut-oil-refined"},
		{"coconut oil, refined", "coconut-oil-refined"},
		{"lemon oil", ""},
		{"vitamin e", ""},
		{"Vitamin E oil", "vitamin-e-mixed-tocopherols"},
		{"vitamin e acetate", "tocopheryl-acetate"},
		{"Tocopherol", "vitamin-e-mixed-tocopherols"},
		{"wheatgerm oil", "wheat-germ-oil"},
		{"grape-seed oil", "grapeseed-oil"},
		{"hemp seed oil", "hemp-seed-oil"},
		{"rose hip seed oil", "rosehip-oil"},
		{"cupuaçu butter", "cupuacu-butter"},
		{"sodium coco sulphate needles", ""},
		{"sodium coco sulphate", "sodium-coco-sulfate"},
		{"Magnesium sulphate heptahydrate", "epsom-salt"},
		{"magnesium aluminum silicate", "magnesium-aluminum-silicate"},
		{"hydrolyzed oat protein", "hydrolyzed-oat-protein"},
		{"hydrolysed silk protein", "hydrolyzed-silk"},
		{"vanillin stabilizer", "vanilla-stabiliser"},
		{"glycerine", "glycerin"},
		{"glycerin", "glycerin"},
		{"glycerins", "glycerin"},
		{"vegetable glycerine", "glycerin"},
		{"deionized water", "distilled-water"},
		{"water", "distilled-water"},
		{"aqua", "distilled-water"},
		{"rose water", "hydrosol-rose"},
		{"camomile hydrosol", "hydrosol-chamomile"},
		{"soya bean oil", "soybean-oil"},
		{"phenoxyethanol and ethylhexylglycerin", "phenoxyethanol-ethylhexylglycerin"},
		{"ethylhexylglycerin & phenoxyethanol", "phenoxyethanol-ethylhexylglycerin"},
		{"phenoxyethanol", "phenoxyethanol"},
		{"cetearyl olivate & sorbitan olivate", "olivate-emulsifier"},
		{"BTMS 50", "btms-50"},
		{"btms50", "btms-50"},
		{"btms", ""},
		{"polysorbate80", "polysorbate-80"},
		{"polysorbate", ""},
		{"C12–15 alkyl benzoate", "c12-15-alkyl-benzoate"},
		{"1,3 propanediol", "propanediol"},
		{"propanediol", "propanediol"},
		{"1,2-propanediol", "propylene-glycol"},
		{"decyl glucoside", "decyl-glucoside"},
		{"Cocamidopropyl Betaine", "cocamidopropyl-betaine"},
		{"betaine", "betaine"},
		{"lactic acid", "lactic-acid-80"},
		{"sodium hydroxide", "sodium-hydroxide"},
		{"sodium hydroxide 50 %", ""},
		{"sodium hydroxide 50 % solution", "sodium-hydroxide-solution-50"},
		{"NaOH", "sodium-hydroxide"},
		{"lye", ""},
		{"potassium hydroxide", "potassium-hydroxide"},
		{"perfumers alcohol", "ethanol-denatured"},
		{"perfumer’s alcohol", "ethanol-denatured"},
		{"fullers earth", "fullers-earth"},
		{"stearic acid", "stearic-acid"},
		{"stearyl alcohol", "stearyl-alcohol"},
		{"cetyl alcohol", "cetyl-alcohol"},
		{"alcohol", ""},
		{"emulsifying wax", "emulsifying-wax-nf"},
		{"emulsifying wax BP", "emulsifying-wax-bp"},
		{"tea tree oil", "tea-tree-oil"},
		{"tea seed oil", "camellia-oil"},
		{"DHA", ""},
		{"black pepper", ""},
		{"corn flour", ""},
		{"sunflower oil", ""},
		{"high oleic sunflower oil", "sunflower-oil-high-oleic"},
		{"iron oxide", ""},
		{"red iron oxide", "iron-oxide-red"},
		{"Sodium Chloride", "table-salt"},
		{"Jojoba oil", "jojoba-oil"},
		{"hydrogenated jojoba oil", "jojoba-beads"},
		{"Helianthus Annuus Seed Oil", ""},
		{"palm oil", "palm-oil"},
		{"palm kernel oil", "palm-kernel-oil"},
		{"Kernel oil, palm", "palm-kernel-oil"},
		{"zinc oxide", "zinc-oxide"},
	} {
		got := ""
		if m := Common().Find(row.name); m != nil {
			got = m.ID
		}
		assert.Equal(t, row.id, got, row.name)
	}
}

func TestCandidates(t *testing.T) {
	t.Parallel()
	for name, want := range map[string][]string{
		"shea butter":                {"shea-butter-refined", "shea-butter-unrefined"},
		"Iron oxides":                {"iron-oxide-black", "iron-oxide-red", "iron-oxide-yellow"},
		"vitamin E":                  {"tocopheryl-acetate", "vitamin-e-mixed-tocopherols"},
		"Helianthus Annuus Seed Oil": {"sunflower-oil", "sunflower-oil-high-oleic"},
		"olive oil":                  {"olive-oil"},
		"moon dust":                  nil,
	} {
		var got []string
		for _, m := range Common().Candidates(name) {
			got = append(got, m.ID)
		}
		assert.Equal(t, want, got, name)
	}
}

func TestIndex(t *testing.T) {
	t.Parallel()
	c := Common()
	shea := Merge(&Material{ID: "our-shea", Name: "Shea butter, refined", Also: []string{"the good shea"}}, c.ByID("shea-butter-refined"))
	own := &Material{ID: "cedar", Name: "Cedarwood fragrance", Also: []string{"olive squalane"}, Composition: []Constituent{{INCI: "Parfum"}}}
	first, second := &Material{ID: "1", Name: "Twice"}, &Material{ID: "2", Name: "twice"}
	alone := NewIndex([]*Material{shea, own, first, second})
	both := alone.Over(c)
	for _, row := range []struct {
		name        string
		alone, both *Material
	}{
		{"shea butter refined", shea, shea},
		{"The good  shea", shea, shea},
		{"white shea", shea, shea}, // Merge keeps the page's list of other names; the catalogue's still find it
		{"shea butter", nil, shea}, // the handbook has one of the two
		{"unrefined shea butter", nil, c.ByID("shea-butter-unrefined")},
		{"Butyrospermum Parkii Butter", shea, shea},
		{"Butyrospermum Parkii (Shea) Butter", shea, shea},
		{"olive squalane", own, own},
		{"Parfum", own, c.ByID("fragrance-oil")}, // a name of the catalogue goes before an INCI name
		{"Olive oil", nil, c.ByID("olive-oil")},
		{"Twice", first, first},
		{"moon dust", nil, nil},
	} {
		if row.name == "white shea" {
			assert.Nil(t, alone.Find(row.name))
		} else {
			assert.Same(t, row.alone, alone.Find(row.name), "%s alone", row.name)
		}
		assert.Same(t, row.both, both.Find(row.name), row.name)
	}
	assert.Len(t, both.Candidates("iron oxide"), 3)
	assert.Equal(t, []string{"Shea butter, refined", "the good shea", "Cedarwood fragrance", "olive squalane", "Twice", "twice"}, alone.Names())
	assert.Greater(t, len(both.Names()), 700)
	for _, name := range both.Names() {
		assert.NotNil(t, both.Find(name), "%q is offered and not found", name)
	}
	assert.Equal(t, "White sugar", spell.Nearest("whit suger", both.Names()))
}

func FuzzFind(f *testing.F) {
	for _, name := range []string{"olive oil", "C12-15", "Karité", "60 %", "(", ", ", "ﬁ", "a\xffb"} {
		f.Add(name)
	}
	c := Common()
	f.Fuzz(func(t *testing.T, name string) {
		found := c.Candidates(name)
		require.Equal(t, found, c.Candidates("  "+name+"\t"), "spaces around a name mean nothing")
		k := keysOf(name)
		for _, m := range found {
			forms := append([]string{m.Name}, m.Also...)
			forms = append(forms, shorts(m.Name)...)
			for _, substance := range m.Composition {
				forms = append(forms, substance.INCI, substance.USName())
			}
			require.True(t, slices.ContainsFunc(forms, func(form string) bool {
				f := keysOf(form)
				return f.exact == k.exact || f.joined == k.joined || f.sorted == k.sorted || f.joined == k.sorted || f.sorted == k.joined
			}), "%q is no name of %s", name, m.ID)
		}
	})
}

func BenchmarkFind(b *testing.B) {
	x := NewIndex(nil).Over(Common())
	b.ReportAllocs()
	for b.Loop() {
		x.Find("refined shea butter")
	}
}

func BenchmarkNearest(b *testing.B) {
	names := NewIndex(nil).Over(Common()).Names()
	for b.Loop() {
		spell.Nearest("phenoxyethanl and ethylhexylglycerine", names)
	}
}
