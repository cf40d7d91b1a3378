package label_test

import (
	"math/big"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A worked example is one whose answer is known from elsewhere; testdata/worked-examples.yaml says how it is written.
type worked struct {
	ID, Title, Source, Address, Status string
	Product                            string
	Formula                            yaml.Node
	MadeOf                             map[string]map[string]string `yaml:"made_of"`
	Percent                            map[string]string
	InOrder                            map[string][]string `yaml:"in_order"`
	Free                               map[string][]string
	Weight, Volume, US, EU             string
	Fragrances                         []struct {
		Use   string
		Holds map[string]string
	}
	Declare []string
	Within  string
}

func TestWorkedExamples(t *testing.T) {
	t.Parallel()
	var examples []worked
	text, err := os.ReadFile("testdata/worked-examples.yaml")
	require.NoError(t, err)
	require.NoError(t, yaml.Load(text, &examples, yaml.WithKnownFields()))
	run := make(map[string]bool)
	for _, e := range examples {
		run[e.ID] = true
		t.Run(e.ID+" "+e.Title, func(t *testing.T) {
			t.Parallel()
			switch {
			case e.Weight != "" || e.Volume != "":
				e.net(t)
			case len(e.Fragrances) > 0:
				e.allergens(t)
			default:
				e.order(t)
			}
			assert.NotEmpty(t, e.Source)
			assert.Contains(t, []string{"read", "memory", "common practice"}, e.Status)
			assert.Equal(t, e.Status == "read", e.Address != "", "what was read has an address")
		})
	}
	assert.Len(t, run, 13, "inci-01…03, net-01…06, allergen-01…04")
}

func (e worked) order(t *testing.T) {
	b := newBench(t)
	for name, parts := range e.MadeOf {
		m := &material.Material{Name: name}
		for inci, percent := range parts {
			m.Composition = append(m.Composition, material.Constituent{INCI: inci, Percent: num(t, percent)})
		}
		b.materials[name] = m
	}
	for i := 0; i < len(e.Formula.Content); i += 2 {
		name := e.Formula.Content[i].Value
		if b.materials[name] == nil {
			b.materials[name] = pure(name)
		}
		b.add(e.Formula.Content[i+1].Value+" %", name)
	}
	s := b.subject("body lotion")
	for _, entry := range label.Ingredients(s, label.EU).Entries {
		want, ok := e.Percent[entry.Name]
		require.True(t, ok, "%s is not wanted", entry.Name)
		near(t, want, entry.Percent, e.Within)
	}
	for market, want := range e.InOrder {
		var ordered, free []string
		for _, entry := range label.Ingredients(s, market).Entries {
			if entry.Place.ID == "eu-one-percent-rule" || entry.Place.ID == "us-one-percent-rule" {
				free = append(free, entry.Name)
			} else {
				assert.Empty(t, free, "what is free stands behind the others")
				ordered = append(ordered, entry.Name)
			}
		}
		assert.Equal(t, want, ordered, market)
		assert.ElementsMatch(t, e.Free[market], free, market)
	}
}

func (e worked) net(t *testing.T) {
	for market, want := range map[string]string{label.US: e.US, label.EU: e.EU} {
		if e.Weight != "" {
			assert.Equal(t, want, label.NetWeight(market, mass(t, e.Weight)).Text)
			continue
		}
		a, err := quantity.ParseAmount(e.Volume)
		require.NoError(t, err)
		assert.Equal(t, want, label.NetVolume(market, a.Volume).Text)
	}
}

func (e worked) allergens(t *testing.T) {
	b := newBench(t)
	b.materials["base"] = pure("Glycerin")
	for i, f := range e.Fragrances {
		name := "fragrance " + string(rune('A'+i))
		m := &material.Material{Name: name, Roles: []string{"fragrance"}, Composition: []material.Constituent{{INCI: "Parfum", Percent: quantity.Int(100)}}}
		for inci, percent := range f.Holds {
			m.Fragrance.Allergens = append(m.Fragrance.Allergens, material.Constituent{INCI: inci, Percent: num(t, percent)})
		}
		b.materials[name] = m
		b.share(num(t, f.Use), name)
	}
	b.fillUp("base")
	var declared []string
	for _, a := range label.Allergens(b.subject(e.Product)) {
		require.Contains(t, e.Percent, a.Name)
		near(t, e.Percent[a.Name], a.Percent, e.Within)
		if a.Declare {
			declared = append(declared, a.Name)
		}
	}
	assert.ElementsMatch(t, e.Declare, declared)
}

// near asserts a number within a margin.
func near(t *testing.T, want string, got quantity.Number, within string) {
	t.Helper()
	off := got.Sub(num(t, want))
	if off.Sign() < 0 {
		off = off.Neg()
	}
	assert.LessOrEqual(t, off.Cmp(num(t, within)), 0, "%s is not %s within %s", got, want, within)
}

func num(t testing.TB, text string) quantity.Number {
	t.Helper()
	r, ok := new(big.Rat).SetString(text)
	if top, bottom, found := cutFraction(text); found {
		r, ok = new(big.Rat).Quo(top, bottom), true
	}
	require.True(t, ok, "%q is no number", text)
	return quantity.FromRat(r)
}

func mass(t testing.TB, text string) quantity.Mass {
	t.Helper()
	m, err := quantity.ParseMass(text)
	require.NoError(t, err)
	return m
}

func product(t testing.TB, name string) law.Product {
	t.Helper()
	p, ok := law.FindProduct(name)
	require.True(t, ok, "no product type %s", name)
	return p
}
