package label_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/quantity"
)

// a label of a width and height inside an edge of 1 mm.
func inside(t testing.TB, width, height string) *label.Sheet {
	t.Helper()
	s := tins(t)
	two := length(t, "2 mm")
	s.Edge = length(t, "1 mm")
	s.Label = quantity.Size{Width: length(t, width).Add(two), Height: length(t, height).Add(two)}
	return s
}

func wording(market string, parts ...string) *label.Wording {
	w := &label.Wording{Market: market, Content: quantity.Int(52)}
	for i := 0; i < len(parts); i += 2 {
		w.Parts = append(w.Parts, label.Part{Kind: parts[i], Text: parts[i+1]})
	}
	return w
}

// By hand: small letters of 0.9 mm are those of type of 0.9 / 0.485 = 1.8557 mm, up to a thousandth 1.856 mm. Forty H of 0.652 em are then
// 48.40448 mm long, and a line 1.2 × 1.856 = 2.2272 mm high.
func TestTextThatJustFits(t *testing.T) {
	t.Parallel()
	line := strings.Repeat("H", 40)
	for _, c := range []struct {
		width, height string
		fits          bool
		says          string
	}{
		{"48.40448 mm", "2.2272 mm", true, ""},
		{"48.40447 mm", "2.2272 mm", false, "is wider than a label of 50.40447 mm × 4.2272 mm"},
		{"48.40448 mm", "2.2271 mm", false, "at the least type that may be used it is 2.2 mm high, and there are 2.2 mm"},
		{"48.40448 mm", "1 mm", false, "at the least type that may be used it is 2.2 mm high, and there are 1 mm"},
	} {
		laid, err := label.Lay(inside(t, c.width, c.height), wording(label.EU, label.LinePart, line))
		if c.fits {
			require.NoError(t, err)
			assert.Equal(t, "1.856 mm", laid.Blocks[0].Size.String())
			assert.Equal(t, []string{line}, laid.Blocks[0].Lines)
			assert.Zero(t, laid.Takes.Cmp(laid.Has), "nothing is left over")
			continue
		}
		var misfit *label.Misfit
		require.ErrorAs(t, err, &misfit, "%s × %s", c.width, c.height)
		assert.Contains(t, err.Error(), c.says)
	}
}

// One letter more on a full line makes another line, and the height for it is there or is not.
func TestLinesBreak(t *testing.T) {
	t.Parallel()
	words := strings.Repeat("HHHHHHHHH ", 3) + "HHHHHHHHHH" // 37 H and 3 spaces of 0.2 em: 24.724 em, 45.88774… mm at 1.856 mm
	laid, err := label.Lay(inside(t, "45.88775 mm", "2.2272 mm"), wording(label.EU, label.LinePart, words))
	require.NoError(t, err)
	assert.Equal(t, []string{words}, laid.Blocks[0].Lines)
	_, err = label.Lay(inside(t, "45.88775 mm", "2.2272 mm"), wording(label.EU, label.LinePart, words+"H"))
	require.Error(t, err)
	laid, err = label.Lay(inside(t, "45.88775 mm", "4.4544 mm"), wording(label.EU, label.LinePart, words+"H"))
	require.NoError(t, err)
	assert.Equal(t, []string{strings.TrimSpace(strings.Repeat("HHHHHHHHH ", 3)), "HHHHHHHHHHH"}, laid.Blocks[0].Lines)
	laid, err = label.Lay(inside(t, "30 mm", "40 mm"), wording(label.EU, label.LinePart, "Caprylic/Capric Triglyceride PEG-40"))
	require.NoError(t, err)
	assert.Equal(t, "Caprylic/Capric Triglyceride PEG-40", strings.Join(laid.Blocks[0].Lines, " "), "nothing is lost, and a hyphen keeps what it joins")
}

// The type is as large as there is room, up to 3 mm.
func TestTypeGrows(t *testing.T) {
	t.Parallel()
	for height, want := range map[string]string{"40 mm": "3 mm", "3.6 mm": "3 mm", "3.59 mm": "2.95 mm", "2.3 mm": "1.9 mm"} {
		laid, err := label.Lay(inside(t, "60 mm", height), wording(label.EU, label.LinePart, "Batch: HHC-1"))
		require.NoError(t, err, height)
		assert.Equal(t, want, laid.Blocks[0].Size.String(), height)
	}
}

