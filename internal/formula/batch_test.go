package formula_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

func fills(t testing.TB) []formula.Fill {
	t.Helper()
	return []formula.Fill{
		{Container: "60 ml tin", Takes: mass(t, "50 g"), Loss: quantity.Int(4)},
		{Container: "lip  tube", Takes: mass(t, "4.5 g")},
		{Container: "bottle", Unknown: "the density of the lotion is not known"},
	}
}

func TestSize(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, batch string
		weight      string // exact grams
		filled      string // count × each, and what is left
	}{
		{"by weight", "250 g", "250", "4 × 50 g and 525/13 left"},
		{"by weight, just enough for one", "52 g", "52", "1 × 50 g and 0 left"},
		{"by weight, just short of one", "51.99 g", "51.99", "0 × 50 g and 5199/104 left"},
		{"by weight in ounces", "2 lb", "907.18474", "17 × 50 g and 1159237/52000 left"},
		{"containers with loss", "24 × 60 ml tin", "1248", "24 × 50 g and 0 left"},
		{"containers without loss", "10 x lip tube", "45", "10 × 4.5 g and 0 left"},
		{"containers, whatever the case and spaces", "2 × LIP   Tube", "9", "2 × 4.5 g and 0 left"},
		{"what uses up a material", "from 30 g beeswax", "150", "2 × 50 g and 575/13 left"},
		{"what uses up a material of a phase", "from 30 g Shea in Oil", "150", "2 × 50 g and 575/13 left"},
		{"what uses up a material, no finite decimal", "from 1 g Jojoba", "2.5", "0 × 50 g and 125/52 left"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			v := solve(t, "Wax:\n  Beeswax: 20 %\nOil:\n  Jojoba: 40 %\n  Shea: 20 %\nCool-down:\n  Shea: 20 %")
			s := size(t, v, test.batch, fills(t)...)
			assert.Equal(t, test.weight, s.Weight.Grams().String())
			require.NotNil(t, s.Filled)
			filled := quantity.Int(s.Filled.Count).String() + " × " + s.Filled.Each.String() + " and " + s.Filled.Left.Grams().String() + " left"
			assert.Equal(t, test.filled, filled)
		})
	}
}

func TestSizeFirstFill(t *testing.T) {
	t.Parallel()
	v := solve(t, balm)
	assert.Nil(t, size(t, v, "250 g").Filled, "no fill")
	assert.Nil(t, size(t, v, "250 g", fills(t)[2]).Filled, "the fill is not known")
	assert.Equal(t, "60 ml tin", size(t, v, "250 g", fills(t)...).Filled.Container, "the first fill is meant")
	assert.Equal(t, "lip  tube", size(t, v, "2 × lip tube", fills(t)...).Filled.Container)
}

func TestSizeRefuses(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, batch string
		fills       []formula.Fill
		want        formula.SizeError
	}{
		{"containers without a fill", "12 × jar", nil, formula.SizeError{FillUnknown: true, Message: "nothing says what a jar takes", Hint: "add fill: {container: jar, takes: …, loss: …}"}},
		{"an unknown container, nearly right", "12 × botle", fills(t), formula.SizeError{FillUnknown: true, Message: "nothing says what a botle takes", Hint: "did you mean “bottle”?"}},
		{"an unknown container", "12 × 4 fl oz jar", fills(t), formula.SizeError{FillUnknown: true, Message: "nothing says what a 4 fl oz jar takes", Hint: "the containers under fill are 60 ml tin, lip  tube, bottle"}},
		{"a fill that is not known", "12 × bottle", fills(t), formula.SizeError{FillUnknown: true, Message: "the density of the lotion is not known", Hint: "give takes: as a weight, or add the product's density: to the fill"}},
		{"a material that is missing, nearly right", "from 30 g Beewax", nil, formula.SizeError{Message: "there is no Beewax in this version to use up", Hint: "did you mean “Beeswax”?"}},
		{"a material that is missing", "from 30 g Candelilla", nil, formula.SizeError{Message: "there is no Candelilla in this version to use up", Hint: "name an ingredient of the formula"}},
		{"a material in two phases", "from 30 g Shea", nil, formula.SizeError{Message: "Shea stands in more than one phase", Hint: "say which, as in “Shea in Oil”"}},
		{"a material of which nothing is left", "from 30 g Water", nil, formula.SizeError{Message: "there is nothing of Water in this version", Hint: "name another ingredient"}},
	}
	v := solve(t, "Wax:\n  Beeswax: 20 %\n  Water: q.s.\nOil:\n  Jojoba: 40 %\n  Shea: 20 %\nCool-down:\n  Shea: 20 %")
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s, err := v.Size(batch(t, test.batch), test.fills)
			var got *formula.SizeError
			require.ErrorAs(t, err, &got)
			assert.Equal(t, test.want, *got)
			assert.Zero(t, s)
			assert.Equal(t, got.Message+" ("+got.Hint+")", err.Error())
		})
	}
}

