package check_test

import (
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
)

func usageOf(s *check.Subject) []check.Finding {
	return coded(check.Run(s), "above-usual-maximum", "below-usual-minimum")
}

// Rates are those of the catalogue, each with its source there; those of own materials are made up.
func TestUsage(t *testing.T) {
	t.Parallel()
	own := []*material.Material{
		{Name: "Gum", Roles: []string{"thickener"}, Uses: []material.Use{
			{For: "leave-on", From: percent("0.2 %"), To: percent("1 %"), Source: "sheet of May"},
			{For: "hand cream", From: percent("0.3 %"), To: percent("2 %"), Source: "sheet of June"},
			{For: "lips", To: percent("0.5 %")},
			{For: "bath", To: percent("30 %")},
		}},
		{Name: "Two cases", Roles: []string{"antioxidant"}, Uses: []material.Use{
			{For: "leave-on", From: percent("0.02 %"), To: percent("0.2 %"), Basis: material.CommonPractice, Note: "as antioxidant"},
			{For: "leave-on", From: percent("0.5 %"), To: percent("2 %"), Basis: material.CommonPractice, Note: "for the skin"},
		}},
		{Name: "Two laws", Roles: []string{"acid"}, Uses: []material.Use{
			{For: "leave-on", To: percent("2 %"), Basis: material.Law, Note: "in creams", Source: "EU Reg. 1223/2009 Annex III"},
			{For: "all", To: percent("0.5 %"), Basis: material.Law, Note: "as preservative", Source: "EU Reg. 1223/2009 Annex V"},
		}},
		{Name: "Ruled", Roles: []string{"active"}, Uses: []material.Use{
			{For: "all", To: percent("3 %"), Basis: material.Law, Source: "EU Reg. 1223/2009 Annex III"},
			{For: "leave-on", To: percent("1 %"), Basis: material.SafetyPanel, Source: "panel"},
			{For: "leave-on", From: percent("0.1 %"), To: percent("0.5 %"), Basis: material.SupplierTypical, Source: "sheet"},
		}},
		{Name: "Scent", Roles: []string{"fragrance"}, Uses: []material.Use{{For: "soap", From: percent("1 %"), To: percent("6 %"), OfOils: true}}},
		{Name: "Page scent", Roles: []string{"fragrance"}, Uses: []material.Use{{For: "bar soap", To: percent("3 %"), Source: "common practice, of the oils"}}},
		{Name: "Certified", Roles: []string{"fragrance"}, Fragrance: material.Fragrance{Limits: []material.Limit{{Category: "5C", Percent: *percent("1 %")}}}},
		{Name: "Bare active", Roles: []string{"active"}},
		{Name: "Bare guard", Roles: []string{"preservative"}, Uses: []material.Use{{For: "all", To: percent("1 %")}}},
		{Name: "Own acid", Roles: []string{"acid"}},
		{Name: "Base", Roles: []string{"ester"}},
		{Name: "Fat", Roles: []string{"oil"}},
	}
	tests := []struct {
		name, product string
		lines         []string
		want          []string
	}{
		{"inside", "body lotion", []string{"Base: q.s.", "Gum: 0.9 %"}, nil},
		{"at the most", "body lotion", []string{"Base: q.s.", "Gum: 1 %"}, nil},
		{"just past", "body lotion", []string{"Base: q.s.", "Gum: 1.0001 %"}, []string{"above-usual-maximum caution Gum: 1.0001 1 %"}},
		{"at the least", "body lotion", []string{"Base: q.s.", "Gum: 0.2 %"}, nil},
		{"just under", "body lotion", []string{"Base: q.s.", "Gum: 0.19 %"}, []string{"below-usual-minimum caution Gum: 0.19 0.2 %"}},
		{"by the product's name first", "hand cream", []string{"Base: q.s.", "Gum: 1.5 %"}, nil},
		{"and its least too", "hand cream", []string{"Base: q.s.", "Gum: 0.25 %"}, []string{"below-usual-minimum caution Gum: 0.25 0.3 %"}},
		{"lips before leave-on", "lip balm", []string{"Base: q.s.", "Gum: 0.6 %"}, []string{"above-usual-maximum caution Gum: 0.6 0.5 %"}},
		{"the bath", "bath salts", []string{"Base: q.s.", "Gum: 31 %"}, []string{"above-usual-maximum caution Gum: 31 30 %"}},
		{"no rate for the product, of what needs none", "shampoo", []string{"Base: q.s.", "Gum: 50 %"}, nil},
		{"over several lines", "body lotion", []string{"Base: q.s.", "Gum: 0.6 %", "Gum: 0.6 %"}, []string{"above-usual-maximum caution Gum: 1.2 1 %"}},
		{"over several lines, enough", "body lotion", []string{"Base: q.s.", "Gum: 0.1 %", "Gum: 0.1 %"}, nil},
		{"several cases: the widest", "body lotion", []string{"Base: q.s.", "Two cases: 0.3 %"}, nil},
		{"past all cases", "body lotion", []string{"Base: q.s.", "Two cases: 3 %"}, []string{"above-usual-maximum caution Two cases: 3 2 %"}},
		{"under all cases", "body lotion", []string{"Base: q.s.", "Two cases: 0.01 %"}, []string{"below-usual-minimum caution Two cases: 0.01 0.02 %"}},
		{"cases of law: the widest", "body lotion", []string{"Base: q.s.", "Two laws: 2 %"}, nil},
		{"past all cases of law", "body lotion", []string{"Base: q.s.", "Two laws: 2.1 %"}, []string{"above-usual-maximum caution Two laws: 2.1 2 %"}},
		{"past what is usual", "body lotion", []string{"Base: q.s.", "Ruled: 0.6 %"}, []string{"above-usual-maximum caution Ruled: 0.6 0.5 %"}},
		{"past the panel's advice", "body lotion", []string{"Base: q.s.", "Ruled: 1.5 %"}, []string{"above-usual-maximum caution Ruled: 1.5 1 %"}},
		{"past the law", "body lotion", []string{"Base: q.s.", "Ruled: 4 %"}, []string{"above-usual-maximum caution Ruled: 4 3 %"}},
		{"of the oils", "bar soap", []string{"Base: q.s.", "Fat: 50 %", "Scent: 3 %"}, nil},
		{"of the oils, past", "bar soap", []string{"Base: q.s.", "Fat: 50 %", "Scent: 3.1 %"}, []string{"above-usual-maximum caution Scent: 6.2 6 %"}},
		{"of the oils, under", "bar soap", []string{"Base: q.s.", "Fat: 50 %", "Scent: 0.4 %"}, []string{"below-usual-minimum caution Scent: 0.8 1 %"}},
		{"of the oils, in a page's words", "bar soap", []string{"Base: q.s.", "Fat: 50 %", "Page scent: 2 %"}, []string{"above-usual-maximum caution Page scent: 4 3 %"}},
		{"nothing known of an active", "hand cream", []string{"Base: q.s.", "Bare active: 2 %"}, []string{"above-usual-maximum caution Bare active: 2 %"}},
		{"nothing known of a fragrance here", "hand cream", []string{"Base: q.s.", "Scent: 2 %"}, []string{"above-usual-maximum caution Scent: 2 %"}},
		{"a fragrance that its certificate limits", "hand cream", []string{"Base: q.s.", "Certified: 2 %"}, nil},
		{"the same without a limit for the product", "face cream", []string{"Base: q.s.", "Certified: 2 %"}, []string{"above-usual-maximum caution Certified: 2 %"}},
		{"how little of a preservative does is not known", "hand cream", []string{"Base: q.s.", "Bare guard: 0.5 %"}, []string{"below-usual-minimum caution Bare guard: 0.5 %"}},
		{"a preservative at its least", "hand cream", []string{"Base: q.s.", "Phenoxyethanol: 0.4 %"}, nil},
		{"a preservative under it", "hand cream", []string{"Base: q.s.", "Phenoxyethanol: 0.39 %"}, []string{"below-usual-minimum stop Phenoxyethanol: 0.39 0.4 %"}},
		{"a preservative past the law, which the law's finding tells", "hand cream", []string{"Base: q.s.", "Phenoxyethanol: 1.01 %"}, nil},
		{"a plant with a caution, left on, of which nothing says how much", "balm", []string{"Base: q.s.", "Comfrey powder: 2 %"}, []string{"above-usual-maximum caution Comfrey powder: 2 %"}},
		{"an acid on an own page", "toner", []string{"Base: q.s.", "Own acid: 8 %"}, []string{"above-usual-maximum caution Own acid: 8 %"}},
		{"an acid that is rinsed off", "face wash", []string{"Base: q.s.", "Own acid: 8 %"}, nil},
		{"a candle's wax on skin", "body butter", []string{"Base: q.s.", "Soy container wax blend (candle): 5 %"}, []string{"above-usual-maximum caution Soy container wax blend (candle): 5 0 %"}},
		{"a candle's wax in a candle", "candle", []string{"Base: q.s.", "Soy container wax blend (candle): 92 %"}, nil},
		{"an unknown material", "hand cream", []string{"Base: q.s.", "unknown moss: 90 %"}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			found := usageOf(made(t, test.product, test.lines, own...))
			assert.Equal(t, test.want, briefs(found))
			for _, f := range found {
				assert.NotEmpty(t, f.Mend)
				assert.NotEmpty(t, f.Items)
				assert.Contains(t, f.Message, f.Value+" %")
			}
		})
	}
}

