package material

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

func folder(t testing.TB) fs.FS {
	t.Helper()
	sub, err := fs.Sub(files, "catalogue")
	require.NoError(t, err)
	return sub
}

func TestCatalogueReads(t *testing.T) {
	t.Parallel()
	c, err := read(folder(t))
	require.NoError(t, err)
	assert.Len(t, c.Materials(), 350)
}

// TestCatalogueHolds asserts what must be so of every entry.
func TestCatalogueHolds(t *testing.T) {
	t.Parallel()
	foods := []string{"tree nuts", "peanuts", "sesame", "soybeans", "milk", "eggs", "cereals containing gluten", "shea nut", "coconut", "cocoa", "apricot kernel"}
	for _, m := range Common().Materials() {
		assert.Regexp(t, `^[a-z0-9]+(-[a-z0-9]+)*$`, m.ID)
		assert.NotEmpty(t, m.Origin, m.ID)
		assert.NotEmpty(t, m.Uses, m.ID)
		assert.True(t, m.Dissolves.Known, m.ID)
		sum := quantity.Number{}
		for _, c := range m.Composition {
			sum = sum.Add(c.Percent)
			assert.Equal(t, strings.TrimSpace(c.INCI), c.INCI)
			assert.NotEqual(t, c.INCI, c.US, m.ID)
		}
		if len(m.Composition) > 0 {
			off := sum.Sub(quantity.Int(100))
			assert.LessOrEqual(t, off.Mul(off).Cmp(quantity.Fraction(1, 10000)), 0, "%s makes %s %%", m.ID, sum)
		} else {
			assert.True(t, m.NeedsSheet, m.ID)
		}
		sum = quantity.Number{}
		for _, a := range m.Fragrance.Allergens {
			sum = sum.Add(a.Percent)
		}
		assert.LessOrEqual(t, sum.Cmp(quantity.Int(100)), 0, "allergens of %s", m.ID)
		for _, food := range m.FoodSources {
			assert.Contains(t, foods, food, m.ID)
		}
		assert.False(t, m.NoFoodSource.Known && len(m.FoodSources) > 0, m.ID)
		assert.True(t, !m.NoFoodSource.Known || m.NoFoodSource.Status == Memory, "%s: as long as nobody has read it anywhere", m.ID)
		if m.Has("preservative") && m.ID != "salicylic-acid" { // of which no spectrum is told
			assert.Len(t, m.Protects, 3, m.ID)
		}
		assert.Contains(t, []int{0, 3}, len(m.Protects), m.ID)
		assert.False(t, m.Phototoxic.Known && m.NotPhototoxic.Known, m.ID)
		assert.Equal(t, m.Phototoxic.Known, slices.Contains(m.CautionCodes, "phototoxic"), m.ID)
		if m.Typical.Known {
			assert.True(t, inside(m.Typical.Value, m.Saponified.Value), m.ID)
		}
	}
}

func inside(n quantity.Number, v quantity.Interval) bool {
	return n.Cmp(v.Low) >= 0 && n.Cmp(v.High) <= 0
}

// TestWaterIsTheWaterOfTheBlend holds what is stated of water against the composition: where it names water, they must agree.
func TestWaterIsTheWaterOfTheBlend(t *testing.T) {
	t.Parallel()
	seen := 0
	for _, m := range Common().Materials() {
		bare := *m
		bare.Water = Sourced[quantity.Number]{}
		if fromBlend, _ := bare.WaterPercent(); m.Water.Known && fromBlend.Sign() > 0 {
			assert.Zero(t, fromBlend.Cmp(m.Water.Value), "%s: %s stated, %s in the blend", m.ID, m.Water.Value, fromBlend)
			seen++
		}
	}
	assert.Greater(t, seen, 20)
}

