package site

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// The batches that the page's script has to weigh as this program does. Data is what a page carries, Cases are batches as written with
// every figure that is shown of them.
type weighTable struct {
	Name  string          `json:"name"`
	Data  json.RawMessage `json:"data"`
	Cases []weighCase     `json:"cases"`
}

type weighCase struct {
	Version int         `json:"version"`
	Batch   string      `json:"batch"`
	Want    weighResult `json:"want"`
}

// A weighResult is a batch, or why there is none.
type weighResult struct {
	Error    string         `json:"error,omitempty"`
	Weights  []shownWeight  `json:"weights,omitempty"`
	Balance  int            `json:"balance"`
	Total    shownWeight    `json:"total"`
	Phases   []string       `json:"phases,omitempty"`
	Every2nd shownWeight    `json:"every2nd"` // every second item together, as an amount in a method has them
	Fill     string         `json:"fill"`
	Cautions []shownCaution `json:"cautions,omitempty"`
	Portions []shownPortion `json:"portions,omitempty"`
}

type shownWeight struct {
	G  string `json:"g"`
	Oz string `json:"oz"`
}

type shownCaution struct {
	Level   string `json:"level"`
	Message string `json:"message"`
	Mend    string `json:"mend"`
}

type shownPortion struct {
	Base  shownWeight   `json:"base"`
	Adds  []shownWeight `json:"adds"`
	Total shownWeight   `json:"total"`
}

func shown(w WeightView) shownWeight { return shownWeight{w.G, w.Oz} }

// weighedAs weighs a batch, as written, by the functions that draw the pages.
func weighedAs(worked []handbook.Worked, version int, text string) weighResult {
	w := worked[version]
	written, err := quantity.ParseBatch(text)
	if syntax, ok := errors.AsType[*quantity.SyntaxError](err); ok {
		return weighResult{Error: syntax.Message}
	}
	written = w.Version.Using(written, func(name string) string {
		if m := w.Index.Find(name); m != nil {
			return m.ID
		}
		return ""
	})
	sized, err := w.Version.Size(written, w.Fills)
	if size, ok := errors.AsType[*formula.SizeError](err); ok {
		return weighResult{Error: size.Message}
	}
	b := check.Batch{Written: written.Written, Sized: sized, Column: w.Version.Weigh(sized, w.Scale)}
	if size := b.Column.TooLittle(); size != nil {
		return weighResult{Error: size.Message}
	}
	table := newTableFigures(len(w.Version.Items), []check.Batch{b})
	column := table.columns(w.Scale, english())[0]
	r := weighResult{Balance: b.Column.Balance, Total: shownWeight{column.TotalG, column.TotalOz}, Fill: column.Fill}
	var second []int
	for i := range w.Version.Items {
		r.Weights = append(r.Weights, shown(table.row(i)[0]))
		if i%2 == 0 {
			second = append(second, i)
		}
	}
	sum, places := weighed(&b, second)
	oz := quantity.Grams(sum).ReadOunces()
	r.Every2nd = shownWeight{sum.Fixed(places), oz.Fixed(ouncePlaces(oz))}
	for p := range w.Version.Phases {
		r.Phases = append(r.Phases, table.phase(w.Version, p)[0].G)
	}
	r.Cautions = tooLight(w, b)
	r.Portions = divided(worked, w, b)
	return r
}

// tooLight gives what the checks say of the scale.
func tooLight(w handbook.Worked, b check.Batch) []shownCaution {
	subject := *w.Subject
	subject.Batches = []check.Batch{b}
	var said []shownCaution
	for _, f := range check.Run(&subject) {
		if f.Code == "below-scale" {
			said = append(said, shownCaution{string(f.Level), f.Message, f.Mend})
		}
	}
	slices.SortFunc(said, func(a, b shownCaution) int { return strings.Compare(a.Message, b.Message) })
	return said
}

func divided(worked []handbook.Worked, w handbook.Worked, b check.Batch) []shownPortion {
	var splits []*formula.Version
	for _, other := range worked {
		if other.Version.Kind == formula.SplitKind {
			splits = append(splits, other.Version)
		}
	}
	subject := *w.Subject
	subject.Batches = []check.Batch{b}
	view := NewPortionsView(handbook.Worked{Subject: &subject}, splits)
	if view == nil {
		return nil
	}
	var all []shownPortion
	for _, row := range view.Rows {
		p := shownPortion{Base: shown(row.Base[0]), Adds: []shownWeight{}, Total: shown(row.Totals[0])}
		for _, add := range row.Adds {
			p.Adds = append(p.Adds, shown(add.Weights[0]))
		}
		all = append(all, p)
	}
	return all
}