func TestUsageTellsTheSource(t *testing.T) {
	t.Parallel()
	ruled := *material.Common().Find("Phenoxyethanol")
	ruled.Composition = nil // so that the law's own finding does not tell it
	found := usageOf(made(t, "hand cream", []string{"Caprylic/capric triglyceride: q.s.", "Phenoxyethanol: 1.5 %", "Phenoxyethanol: 0.1 %"}, &ruled))
	require.Len(t, found, 1)
	assert.Equal(t, "EU Reg. 1223/2009 Annex V, list export of May 2024", found[0].Source)
	assert.Equal(t, "EU", found[0].Market)
	assert.Equal(t, []int{1, 2}, found[0].Items)
	assert.Equal(t, "Phenoxyethanol comes to 1.6 %; up to 1 % is what the law allows for any product.", found[0].Message)
}

// One cause is told once: the rate of law gives way to the finding of the law on the same lines, and stays on others.
func TestUsageOnceACause(t *testing.T) {
	t.Parallel()
	s := made(t, "hand cream", []string{"Caprylic/capric triglyceride: q.s.", "Phenoxyethanol: 1.6 %"})
	assert.Empty(t, usageOf(s))
	assert.Len(t, told(s, "above-legal-maximum"), 1)
}

// A rate that only the rounding of a batch passes: a usual one when it shows one place beyond its own, one of law at once.
func TestUsageAsWeighed(t *testing.T) {
	t.Parallel()
	guard := &material.Material{Name: "Guard", Roles: []string{"preservative"}, Uses: []material.Use{{For: "all", From: percent("0.5 %"), To: percent("1 %")}}}
	ruled := &material.Material{Name: "Guard", Roles: []string{"preservative"}, Uses: []material.Use{{For: "all", From: percent("0.5 %"), To: percent("1 %"), Basis: material.Law}}}
	base := &material.Material{Name: "Base"}
	tests := []struct {
		name    string
		guard   *material.Material
		amount  string
		batches []string
		want    []string
	}{
		{"as written", guard, "1 %", []string{"100 g", "1 kg"}, nil},
		{"0.35 g is weighed as 0.4 g", guard, "1 %", []string{"100 g", "35 g"}, []string{"above-usual-maximum caution Guard: 1.143 1 %"}},
		{"0.1 g in 10.9 g is less than 1 %", guard, "0.92 %", []string{"10.9 g"}, nil},
		{"9.96 g is weighed as 10 g in 996 g", guard, "1 %", []string{"996 g"}, nil},
		{"the same under a law", ruled, "1 %", []string{"996 g"}, []string{"above-usual-maximum caution Guard: 1.004 1 %"}},
		{"0.0525 g in 10.5 g is weighed as 0.1 g", guard, "0.5 %", []string{"10.5 g"}, nil},
		{"0.14 g is weighed as 0.1 g", guard, "0.5 %", []string{"28 g"}, []string{"below-usual-minimum stop Guard: 0.357 0.5 %"}},
		{"in two batches, the worse", guard, "0.5 %", []string{"28 g", "100 g", "29 g"}, []string{"below-usual-minimum stop Guard: 0.345 0.5 %"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := made(t, "hand cream", []string{"Base: q.s.", "Guard: " + test.amount}, test.guard, base)
			for _, written := range test.batches {
				batch(t, s, written)
			}
			found := usageOf(s)
			if len(test.want) == 0 {
				assert.Empty(t, found)
				return
			}
			assert.Equal(t, test.want, briefs(found))
			assert.Contains(t, found[0].Message, "as weighed for the batch of ")
			assert.NotContains(t, found[0].Message, "100 g")
		})
	}
}

