package formula_test

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// must gives a value that a property drew in a form that cannot be wrong.
func must[T any](t *rapid.T) func(T, error) T {
	return func(v T, err error) T {
		if err != nil {
			t.Fatalf("the test's own drawing is wrong: %v", err)
		}
		return v
	}
}

// drawAmount draws an amount of any kind that may stand in the given phase of a formula; own says that no
// line of the phase is measured on the phase yet. Lines are measured on earlier phases alone, so that there is no circle.
func drawAmount(t *rapid.T, phase int, own bool) string {
	n := rapid.SampledFrom([]string{"0.5", "1", "2.5", "3", "7.25", "12", "1/3", "0.0001", "33.3", "0.125"}).Draw(t, "n")
	kinds := []string{
		"percent", "percent", "percent", "weight", "ounces", "parts", "volume", "on top", "on top by weight", "on top by volume",
	}
	if phase > 0 {
		kinds = append(kinds, "share", "share", "per", "per by volume")
	}
	if own {
		kinds = append(kinds, "own")
	}
	target := ""
	if phase > 0 {
		target = fmt.Sprintf("P%d", rapid.IntRange(0, phase-1).Draw(t, "target"))
	}
	switch rapid.SampledFrom(kinds).Draw(t, "kind") {
	case "percent":
		return n + " %"
	case "weight":
		return n + " g"
	case "ounces":
		return n + " oz"
	case "parts":
		return n + " parts"
	case "volume":
		return n + " tsp"
	case "on top":
		return n + " per 10"
	case "on top by weight":
		return n + " oz per 1 lb"
	case "on top by volume":
		return n + " ml per 100 g"
	case "share":
		return n + " % of " + target
	case "per":
		return n + " per 9 of " + target
	case "per by volume":
		return n + " tsp per 100 g of " + target
	}
	return fmt.Sprintf("%s per 13 of P%d", n, phase)
}

// drawFormula draws phases of lines with amounts of every kind. It may have no solution.
func drawFormula(t *rapid.T) formula.Formula {
	var f formula.Formula
	density := must[quantity.Density](t)(quantity.ParseDensity("0.92 g/ml"))
	balance := rapid.IntRange(-8, 15).Draw(t, "balance") // the line that is q.s., if there is such a line
	count := 0
	for p := range rapid.IntRange(1, 4).Draw(t, "phases") {
		phase, own := formula.Phase{Name: fmt.Sprintf("P%d", p)}, true
		for range rapid.IntRange(1, 5).Draw(t, "lines") {
			text := drawAmount(t, p, own)
			if count == balance {
				text = "q.s."
			}
			own = own && !strings.HasSuffix(text, "13 of "+phase.Name)
			phase.Lines = append(phase.Lines, formula.Line{
				Ingredient: formula.Ingredient{Name: fmt.Sprintf("M%d", count), Density: density, Fixed: rapid.IntRange(0, 4).Draw(t, "fixed") == 0},
				Amount:     must[quantity.Amount](t)(quantity.ParseAmount(text)),
			})
			count++
		}
		f.Phases = append(f.Phases, phase)
	}
	if rapid.IntRange(0, 2).Draw(t, "makes") == 0 {
		f.Makes = quantity.Grams(quantity.Int(rapid.Int64Range(1, 5000).Draw(t, "grams")))
	}
	return f
}

// describe writes a formula for a failure's text.
func describe(f formula.Formula) string {
	var b strings.Builder
	for _, p := range f.Phases {
		for _, l := range p.Lines {
			fmt.Fprintf(&b, "%s: %s: %s (fixed %t)\n", p.Name, l.Name, l.Amount.Written, l.Fixed)
		}
	}
	return fmt.Sprintf("%smakes: %s", b.String(), f.Makes)
}

// drawVersion draws a formula that has a solution, solved.
func drawVersion(t *rapid.T) (formula.Formula, *formula.Version) {
	f := drawFormula(t)
	v, problems := formula.Solve(f)
	if problems.Len() > 0 {
		t.SkipNow()
	}
	return f, v
}