// weighDataIn gives the data that a page carries.
func weighDataIn(page string) json.RawMessage {
	_, data, _ := strings.Cut(page, `<script type="application/json" id="`+weighID+`">`)
	data, _, _ = strings.Cut(data, "</script>")
	return json.RawMessage(data)
}

// tableOf weighs batches of all versions that are given.
func tableOf(name string, worked []handbook.Worked, versions []int, batches []string) weighTable {
	table := weighTable{Name: name, Data: weighDataIn(string(drawWeighData(worked, nil)))}
	for _, v := range versions {
		for _, b := range batches {
			table.Cases = append(table.Cases, weighCase{v, b, weighedAs(worked, v, b)})
		}
	}
	return table
}

// demoTables are the recipes of the demonstration, each version in a few sizes.
func demoTables(t testing.TB) []weighTable {
	t.Helper()
	book := demoBook(t)
	var all []weighTable
	for _, r := range book.Recipes {
		worked := book.Worked(r)
		batches := []string{"250 g", "1 lb 4 oz", "3 g", "12 × 60 ml tin"}
		for _, f := range r.Fills {
			batches = append(batches, "7 × "+f.Container)
		}
		batches = append(batches, "from 40 g "+worked[0].Version.Items[0].Name)
		var versions []int
		for v := range worked {
			versions = append(versions, v)
		}
		all = append(all, tableOf(r.Slug, worked, versions, batches))
	}
	return all
}

// written are batches right and wrong in their words, tried on one formula.
var written = []string{
	"250 g", "250g", " 250  grams ", "250 G.", "1,5 kg", "1.5 kg", ".5 kg", "½ lb", "1½ lb", "1 1/2 lb", "3/2 lb", "2 lb 4 oz", "2 lb 4 1/2 oz", "1 kg 1 g 1 mg", "300 µg", "300 μg", "5000 grains",
	"0.000001 g", "9999999999999999999 kg", "99999999999999999999 g", "1.00000000000000000001 g", "1/3 g", "2/3 oz", "1/0 g", "1/ g", "1 3/2 g", "1 1/0 g", "0 g", "0.0 lb", "250", "", " ", "\u00a0", "\ufeff250 g",
	"1,000 g", "0,125 kg", "1,000.5 g", "1.000,5 g", "1 000 g", "1 000/3 g", "1.5.5 g", "-5 g", "−5 g", "+5 g", "~5 g", "≈ 5 g", "about 5 g", "a pinch", "some", "pinch", "five g", "5-6 g", "5 – 6 g", "5 g to 6 g", "5 or 6 g", "5 to 6",
	"250 ml", "1 cup", "1 cup 2 tbsp", "2 tbsp 1 cup", "8 fl oz", "8 fl. oz.", "1 imp fl oz", "3 l", "2 oz 1 lb", "100 g 100 g", "1 lb 3 ml", "1 lb 3", "250 gr", "250 drops", "2 jars", "3 tins", "250 gm", "250 cheese", "5 parts", "5 %", "5 percent", "5 per 4", "5 of Oil", "250 g please", "250 g.",
	"2 × 60 ml tin", "2 x 60 ml tin", "2 X 60 ML Tin", "2x60 ml tin", "2*60  ml   tin", "2 × tin", "0 × 60 ml tin", "1.5 × 60 ml tin", "1/2 × 60 ml tin", "1000000 × 60 ml tin", "1000001 × 60 ml tin", "2 ×", "2 x", "2 xylophones", "3 × bottle", "3 × lip  tube", "3x60ml tin", "3 × 60 ml tins", "3 x 60ML TINS", "2 × lip tubes", "2 × lip tubess", "2 × bottles", "0.0000000001 kg", "1,000 × lip tube", "5 × 60 ml",
	"from 30 g Beeswax", "FROM 30 g of beeswax", "from 1 oz BEESWAX", "from 30 g", "from Beeswax", "from 30 ml Beeswax", "from 0 g Beeswax", "from 30 g Beewax", "from 30 g Shea", "from 30 g Shea in Oil", "from 30 g shea in cool-down PHASE", "from 30 g Shea in Wax", "from 30 g Water", "from 30 g Jojoba", "from 33.333 g Jojoba", "from 1/3 g Jojoba", "from 5 g Keeper (a+b)", "from 30 g Rose in Cool-down", "from 30 3 g Jojoba", "fromage 3 g",
}

