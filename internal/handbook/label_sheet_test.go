package handbook_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/label"
)

func TestLabelSheets(t *testing.T) {
	t.Parallel()
	h := loadGood(t)
	require.Len(t, h.LabelSheets, 2)
	tins, bottles := h.LabelSheets[0], h.LabelSheets[1]
	assert.Equal(t, "tins", tins.Name)
	assert.Equal(t, "210 mm × 297 mm", tins.Page.String())
	assert.Equal(t, []int{7, 3}, []int{tins.Rows, tins.Columns})
	assert.Equal(t, "63.5 mm × 38.1 mm", tins.Label.String())
	assert.Equal(t, "15.15 mm", tins.Top.String())
	assert.Equal(t, "7.25 mm", tins.Left.String())
	assert.Equal(t, "2.5 mm × 0 mm", tins.Gaps.String())
	assert.Equal(t, "1.5 mm", tins.Edge.String(), "where none is given")
	assert.Nil(t, tins.Panel)
	assert.Equal(t, "215.9 mm × 279.4 mm", bottles.Page.String())
	assert.Equal(t, "101.6 mm × 50.8 mm", bottles.Label.String())
	assert.Equal(t, "2 mm", bottles.Edge.String())
	assert.True(t, bottles.Panel.Round)
	assert.Equal(t, "150 mm × 60 mm", bottles.Panel.Size.String())
}

func TestResponsible(t *testing.T) {
	t.Parallel()
	h := loadGood(t)
	larkrow := label.Responsible{Name: "Larkrow stillroom", Address: "3 Lark Row, Milton", Contact: "larkrow.example/contact"}
	require.NotNil(t, h.ResponsibleIn(label.EU))
	assert.Equal(t, larkrow, *h.ResponsibleIn(label.EU))
	assert.Equal(t, larkrow, *h.ResponsibleIn(label.US))

	for _, yaml := range []string{
		"responsible:\n  - {name: All, address: a}\n  - {name: Union, address: b, market: eu}\n",
		"responsible:\n  - {name: Union, address: b, market: EU}\n  - {name: All, address: a}\n",
	} {
		h, problems := handbook.Load(fstest.MapFS{"handbook.yaml": {Data: []byte("title: Larkrow\n" + yaml)}})
		require.NoError(t, problems.Err())
		assert.Equal(t, "Union", h.ResponsibleIn(label.EU).Name, "who is named for the market comes first")
		assert.Equal(t, "All", h.ResponsibleIn(label.US).Name)
	}
	h, _ = handbook.Load(fstest.MapFS{"handbook.yaml": {Data: []byte("title: Larkrow\nresponsible: {name: Union, address: b, market: EU}\n")}})
	assert.Nil(t, h.ResponsibleIn(label.US))
}