// solveAgrees: the shares are those of the oracle, and a formula is refused where the oracle finds none, and nowhere else.
func solveAgrees(t *rapid.T) {
	f := drawFormula(t)
	want := oracle(f)
	v, problems := formula.Solve(f)
	if lonely := measuredOnNothing(f); lonely || want == nil {
		if v != nil || problems.Len() == 0 {
			t.Fatalf("%s\nwas solved, and the oracle finds no solution", describe(f))
		}
		return
	}
	if v == nil {
		t.Fatalf("%s\nwas refused: %v\nthe oracle finds %v", describe(f), problems.Err(), want)
	}
	sum := quantity.Number{}
	for i := range v.Items {
		sum = sum.Add(v.Share(i))
		if v.Share(i).Rat().Cmp(want[i]) != 0 {
			t.Fatalf("%s\nitem %d: got %s, want %s", describe(f), i, v.Share(i), want[i])
		}
	}
	if sum.Cmp(quantity.Int(1)) != 0 {
		t.Fatalf("%s\nthe shares make %s, not 1", describe(f), sum)
	}
}

// measuredOnNothing says whether a line is measured on a phase that has no other line inside the 100 %, which is refused.
func measuredOnNothing(f formula.Formula) bool {
	for _, p := range f.Phases {
		for _, l := range p.Lines {
			others := 0
			for _, target := range f.Phases {
				for _, other := range target.Lines {
					if target.Name == l.Amount.Phase && other.Name != l.Name && other.Amount.Kind != quantity.OnTop {
						others++
					}
				}
			}
			if l.Amount.Phase != "" && others == 0 {
				return true
			}
		}
	}
	return false
}

// orderDoesNotMatter: phases and lines in another order have the same shares.
func orderDoesNotMatter(t *rapid.T) {
	f, v := drawVersion(t)
	shuffled := f
	shuffled.Phases = rapid.Permutation(f.Phases).Draw(t, "phases")
	for i, p := range shuffled.Phases {
		shuffled.Phases[i].Lines = rapid.Permutation(p.Lines).Draw(t, "lines")
	}
	again, problems := formula.Solve(shuffled)
	if again == nil {
		t.Fatalf("%s\nis refused in another order: %v\n%s", describe(f), problems.Err(), describe(shuffled))
	}
	for i, item := range v.Items {
		j := again.Find(item.Name)[0]
		if v.Share(i).Cmp(again.Share(j)) != 0 {
			t.Fatalf("%s: %s, and in another order %s\n%s", item.Name, v.Share(i), again.Share(j), describe(f))
		}
	}
	if (v.Written == nil) != (again.Written == nil) {
		t.Fatalf("in another order the percents written are %v, not %v\n%s", again.Written, v.Written, describe(f))
	}
}

// scalesLinearly: all weights k times as heavy have the same shares.
func scalesLinearly(t *rapid.T) {
	f, v := drawVersion(t)
	k := quantity.Fraction(rapid.Int64Range(1, 5000).Draw(t, "numerator"), rapid.Int64Range(1, 5000).Draw(t, "denominator"))
	larger := formula.Formula{Makes: quantity.Grams(f.Makes.Grams().Mul(k))}
	for _, p := range f.Phases {
		p.Lines = append([]formula.Line(nil), p.Lines...)
		for i, l := range p.Lines {
			if l.Amount.Kind == quantity.Weight {
				p.Lines[i].Amount.Mass = quantity.Grams(l.Amount.Mass.Grams().Mul(k))
			}
			if l.Amount.Kind == quantity.Measure {
				p.Lines[i].Amount.Volume = quantity.Millilitres(l.Amount.Volume.Millilitres().Mul(k))
			}
		}
		larger.Phases = append(larger.Phases, p)
	}
	again, problems := formula.Solve(larger)
	if again == nil {
		t.Fatalf("%s\n× %s is refused: %v", describe(f), k, problems.Err())
	}
	for i := range v.Items {
		if v.Share(i).Cmp(again.Share(i)) != 0 {
			t.Fatalf("item %d: %s, and × %s %s\n%s", i, v.Share(i), k, again.Share(i), describe(f))
		}
	}
}