// usedUp are ways to name what is used up: by the formula's name, by another, by the beginning of one, and by none.
var usedUp = []string{
	"from 30 g Shea butter, refined", "from 30 g shea butter, refined in oil", "from 30 g Shea butter", "from 30 g Shea butter in Oil", "from 30 g white SHEA in cool-down phase", "from 30 g of white shea",
	"from 30 g Shea", "from 30 g Butter", "from 30 g Cocoa butter", "from 30 g Cocoa butter in Oil", "from 30 g raw cocoa", "from 30 g Jojoba", "from 30 g Simmondsia", "from 30 g simondsia", "from 30 g Lavender",
	"from 30 g Lavender in Oil", "from 0.0001 g Jojoba",
}

// manyNamed is a formula whose materials have other names, some of which mean two of them.
func manyNamed(t testing.TB) []handbook.Worked {
	t.Helper()
	w := workedFrom(t, "Oil:\n  Shea butter, refined: 40 %\n  Cocoa butter, deodorised: 20 %\n  Cocoa butter, raw: 10 %\nCool-down:\n  Jojoba: q.s.\n  Shea butter, refined: 5 %\n  Lavender, true: 1 %", "0.01 g to 200 g, 1 g")
	known := []*material.Material{
		{ID: "shea", Name: "Shea butter, refined", Also: []string{"white shea"}},
		{ID: "cocoa", Name: "Cocoa butter, deodorised"},
		{ID: "raw-cocoa", Name: "Cocoa butter, raw", Also: []string{"raw cocoa"}},
		{ID: "jojoba", Name: "Jojoba", Also: []string{"Simmondsia"}},
		{ID: "lavender", Name: "Lavender, true"},
	}
	w.Index = material.NewIndex(known)
	for i := range w.Version.Items {
		w.Materials[i] = w.Index.Find(w.Version.Items[i].Name)
		w.Version.Items[i].Material = w.Materials[i].ID
	}
	return []handbook.Worked{w}
}

const extremes = `Wax:
  Beeswax: 12.5 %
  Water: q.s.
Oil:
  Jojoba: 41.25 %
  Shea: 33.333 %
Cool-down:
  Shea: 12.337 %
  Keeper (a+b): 0.58 % fixed`

// syntheticTables are formulas made to be awkward.
func syntheticTables(t testing.TB) []weighTable {
	t.Helper()
	one := func(text, scale string) []handbook.Worked { return []handbook.Worked{workedFrom(t, text, scale)} }
	tables := []weighTable{tableOf("words", one(extremes, "0.01 g to 200 g, 0.1 g to 2000 g, 1 g"), []int{0}, written), tableOf("names", manyNamed(t), []int{0}, usedUp)}
	sizes := []string{"0.001 g", "0.05 g", "1 g", "7 g", "99.99 g", "100.005 g", "200.01 g", "1999.95 g", "12345.678 g", "1 kg", "3 lb", "1000000 kg", "1/7 oz", "from 1 g A", "from 0.5 g B", "from 7.77 g C", "9 × 60 ml tin"}
	scales := []string{"0.1 g", "0.001 g to 20 g, 0.01 g to 200 g, 1 g", "5 g", "0.25 g to 10 g, 2.5 g to 1000 g, 50 g", "0.000001 g"}
	formulas := []struct{ name, text string }{
		{"ties", "P:\n  A: 12.5 %\n  B: 12.5 %\n  C: 75 %"},
		{"thirds", "P:\n  A: 1 parts\n  B: 1 parts\n  C: 1 parts"},
		{"q.s. is small", "P:\n  A: q.s.\n  B: 49.995 %\n  C: 49.995 %"},
		{"q.s. is nothing", "P:\n  A: q.s.\n  B: 40 %\n  C: 60 %"},
		{"nothing may move", "P:\n  A: 33.3 % fixed\n  B: 33.3 % fixed\n  C: 33.4 % fixed"},
		{"only a small one may move", "P:\n  A: 60 % fixed\n  B: 39.9 % fixed\n  C: 0.1 %"},
		{"many items", "P:\n  A: 3 %\n  B: 2 %\n  C: q.s.\n" + strings.Join(eachOf(24, func(i int) string { return fmt.Sprintf("  M%d: 0.0%d5 %%", i, i%9+1) }), "\n")},
		{"on top", "P:\n  A: 30 %\n  B: 70 %\nTop:\n  C: 1 per 7"},
	}
	for _, scale := range scales {
		for _, f := range formulas {
			tables = append(tables, tableOf(f.name+", "+scale, one(f.text, scale), []int{0}, sizes))
		}
	}
	return tables
}