// Heights by rule: net contents 21 CFR 701.13 and 16 CFR 500.21(b) (the first step read, the others from memory), EU Directive 76/211/EEC
// (from memory); ingredients 21 CFR 701.3(b) (read) and (p) (from memory); warnings 21 CFR 740.2 (from memory).
func TestLeastTypeByRule(t *testing.T) {
	t.Parallel()
	round := func(around, height string) *label.Panel {
		return &label.Panel{Size: quantity.Size{Width: length(t, around), Height: length(t, height)}, Round: true}
	}
	for _, c := range []struct {
		name, market, kind string
		panel              *label.Panel
		inch, size         string // size is height / 0.485, or for figures / 0.637, up to a thousandth
	}{
		{"contents, 3.75 square inches", label.US, label.ContentsPart, nil, "0.0625", "3.274 mm"},
		{"contents, 5 square inches", label.US, label.ContentsPart, round("6.25 in", "2 in"), "0.0625", "3.274 mm"},
		{"contents, 5.2 square inches", label.US, label.ContentsPart, round("6.5 in", "2 in"), "0.125", "6.547 mm"},
		{"contents, 52 g", label.EU, label.ContentsPart, nil, "0.1181", "4.71 mm"}, // 3 mm
		{"ingredients", label.US, label.IngredientsPart, nil, "0.0625", "3.274 mm"},
		{"ingredients, 12 square inches in all", label.US, label.IngredientsPart, round("6 in", "2 in"), "0.0625", "3.274 mm"},
		{"ingredients, 11 square inches in all", label.US, label.IngredientsPart, round("5.5 in", "2 in"), "0.0313", "3 mm"}, // 1.637 mm would do
		{"warnings", label.US, label.WarningPart, nil, "0.0625", "3.274 mm"},
	} {
		s := tins(t)
		s.Label, s.Panel = size(t, "100 mm × 80 mm"), c.panel
		if c.panel == nil {
			s.Label = size(t, "63.5 mm × 38.1 mm")
		}
		w := wording(c.market, c.kind, "Net 52 g")
		least, _ := w.Least(s, c.kind)
		assert.Equal(t, c.inch, least.Length().Inches().Text(4), c.name)
		laid, err := label.Lay(s, w)
		require.NoError(t, err, c.name)
		blocks := laid.Blocks
		if laid.Foot != nil {
			blocks = append(blocks, *laid.Foot)
		}
		require.Len(t, blocks, 1)
		assert.Equal(t, c.size, blocks[0].Size.String(), c.name)
	}
}

// Where small letters of 1/16 inch (3.274 mm of type) have no room, capitals of that height (2.493 mm) may have: 21 CFR 701.13 measures
// them so, from memory.
func TestCapitalsWhereSmallLettersHaveNoRoom(t *testing.T) {
	t.Parallel()
	small := wording(label.US, label.IngredientsPart, "Ingredients: Water")
	laid, err := label.Lay(inside(t, "40 mm", "3.9288 mm"), small) // 1.2 × 3.274
	require.NoError(t, err)
	assert.False(t, laid.Capitals)
	assert.Equal(t, []string{"Ingredients: Water"}, laid.Blocks[0].Lines)
	laid, err = label.Lay(inside(t, "40 mm", "3.9287 mm"), small)
	require.NoError(t, err)
	assert.True(t, laid.Capitals)
	assert.Equal(t, []string{"INGREDIENTS: WATER"}, laid.Blocks[0].Lines)
	_, err = label.Lay(inside(t, "40 mm", "2.9915 mm"), small) // 1.2 × 2.493 is 2.9916
	require.Error(t, err)
	_, err = label.Lay(inside(t, "40 mm", "3.9287 mm"), wording(label.EU, label.IngredientsPart, "Ingredients: Aqua"))
	require.NoError(t, err, "the EU sets no such height")
}

// The US wants net contents in the lowest 30 % of a panel above 5 square inches, with free space above and below (21 CFR 701.13, from memory).
func TestContentsAtTheFoot(t *testing.T) {
	t.Parallel()
	s := tins(t)
	s.Panel = &label.Panel{Size: size(t, "2 × 2 in")} // 4 square inches
	w := wording(label.US, label.TitlePart, "Balm", label.ContentsPart, "Net Wt 1.8 oz (52 g)")
	laid, err := label.Lay(s, w)
	require.NoError(t, err)
	assert.Equal(t, "3.274 mm", laid.Foot.Size.String())
	assert.Equal(t, "2.085538 mm", laid.Foot.Before.String(), "the height of the lettering: 0.637 × 3.274 mm")
	assert.Equal(t, "0.585538 mm", laid.Below.String(), "that, less the edge of 1.5 mm")
	s.Panel = &label.Panel{Size: size(t, "3 × 2 in")} // 6: letters of 1/8 inch, which reach 12 mm up
	s.Label.Height = length(t, "36 mm")
	_, err = label.Lay(s, w)
	var misfit *label.Misfit
	require.ErrorAs(t, err, &misfit)
	assert.True(t, misfit.High)
	assert.Contains(t, err.Error(), "the net contents reach above the lowest 30 %")
	s.Label.Height = length(t, "41 mm") // 30 % is 12.3 mm; 1.2 × 6.547 + 0.637 × 6.547 is 12.027
	_, err = label.Lay(s, w)
	require.NoError(t, err)
}

// What does not fit says how much is missing and what the law allows instead.
func TestMisfitSaysWhatToDo(t *testing.T) {
	t.Parallel()
	long := "Ingredients: " + strings.TrimSuffix(strings.Repeat("Butyrospermum Parkii Butter, ", 40), ", ")
	for market, law := range map[string]string{label.EU: "Art. 19(2)", label.US: "21 CFR 701.3(b)(i)"} {
		_, err := label.Lay(tins(t), wording(market, label.IngredientsPart, long))
		var misfit *label.Misfit
		require.ErrorAs(t, err, &misfit)
		assert.Contains(t, misfit.ToDo(), law)
		var taller int
		for s := tins(t); err != nil && taller < 400; taller++ { // the height that it names is enough, and a millimetre less is not
			s.Label.Height = quantity.Millimetres(quantity.Int(int64(39 + taller)))
			if _, err = label.Lay(s, wording(market, label.IngredientsPart, long)); err == nil {
				assert.Contains(t, misfit.ToDo(), "one "+s.Label.Height.String()+" high")
			}
		}
		assert.NoError(t, err)
	}
}