func TestFind(t *testing.T) {
	t.Parallel()
	v := solve(t, lotion)
	tests := []struct {
		name string
		want []int
	}{
		{"Glycerin", []int{1}},
		{" glycerin ", []int{1}},
		{"Shea", []int{2, 5}},
		{"Shea in Oil", []int{2}},
		{"SHEA in cool-down phase", []int{5}},
		{"Shea in Water", nil},
		{"She", nil},
		{"Oil", nil},
		{"", nil},
	}
	for _, test := range tests {
		assert.Equal(t, test.want, v.Find(test.name), "%q", test.name)
		assert.Equal(t, test.want, v.FindInMethod(test.name), "%q in the method", test.name)
	}
	assert.Equal(t, []int{2, 3, 4}, v.FindPhase("Oil"))
	assert.Equal(t, []int{2, 3, 4}, v.FindPhase("oil phase"))
	assert.Nil(t, v.FindPhase("Shea"))
	assert.Equal(t, []string{"Water", "Glycerin", "Shea", "Jojoba", "Wax", "Shea", "Rose", "Water", "Oil", "Cool-down"}, v.Names())
}

// A material's other names find its items, in a phase where one is named, and what took its place.
func TestFindMaterial(t *testing.T) {
	t.Parallel()
	v := vary(t, "Oil:\n  Jojoba: 40 %\n  Shea: 50 %\nCool-down:\n  Shea: 10 %", []change{{"Jojoba", "becomes Cocoa butter"}})
	id := func(name string) string {
		return map[string]string{"Jojoba": "jojoba", "Simmondsia": "jojoba", "Shea": "shea", "Karité": "shea", "Cocoa butter": "cocoa", "Gum in water": "shea"}[name]
	}
	for i := range v.Items {
		v.Items[i].Material = id(v.Items[i].Name)
	}
	for name, want := range map[string][]int{
		"Karité": {1, 2}, "Karité in Oil": {1}, "Karité in cool-down phase": {2}, "Karité in Water": nil, "Simmondsia": {0}, "Gum in water": {1, 2}, "Wax": nil, "": nil, " in Oil": nil,
	} {
		assert.Equal(t, want, v.FindMaterial(name, id), "%q", name)
	}
}

// A batch made from what there is of an ingredient is not to be had in a variant that puts another in its place: the pot would be
// measured by the wrong jar.
func TestSizeRefusesWhatTookItsPlace(t *testing.T) {
	t.Parallel()
	v := vary(t, "Oil:\n  Jojoba: 40 %\n  Shea: 60 %", []change{{"Jojoba", "becomes Cocoa butter"}})
	batch, err := quantity.ParseBatch("from 100 g Jojoba")
	require.NoError(t, err)
	_, err = v.Size(batch, nil)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "no Jojoba in this version")
	sized := size(t, v, "from 100 g Cocoa butter")
	assert.Equal(t, "250 g", sized.Weight.String())
}