// weightsGoBack: a version's exact weights in a batch, and its percents, are a formula of the same shares.
func weightsGoBack(t *rapid.T) {
	f, v := drawVersion(t)
	batch := drawGrams(t)
	weights, percents := formula.Phase{Name: "All"}, formula.Phase{Name: "All"}
	for i, item := range v.Items {
		weight, percent := *item.Line, *item.Line
		weight.Amount = quantity.Amount{Kind: quantity.Weight, Mass: quantity.Grams(v.Share(i).Mul(batch.Grams()))}
		percent.Amount = quantity.Amount{Kind: quantity.Percent, Number: v.Percent(i)}
		weights.Lines, percents.Lines = append(weights.Lines, weight), append(percents.Lines, percent)
	}
	for _, p := range []formula.Phase{weights, percents} {
		again, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{p}})
		if again == nil || again.Written != nil {
			t.Fatalf("%s\ndoes not go back: %v", describe(f), problems.Err())
		}
		for i := range v.Items {
			if v.Share(i).Cmp(again.Share(i)) != 0 {
				t.Fatalf("item %d went from %s to %s\n%s", i, v.Share(i), again.Share(i), describe(f))
			}
		}
	}
}

// drawGrams draws a batch's weight, in grams or ounces.
func drawGrams(t *rapid.T) quantity.Mass {
	n := quantity.Fraction(rapid.Int64Range(1, 2_000_000).Draw(t, "batch"), 100)
	if rapid.Bool().Draw(t, "in ounces") {
		return must[quantity.Mass](t)(quantity.ParseMass(n.String() + " oz"))
	}
	return quantity.Grams(n)
}

// drawScale draws a scale of one to three ranges, and its step if it has just one.
func drawScale(t *rapid.T) (s quantity.Scale, only quantity.Mass) {
	gram := func(n int64) quantity.Mass { return quantity.Grams(quantity.Fraction(n, 1000)) }
	steps := []int64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000} // thousandths of a gram
	at := rapid.IntRange(0, len(steps)-1).Draw(t, "step")
	ranges := []quantity.ScaleRange{{Reads: gram(steps[at])}}
	upTo := int64(0)
	for range rapid.IntRange(0, 2).Draw(t, "more ranges") {
		upTo += rapid.Int64Range(1, 500_000).Draw(t, "up to")
		ranges[len(ranges)-1].UpTo = gram(upTo)
		at = rapid.IntRange(at, len(steps)-1).Draw(t, "step")
		ranges = append(ranges, quantity.ScaleRange{Reads: gram(steps[at])})
	}
	if len(ranges) == 1 {
		only = ranges[0].Reads
	}
	return must[quantity.Scale](t)(quantity.NewScale(ranges)), only
}

// drawSized draws a batch of a version: by weight, by containers, or by what uses up a material.
func drawSized(t *rapid.T, v *formula.Version) formula.Sized {
	text := drawGrams(t).String()
	fill := formula.Fill{Container: "jar", Takes: drawGrams(t), Loss: quantity.Int(rapid.Int64Range(0, 10).Draw(t, "loss"))}
	switch rapid.IntRange(0, 2).Draw(t, "by") {
	case 1:
		text = fmt.Sprintf("%d × jar", rapid.IntRange(1, 500).Draw(t, "containers"))
	case 2:
		text = fmt.Sprintf("from %s %s", text, rapid.SampledFrom(v.Items).Draw(t, "material").Name)
	}
	s, err := v.Size(must[quantity.Batch](t)(quantity.ParseBatch(text)), []formula.Fill{fill})
	if err != nil { // nothing of that material is in the version
		t.SkipNow()
	}
	return s
}

