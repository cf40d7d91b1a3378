package law_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/law"
)

func TestLabelRule(t *testing.T) {
	t.Parallel()
	tests := []struct{ id, citation, value, unit, status string }{
		{"eu-one-percent-rule", "Regulation (EC) No 1223/2009, Art. 19(1)(g)", "1", "percent (less than)", "read"},
		{"us-one-percent-rule", "21 CFR 701.3(f)(2)", "1", "percent (not exceeding)", "read"},
		{"eu-durability-threshold", "Regulation (EC) No 1223/2009, Art. 19(1)(c)", "30", "month", "read"},
		{"eu-nominal-content-exempt-small", "Regulation (EC) No 1223/2009, Art. 19(1)(b)", "5", "gram or millilitre", "read"},
		{"eu-metrology-type-size-200", "Directive 76/211/EEC Annex I 3.1", "3", "millimetre", "memory"},
		{"eu-formaldehyde-warning", "Regulation (EC) No 1223/2009, Annex V preamble 2", "0.001", "percent", "read"},
		{"us-ingredient-type-size", "21 CFR 701.3(b)", "0.0625", "inch", "read"},
		{"us-net-quantity-type-size-0-5", "21 CFR 701.13 and 16 CFR 500.21(b)", "0.0625", "inch", "read"},
		{"us-net-quantity-type-size-400-up", "21 CFR 701.13 and 16 CFR 500.21(b)", "0.5", "inch", "memory"},
		{"us-pdp-area-cylindrical", "21 CFR 701.10 and 16 CFR 500.21(a)(2)", "0.4", "factor", "read"},
		{"us-conversion-ounce", "16 CFR 500.19(a)", "28.3495", "gram", "read"},
		{"us-conversion-fluid-ounce", "16 CFR 500.19(a)", "29.5735", "milliliter", "read"},
		{"us-conversion-gram-to-ounce", "16 CFR 500.19(a)", "0.035274", "ounce", "read"},
		{"us-mocra-small-business", "FD&C Act 612", "1000000", "US dollar per year", "read"},
		{"us-aha-min-ph-consumer", "CIR conclusion 1998, cited by FDA", "3.5", "pH", "read"},
		{"us-mercury-eye-area", "21 CFR 700.13(d)", "0.0065", "percent (65 ppm)", "read"},
	}
	for _, test := range tests {
		l, ok := law.LabelRule(test.id)
		require.True(t, ok, test.id)
		assert.Equal(t, test.citation, l.Citation, test.id)
		require.NotNil(t, l.Value, test.id)
		assert.Equal(t, test.value, l.Value.String(), test.id)
		assert.Equal(t, test.unit, l.Unit, test.id)
		assert.Equal(t, test.status, l.Status, test.id)
	}
	_, ok := law.LabelRule("one-percent-rule")
	assert.False(t, ok)
}

// The words that the laws prescribe (21 CFR 740.10, 740.17; Regulation (EC) No 1223/2009).
func TestPrescribedWords(t *testing.T) {
	t.Parallel()
	tests := []struct {
		id   string
		want []string
	}{
		{"eu-ingredient-list", []string{"ingredients"}},
		{"eu-parfum-aroma", []string{"parfum", "aroma"}},
		{"eu-minimum-durability", []string{"best used before the end of"}},
		{"eu-formaldehyde-warning", []string{"releases formaldehyde"}},
		{"us-fragrance-flavor-name", []string{"Fragrance", "Flavor"}},
		{"us-unsubstantiated-safety", []string{"Warning—The safety of this product has not been determined."}},
		{"us-foaming-bath-caution", []string{"Caution—Use only as directed. Excessive use or prolonged exposure may cause irritation to skin and urinary tract. Discontinue use if rash, redness, or itching occurs. Consult your physician if irritation persists. Keep out of reach of children."}},
		{"us-foaming-bath-children-phrase", []string{"except under adult supervision"}},
	}
	for _, test := range tests {
		l, ok := law.LabelRule(test.id)
		require.True(t, ok, test.id)
		assert.Equal(t, test.want, l.Prescribed, test.id)
	}
}

