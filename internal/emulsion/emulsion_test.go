package emulsion_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/emulsion"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

func oil(t testing.TB, required string, roles ...string) *material.Material {
	t.Helper()
	m := &material.Material{Roles: roles}
	if required != "" {
		v, err := quantity.ParseInterval(required)
		require.NoError(t, err)
		m.RequiredHLB = material.Sourced[quantity.Interval]{Value: v, Known: true}
	}
	return m
}

func emulsifier(t testing.TB, hlb string, roles ...string) *material.Material {
	t.Helper()
	m := oil(t, "12", roles...) // what it asks for as an oil must not count
	if hlb != "" {
		m.HLB = material.Sourced[quantity.Number]{Value: num(t, hlb), Known: true}
	}
	return m
}

// lotion gives an emulsion of "name", "percent", …, with the material of each.
func lotion(t testing.TB, materials []*material.Material, lines ...string) emulsion.Emulsion {
	t.Helper()
	p := formula.Phase{Name: "All"}
	for i := 0; i < len(lines); i += 2 {
		amount, err := quantity.ParseAmount(lines[i+1])
		require.NoError(t, err)
		p.Lines = append(p.Lines, formula.Line{Ingredient: formula.Ingredient{Name: lines[i]}, Amount: amount})
	}
	v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{p}})
	require.Zero(t, problems.Len())
	return emulsion.Read(v.Items, materials, v.Percent)
}

func TestRead(t *testing.T) {
	t.Parallel()
	water, scent := &material.Material{Roles: []string{"water"}}, &material.Material{Roles: []string{"fragrance"}}
	e := lotion(t, []*material.Material{
		water, oil(t, "7", "oil"), oil(t, "6–8", "butter"), oil(t, "15", "fatty-alcohol", "thickener"), oil(t, "", "ester"), oil(t, "12", "wax"),
		emulsifier(t, "15", "emulsifier"), emulsifier(t, "4.7", "emulsifier", "ester"), emulsifier(t, "", "emulsifying-wax", "wax"), scent, nil,
	}, "Water", "q.s.", "Oil", "10 %", "Butter", "5 %", "Alcohol", "3 %", "Ester", "1 %", "Wax", "1 %",
		"One", "2 %", "Other", "2 %", "Wax that emulsifies", "1 %", "Scent", "1 %", "Mystery", "1 %", "Last", "1 %")
	assert.Equal(t, "20", e.Oil.Weight.String())
	assert.Equal(t, []string{"Ester"}, e.Oil.Unknown)
	assert.Equal(t, "95", e.Oil.Known.String())
	assert.Equal(t, "8.2632", e.Oil.HLB.Low.Text(4), "(10 × 7 + 5 × 6 + 3 × 15 + 1 × 12) ÷ 19")
	assert.Equal(t, "8.7895", e.Oil.HLB.High.Text(4), "(10 × 7 + 5 × 8 + 3 × 15 + 1 × 12) ÷ 19")
	assert.Equal(t, "72", e.Water.String())
	assert.Equal(t, "5", e.Emulsifier.Weight.String())
	assert.Equal(t, "9.85", e.Emulsifier.HLB.String())
	assert.Equal(t, []string{"Wax that emulsifies"}, e.Emulsifier.Unknown)
	assert.Equal(t, "80", e.Emulsifier.Known.String())
	assert.Equal(t, []string{"Mystery", "Last"}, e.Unknown)
	share, ok := e.Share()
	assert.True(t, ok)
	assert.Equal(t, "25", share.String())
	_, ok = e.Off()
	assert.False(t, ok, "not all of it is known")
}

func TestOff(t *testing.T) {
	t.Parallel()
	water := &material.Material{Roles: []string{"water"}}
	tests := []struct {
		name, hlb, required, want string
		ok                        bool
	}{
		{"at the low end", "7", "7–8", "0", true},
		{"between", "7.5", "7–8", "0", true},
		{"at the high end", "8", "7–8", "0", true},
		{"below", "5.9", "7–8", "-1.1", true},
		{"above", "9", "7–8", "1", true},
		{"just above", "8.01", "8", "0.01", true},
		{"nothing known of the oil", "8", "", "0", false},
		{"nothing known of the emulsifier", "", "8", "0", false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			materials := []*material.Material{water, oil(t, test.required, "oil"), emulsifier(t, test.hlb, "emulsifier")}
			off, ok := lotion(t, materials, "Water", "q.s.", "Oil", "20 %", "Emulsifier", "5 %").Off()
			assert.Equal(t, test.ok, ok)
			assert.Equal(t, test.want, off.String())
			materials[0] = nil
			_, ok = lotion(t, materials, "Water", "q.s.", "Oil", "20 %", "Emulsifier", "5 %").Off()
			assert.False(t, ok, "an ingredient without material may be anything")
		})
	}
}

func TestWithoutEmulsion(t *testing.T) {
	t.Parallel()
	water := &material.Material{Roles: []string{"water"}}
	e := lotion(t, []*material.Material{water}, "Water", "100 %")
	_, ok := e.Share()
	assert.False(t, ok)
	_, ok = e.Off()
	assert.False(t, ok)
	_, ok = e.Oil.Middle()
	assert.False(t, ok)
	assert.False(t, e.Oil.Whole())
	e = lotion(t, []*material.Material{water, oil(t, "7", "oil")}, "Water", "80 %", "Oil", "20 %")
	share, ok := e.Share()
	assert.True(t, ok)
	assert.Equal(t, "0", share.String(), "no emulsifier at all")
}

func TestMixLeavesOutNothing(t *testing.T) {
	t.Parallel()
	b := emulsion.Mix([]emulsion.Part{{"a", quantity.Int(1), nil}, {"b", quantity.Int(0), nil}, {"c", quantity.Int(0), at(quantity.Int(5))}})
	assert.Equal(t, []string{"a"}, b.Unknown)
	assert.Equal(t, "0", b.Known.String())
	assert.Equal(t, "1", b.Weight.String())
	assert.Equal(t, quantity.Interval{}, b.HLB)
}

func TestSplitRefuses(t *testing.T) {
	t.Parallel()
	tests := []struct{ one, other, wanted, want string }{
		{"16.7", "4.3", "16.71", "reach from 4.3 to 16.7"},
		{"4.3", "16.7", "4.29", "reach from 4.3 to 16.7"},
		{"8", "8", "8", "every mixture"},
		{"8", "8", "9", "every mixture"},
	}
	for _, test := range tests {
		_, _, err := emulsion.Split(num(t, test.one), num(t, test.other), num(t, test.wanted))
		assert.ErrorContains(t, err, test.want)
	}
	first, second, err := emulsion.Split(num(t, "16.7"), num(t, "4.3"), num(t, "16.7"))
	require.NoError(t, err)
	assert.Equal(t, "100 0", first.String()+" "+second.String(), "at the end of the range")
}

func TestFromValues(t *testing.T) {
	t.Parallel()
	for _, test := range []struct{ s, a, want string }{{"0", "200", "20"}, {"200", "200", "0"}, {"100", "200", "10"}} {
		hlb, err := emulsion.FromValues(num(t, test.s), num(t, test.a))
		require.NoError(t, err)
		assert.Equal(t, test.want, hlb.String())
	}
	for _, bad := range [][2]int64{{1, 0}, {0, 0}, {-1, 200}, {201, 200}, {1, -1}} {
		_, err := emulsion.FromValues(quantity.Int(bad[0]), quantity.Int(bad[1]))
		assert.ErrorContains(t, err, "no HLB", "%v", bad)
	}
}
