package label_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/quantity"
)

func length(t testing.TB, text string) quantity.Length {
	t.Helper()
	l, err := quantity.ParseLength(text)
	require.NoError(t, err)
	return l
}

func size(t testing.TB, text string) quantity.Size {
	t.Helper()
	s, err := quantity.ParseSize(text)
	require.NoError(t, err)
	return s
}

// tins are three columns of seven on A4; by hand: 7.25 + 3 × 63.5 + 2 × 2.5 + 7.25 = 210, and 15.15 + 7 × 38.1 + 15.15 = 297.
func tins(t testing.TB) *label.Sheet {
	t.Helper()
	page, ok := label.Paper("A4")
	require.True(t, ok)
	return &label.Sheet{
		Name: "tins", Page: page, Rows: 7, Columns: 3, Label: size(t, "63.5 mm × 38.1 mm"), Top: length(t, "15.15 mm"), Left: length(t, "7.25 mm"),
		Gaps: size(t, "2.5 mm × 0 mm"), Edge: length(t, "1.5 mm"),
	}
}

func TestGeometryAddsUpToThePage(t *testing.T) {
	t.Parallel()
	s := tins(t)
	require.Empty(t, s.Faults())
	require.Equal(t, 21, s.Places())
	for i, want := range map[int][2]string{
		0: {"7.25 mm", "15.15 mm"}, 1: {"73.25 mm", "15.15 mm"}, 2: {"139.25 mm", "15.15 mm"}, 3: {"7.25 mm", "53.25 mm"}, 20: {"139.25 mm", "243.75 mm"},
	} {
		left, top := s.Place(i)
		assert.Equal(t, want, [2]string{left.String(), top.String()}, "place %d", i)
	}
	left, top := s.Place(20)
	assert.Equal(t, "210 mm", left.Add(s.Label.Width).Add(s.Left).String(), "as much is left on the right as on the left")
	assert.Equal(t, "297 mm", top.Add(s.Label.Height).Add(s.Top).String())
}

// The least that is too much is told, and what just goes onto the page is not.
func TestSheetFaults(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(*label.Sheet)
		fault  string
	}{
		"to the right edge":  {func(s *label.Sheet) { s.Left = length(t, "14.5 mm") }, ""},
		"over the right":     {func(s *label.Sheet) { s.Left = length(t, "14.51 mm") }, "the labels run 0.01 mm over the page's right edge: left 14.51 mm + 3 × 63.5 mm + 2 × 2.5 mm makes 210.01 mm, and the page has 210 mm"},
		"to the lower edge":  {func(s *label.Sheet) { s.Top = length(t, "30.3 mm") }, ""},
		"over the lower":     {func(s *label.Sheet) { s.Rows = 8 }, "the labels run 22.95 mm over the page's lower edge: top 15.15 mm + 8 × 38.1 mm + 7 × 0 mm makes 319.95 mm, and the page has 297 mm"},
		"an edge too much":   {func(s *label.Sheet) { s.Edge = length(t, "19.05 mm") }, "an edge of 19.05 mm all around leaves nothing of a label of 63.5 mm × 38.1 mm"},
		"an edge just right": {func(s *label.Sheet) { s.Edge = length(t, "19.04 mm") }, ""},
	} {
		s := tins(t)
		c.change(s)
		if c.fault == "" {
			assert.Empty(t, s.Faults(), name)
			continue
		}
		assert.Equal(t, []string{c.fault}, s.Faults(), name)
	}
}

// Labels of a sheet without faults lie on the page and never on one another.
func TestPlacesAreApart(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		mm := func(name string, low, high int64) quantity.Length {
			return quantity.Millimetres(quantity.Fraction(rapid.Int64Range(low, high).Draw(t, name), 100))
		}
		page, _ := label.Paper(rapid.SampledFrom(label.Papers()).Draw(t, "page"))
		s := &label.Sheet{
			Page: page, Rows: rapid.IntRange(1, 9).Draw(t, "rows"), Columns: rapid.IntRange(1, 6).Draw(t, "columns"), Top: mm("top", 0, 3000), Left: mm("left", 0, 3000),
			Label: quantity.Size{Width: mm("width", 100, 6000), Height: mm("height", 100, 6000)}, Gaps: quantity.Size{Width: mm("across", 0, 500), Height: mm("down", 0, 500)},
		}
		if len(s.Faults()) > 0 {
			t.Skip("does not lie on the page")
		}
		for i := range s.Places() {
			left, top := s.Place(i)
			right, foot := left.Add(s.Label.Width), top.Add(s.Label.Height)
			if right.Cmp(s.Page.Width) > 0 || foot.Cmp(s.Page.Height) > 0 || left.Cmp(s.Left) < 0 || top.Cmp(s.Top) < 0 {
				t.Fatalf("label %d lies off the page", i)
			}
			for k := range i {
				x, y := s.Place(k)
				apart := x.Add(s.Label.Width).Cmp(left) <= 0 || right.Cmp(x) <= 0 || y.Add(s.Label.Height).Cmp(top) <= 0 || foot.Cmp(y) <= 0
				if !apart {
					t.Fatalf("labels %d and %d overlap", k, i)
				}
			}
		}
	})
}

// The area of a panel is height × width of a flat front, 40 % of height × circumference of a round container (16 CFR 500.21(a)(1) and
// (2), read at self-law.org/code/us/cfr/t16).
func TestPanelArea(t *testing.T) {
	t.Parallel()
	s := tins(t)
	area, known := s.PanelArea()
	assert.False(t, known)
	assert.Equal(t, "3.75", area.Text(4), "63.5 mm × 38.1 mm is 2.5 × 1.5 inches")
	s.Panel = &label.Panel{Size: size(t, "2 × 4 in")}
	area, known = s.PanelArea()
	assert.True(t, known)
	assert.Equal(t, "8", area.String())
	s.Panel = &label.Panel{Size: size(t, "10 × 3 in"), Round: true}
	area, _ = s.PanelArea()
	assert.Equal(t, "12", area.String())
}
