package record_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/record"
)

// sunflower gives a batch record that weighs sunflower oil alone.
func sunflower(code, made, line string) string {
	if made != "" {
		made = "made: " + made + "\n"
	}
	return "---\nbatch: " + code + "\nrecipe: cream\nsize: 200 g\n" + made + "weighed:\n  Sunflower oil: " + line + "\n---\n"
}

// lotsOf gives what is used and left of each lot of a material, in words.
func lotsOf(k *record.Ledger, name string) (words []string) {
	for _, m := range k.Materials {
		if m.Name != name {
			continue
		}
		for _, l := range m.Lots {
			left := "?"
			if n := l.Left(); n != nil {
				left = n.String()
			}
			words = append(words, l.Code+": "+l.Used().String()+" used, "+left+" left")
		}
	}
	return words
}

func TestLedger(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name    string
		records []string // code|made|line
		want    []string
	}{
		{"nothing", nil, []string{"S-1: 0 g used, 20 g left", "S-2: 0 g used, 100 g left"}},
		{"one lot", []string{"A-1|2026-06-01|{weighed: 12.5 g, lot: s-1}"}, []string{"S-1: 12.5 g used, 7.5 g left", "S-2: 0 g used, 100 g left"}},
		{"of several lots, shares that are not told", []string{"A-1|2026-06-01|{weighed: 30 g, lot: [S-1, S-2]}"}, []string{"S-1: 0 g used, 20 g left", "S-2: 0 g used, 100 g left"}},
		{"nothing is made up, whatever was taken before", []string{"A-1|2026-06-03|{weighed: 30 g, lot: [S-1, S-2]}", "B-1|2026-06-01|{weighed: 15 g, lot: S-1}"}, []string{
			"S-1: 15 g used, 5 g left", "S-2: 0 g used, 100 g left",
		}},
		{"as the record says", []string{"A-1|2026-06-01|{weighed: 30 g, lot: {S-1: 4 g, S-2: 26 g}}"}, []string{"S-1: 4 g used, 16 g left", "S-2: 26 g used, 74 g left"}},
		{"more than there was", []string{"A-1|2026-06-01|{weighed: 30 g, lot: S-1}", "B-1|2026-06-02|{weighed: 10 g, lot: [S-1, S-2]}"}, []string{
			"S-1: 30 g used, -10 g left", "S-2: 0 g used, 100 g left",
		}},
		{"the same lot in several batches", []string{"A-1|2026-06-01|{weighed: 3 g, lot: S-2}", "B-1|2026-06-01|{weighed: 4 g, lot: S-2}"}, []string{"S-1: 0 g used, 20 g left", "S-2: 7 g used, 93 g left"}},
		{"planned", []string{"A-1||{target: 30 g, lot: S-1}"}, []string{"S-1: 0 g used, 20 g left", "S-2: 0 g used, 100 g left"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			files := map[string]string{}
			for _, r := range row.records {
				parts := strings.Split(r, "|")
				files["batches/"+strings.ToLower(parts[0])+".md"] = sunflower(parts[0], parts[1], parts[2])
			}
			assert.Equal(t, row.want, lotsOf(record.NewLedger(load(t, shop(files))), "Sunflower oil"))
		})
	}
}

// What is weighed is used, what is not weighed yet is needed, and nothing is both.
func TestNeeds(t *testing.T) {
	t.Parallel()
	h := load(t, shop(map[string]string{
		"batches/a-1.md": sunflower("A-1", "", "{target: 30 g}"),
		"batches/b-1.md": sunflower("B-1", "2026-06-01", "{target: 30 g, weighed: 40 g, lot: S-2}"),
		"batches/c-1.md": "---\nbatch: C-1\nrecipe: cream\nsize: 400 g\n---\n",
		"batches/d-1.md": cream(t, "C-1", "D-1")["batches/c-1.md"],
	}))
	k := record.NewLedger(h)
	got := map[string]string{}
	for _, s := range k.Stock(time.Time{}) {
		there, money := "?", "nothing"
		if s.There != nil {
			there = s.There.String()
		}
		if s.Price != nil {
			money = s.Price.Money.Fixed(2) + " (" + s.Price.Unknown + ")"
		}
		got[s.Name] = fmt.Sprintf("%s there, %s needed, %s short, %s", there, s.Needed, s.Short, money)
	}
	// S-1 and S-2 hold 120 g, of which B-1 took 40 and D-1 30.1; A-1 needs 30 and C-1, by its recipe, 15 % of 400 g.
	assert.Equal(t, "49.9 g there, 90 g needed, 40.1 g short, 0.20 ()", got["Sunflower oil"])
	// Glycerin is needed by A-1 and B-1 (8 g each, by the recipe) and C-1 (16 g).
	assert.Equal(t, "91.99 g there, 32 g needed, 0 g short, nothing", got["Glycerin"])
	assert.Equal(t, "? there, 600 g needed, 600 g short, 0.00 (no price is given)", got["Distilled water"])
	past := k.Stock(time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC))
	for _, s := range past {
		if s.Name == "Sunflower oil" {
			assert.Equal(t, "49.9 g", s.There.String(), "S-1 is used up")
		}
	}
	assert.Empty(t, k.Untraced)
}

