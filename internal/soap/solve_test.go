package soap_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

func interval(t testing.TB, text string) *quantity.Interval {
	t.Helper()
	if text == "" {
		return nil
	}
	v, err := quantity.ParseInterval(text)
	require.NoError(t, err, text)
	return &v
}

func fat(t testing.TB, name, weight, value string) soap.Fat {
	t.Helper()
	return soap.Fat{Name: name, Weight: num(t, weight), Saponified: interval(t, value)}
}

func bar(t testing.TB, purity, superfat, water string) soap.Block {
	t.Helper()
	return soap.Block{
		Alkalis:  []soap.Use{{Alkali: soap.Sodium, Share: quantity.Int(100), Purity: num(t, purity)}},
		Superfat: num(t, superfat), Water: num(t, water),
	}
}

func subjects(t *testing.T, err error) []string {
	t.Helper()
	var faults soap.Faults
	require.ErrorAs(t, err, &faults)
	var all []string
	for _, f := range faults {
		assert.NotEmpty(t, f.Message)
		assert.NotEmpty(t, f.Hint)
		assert.Contains(t, err.Error(), f.Message+" ("+f.Hint+")")
		all = append(all, f.Subject)
	}
	return all
}

func TestSolveRefuses(t *testing.T) {
	t.Parallel()
	olive := fat(t, "Olive oil", "1000", "184–196")
	good := bar(t, "98", "5", "2")
	tests := []struct {
		name  string
		block soap.Block
		fats  []soap.Fat
		want  []string
	}{
		{"no fats", good, nil, []string{"fats"}},
		{"an acid is no fat", good, []soap.Fat{{Name: "Citric acid", Weight: quantity.Int(5), Saponified: interval(t, "876"), Acid: true}}, []string{"fats"}},
		{"fats that weigh nothing", good, []soap.Fat{fat(t, "Olive oil", "0", "184–196")}, []string{"fats"}},
		{"nothing that takes up alkali", good, []soap.Fat{fat(t, "Mineral oil", "1000", "0")}, []string{"fats"}},
		{"nothing that surely takes up alkali", good, []soap.Fat{fat(t, "Odd oil", "1000", "0–10")}, []string{"fats"}},
		{"a value that is not known", good, []soap.Fat{olive, fat(t, "Marula oil", "20", "")}, []string{"Marula oil"}},
		{"two values that are not known", good, []soap.Fat{fat(t, "Marula oil", "20", ""), olive, fat(t, "Sea buckthorn", "20", "")}, []string{"Marula oil", "Sea buckthorn"}},
		{"a value below 0", good, []soap.Fat{{Name: "Odd", Weight: quantity.Int(1), Saponified: &quantity.Interval{Low: quantity.Int(-1)}}}, []string{"Odd"}},
		{"a range backwards", good, []soap.Fat{{Name: "Odd", Weight: quantity.Int(1), Saponified: &quantity.Interval{Low: quantity.Int(2), High: quantity.Int(1)}}}, []string{"Odd"}},
		{"a weight below 0", good, []soap.Fat{olive, {Name: "Odd", Weight: quantity.Int(-1), Saponified: interval(t, "190")}}, []string{"Odd"}},
		{"purity 0", bar(t, "0", "5", "2"), []soap.Fat{olive}, []string{"sodium hydroxide"}},
		{"purity past 100", bar(t, "100.001", "5", "2"), []soap.Fat{olive}, []string{"sodium hydroxide"}},
		{"superfat 100", bar(t, "98", "100", "2"), []soap.Fat{olive}, []string{"superfat"}},
		{"no water", bar(t, "98", "5", "0"), []soap.Fat{olive}, []string{"water"}},
		{"water and superfat below 0", soap.Block{Alkalis: good.Alkalis, Superfat: quantity.Int(-1), Water: quantity.Int(-1)}, []soap.Fat{olive}, []string{"superfat", "water"}},
		{"no alkali", soap.Block{Superfat: quantity.Int(5), Water: quantity.Int(2)}, []soap.Fat{olive}, []string{"alkali"}},
		{"an alkali twice", soap.Block{Water: quantity.Int(2), Alkalis: []soap.Use{
			{Alkali: soap.Sodium, Share: quantity.Int(50), Purity: quantity.Int(98)},
			{Alkali: soap.Sodium, Share: quantity.Int(50), Purity: quantity.Int(98)},
		}}, []soap.Fat{olive}, []string{"sodium hydroxide"}},
		{"shares of 99 %", soap.Block{Water: quantity.Int(2), Alkalis: []soap.Use{
			{Alkali: soap.Sodium, Share: quantity.Int(60), Purity: quantity.Int(98)},
			{Alkali: soap.Potassium, Share: quantity.Int(39), Purity: quantity.Int(90)},
		}}, []soap.Fat{olive}, []string{"alkali"}},
		{"a share of nothing", soap.Block{Water: quantity.Int(2), Alkalis: []soap.Use{
			{Alkali: soap.Sodium, Share: quantity.Int(100), Purity: quantity.Int(98)},
			{Alkali: soap.Potassium, Purity: quantity.Int(90)},
		}}, []soap.Fat{olive}, []string{"potassium hydroxide"}},
		{"another alkali", soap.Block{Water: quantity.Int(2), Alkalis: []soap.Use{{Alkali: "lime", Share: quantity.Int(100), Purity: quantity.Int(98)}}}, []soap.Fat{olive}, []string{"lime"}},
		{"everything at once", bar(t, "0", "100", "0"), []soap.Fat{fat(t, "Marula oil", "20", "")}, []string{"Marula oil", "sodium hydroxide", "superfat", "water"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			r, err := soap.Solve(test.block, test.fats)
			assert.Equal(t, test.want, subjects(t, err))
			assert.Empty(t, r)
		})
	}
}