func eachOf(n int, f func(i int) string) []string {
	words := make([]string, n)
	for i := range words {
		words[i] = f(i)
	}
	return words
}

// scaleFrom makes a scale of "0.01 g to 200 g, 1 g".
func scaleFrom(t testing.TB, text string) quantity.Scale {
	t.Helper()
	var ranges []quantity.ScaleRange
	for part := range strings.SplitSeq(text, ", ") {
		reads, upTo, limited := strings.Cut(part, " to ")
		r := quantity.ScaleRange{}
		var err error
		r.Reads, err = quantity.ParseMass(reads)
		require.NoError(t, err)
		if limited {
			r.UpTo, err = quantity.ParseMass(upTo)
			require.NoError(t, err)
		}
		ranges = append(ranges, r)
	}
	scale, err := quantity.NewScale(ranges)
	require.NoError(t, err, text)
	return scale
}

// workedFrom solves a formula of lines "  name: amount", "fixed" after what never moves.
func workedFrom(t testing.TB, text, scale string) handbook.Worked {
	t.Helper()
	var f formula.Formula
	for line := range strings.SplitSeq(text, "\n") {
		name, amount, _ := strings.Cut(strings.TrimSpace(line), ":")
		if !strings.HasPrefix(line, " ") {
			f.Phases = append(f.Phases, formula.Phase{Name: name})
			continue
		}
		amount, fixed := strings.CutSuffix(strings.TrimSpace(amount), " fixed")
		a, err := quantity.ParseAmount(amount)
		require.NoError(t, err, line)
		p := &f.Phases[len(f.Phases)-1]
		p.Lines = append(p.Lines, formula.Line{Ingredient: formula.Ingredient{Name: name, Fixed: fixed}, Amount: a})
	}
	v, problems := formula.Solve(f)
	require.Empty(t, problemTexts(problems), text)
	return workedOf(v, scaleFrom(t, scale))
}

// workedOf gives a version with the containers that the cases name.
func workedOf(v *formula.Version, scale quantity.Scale) handbook.Worked {
	grams := func(n, d int64) quantity.Mass { return quantity.Grams(quantity.Fraction(n, d)) }
	fills := []formula.Fill{
		{Container: "60 ml  tin", Takes: grams(50, 1), Loss: quantity.Int(4)},
		{Container: "lip tube", Takes: grams(9, 2)},
		{Container: "bottle", Unknown: "the density of the lotion is not known"},
	}
	materials := make([]*material.Material, len(v.Items))
	for i, item := range v.Items {
		if item.Fixed {
			materials[i] = &material.Material{ID: "keeper", Name: item.Name, Roles: []string{"preservative"}}
		}
	}
	product, _ := law.FindProduct("balm")
	return handbook.Worked{Subject: &check.Subject{Version: v, Product: product, Fills: fills, Scale: scale, Materials: materials, Index: material.NewIndex(nil)}}
}

// randomTable draws a formula with amounts of every kind, sometimes divided into splits, and batches of it.
func randomTable(t testing.TB, r *rand.Rand, name string) weighTable {
	t.Helper()
	scales := []string{"0.1 g", "0.01 g to 200 g, 0.1 g to 2000 g, 1 g", "1 g", "0.001 g to 1 g, 0.5 g", "10 g", "0.02 g to 50 g, 0.3 g"}
	scale := scaleFrom(t, scales[r.IntN(len(scales))])
	var base *formula.Version
	for base == nil {
		base, _ = formula.Solve(randomFormula(t, r))
	}
	worked := []handbook.Worked{workedOf(base, scale)}
	splits, problems := formula.Divide(base, randomSplits(t, r))
	if problems.Len() == 0 {
		for _, s := range splits {
			worked = append(worked, workedOf(s, scale))
		}
	}
	var batches []string
	for range 3 {
		batches = append(batches, randomBatch(r, base))
	}
	return tableOf(name, worked, []int{0, len(worked) - 1}[:min(2, len(worked))], batches)
}

