package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// The usual rate is shown, its upper end drawn in by law; phenoxyethanol may come to 1 % (Regulation (EC) No 1223/2009, Annex V, entry 29).
func TestRates(t *testing.T) {
	t.Parallel()
	index := material.NewIndex(nil).Over(material.Common())
	var lines []formula.Line
	var materials []*material.Material
	for _, row := range [][2]string{{"Distilled water", "99.2 %"}, {"Phenoxyethanol", "0.8 %"}} {
		amount, err := quantity.ParseAmount(row[1])
		require.NoError(t, err)
		lines = append(lines, formula.Line{Ingredient: formula.Ingredient{Name: row[0]}, Amount: amount})
		materials = append(materials, index.Find(row[0]))
	}
	v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{{Name: "All", Lines: lines}}})
	require.NoError(t, problems.Err())
	product, _ := law.FindProduct("body lotion")
	rates := check.Rates(&check.Subject{Version: v, Product: product, Materials: materials, Index: index})
	last := rates[len(rates)-1]
	assert.Equal(t, "Phenoxyethanol", last.Name)
	assert.Equal(t, "0.8", last.Percent.String())
	require.NotNil(t, last.To)
	assert.Equal(t, "1", last.To.String())
	assert.Contains(t, last.Source, "1223/2009")
}
