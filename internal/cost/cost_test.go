package cost_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/cost"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

func number(t *testing.T, s string) quantity.Number {
	t.Helper()
	n, err := quantity.ParseNumber(s)
	require.NoError(t, err)
	return n
}

func amount(t *testing.T, s string) quantity.Amount {
	t.Helper()
	a, err := quantity.ParseAmount(s)
	require.NoError(t, err)
	return a
}

// priced gives a material bought at so much for such a pack.
func priced(t *testing.T, money, pack, density string) *material.Material {
	t.Helper()
	m := &material.Material{Price: &material.Price{Money: number(t, money), Per: amount(t, pack)}}
	if density != "" {
		d, err := quantity.ParseDensity(density)
		require.NoError(t, err)
		m.Density.Value, m.Density.Known = d, true
	}
	return m
}

// batch weighs a formula of percents on a scale that reads 0.1 g.
func batch(t *testing.T, grams int64, lines ...string) (*formula.Version, formula.Column, formula.Sized) {
	t.Helper()
	p := formula.Phase{Name: "All"}
	for i := 0; i < len(lines); i += 2 {
		p.Lines = append(p.Lines, formula.Line{Ingredient: formula.Ingredient{Name: lines[i]}, Amount: amount(t, lines[i+1])})
	}
	v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{p}})
	require.NoError(t, problems.Err())
	fills := []formula.Fill{{Container: "60 g jar", Takes: quantity.Grams(quantity.Int(60)), Loss: quantity.Fraction(400, 96)}}
	s, err := v.Size(quantity.Batch{Mass: quantity.Grams(quantity.Int(grams)), Written: "batch"}, fills)
	require.NoError(t, err)
	return v, v.Weigh(s, quantity.Scale{}), s
}

// cost-01: A pint of glycerin at 54.25 a pound, specific gravity 1.25, costs 70.7403 (pharmacy practice sheet, question 6, scribd.com/document/502043048;
// answer computed with the exact pint and pound of NIST Handbook 44).
func TestPintOfGlycerin(t *testing.T) {
	t.Parallel()
	density, err := quantity.ParseDensity("1.25 g/ml")
	require.NoError(t, err)
	pint := amount(t, "1 pint").Volume.Weigh(density)
	v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{{Name: "All", Lines: []formula.Line{
		{Ingredient: formula.Ingredient{Name: "Glycerin", Density: density}, Amount: amount(t, "1 pint")},
	}}}})
	require.NoError(t, problems.Err())
	c := formula.Column{Weights: []formula.Reading{{Mass: pint}}}
	b := cost.Of(v, c, []*material.Material{priced(t, "54.25", "1 lb", "")}, nil, nil, cost.Rates{})
	assert.Equal(t, "70.7403", b.Total().Text(4))
}

// cost-02: The cost of one jar: 1000 g at 8.50, 14, 19 and 90 a kilogram, 4 % lost, 60 g a jar, jar and label 0.95: materials 12.16, 16 jars,
// 0.76 of materials and 1.71 in all a jar (arithmetic; common practice, no source).
func TestOneJar(t *testing.T) {
	t.Parallel()
	v, c, s := batch(t, 1000, "Oil", "60 %", "Butter", "25 %", "Wax", "14 %", "Fragrance", "1 %")
	materials := []*material.Material{priced(t, "8.5", "1 kg", ""), priced(t, "14", "1 kg", ""), priced(t, "9.5", "500 g", ""), priced(t, "9", "100 g", "")}
	b := cost.Of(v, c, materials, s.Filled, nil, cost.Rates{Containers: map[string]quantity.Number{"60 g jar": number(t, "0.95")}})
	assert.Equal(t, "12.16", b.Materials.String())
	assert.Equal(t, int64(16), b.Filled)
	each, ok := b.PerContainer()
	assert.True(t, ok)
	assert.Equal(t, "1.71", each.String())
	assert.Empty(t, b.Unknown)
	assert.Equal(t, "41.94", b.Share(b.Lines[0]).Text(2), "oil: 5.10 of 12.16")
	assert.Equal(t, "0.51", b.Dearer(b.Lines[0], quantity.Int(10)).String(), "a tenth more for the oil")
}

func TestUnknown(t *testing.T) {
	t.Parallel()
	v, c, s := batch(t, 100, "Water", "50 %", "Oil", "50 %")
	hour := number(t, "12")
	b := cost.Of(v, c, []*material.Material{nil, priced(t, "5", "100 ml", "")}, s.Filled, nil, cost.Rates{Labour: &hour})
	assert.Equal(t, []string{"Water", "Oil", "60 g jar", "working time"}, b.Unknown, "nothing that is not known is reckoned as free in silence")
	assert.Zero(t, b.Total().Sign())
	minutes := quantity.Duration{Count: quantity.Int(90), Unit: "minute"}
	b = cost.Of(v, c, []*material.Material{priced(t, "0", "1 kg", ""), priced(t, "5", "100 ml", "0.8 g/ml")}, nil, &minutes, cost.Rates{Labour: &hour})
	assert.Empty(t, b.Unknown)
	assert.Equal(t, "18", b.Labour.String())
	assert.Equal(t, "3.125", b.Materials.String(), "50 g at 5 for 80 g")
	_, ok := b.PerContainer()
	assert.False(t, ok)
}