func pick(r *rand.Rand, words ...string) string { return words[r.IntN(len(words))] }

func randomFormula(t testing.TB, r *rand.Rand) formula.Formula {
	var f formula.Formula
	density, err := quantity.ParseDensity("0.92 g/ml")
	require.NoError(t, err)
	balance, count := r.IntN(20), 0
	for p := range 1 + r.IntN(4) {
		phase := formula.Phase{Name: fmt.Sprintf("P%d", p)}
		for range 1 + r.IntN(6) {
			kinds := []string{" %", " %", " %", " %", " g", " oz", " parts", " tsp", " per 10"}
			if p > 0 {
				kinds = append(kinds, fmt.Sprintf(" %% of P%d", r.IntN(p)), fmt.Sprintf(" per 9 of P%d", r.IntN(p)))
			}
			text := pick(r, "0.5", "1", "2.5", "3", "7.25", "12", "1/3", "0.0001", "33.3", "0.125") + pick(r, kinds...)
			if count == balance {
				text = "q.s."
			}
			amount, err := quantity.ParseAmount(text)
			require.NoError(t, err, text)
			in := formula.Ingredient{Name: fmt.Sprintf("M%d", count), Density: density, Fixed: r.IntN(5) == 0}
			phase.Lines = append(phase.Lines, formula.Line{Ingredient: in, Amount: amount})
			count++
		}
		f.Phases = append(f.Phases, phase)
	}
	if r.IntN(3) == 0 {
		f.Makes = quantity.Grams(quantity.Int(1 + r.Int64N(5000)))
	}
	return f
}

func randomSplits(t testing.TB, r *rand.Rand) []formula.Split {
	if r.IntN(2) == 0 {
		return nil
	}
	part := quantity.Fraction(1+r.Int64N(8), 9)
	splits := []formula.Split{{Name: "S0", Share: part}, {Name: "S1", Share: quantity.Int(1).Sub(part)}}
	for i := range splits {
		for j := range r.IntN(3) {
			amount, err := quantity.ParseAmount(pick(r, "0.5 %", "1 per 10", "2 %", "1 oz per 7 lb", "1/3 %"))
			require.NoError(t, err)
			line := formula.Line{Ingredient: formula.Ingredient{Name: fmt.Sprintf("Added %d", j)}, Amount: amount}
			splits[i].Adds = append(splits[i].Adds, formula.Addition{Line: line})
		}
	}
	return splits
}

func randomBatch(r *rand.Rand, v *formula.Version) string {
	unit := pick(r, "g", "g", "kg", "oz", "lb", "mg", "grains")
	switch r.IntN(8) {
	case 0:
		return fmt.Sprintf("%d × %s", 1+r.IntN(400), pick(r, "60 ml tin", "lip tube", "bottle", "jar"))
	case 1:
		return fmt.Sprintf("from %d.%d g %s", r.IntN(900), r.IntN(1000), v.Items[r.IntN(len(v.Items))].Name)
	case 2:
		return fmt.Sprintf("%d/%d %s", 1+r.IntN(5000), 1+r.IntN(64), unit)
	case 3:
		return fmt.Sprintf("%d lb %d oz", 1+r.IntN(20), 1+r.IntN(15))
	}
	return fmt.Sprintf("%d.%0*d %s", r.IntN(3000), 1+r.IntN(4), 1+r.IntN(9), unit)
}

// writeTables writes tables as JSON, a case a line.
func writeTables(t testing.TB, tables []weighTable) string {
	t.Helper()
	var b bytes.Buffer
	b.WriteString("[\n")
	for i, table := range tables {
		cases := table.Cases
		table.Cases = nil
		head, err := json.Marshal(table)
		require.NoError(t, err)
		b.Write(bytes.TrimSuffix(head, []byte("null}")))
		b.WriteString("[")
		for j, c := range cases {
			line, err := json.Marshal(c)
			require.NoError(t, err)
			b.WriteString(strings.Repeat(",", min(j, 1)) + "\n ")
			b.Write(line)
		}
		b.WriteString("\n]}" + strings.Repeat(",", min(len(tables)-1-i, 1)) + "\n")
	}
	b.WriteString("]\n")
	return b.String()
}