func TestPastItsDate(t *testing.T) {
	t.Parallel()
	k := record.NewLedger(load(t, shop(nil)))
	for day, want := range map[string]string{"2026-10-31": "120 g", "2026-11-01": "100 g", "2027-04-01": "0 g"} {
		on, err := time.Parse(time.DateOnly, day)
		require.NoError(t, err)
		for _, s := range k.Stock(on) {
			if s.Name == "Sunflower oil" {
				assert.Equal(t, want, s.There.String(), day)
			}
		}
	}
}

func TestLotsOfACode(t *testing.T) {
	t.Parallel()
	k := record.NewLedger(load(t, shop(cream(t, "lot: EW-1", "lot: G-1", "8.01 g, lot: G-1", "8.01 g, lot: g-1"))))
	lots := k.Lots("g-1")
	require.Len(t, lots, 2, "two materials may have a lot of one code")
	assert.Equal(t, []string{"Emulsifying wax NF (cetearyl alcohol & polysorbate 60)", "Glycerin"}, []string{lots[0].Material.Name, lots[1].Material.Name})
	assert.Equal(t, []bool{false, true}, []bool{lots[0].Listed, lots[1].Listed})
	assert.Equal(t, "C-1", lots[1].Uses[0].Record.Code)
	assert.Empty(t, k.Lots("G-2"))
	assert.Subset(t, k.Codes(), []string{"S-1", "S-2", "G-1"})
}

// Whatever is recorded, every gram counts once: the lots, what names no lot and what is needed make the records' weights, lot by lot and in all.
func TestEveryGramCountsOnce(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		files := map[string]string{}
		for n := range rapid.IntRange(0, 6).Draw(rt, "records") {
			files[fmt.Sprintf("batches/r-%d.md", n)] = drawRecord(rt, fmt.Sprintf("R-%d", n))
		}
		h, problems := handbook.Load(shop(files))
		if problems.Len() > 0 {
			rt.Fatalf("%v", problems.All())
		}
		k, weighed, needed := record.NewLedger(h), quantity.Number{}, quantity.Number{}
		for _, r := range h.Records {
			b := record.Of(h, r)
			difference, both := quantity.Number{}, quantity.Number{}
			for _, l := range b.Lines {
				switch {
				case l.Weighed == nil && b.State != record.Made && l.Asked != nil:
					needed = needed.Add(l.Asked.Mass.Grams())
				case l.Weighed == nil:
				case l.Asked != nil:
					difference, both = difference.Add(l.Difference), both.Add(l.Asked.Mass.Grams())
				default:
					both = both.Add(l.Weighed.Grams())
				}
				if l.Weighed != nil && (len(l.Lots) > 0 || len(l.Material.Lots) > 0) {
					weighed = weighed.Add(l.Weighed.Grams())
				}
			}
			assert.Zero(rt, both.Add(difference).Cmp(b.Weighed.Grams()), "targets and differences make what was weighed")
		}
		used := quantity.Number{}
		for _, m := range k.Materials {
			for _, l := range m.Lots {
				used = used.Add(l.Used().Grams())
				if left := l.Left(); left != nil {
					assert.Zero(rt, left.Grams().Add(l.Used().Grams()).Cmp(l.Holds.Grams()), "%s", l.Code)
				}
				for _, u := range l.Uses {
					assert.GreaterOrEqual(rt, u.Weight.Grams().Sign(), 0, "no lot is given back to")
				}
			}
		}
		for _, u := range k.Untraced {
			used = used.Add(u.Weight.Grams())
		}
		for _, m := range k.Materials {
			for _, u := range m.Together {
				used = used.Add(u.Weight.Grams())
				assert.GreaterOrEqual(rt, len(u.Among), 2)
			}
		}
		assert.Zero(rt, used.Cmp(weighed), "%s used, %s weighed", used, weighed)
		all := quantity.Number{}
		for _, s := range k.Stock(time.Time{}) {
			all = all.Add(s.Needed.Grams())
			there := quantity.Number{}
			if s.There != nil {
				there = s.There.Grams()
			}
			assert.GreaterOrEqual(rt, there.Add(s.Short.Grams()).Cmp(s.Needed.Grams()), 0, "what is there and what is bought is enough")
		}
		assert.Zero(rt, all.Cmp(needed), "%s needed, %s by the stock", needed, all)
	})
}

