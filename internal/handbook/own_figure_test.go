package handbook_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// A figure on an ingredient's page has the source that the page names, or the maker; the catalogue's figures keep theirs.
func TestFiguresOfAPage(t *testing.T) {
	t.Parallel()
	h, problems := handbook.Load(with("ingredients/rose.md", `---
name: Rose geranium
also: [rose  Geranium, pink geranium]
inci: {Pelargonium Graveolens Flower Oil: 100 %}
density: 0,89 g/ml
keeps: {value: 18 months, source: supplier's sheet of 2026-03}
use:
  - {for: leave-on, to: 0.5 %}
  - {for: rinse-off, to: 1 %, source: supplier's sheet of 2026-03}
---
`))
	require.Empty(t, problems.All())
	m := h.Materials.Find("Rose geranium")
	require.NotNil(t, m)
	require.NotEmpty(t, m.Base, "the catalogue knows it too")
	assert.Equal(t, []string{"pink geranium"}, m.Also)
	assert.Equal(t, "the maker's own figure", m.Density.Source)
	assert.Equal(t, "supplier's sheet of 2026-03", m.Keeps.Source)
	assert.Equal(t, "the maker's own figure", m.Uses[0].Source)
	assert.Equal(t, "supplier's sheet of 2026-03", m.Uses[1].Source)
	require.True(t, m.AddBelow.Known)
	assert.NotEqual(t, "the maker's own figure", m.AddBelow.Source, "that is the catalogue's")
	assert.False(t, m.HLB.Known)
	assert.Empty(t, m.HLB.Source)
}

// A name that the catalogue has for the material is not told as another one where the page took it.
func TestNameTakenFromTheCatalogue(t *testing.T) {
	t.Parallel()
	h, problems := handbook.Load(with("ingredients/rose.md", "---\nname: Rose geranium\nfragrance: {limits: {5C: 3 %}}\n---\n"))
	require.Empty(t, problems.All())
	m := h.Materials.Find("Rose geranium")
	require.NotEmpty(t, m.Base)
	assert.NotContains(t, m.Also, "rose geranium")
}