func TestBackwardsRefuses(t *testing.T) {
	t.Parallel()
	olive := []soap.Fat{fat(t, "Olive oil", "1000", "184–196")}
	caustic := func(weight, purity int64) []soap.Weighed {
		return []soap.Weighed{{Alkali: soap.Sodium, Weight: quantity.Int(weight), Purity: quantity.Int(purity)}}
	}
	tests := []struct {
		name    string
		fats    []soap.Fat
		alkalis []soap.Weighed
		water   int64
		want    []string
	}{
		{"no fats", nil, caustic(130, 98), 260, []string{"fats"}},
		{"no alkali", olive, nil, 260, []string{"alkali"}},
		{"alkali that weighs nothing", olive, caustic(0, 98), 260, []string{"alkali"}},
		{"alkali below 0", olive, caustic(-1, 98), 260, []string{"sodium hydroxide"}},
		{"purity 0", olive, caustic(130, 0), 260, []string{"sodium hydroxide"}},
		{"purity past 100", olive, caustic(130, 101), 260, []string{"sodium hydroxide"}},
		{"water below 0", olive, caustic(130, 98), -1, []string{"water"}},
		{"another alkali", olive, []soap.Weighed{{Alkali: "lime", Weight: quantity.Int(1), Purity: quantity.Int(98)}}, 260, []string{"lime"}},
		{"a value that is not known", []soap.Fat{fat(t, "Marula oil", "20", "")}, caustic(130, 98), 260, []string{"Marula oil"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			_, err := soap.Backwards(test.fats, test.alkalis, quantity.Int(test.water))
			assert.Equal(t, test.want, subjects(t, err))
		})
	}
}

// The range of a soap: 1 − 0.95 × 190/184 and 1 − 0.95 × 190/196, by hand.
func TestRange(t *testing.T) {
	t.Parallel()
	r, err := soap.Solve(bar(t, "98", "5", "2"), []soap.Fat{fat(t, "Olive oil", "1000", "184–196")})
	require.NoError(t, err)
	assert.Equal(t, "1.902", r.Range.Low.Text(3))
	assert.Equal(t, "7.908", r.Range.High.Text(3))
	assert.False(t, r.Excess())
	assert.Equal(t, []soap.Demand{{Fat: fat(t, "Olive oil", "1000", "184–196"), KOH: quantity.Int(190), Between: *interval(t, "184–196")}}, r.Fats)
}

// Excess is said from the first trace below a superfat of 0 at the low end of the ranges, and not at 0.
func TestExcess(t *testing.T) {
	t.Parallel()
	tests := []struct {
		value, superfat string
		want            bool
	}{
		{"190", "0", false},
		{"180–200", "5.26", true},  // 1 − 180/190 = 5.263… %
		{"180–200", "5.27", false}, // its 94.73 % of 190 is less than 180
		{"190–210", "5", false},    // exactly 0: 95 % of 200 is 190
		{"190–210", "4.9999", true},
		{"189.9999–210", "5", true},
	}
	for _, test := range tests {
		r, err := soap.Solve(bar(t, "98", test.superfat, "2"), []soap.Fat{fat(t, "Fat", "1000", test.value)})
		require.NoError(t, err)
		assert.Equal(t, test.want, r.Excess(), "%s at %s %%: lowest %s", test.value, test.superfat, r.Range.Low.Text(6))
	}
}

