package site_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/site"
)

// Limits by category and vanillin that a page gives are its certificate's, also where the allergens beside them are a typical lot's.
func TestSourcesOfAFragrance(t *testing.T) {
	t.Parallel()
	common := material.Common().Find("rose geranium")
	require.NotNil(t, common)
	require.NotEmpty(t, common.Fragrance.Allergens)
	require.NotEmpty(t, common.Fragrance.Source)
	vanillin := quantity.Int(2)
	m := material.Merge(&material.Material{ID: "rose", Name: "Rose geranium", Fragrance: material.Fragrance{
		Known: true, Limits: []material.Limit{{Category: "5C", Percent: quantity.Int(3)}}, Vanillin: &vanillin,
	}}, common)
	sources := map[string]string{}
	for _, f := range site.MaterialFacts(m) {
		sources[f.Name] = f.Source
	}
	assert.Equal(t, "supplier's certificate", sources["Most by category"])
	assert.Equal(t, "supplier's certificate", sources["Vanillin"])
	assert.Equal(t, common.Fragrance.Source, sources["Declared allergens"])
}
