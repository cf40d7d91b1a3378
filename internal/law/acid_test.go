package law_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

func number(t testing.TB, text string) quantity.Number {
	t.Helper()
	n, err := quantity.ParseNumber(text)
	require.NoError(t, err, text)
	return n
}

// near says whether a and b differ by no more than by.
func near(t testing.TB, a, b quantity.Number, by string) bool {
	t.Helper()
	d := a.Sub(b)
	if d.Sign() < 0 {
		d = d.Neg()
	}
	return d.Cmp(number(t, by)) <= 0
}

// The masses of the table are those of the formulas, by the conventional atomic weights of IUPAC (2021).
func TestAcidMasses(t *testing.T) {
	t.Parallel()
	require.Len(t, law.Acids(), 11)
	for _, a := range law.Acids() {
		mass, ok := law.MolarMass(a.Formula)
		require.True(t, ok, a.Formula)
		assert.Equal(t, a.Mass.Fixed(3), mass.Fixed(3), a.Name)
		require.NotEmpty(t, a.PKa, a.Name)
		require.NotEmpty(t, a.Salts, a.Name)
		for _, s := range a.Salts {
			mass, ok := law.MolarMass(s.Formula)
			require.True(t, ok, s.Formula)
			assert.Equal(t, s.Mass.Fixed(3), mass.Fixed(3), s.Name)
		}
		assert.Contains(t, []string{"read", "memory"}, a.Status, a.Name)
		assert.NotEmpty(t, a.Source, a.Name)
	}
}

// Acid per salt, worked out from IUPAC conventional atomic weights (reference table of acid preservatives).
func TestFindAcid(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, acid, share string }{
		{"Benzoic Acid", "Benzoic Acid", "1.000000"},
		{"sodium  BENZOATE", "Benzoic Acid", "0.847458"},
		{"Potassium Benzoate", "Benzoic Acid", "0.762254"},
		{"Potassium Sorbate", "Sorbic Acid", "0.746435"},
		{"Sodium Sorbate", "Sorbic Acid", "0.836090"},
		{"Sodium Dehydroacetate", "Dehydroacetic Acid", "0.884384"},
		{"Sodium Salicylate", "Salicylic Acid", "0.862702"},
		{"Sodium Levulinate", "Levulinic Acid", "0.840823"},
		{"Sodium Anisate", "p-Anisic Acid", "0.873762"},
		{"Sodium Lactate", "Lactic Acid", "0.803837"},
		{"Sodium Citrate", "Citric Acid", "0.744464"},
		{"Sodium Propionate", "Propionic Acid", "0.771166"},
		{"Sodium Formate", "Formic Acid", "0.676769"},
		{"Sodium Glycolate", "Glycolic Acid", "0.775769"},
	}
	for _, test := range tests {
		a, share, ok := law.FindAcid(test.name)
		require.True(t, ok, test.name)
		assert.Equal(t, test.acid, a.Name)
		assert.Equal(t, test.share, share.Fixed(6), test.name)
	}
	for _, name := range []string{"", "Sodium", "Benzoic", "Sodium Benzoates", "Phenoxyethanol"} {
		_, _, ok := law.FindAcid(name)
		assert.False(t, ok, name)
	}
}

// Shares by the Henderson–Hasselbalch equation, to three places, at pH 4, 4.5, 5, 5.5 and 6 (reference table of acid
// preservatives; citric acid with all three steps).
func TestUndissociated(t *testing.T) {
	t.Parallel()
	tests := []struct {
		acid string
		want [5]string
	}{
		{"Benzoic Acid", [5]string{"61.314", "33.386", "13.681", "4.773", "1.560"}},
		{"Sorbic Acid", [5]string{"85.195", "64.535", "36.526", "15.395", "5.441"}},
		{"Dehydroacetic Acid", [5]string{"94.903", "85.483", "65.060", "37.061", "15.698"}},
		{"Salicylic Acid", [5]string{"8.536", "2.867", "0.925", "0.294", "0.093"}},
		{"Levulinic Acid", [5]string{"81.361", "57.990", "30.387", "12.130", "4.183"}},
		{"p-Anisic Acid", [5]string{"74.691", "48.274", "22.787", "8.536", "2.867"}},
		{"Lactic Acid", [5]string{"42.010", "18.639", "6.755", "2.240", "0.719"}},
		{"Citric Acid", [5]string{"10.302", "2.668", "0.478", "0.059", "0.005"}},
		{"Propionic Acid", [5]string{"88.114", "70.098", "42.572", "18.990", "6.901"}},
		{"Formic Acid", [5]string{"35.994", "15.098", "5.324", "1.747", "0.559"}},
		{"Glycolic Acid", [5]string{"40.337", "17.614", "6.333", "2.093", "0.672"}},
	}
	require.Len(t, tests, len(law.Acids()))
	for _, test := range tests {
		a, _, ok := law.FindAcid(test.acid)
		require.True(t, ok, test.acid)
		for i, pH := range []string{"4", "4.5", "5", "5.5", "6"} {
			got, ok := a.Undissociated(number(t, pH))
			require.True(t, ok)
			assert.Equal(t, test.want[i], got.Fixed(3), "%s at pH %s", test.acid, pH)
		}
	}
}

