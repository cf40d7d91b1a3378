package quantity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

type batchRow struct {
	in, g     string
	count     int64
	container string
	material  string
	written   string
}

var batchRows = []batchRow{
	{in: "250 g", g: "250", written: "250 g"},
	{in: " 250\u00a0g ", g: "250", written: "250 g"},
	{in: "2 lb", g: "907.18474", written: "2 lb"},
	{in: "32 oz", g: "907.18474", written: "32 oz"},
	{in: "2 lb  8 oz", g: "1133.980925", written: "2 lb 8 oz"},
	{in: "1,5 kg", g: "1500", written: "1,5 kg"},
	{in: "24 × 60 ml tin", count: 24, container: "60 ml tin", written: "24 × 60 ml tin"},
	{in: "24×60 ml tin", count: 24, container: "60 ml tin", written: "24×60 ml tin"},
	{in: "24 x 60 ml tin", count: 24, container: "60 ml tin", written: "24 x 60 ml tin"},
	{in: "24x60 ml tin", count: 24, container: "60 ml tin", written: "24x60 ml tin"},
	{in: "24 X 60 ml tin", count: 24, container: "60 ml tin", written: "24 X 60 ml tin"},
	{in: "24 * 60 ml tin", count: 24, container: "60 ml tin", written: "24 * 60 ml tin"},
	{in: "12 ×  4 fl oz\u00a0jar", count: 12, container: "4 fl oz jar", written: "12 × 4 fl oz jar"},
	{in: "1 × jar", count: 1, container: "jar", written: "1 × jar"},
	{in: "1000000 × tin", count: 1000000, container: "tin", written: "1000000 × tin"},
	{in: "from 340 g Shea butter, refined", g: "340", material: "Shea butter, refined", written: "from 340 g Shea butter, refined"},
	{in: "From 12 oz of  Shea   butter", g: "340.1942775", material: "Shea butter", written: "From 12 oz of Shea butter"},
	{in: "from 2 lb 4 oz Oil", g: "1020.5828325", material: "Oil", written: "from 2 lb 4 oz Oil"},
	{in: "from 340 g of 70 % alcohol", g: "340", material: "70 % alcohol", written: "from 340 g of 70 % alcohol"},
}

func TestParseBatch(t *testing.T) {
	t.Parallel()
	for _, row := range batchRows {
		t.Run(row.in, func(t *testing.T) {
			t.Parallel()
			b, err := quantity.ParseBatch(row.in)
			require.NoError(t, err)
			equal(t, orZero(row.g), b.Mass.Grams(), row.in)
			assert.Equal(t, row.count, b.Count)
			assert.Equal(t, row.container, b.Container)
			assert.Equal(t, row.material, b.Material)
			assert.Equal(t, row.written, b.Written)
		})
	}
}

var batchRefusals = []refusal{
	{"⟦⟧", "missing"},
	{"⟦ ⟧", "missing"},
	{"⟦250⟧", "not a batch"},
	{"⟦8 fl oz⟧", "by weight"},
	{"⟦500 ml⟧", "by weight"},
	{"⟦0 g⟧", "nothing"},
	{"⟦3 %⟧", "not a batch"},
	{"⟦q.s.⟧", "not an amount"},
	{"⟦-250 g⟧", "sign"},
	{"⟦about 250 g⟧", "cannot be weighed"},
	{"⟦200–250 g⟧", "range"},
	{"⟦200 g – 250 g⟧", "range"},
	{"⟦1,000⟧ g", "ambiguous"},
	{"⟦1,000⟧ × 60 ml tin", "ambiguous"},
	{"250 g ⟦of cream⟧", "does not belong"},
	{"⟦250 g 1 cup⟧", "mixes"},
	{"3 ⟦jars⟧", "cannot be weighed"},
	{"5 ⟦graams⟧", "not a unit"},
	{"⟦0 ×⟧ tin", "whole number"},
	{"⟦1½ ×⟧ tin", "whole number"},
	{"⟦2.5 x⟧ tin", "whole number"},
	{"⟦1000001 ×⟧ tin", "whole number"},
	{"⟦24 ×⟧", "container's name is missing"},
	{"24 ⟦xl⟧ tin", "not a unit"},
	{"⟦× 24 tin⟧", "not an amount"},
	{"from⟦⟧", "a number should stand here"},
	{"from ⟦S⟧hea butter", "a number should stand here"},
	{"from 340 ⟦Shea⟧ butter", "not a unit"},
	{"⟦from 0 g Shea butter⟧", "must be a weight"},
	{"⟦from 8 fl oz Shea butter⟧", "must be a weight"},
	{"from 340 g⟦⟧", "material's name is missing"},
	{"from 340 g of ⟦⟧", "material's name is missing"},
	{"from ⟦3–4 oz Shea butter⟧", "range"},
}

func TestParseBatchRefuses(t *testing.T) {
	t.Parallel()
	checkRefusals(t, func(text string) error { _, err := quantity.ParseBatch(text); return err }, batchRefusals)
}
