package check_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// made gives a product of a formula: lines "NAME: AMOUNT" of the catalogue's materials, or of own ones, and "== PHASE heat 75 °C" or
// "== PHASE below 40 °C" before those of a phase.
func made(t require.TestingT, product string, lines []string, own ...*material.Material) *check.Subject {
	s := &check.Subject{}
	s.Product, _ = law.FindProduct(product)
	require.Equal(t, product, s.Product.Name)
	var phases []formula.Phase
	for _, line := range lines {
		if title, is := strings.CutPrefix(line, "== "); is {
			phases = append(phases, phaseOf(t, title))
			continue
		}
		if phases == nil {
			phases = []formula.Phase{{Name: "All"}}
		}
		name, written, _ := strings.Cut(line, ": ")
		amount, err := quantity.ParseAmount(written)
		require.NoError(t, err, line)
		m := materialOf(name, own)
		s.Materials = append(s.Materials, m)
		last := &phases[len(phases)-1]
		last.Lines = append(last.Lines, formula.Line{Ingredient: formula.Ingredient{Name: name, Fixed: m != nil && m.Fixed()}, Amount: amount})
	}
	v, problems := formula.Solve(formula.Formula{Phases: phases})
	require.NoError(t, problems.Err())
	s.Version = v
	return s
}

func phaseOf(t require.TestingT, title string) formula.Phase {
	p := formula.Phase{Name: title}
	for _, how := range []string{" heat ", " below "} {
		name, written, is := strings.Cut(title, how)
		if !is {
			continue
		}
		heat, err := quantity.ParseTemperature(written)
		require.NoError(t, err, title)
		if p.Name = name; how == " heat " {
			p.Heat = &heat
		} else {
			p.Below = &heat
		}
	}
	return p
}

// materialOf finds a material among own ones, then in the catalogue; names that begin with "unknown" are in neither.
func materialOf(name string, own []*material.Material) *material.Material {
	for _, m := range own {
		if m.Name == name {
			return m
		}
	}
	if m := material.Common().Find(name); m != nil {
		return m
	}
	if strings.HasPrefix(name, "unknown") {
		return nil
	}
	panic("no material " + name)
}

// batch weighs a batch of a subject.
func batch(t *testing.T, s *check.Subject, written string) *check.Subject {
	t.Helper()
	s.Batches = append(s.Batches, weighed(t, s, written))
	return s
}

func phRange(t require.TestingT, text string) *quantity.Interval {
	v, err := quantity.ParseInterval(text)
	require.NoError(t, err)
	return &v
}

func percent(text string) *quantity.Number {
	n, err := quantity.ParsePercent(text)
	if err != nil {
		panic(err)
	}
	return &n
}

// lasts gives a claimed shelf life.
func lasts(text string) *quantity.Duration {
	d, err := quantity.ParseDuration(text)
	if err != nil {
		panic(err)
	}
	return &d
}