// drawRecord draws a record that reads without a problem.
func drawRecord(rt *rapid.T, code string) string {
	var b strings.Builder
	size := rapid.SampledFrom([]string{"100 g", "2 lb", "3 × jar", "from 40 g Glycerin"}).Draw(rt, "size")
	fmt.Fprintf(&b, "---\nbatch: %s\nrecipe: cream\nsize: %s\n", code, size)
	state := rapid.SampledFrom([]record.State{record.Planned, record.Begun, record.Made}).Draw(rt, "state")
	if state != record.Planned {
		fmt.Fprintf(&b, "made: 2026-0%d-15\n", rapid.IntRange(3, 9).Draw(rt, "month"))
	}
	b.WriteString("weighed:\n  Castor oil: {}\n")
	if state == record.Made {
		b.Reset()
		fmt.Fprintf(&b, "---\nbatch: %s\nrecipe: cream\nsize: %s\nmade: 2026-06-15\nyield: 90 g\nweighed:\n  Castor oil: {weighed: 0 g}\n", code, size)
	}
	lots := map[string][]string{
		"Glycerin": {"", ", lot: G-1"}, "Sunflower oil": {"", ", lot: S-1", ", lot: [S-1, S-2]", ", lot: [S-2, S-1]"}, "Distilled water": {"", ", lot: W-1", ", lot: [W-1, W-2]"},
	}
	for _, name := range []string{"Distilled water", "Glycerin", "Sunflower oil"} {
		if rapid.Bool().Draw(rt, name+" has a line") {
			grams := func(what string) string {
				return quantity.Fraction(int64(rapid.IntRange(0, 9999).Draw(rt, name+" "+what)), 100).Text(2)
			}
			var parts []string
			if target := grams("target"); target != "0" && rapid.Bool().Draw(rt, name+" has a target") {
				parts = append(parts, "target: "+target+" g")
			}
			if state == record.Made || state == record.Begun && rapid.Bool().Draw(rt, name+" is weighed") {
				parts = append(parts, "weighed: "+grams("weighed")+" g"+rapid.SampledFrom(lots[name]).Draw(rt, name+" lots"))
			}
			fmt.Fprintf(&b, "  %s: {%s}\n", name, strings.Join(parts, ", "))
		}
	}
	return b.String() + "---\n"
}

// FuzzRecord reads any bytes as a batch record: whatever is in it, it is the maker's alone and can be worked out, and without problems it has
// its code, its recipe and its version, and no weight counts twice.
func FuzzRecord(f *testing.F) {
	for _, text := range cream(f) {
		f.Add([]byte(text))
		f.Add([]byte("\ufeff" + strings.ReplaceAll(text, "\n", "\r\n")))
	}
	f.Add([]byte(sunflower("C-1", "", "{target: 30 g}")))
	f.Add([]byte(sunflower("C-1", "2026-06-01", "{weighed: 30 g, lot: {S-1: 4 g, S-2: 26 g}}")))
	f.Fuzz(func(t *testing.T, page []byte) {
		h, problems := handbook.Load(shop(map[string]string{"batches/c-1.md": string(page)}))
		require.Len(t, h.Records, 1)
		r := h.Records[0]
		assert.Equal(t, handbook.Maker, r.Access)
		b, k := record.Of(h, r), record.NewLedger(h)
		for _, p := range problems.All() {
			assert.NotEmpty(t, p.Message)
			assert.Equal(t, "batches/c-1.md", p.Span.File())
		}
		used := quantity.Number{}
		for _, m := range k.Materials {
			for _, l := range m.Lots {
				used = used.Add(l.Used().Grams())
			}
		}
		if problems.Len() > 0 {
			return
		}
		assert.LessOrEqual(t, used.Cmp(b.Weighed.Grams()), 0)
		assert.Equal(t, "c-1", handbook.Slug(r.Code))
		assert.True(t, r.Version != nil || r.Made != nil, "only a batch that is made stands without its recipe")
		assert.True(t, b.State != record.Made || r.Made != nil)
	})
}

// BenchmarkLedger reads a thousand records, as a small maker writes in some years.
func BenchmarkLedger(b *testing.B) {
	files := map[string]string{}
	for n := range 1000 {
		code := fmt.Sprintf("C-%d", n)
		files["batches/"+strings.ToLower(code)+".md"] = strings.Replace(cream(b)["batches/c-1.md"], "C-1", code, 1)
	}
	h := load(b, shop(files))
	b.ReportAllocs()
	for b.Loop() {
		if len(record.NewLedger(h).Materials) == 0 {
			b.Fatal("nothing is read")
		}
	}
}