// At a pH that is the pKa just half is left; whole steps below and above give 10/11, 1/11, 100/101 and so on exactly.
func TestUndissociatedExact(t *testing.T) {
	t.Parallel()
	a := law.Acid{PKa: []quantity.Number{quantity.Int(5)}}
	tests := []struct{ pH, want string }{
		{"5", "50"},
		{"4", "90.909090909091"},
		{"6", "9.090909090909"},
		{"3", "99.009900990099"},
		{"0", "99.99900001"},
		{"14", "0.0000001"},
		{"5.5", "24.025307335204"}, // 100/(1+√10), √10 = 3.16227766016837933… (OEIS A010467, from memory)
	}
	for _, test := range tests {
		got, ok := a.Undissociated(number(t, test.pH))
		require.True(t, ok)
		assert.Equal(t, test.want, got.String(), "pH %s", test.pH)
	}
	for _, pH := range []quantity.Number{quantity.Int(-1), quantity.Int(15), quantity.Fraction(1401, 100)} {
		_, ok := a.Undissociated(pH)
		assert.False(t, ok, pH.String())
	}
	_, ok := law.Acid{}.Undissociated(quantity.Int(5))
	assert.False(t, ok)
}

// The share falls as pH rises, and agrees with floating-point arithmetic to nine places.
func TestUndissociatedEverywhere(t *testing.T) {
	t.Parallel()
	for _, a := range law.Acids() {
		before := quantity.Int(101)
		for tenth := int64(0); tenth <= 140; tenth++ {
			pH := quantity.Fraction(tenth, 10)
			got, ok := a.Undissociated(pH)
			require.True(t, ok)
			require.LessOrEqual(t, got.Cmp(before), 0, "%s at pH %s", a.Name, pH)
			before = got
			sum, exponent := 1.0, 0.0
			for _, pKa := range a.PKa {
				f, _ := pKa.Rat().Float64()
				exponent += float64(tenth)/10 - f
				sum += math.Pow(10, exponent)
			}
			f, _ := new(big.Rat).Set(got.Rat()).Float64()
			require.InDelta(t, 100/sum, f, 1e-9, "%s at pH %s", a.Name, pH)
		}
	}
}

// Every factor that the tables print is the ratio of molar masses within 0.0005, or 1 for the substance itself.
func TestFactorsByMolarMass(t *testing.T) {
	t.Parallel()
	worked := map[string]bool{}
	for _, r := range law.Rules() {
		for _, f := range r.Factors {
			exact, ok := law.Equivalent(f.Name, r.CountedAs)
			if !ok {
				assert.Equal(t, "1", f.Percent.String(), "%s %s: no formula", r.Entry, f.Name)
				continue
			}
			worked[f.Name+" as "+r.CountedAs] = true
			assert.True(t, near(t, exact, f.Percent, "0.0005"), "%s %s: printed %s, worked out %s", r.Entry, f.Name, f.Percent, exact.Text(6))
		}
	}
	assert.Len(t, worked, 96)
}

func TestMolarMassRefuses(t *testing.T) {
	t.Parallel()
	for _, formula := range []string{"", "Xx", "C6H6(OH)", "c6h6", "C6 H6", "C6H1234", "2H"} {
		_, ok := law.MolarMass(formula)
		assert.False(t, ok, formula)
	}
	m, ok := law.MolarMass("H2O")
	assert.True(t, ok)
	assert.Equal(t, "18.015", m.String())
}
