package material

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

// Nothing is said to be of no animal that may be: what holds milk, what is sold from either, and what a page makes up otherwise.
func TestSureOrigin(t *testing.T) {
	t.Parallel()
	for id, want := range map[string]string{
		"coconut-milk-powder": "animal", "goat-milk": "animal", "beeswax-yellow": "animal", "stearic-acid": "", "sodium-hyaluronate": "", "olive-oil": "plant", "sea-salt": "mineral",
	} {
		m := Common().ByID(id)
		require.NotNil(t, m, id)
		assert.Equal(t, want, m.SureOrigin(), id)
	}
	candelilla, stearic := Common().ByID("candelilla-wax"), Common().ByID("stearic-acid")
	blend := []Constituent{{INCI: "Euphorbia Cerifera Cera", Percent: quantity.Int(60)}, {INCI: "Cera Alba", Percent: quantity.Int(40)}}
	assert.Empty(t, Merge(&Material{Name: "Candelilla wax", Composition: blend}, candelilla).SureOrigin(), "it is made of something else")
	assert.Equal(t, "plant", Merge(&Material{Name: "Candelilla wax"}, candelilla).SureOrigin())
	own := Merge(&Material{Name: "Stearic acid", Origin: "plant"}, stearic)
	assert.Equal(t, "plant", own.SureOrigin(), "the page answers what the catalogue asks")
	assert.Len(t, own.Cautions, len(stearic.Cautions)-1)
	assert.Equal(t, "animal", Merge(&Material{Name: "Stearic acid", Origin: "animal"}, stearic).SureOrigin())
	assert.Equal(t, "animal", (&Material{Origin: "plant", FoodSources: []string{"tree nuts", "Milk"}}).SureOrigin())
}