func TestLabelTable(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	perMarket := map[string]int{}
	for _, l := range law.LabelRules() {
		assert.False(t, seen[l.ID], l.ID)
		seen[l.ID] = true
		perMarket[l.Market]++
		assert.Regexp(t, `^(eu|us)-[a-z0-9-]+$`, l.ID)
		assert.True(t, strings.HasPrefix(l.ID, strings.ToLower(l.Market)), l.ID)
		assert.NotEmpty(t, l.Words, l.ID)
		assert.NotEmpty(t, l.Citation, l.ID)
		assert.NotEmpty(t, l.Source, l.ID)
		if l.Value != nil {
			assert.NotEmpty(t, l.Unit, l.ID)
		}
		if l.To != nil {
			assert.Positive(t, l.To.Cmp(*l.Value), l.ID)
		}
	}
	assert.Equal(t, map[string]int{"EU": 43, "US": 97}, perMarket)
	contact, ok := law.LabelRule("us-mocra-label-contact")
	require.True(t, ok)
	assert.Equal(t, on(t, "2024-12-29"), contact.Date)
}

// Leave-on limits of Tisserand and Young, Essential Oil Safety, second edition 2014.
func TestPhototoxics(t *testing.T) {
	t.Parallel()
	require.Len(t, law.Phototoxics(), 23)
	tests := []struct{ material, toxic, most, status string }{
		{"Bergamot oil, expressed", "yes", "0.4", "read"},
		{"Lemon oil, cold pressed", "yes", "2", "read"},
		{"lime oil,  expressed", "yes", "0.7", "read"},
		{"Grapefruit oil, expressed", "yes", "4", "read"},
		{"Bitter orange oil, expressed", "yes", "1.25", "read"},
		{"Angelica root oil", "yes", "0.8", "read"},
		{"Rue oil", "yes", "0.15", "memory"},
		{"Fig leaf absolute", "yes", "0", "read"},
		{"Bergamot oil, furocoumarin-free", "no", "", "read"},
		{"Lime oil, steam distilled", "no", "", "read"},
		{"Sweet orange oil, expressed", "no", "", "read"},
	}
	for _, test := range tests {
		p, ok := law.FindPhototoxic(test.material)
		require.True(t, ok, test.material)
		assert.Equal(t, test.toxic, p.Phototoxic, test.material)
		assert.Equal(t, test.status, p.Status, test.material)
		if test.most == "" {
			assert.Nil(t, p.Max, test.material)
		} else if assert.NotNil(t, p.Max, test.material) {
			assert.Equal(t, test.most, p.Max.String(), test.material)
		}
	}
	_, ok := law.FindPhototoxic("Bergamot oil")
	assert.False(t, ok, "the grade is not told")
}

// The product types have the categories of the table, IFRA Standards, 49th Amendment; the rows of the reference map
// of products and categories are all among them, but for "scrub", which is a body, foot or lip scrub here.
func TestFragranceCategories(t *testing.T) {
	t.Parallel()
	require.Len(t, law.FragranceCategories(), 18)
	known := map[string]bool{}
	for _, c := range law.FragranceCategories() {
		assert.False(t, known[c.ID], c.ID)
		known[c.ID] = true
		assert.NotEmpty(t, c.Words, c.ID)
		assert.NotEmpty(t, c.Products, c.ID)
		assert.Contains(t, []string{"read", "memory"}, c.ProductsStatus, c.ID)
	}
	for _, name := range law.ProductNames() {
		assert.True(t, known[product(t, name).Fragrance], name)
	}
	for name, category := range map[string]string{
		"body lotion": "5A", "hand cream": "5C", "face cream": "5B", "lip balm": "1", "deodorant": "2", "bar soap": "9",
		"liquid soap": "9", "shampoo": "9", "shampoo bar": "9", "conditioner": "9", "bath salts": "9", "bath fizz": "9",
		"bubble bath": "9", "bath oil": "9", "body scrub": "9", "foot scrub": "9", "lip scrub": "1", "body butter": "5A",
		"balm": "5A", "massage oil": "5A", "perfume": "4", "solid perfume": "4", "body mist": "2", "candle": "12",
		"wax melt": "12", "reed diffuser": "10A", "room spray": "10B", "baby lotion": "5D", "baby wash": "9",
		"face wash": "9", "face mask": "3", "toner": "5B", "beard oil": "5B", "hair oil": "7B", "hand sanitiser": "5C",
		"shaving soap": "9", "foot soak": "9", "toothpaste": "6",
	} {
		assert.Equal(t, category, product(t, name).Fragrance, name)
	}
}