// weighs: a column adds up, every weight can be read on the scale, and only what may move has moved.
func weighs(t *rapid.T) {
	f, v := drawVersion(t)
	s := drawSized(t, v)
	scale, only := drawScale(t)
	c := v.Weigh(s, scale)
	fail := func(format string, args ...any) {
		t.Helper()
		t.Fatalf("%s\nbatch %s of %s, weights %v: %s", describe(f), s.Batch.Written, s.Weight, texts(c), fmt.Sprintf(format, args...))
	}
	sum := quantity.Number{}
	for i, w := range c.Weights {
		sum = sum.Add(w.Mass.Grams())
		if steps := w.Mass.Grams().Quo(w.Step.Grams()); !steps.Rat().IsInt() || steps.Sign() < 0 {
			fail("item %d is %s, %s steps of %s", i, w.Mass, steps, w.Step)
		}
		if scale.Step(w.Mass).Grams().Cmp(w.Step.Grams()) > 0 {
			fail("item %d is read in %s, finer than the scale reads at that weight", i, w.Step)
		}
		if must[quantity.Number](t)(quantity.ParseNumber(w.Text())).Cmp(w.Mass.Grams()) != 0 {
			fail("item %d is written %s and weighs %s", i, w.Text(), w.Mass)
		}
		exact := v.Share(i).Rat()
		exact.Mul(exact, s.Weight.Grams().Rat())
		switch {
		case s.Batch.Material == v.Items[i].Name:
			if w.Mass.Grams().Cmp(s.Batch.Mass.Grams()) > 0 || c.Balance == i {
				fail("item %d is %s, and there is %s of it", i, w.Mass, s.Batch.Mass)
			}
			if short := s.Batch.Mass.Grams().Sub(w.Mass.Grams()); short.Cmp(w.Step.Grams()) >= 0 {
				fail("item %d leaves %s g over", i, short)
			}
		case c.Balance == i:
			if v.Items[i].Fixed {
				fail("item %d is fixed and takes up the rounding", i)
			}
		case w.Mass.Grams().Rat().Cmp(halfUp(exact, w.Step.Grams().Rat())) != 0:
			fail("item %d is %s, and %s g in steps of %s is not that", i, w.Mass, exact.FloatString(9), w.Step)
		}
	}
	if sum.Cmp(c.Total.Grams()) != 0 {
		fail("they add up to %s g, not %s", sum, c.Total)
	}
	if c.Nominal.Grams().Cmp(s.Weight.Grams()) != 0 {
		fail("the batch is %s", c.Nominal)
	}
	if c.Balance < 0 {
		return
	}
	if only.Grams().Sign() > 0 {
		if want := halfUp(s.Weight.Grams().Rat(), only.Grams().Rat()); c.Total.Grams().Rat().Cmp(want) != 0 {
			fail("the total is %s, and the batch in steps of %s is %s", c.Total, only, want.FloatString(6))
		}
		return
	}
	off := c.Total.Grams().Sub(s.Weight.Grams()).Rat()
	if half := new(big.Rat).Mul(c.Weights[c.Balance].Step.Grams().Rat(), big.NewRat(1, 2)); off.Abs(off).Cmp(half) > 0 {
		fail("the total is off by %s g, more than half a step of the balance", off.FloatString(6))
	}
}

// halfUp rounds to whole steps, half upwards, in a way of its own.
func halfUp(n, step *big.Rat) *big.Rat {
	q := new(big.Rat).Quo(n, step)
	twice := new(big.Int).Add(new(big.Int).Mul(q.Num(), big.NewInt(2)), q.Denom()) // (2q + 1) ÷ 2, rounded down
	steps := new(big.Int).Div(twice, new(big.Int).Mul(q.Denom(), big.NewInt(2)))
	return new(big.Rat).Mul(new(big.Rat).SetInt(steps), step)
}