// More of a material never takes back that there is too much of it.
func TestUsageRises(t *testing.T) {
	t.Parallel()
	all := material.Common().Materials()
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(all).Draw(t, "material")
		product := rapid.SampledFrom([]string{"hand cream", "lip balm", "shampoo", "bath salts", "bar soap", "candle"}).Draw(t, "product")
		less := rapid.IntRange(1, 9000).Draw(t, "less")
		more := rapid.IntRange(less, 9000).Draw(t, "more")
		past := func(amount int) bool {
			s := made(t, product, []string{"Base: q.s.", "Fat: 5 %", m.Name + ": " + hundredths(amount)}, m, &material.Material{Name: "Base"}, &material.Material{Name: "Fat", Roles: []string{"oil"}})
			return len(coded(check.Run(s), "above-usual-maximum", "above-legal-maximum", "banned-substance")) > 0
		}
		if past(less) && !past(more) {
			t.Fatalf("%s in %s: too much at %s and not at %s", m.Name, product, hundredths(less), hundredths(more))
		}
	})
}

func hundredths(n int) string {
	return strconv.Itoa(n/100) + "." + strconv.Itoa(n%100 + 100)[1:] + " %"
}

// A rate for one kind of product says nothing of another.
func TestUsageOfAnotherProduct(t *testing.T) {
	t.Parallel()
	tests := []struct {
		product string
		lines   []string
		want    []string
	}{
		{"bath fizz", []string{"Epsom salt: q.s.", "Sodium bicarbonate: 30 %"}, []string{"below-usual-minimum caution Sodium bicarbonate: 30 40 %"}},
		{"bath salts", []string{"Epsom salt: q.s.", "Sodium bicarbonate: 30 %"}, nil},
		{"shaving soap", []string{"Olive oil: q.s.", "Stearic acid: 45 %"}, nil},
		{"shaving soap", []string{"Olive oil: q.s.", "Stearic acid: 51 %"}, []string{"above-usual-maximum caution Stearic acid: 51 50 %"}},
		{"bar soap", []string{"Olive oil: q.s.", "Stearic acid: 45 %"}, []string{"above-usual-maximum caution Stearic acid: 45 8 %"}},
		{"bar soap", []string{"Coconut oil, virgin: q.s."}, nil},
		{"bar soap", []string{"Coconut oil, virgin: 50 %", "Coconut oil, refined (76 degree): q.s."}, nil},
	}
	for _, test := range tests {
		assert.Equal(t, test.want, briefs(usageOf(made(t, test.product, test.lines))), "%s of %v", test.product, test.lines)
	}
	found := usageOf(made(t, "bar soap", []string{"Castor oil: q.s.", "Coconut oil, virgin: 90 %"}))
	assert.Contains(t, briefs(found), "above-usual-maximum caution Coconut oil, virgin: 90 35 %", "beside another fat")
	for product, told := range map[string]bool{"face cream": true, "body lotion": false} {
		found := usageOf(made(t, product, []string{"Caprylic/capric triglyceride: q.s.", "Tea tree essential oil: 0.2 %"}))
		limit := func(f check.Finding) bool { return f.Limit == "0.1" }
		assert.Equal(t, told, slices.ContainsFunc(found, limit), product)
	}
}

// Every rate of the catalogue is for a kind of product that there is.
func TestUsageIsForProducts(t *testing.T) {
	t.Parallel()
	general := []string{"all", "leave-on", "rinse-off", "lips", "bath", "soap"}
	for _, m := range material.Common().Materials() {
		for _, u := range m.Uses {
			_, ok := law.FindProduct(u.For)
			assert.True(t, ok || slices.Contains(general, u.For), "%s: %s", m.ID, u.For)
		}
	}
}