// TestEveryFigureHasAStatus goes through the lines as they are written: a source that is named must be known, and what
// the law or a panel says must have one.
func TestEveryFigureHasAStatus(t *testing.T) {
	t.Parallel()
	statuses := []Status{Read, Memory, Computed, Practice}
	for _, s := range Common().Sources() {
		assert.Contains(t, statuses, s.Status, s.ID)
		if s.Status == Read {
			assert.NotEmpty(t, s.Addresses, s.ID)
			assert.NotContains(t, s.shown(), "memory", s.ID)
		}
		if s.Status == Memory {
			assert.Contains(t, s.shown(), "from memory", s.ID)
		}
	}
	for _, m := range Common().Materials() {
		for _, u := range m.Uses {
			assert.Contains(t, statuses, u.Status, m.ID)
			if u.Basis == Law || u.Basis == SafetyPanel {
				assert.NotEmpty(t, u.Source, m.ID)
				assert.Nil(t, u.From, "%s: only the ceiling is law", m.ID)
			}
		}
		for name, got := range map[string]Sourced[quantity.Interval]{"saponification": m.Saponified, "iodine": m.Iodine, "ph": m.PH, "required-hlb": m.RequiredHLB} {
			assert.Equal(t, got.Known, got.Status != "", "%s of %s", name, m.ID)
			assert.LessOrEqual(t, got.Value.Low.Cmp(got.Value.High), 0, "%s of %s", name, m.ID)
		}
		assert.Equal(t, m.Density.Known, m.Density.Status != "", m.ID)
		assert.Equal(t, len(m.Fragrance.Allergens) > 0 || m.Fragrance.Vanillin != nil, m.Fragrance.Status != "", m.ID)
	}
}

// TestEverythingIsUsed sees that no source and no caution stands idle.
func TestEverythingIsUsed(t *testing.T) {
	t.Parallel()
	var text strings.Builder
	names, err := fs.Glob(files, "catalogue/*.txt")
	require.NoError(t, err)
	for _, name := range names {
		if !strings.Contains(name, "sources") && !strings.Contains(name, "cautions") {
			b, err := files.ReadFile(name)
			require.NoError(t, err)
			text.Write(b)
		}
	}
	for _, s := range Common().Sources() {
		if s.ID != "" {
			assert.Contains(t, text.String(), " | "+s.ID+"\n")
		}
	}
	used := make(map[string]bool)
	for _, m := range Common().Materials() {
		for _, code := range m.CautionCodes {
			used[code] = true
		}
	}
	for code := range Common().cautions {
		assert.True(t, used[code], code)
	}
}

func TestReadTellsWhatIsWrong(t *testing.T) {
	t.Parallel()
	entry := "id: a\nname: A\nrole: oil\n"
	for _, row := range []struct{ name, text, want string }{
		{"no such field", entry + "colour: red", "m.txt:4: colour: red: no such field"},
		{"twice", entry + "name: B", "m.txt:4: name: B: the field is there twice"},
		{"no source", entry + "hlb: 5 | nowhere", "no source nowhere"},
		{"a role that is none", "id: a\nname: A\nrole: oyl\n", "it can be water, humectant"},
		{"a figure", entry + "hlb: five", "m.txt:4: hlb: five: "},
		{"a part above the whole", entry + "water: 101 %", "more than the whole"},
		{"a composition without a figure", entry + "inci: Aqua", "a name and a percentage"},
		{"a US name of nothing", entry + "inci: Aqua 100 %\nus: Water = Water", "no such name in the composition"},
		{"a rate without figure", entry + "use: all", "no figure or runs backwards"},
		{"a rate that runs backwards", entry + "use: all; from 3 %; to 2 %", "no figure or runs backwards"},
		{"a rate's part", entry + "use: all; to 2 %; at noon", "no part at"},
		{"a caution", entry + "cautions: bites", "no caution bites"},
		{"no name", "id: a\nrole: oil", "needs an id of its own, a name and a role"},
		{"an id twice", entry + "\n" + entry, "needs an id of its own"},
		{"no field", "id: a\nnonsense", "m.txt:2: no field"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			_, err := read(fstest.MapFS{"m.txt": {Data: []byte(row.text)}})
			assert.ErrorContains(t, err, row.want)
		})
	}
	_, err := read(fstest.MapFS{"sources.txt": {Data: []byte("id: x\nstatus: guessed")}})
	assert.ErrorContains(t, err, `status "guessed"`)
	_, err = read(fstest.MapFS{"cautions.txt": {Data: []byte("a: b\na: c")}})
	assert.ErrorContains(t, err, `caution "a" twice`)
	c, err := read(fstest.MapFS{"m.txt": {Data: []byte(strings.ReplaceAll("# a note\n"+entry+"use: all; to 2 %\n", "\n", "\r\n"))}})
	require.NoError(t, err)
	assert.Equal(t, "A", c.ByID("a").Name)
}

func BenchmarkRead(b *testing.B) {
	f := folder(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := read(f); err != nil {
			b.Fatal(err)
		}
	}
}
