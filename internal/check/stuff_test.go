package check_test

import (
	"cmp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A stuff is one line of a product that a test composes, "NAME: AMOUNT", and what is known of the material (nil: nothing).
type stuff struct {
	line string
	m    *material.Material
}

// compose makes what the checks look at of a product's lines, weighed on a scale that reads in the given steps.
func compose(t testing.TB, kind, reads string, batches []string, lines ...stuff) *check.Subject {
	t.Helper()
	p, ok := law.FindProduct(kind)
	require.True(t, ok, kind)
	step, err := quantity.ParseMass(reads)
	require.NoError(t, err)
	s := &check.Subject{Product: p}
	s.Scale, err = quantity.NewScale([]quantity.ScaleRange{{Reads: step}})
	require.NoError(t, err)
	phase := formula.Phase{Name: "All"}
	for _, l := range lines {
		name, written, _ := strings.Cut(l.line, ": ")
		amount, err := quantity.ParseAmount(written)
		require.NoError(t, err)
		m := l.m
		if m != nil {
			named := *m
			m = &named
			if m.Name == "" {
				m.Name, m.ID = name, cmp.Or(m.ID, strings.ToLower(name))
			}
		}
		phase.Lines = append(phase.Lines, formula.Line{Ingredient: formula.Ingredient{Name: name, Fixed: m != nil && m.Fixed()}, Amount: amount})
		s.Materials = append(s.Materials, m)
	}
	v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{phase}})
	require.NoError(t, problems.Err())
	s.Version = v
	for _, text := range batches {
		b, err := quantity.ParseBatch(text)
		require.NoError(t, err)
		sized, err := v.Size(b, nil)
		require.NoError(t, err)
		s.Batches = append(s.Batches, check.Batch{Written: text, Sized: sized, Column: v.Weigh(sized, s.Scale)})
	}
	return s
}

// figure reads a number.
func figure(t testing.TB, text string) quantity.Number {
	t.Helper()
	n, err := quantity.ParseNumber(text)
	require.NoError(t, err, text)
	return n
}

// rangeOf reads a figure or a range as a certificate states it.
func rangeOf(t testing.TB, text string) material.Sourced[quantity.Interval] {
	t.Helper()
	v, err := quantity.ParseInterval(text)
	require.NoError(t, err, text)
	return material.Sourced[quantity.Interval]{Value: v, Source: "a certificate", Known: true}
}

// oilAt gives an oil with its saponification value.
func oilAt(t testing.TB, value string) *material.Material {
	t.Helper()
	return &material.Material{Roles: []string{"oil"}, Saponified: rangeOf(t, value)}
}

// isOf gives a material with roles, of one substance.
func isOf(inci string, roles ...string) *material.Material {
	return &material.Material{Roles: roles, Composition: []material.Constituent{{INCI: inci, Percent: quantity.Int(100)}}}
}

func soda() *material.Material   { return isOf("Sodium Hydroxide", "alkali") }
func potash() *material.Material { return isOf("Potassium Hydroxide", "alkali") }
func rain() *material.Material   { return isOf("Aqua", "water") }

// told gives the findings of some codes.
func told(s *check.Subject, codes ...string) []check.Finding {
	var all []check.Finding
	for _, f := range check.Run(s) {
		for _, code := range codes {
			if f.Code == code {
				all = append(all, f)
			}
		}
	}
	return all
}