func TestBackwardsFreeAlkali(t *testing.T) {
	t.Parallel()
	olive := []soap.Fat{fat(t, "Olive oil", "1000", "190")}
	r, err := soap.Backwards(olive, []soap.Weighed{{Alkali: soap.Potassium, Weight: num(t, "209"), Purity: quantity.Int(100)}}, quantity.Number{})
	require.NoError(t, err)
	assert.Equal(t, "-10", r.Superfat.String(), "a tenth more than the 190 that the fat takes up")
	assert.Equal(t, "0", r.Free.String())
	assert.True(t, r.Excess())
	assert.Equal(t, "100", r.Strength.String(), "no water is listed")
}

// An acid is served first: what it takes is not left for the fats, and no less than nothing is.
func TestAcidFirst(t *testing.T) {
	t.Parallel()
	fats := []soap.Fat{fat(t, "Olive oil", "1000", "190"), {Name: "Citric acid", Weight: quantity.Int(20), Saponified: interval(t, "801–876"), Acid: true}}
	for koh, want := range map[string]quantity.Interval{
		"197.48": {Low: num(t, "4.494737"), High: num(t, "5.284211")}, // (190 + 16.02 − 197.48)/190 and (190 + 17.52 − 197.48)/190
		"10":     {Low: quantity.Int(100), High: quantity.Int(100)},
	} {
		r, err := soap.Backwards(fats, []soap.Weighed{{Alkali: soap.Potassium, Weight: num(t, koh), Purity: quantity.Int(100)}}, quantity.Int(400))
		require.NoError(t, err)
		assert.Equal(t, want.Low.Text(6), r.Range.Low.Text(6), koh)
		assert.Equal(t, want.High.Text(6), r.Range.High.Text(6), koh)
		assert.Equal(t, "1000", r.Fat.String())
		assert.Equal(t, "16.77", r.Acid.String())
	}
}

func TestLyeRefuses(t *testing.T) {
	t.Parallel()
	for _, strength := range []int64{-1, 0, 100, 101} {
		_, err := soap.WaterFor(quantity.Int(strength))
		require.ErrorContains(t, err, "cannot be", "%d", strength)
		_, _, err = soap.FromStock(quantity.Int(120), quantity.Int(strength), quantity.Int(33))
		require.ErrorContains(t, err, "cannot be", "%d", strength)
	}
	_, _, err := soap.FromStock(quantity.Int(120), quantity.Int(30), quantity.Int(33))
	require.ErrorContains(t, err, "too weak")
	_, water, err := soap.FromStock(quantity.Int(120), quantity.Int(33), quantity.Int(33))
	require.NoError(t, err)
	assert.Equal(t, 0, water.Sign(), "the stock as it is")
}

func TestTitrationRefuses(t *testing.T) {
	t.Parallel()
	one := quantity.Int(1)
	for name, m := range map[string]soap.Titration{
		"nothing":             {},
		"no fat":              {Blank: one, Normality: one},
		"nothing taken up":    {Fat: one, Blank: one, Back: one, Normality: one},
		"more left than was":  {Fat: one, Blank: one, Back: quantity.Int(2), Normality: one},
		"less than no acid":   {Fat: one, Blank: one, Back: quantity.Int(-1), Normality: one},
		"all signs turned":    {Fat: one, Blank: one, Back: quantity.Int(2), Normality: quantity.Int(-1)},
		"no strength of acid": {Fat: one, Blank: one},
	} {
		_, err := m.Equivalent()
		assert.Error(t, err, name)
	}
	_, err := soap.ValueOf(quantity.Number{})
	assert.Error(t, err)
}

func TestAlkali(t *testing.T) {
	t.Parallel()
	tests := map[string]soap.Alkali{
		"sodium hydroxide": soap.Sodium, "Sodium Hydroxide": soap.Sodium, " POTASSIUM  hydroxide ": soap.Potassium, "Sodium Carbonate": "", "": "", "sodium": "",
	}
	for name, want := range tests {
		got, ok := soap.FindAlkali(name)
		assert.Equal(t, want, got, name)
		assert.Equal(t, want != "", ok, name)
	}
	assert.Equal(t, "39.997", soap.Sodium.MolarMass().String())
	assert.Equal(t, "56.106", soap.Potassium.MolarMass().String())
	assert.Equal(t, "0.712883", soap.Sodium.MolarMass().Quo(soap.Potassium.MolarMass()).Text(6), "NaOH for 1 of KOH")
	assert.Equal(t, "1.402755", soap.Potassium.MolarMass().Quo(soap.Sodium.MolarMass()).Text(6), "KOH for 1 of NaOH")
}
