package formula_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// What is to be used up may have another name of the material, or the beginning of the formula's; what took its place is never meant.
func TestUsing(t *testing.T) {
	t.Parallel()
	v := vary(t, "Oil:\n  Jojoba: 20 %\n  Shea butter, refined: 50 %\n  Lavender oil: 20 %\nCool-down:\n  Shea butter, refined: 10 %", []change{{"Jojoba", "becomes Cocoa butter"}})
	id := func(name string) string {
		return map[string]string{"Jojoba": "jojoba", "Simmondsia": "jojoba", "Shea butter, refined": "shea", "Karité": "shea", "Cocoa butter": "cocoa", "Cacao": "cocoa"}[name]
	}
	for i := range v.Items {
		v.Items[i].Material = id(v.Items[i].Name)
	}
	for text, want := range map[string]string{
		"from 10 g cocoa butter": "from 10 g cocoa butter", "from 10 g Cacao": "from 10 g Cocoa butter", "from  10 g of  Karité in Oil": "from 10 g of Shea butter, refined in Oil",
		"from 10 g shea butter in cool-down phase": "from 10 g Shea butter, refined in Cool-down", "from 10 g shea butter": "from 10 g Shea butter, refined",
		"from 10 g Jojoba": "from 10 g Jojoba", "from 10 g Simmondsia": "from 10 g Simmondsia", "from 10 g Lavender": "from 10 g Lavender", "250 g.": "250 g", "3 × 60 ml tin": "3 × 60 ml tin",
	} {
		batch, err := quantity.ParseBatch(text)
		require.NoError(t, err)
		assert.Equal(t, want, v.Using(batch, id).Written, "%q", text)
	}
	for text, hint := range map[string]string{
		"from 10 g Lavender": "did you mean “Lavender oil”?", "from 10 g butter": "did you mean “Cocoa butter” or “Shea butter, refined”?",
		"from 10 g Lavendr oil": "did you mean “Lavender oil”?", "from 10 g Borax": "name an ingredient of the formula",
	} {
		batch, err := quantity.ParseBatch(text)
		require.NoError(t, err)
		var refused *formula.SizeError
		_, err = v.Size(batch, nil)
		require.ErrorAs(t, err, &refused)
		assert.Equal(t, hint, refused.Hint, "%q", text)
	}
}

func TestSizeContainersNamedLoosely(t *testing.T) {
	t.Parallel()
	v := solve(t, balm)
	for _, text := range []string{"3x60ml tin", "3 × 60 ml tins", "3 X 60ML TINS"} {
		assert.Equal(t, size(t, v, "3 × 60 ml tin", fills(t)...).Weight, size(t, v, text, fills(t)...).Weight, "%q", text)
	}
	batch, err := quantity.ParseBatch("3 × 60 ml tinss")
	require.NoError(t, err)
	_, err = v.Size(batch, fills(t))
	assert.Error(t, err)
}

func TestTooLittle(t *testing.T) {
	t.Parallel()
	v := solve(t, balm)
	scale, err := quantity.NewScale([]quantity.ScaleRange{{Reads: mass(t, "0.01 g")}})
	require.NoError(t, err)
	assert.NotNil(t, v.Weigh(size(t, v, "0.0000000001 kg"), scale).TooLittle())
	assert.Nil(t, v.Weigh(size(t, v, "0.02 g"), scale).TooLittle())
}