// decimalsAddUp: percents at any number of places make 100, weights to 6 places make the batch, and each is its exact value
// within a step, but for the one that takes up the rounding.
func decimalsAddUp(t *rapid.T) {
	f, v := drawVersion(t)
	places := rapid.IntRange(0, 6).Draw(t, "places")
	adds := func(what string, parts []quantity.Number, whole quantity.Number) {
		sum, off := quantity.Number{}, 0
		for i, n := range parts {
			sum = sum.Add(n)
			if got, ok := n.Places(); !ok || got > 6 || n.Sign() < 0 {
				t.Fatalf("%s\n%s of item %d is %s", describe(f), what, i, n)
			}
			step := quantity.Fraction(1, []int64{1, 10, 100, 1000, 10_000, 100_000, 1_000_000}[places])
			if d := n.Sub(v.Share(i).Mul(whole)); d.Cmp(step) > 0 || d.Neg().Cmp(step) > 0 {
				off++
			}
		}
		if sum.Cmp(whole) != 0 || off > 1 {
			t.Fatalf("%s\n%s %v make %s, not %s; %d are off", describe(f), what, parts, sum, whole, off)
		}
	}
	adds("percents", v.Percents(places), quantity.Int(100))
	places = 6
	batch := quantity.Fraction(rapid.Int64Range(1, 1_000_000_000).Draw(t, "batch"), 1000)
	adds("weights", v.Exact(quantity.Grams(batch)), batch)
}

// drawSplits draws splits of a version whose shares make the whole, with additions of every kind that a split takes.
func drawSplits(t *rapid.T, base *formula.Version) []formula.Split {
	density := must[quantity.Density](t)(quantity.ParseDensity("0.92 g/ml"))
	parts := rapid.SliceOfN(rapid.Int64Range(1, 20), 1, 6).Draw(t, "shares")
	sum := int64(0)
	for _, p := range parts {
		sum += p
	}
	var all []formula.Split
	for i, p := range parts {
		s := formula.Split{Name: formula.Letter(i), Share: quantity.Fraction(p, sum)}
		phase := base.Phases[rapid.IntRange(0, len(base.Phases)-1).Draw(t, "phase")].Name
		for _, text := range rapid.SliceOfN(rapid.SampledFrom([]string{"2.5 %", "1/3 %", "1 per 7", "1 tsp per 100 g", "3 % of " + phase, "1 per 7 of " + phase}), 0, 4).Draw(t, "adds") {
			in := formula.Ingredient{Name: fmt.Sprintf("add %d", len(s.Adds)), Density: density}
			s.Adds = append(s.Adds, formula.Addition{Line: formula.Line{Ingredient: in, Amount: must[quantity.Amount](t)(quantity.ParseAmount(text))}})
		}
		all = append(all, s)
	}
	return all
}

// splitsConserve: in every split the base's ingredients stand to one another as in the base, each added percent is that
// percent of all inside, and the portions of a weighed batch add up to it, as weights and as they are written.
func splitsConserve(t *rapid.T) {
	f, base := drawVersion(t)
	splits := drawSplits(t, base)
	versions, problems := formula.Divide(base, splits)
	if problems.Len() > 0 {
		t.Fatalf("%s\nis not divided: %v", describe(f), problems.Err())
	}
	for n, v := range versions {
		sum, ofBase, inside := quantity.Number{}, quantity.Number{}, quantity.Number{}
		for i, item := range v.Items {
			sum = sum.Add(v.Share(i))
			if i < len(base.Items) {
				ofBase = ofBase.Add(v.Share(i))
			}
			if i < len(base.Items) || item.Amount.Kind != quantity.OnTop {
				inside = inside.Add(v.Share(i))
			}
		}
		if sum.Cmp(quantity.Int(1)) != 0 {
			t.Fatalf("%s\nsplit %d makes %s", describe(f), n, sum)
		}
		for i, item := range v.Items {
			if i < len(base.Items) && v.Share(i).Cmp(base.Share(i).Mul(ofBase)) != 0 {
				t.Fatalf("%s\nsplit %d, item %d: %s, of a base of %s", describe(f), n, i, v.Share(i), ofBase)
			}
			if i >= len(base.Items) && item.Amount.Kind == quantity.Percent && v.Percent(i).Cmp(item.Amount.Number.Mul(inside)) != 0 {
				t.Fatalf("%s\nsplit %d, %s: %s %% of %s", describe(f), n, item.Amount.Written, v.Percent(i), inside)
			}
		}
	}
	portionsAddUp(t, f, base, versions)
}

