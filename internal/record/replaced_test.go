package record_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/record"
)

// In a variant that puts one oil in the place of another, whoever writes down the other has weighed the other: labels, checks, lots and stock go
// by it. The one that took its place is left out.
func TestWhatWasReplacedIsNotWhatTookItsPlace(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"Sweet almond oil", "Almond oil"} {
		h := load(t, shop(map[string]string{
			"recipes/oil.md": "---\ntitle: Oil\nproduct: body oil\nshelf: Creams\nformula:\n  - phase: Oil\n    weigh: {Sweet almond oil: 60 %, Olive oil: 40 %}\n" +
				"variants:\n  - {name: Without nuts, change: {Sweet almond oil: becomes Sunflower oil}}\n---\n",
			"batches/o-1.md": "---\nbatch: O-1\nrecipe: oil\nversion: Without nuts\nsize: 100 g\nmade: 2026-06-01\nby: WH\nweighed:\n" +
				"  " + name + ": {target: 60 g, weighed: 60 g, lot: A-1}\n  Olive oil: {target: 40 g, weighed: 40 g}\nyield: 100 g\n---\n",
		}))
		b := record.Of(h, h.Records[0])
		require.True(t, b.Tested, name)
		var weighed []string
		for i, m := range b.Weighing.Materials {
			weighed = append(weighed, b.Weighing.Version.Items[i].Name+" = "+m.ID)
		}
		assert.Equal(t, []string{"Olive oil = olive-oil", name + " = almond-oil-sweet"}, weighed)
		assert.True(t, b.Lines[0].Missing, "%s: Sunflower oil was left out", name)
		require.Len(t, record.NewLedger(h).Lots("A-1"), 1)
		assert.Equal(t, "almond-oil-sweet", record.NewLedger(h).Lots("A-1")[0].Material.ID)
	}
}
