package label_test

import (
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A bench puts a formula together for a test. Materials are its own, else the catalogue's; "?" before a name stands for one
// of which nothing is known.
type bench struct {
	testing.TB
	materials map[string]*material.Material
	names     []string
	lines     []formula.Line
}

func newBench(t testing.TB) *bench {
	return &bench{TB: t, materials: make(map[string]*material.Material)}
}

// pure is a material of one substance.
func pure(inci string) *material.Material {
	return &material.Material{Name: inci, Composition: []material.Constituent{{INCI: inci, Percent: quantity.Int(100)}}}
}

// add adds a line with an amount as a recipe writes it.
func (b *bench) add(amount, name string) {
	b.Helper()
	a, err := quantity.ParseAmount(amount)
	require.NoError(b, err)
	b.names = append(b.names, name)
	b.lines = append(b.lines, formula.Line{Ingredient: formula.Ingredient{Name: strings.TrimPrefix(name, "?")}, Amount: a})
}

// share adds a line of so many percent.
func (b *bench) share(percent quantity.Number, name string) {
	b.names = append(b.names, name)
	b.lines = append(b.lines, formula.Line{
		Ingredient: formula.Ingredient{Name: name}, Amount: quantity.Amount{Kind: quantity.Percent, Number: percent, Written: percent.String() + " %"},
	})
}

// fillUp adds the balance.
func (b *bench) fillUp(name string) { b.add("q.s.", name) }

// subject solves the formula. All materials of which nothing is told must be in the catalogue.
func (b *bench) subject(productType string) *label.Subject {
	b.Helper()
	v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{{Name: "Pot", Lines: b.lines}}})
	require.Zero(b, problems.Len(), "%v", problems)
	s := &label.Subject{Version: v, Product: product(b, productType)}
	for _, name := range b.names {
		s.Materials = append(s.Materials, b.material(name))
	}
	return s
}

func (b *bench) material(name string) *material.Material {
	b.Helper()
	if strings.HasPrefix(name, "?") {
		return nil
	}
	if m := b.materials[name]; m != nil {
		return m
	}
	m := material.Common().Find(name)
	if m == nil {
		m = material.Common().ByID(name)
	}
	require.NotNil(b, m, "the catalogue has no %s", name)
	return m
}

// cutFraction reads 0.001/0.00184.
func cutFraction(text string) (top, bottom *big.Rat, found bool) {
	before, after, found := strings.Cut(text, "/")
	if !found {
		return nil, nil, false
	}
	top, ok := new(big.Rat).SetString(before)
	bottom, ok2 := new(big.Rat).SetString(after)
	return top, bottom, ok && ok2
}

// copyFor gives the copy for one market.
func copyFor(s *label.Subject, market string) label.Copy {
	return label.For(s)[slices.Index(label.Markets(), market)]
}

// A hand cream in two jars, of materials that an index keeps the facts of.
func BenchmarkFor(b *testing.B) {
	x := newBench(b)
	for _, line := range []string{
		"4 %: Vegetable glycerin", "0.3 %: Xanthan gum", "0.3 %: Allantoin", "0.2 %: Sodium gluconate", "10 %: Sunflower oil, high oleic", "5 %: Shea butter, refined", "2 %: Cetyl alcohol",
		"1 %: Stearic acid", "5 %: Olive emulsifying wax", "1 %: Phenoxyethanol & ethylhexylglycerin blend", "2 %: Hydrolyzed oat protein", "0.3 %: Lavender essential oil",
	} {
		amount, name, _ := strings.Cut(line, ": ")
		x.add(amount, name)
	}
	x.fillUp("Distilled water")
	s := x.subject("hand cream")
	s.Index = material.NewIndex(nil).Over(material.Common())
	s.Fills = []formula.Fill{
		{Container: "60 ml jar", Takes: quantity.Grams(quantity.Int(52))}, {Container: "15 ml jar", Takes: quantity.Grams(quantity.Fraction(125, 10))},
	}
	label.For(s) // reads the tables, once
	b.ReportAllocs()
	for b.Loop() {
		label.For(s)
	}
}