// portionsAddUp weighs a batch and divides it.
func portionsAddUp(t *rapid.T, f formula.Formula, base *formula.Version, versions []*formula.Version) {
	scale, _ := drawScale(t)
	c := base.Weigh(drawSized(t, base), scale)
	divided := formula.DividePortions(c, versions, scale)
	if len(divided.Portions) != len(versions) {
		t.Fatalf("%d portions of %d splits", len(divided.Portions), len(versions))
	}
	sum := quantity.Number{}
	for i, p := range divided.Portions {
		written := must[quantity.Number](t)(quantity.ParseNumber(p.Base.Text()))
		sum = sum.Add(written)
		if written.Cmp(p.Base.Mass.Grams()) != 0 || written.Sign() < 0 {
			t.Fatalf("%s\nportion %d of %s is written %s and weighs %s", describe(f), i, c.Total, p.Base.Text(), p.Base.Mass)
		}
		total := written
		for _, add := range p.Adds {
			total = total.Add(must[quantity.Number](t)(quantity.ParseNumber(add.Text())))
		}
		if total.Cmp(p.Total.Mass.Grams()) != 0 || len(p.Adds) != len(versions[i].Items)-len(base.Items) {
			t.Fatalf("%s\nportion %d comes to %s, and its weights make %s g", describe(f), i, p.Total, total)
		}
	}
	room := quantity.Number{} // half of the step in which the rest is read, where that is coarser than the others'
	if divided.Rest >= 0 {
		room = divided.Portions[divided.Rest].Base.Step.Grams().Mul(quantity.Fraction(1, 2))
	}
	off := sum.Sub(c.Total.Grams())
	if off.Cmp(room) > 0 || off.Neg().Cmp(room) > 0 {
		t.Fatalf("%s\nthe portions make %s g of %s: %v", describe(f), sum, c.Total, divided)
	}
}

func TestSolveAgrees(t *testing.T)        { t.Parallel(); rapid.Check(t, solveAgrees) }
func TestOrderDoesNotMatter(t *testing.T) { t.Parallel(); rapid.Check(t, orderDoesNotMatter) }
func TestScalesLinearly(t *testing.T)     { t.Parallel(); rapid.Check(t, scalesLinearly) }
func TestWeightsGoBack(t *testing.T)      { t.Parallel(); rapid.Check(t, weightsGoBack) }
func TestWeighs(t *testing.T)             { t.Parallel(); rapid.Check(t, weighs) }
func TestDecimalsAddUp(t *testing.T)      { t.Parallel(); rapid.Check(t, decimalsAddUp) }
func TestSplitsConserve(t *testing.T)     { t.Parallel(); rapid.Check(t, splitsConserve) }

func FuzzSolve(f *testing.F)         { f.Fuzz(rapid.MakeFuzz(solveAgrees)) }
func FuzzWeigh(f *testing.F)         { f.Fuzz(rapid.MakeFuzz(weighs)) }
func FuzzDecimals(f *testing.F)      { f.Fuzz(rapid.MakeFuzz(decimalsAddUp)) }
func FuzzSplits(f *testing.F)        { f.Fuzz(rapid.MakeFuzz(splitsConserve)) }
func FuzzWeightsGoBack(f *testing.F) { f.Fuzz(rapid.MakeFuzz(weightsGoBack)) }
