package soap_test

import (
	"fmt"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// draw draws a number from low to high thousandths.
func draw(t *rapid.T, low, high int64, what string) quantity.Number {
	return quantity.Fraction(rapid.Int64Range(low, high).Draw(t, what), 1000)
}

// drawFats draws fats of which at least one takes up alkali, and acids beside them.
func drawFats(t *rapid.T) []soap.Fat {
	var fats []soap.Fat
	for i := range rapid.IntRange(1, 6).Draw(t, "fats") {
		low := draw(t, 1, 300_000, "low")
		v := quantity.Interval{Low: low, High: low.Add(draw(t, 0, 40_000, "wide"))}
		fats = append(fats, soap.Fat{Name: fmt.Sprintf("fat %d", i), Weight: draw(t, 1, 5_000_000, "weight"), Saponified: &v})
	}
	for i := range rapid.IntRange(0, 2).Draw(t, "acids") {
		low := draw(t, 0, 900_000, "low")
		v := quantity.Interval{Low: low, High: low.Add(draw(t, 0, 90_000, "wide"))}
		fats = append(fats, soap.Fat{Name: fmt.Sprintf("acid %d", i), Weight: draw(t, 0, 100_000, "weight"), Saponified: &v, Acid: true})
	}
	return fats
}

func drawBlock(t *rapid.T) soap.Block {
	b := soap.Block{Superfat: draw(t, 0, 99_999, "superfat"), Water: draw(t, 1, 5000, "water")}
	purity := func() quantity.Number { return draw(t, 1, 100_000, "purity") }
	share := draw(t, 0, 100_000, "share")
	if share.Sign() > 0 {
		b.Alkalis = append(b.Alkalis, soap.Use{Alkali: soap.Sodium, Share: share, Purity: purity()})
	}
	if rest := quantity.Int(100).Sub(share); rest.Sign() > 0 {
		b.Alkalis = append(b.Alkalis, soap.Use{Alkali: soap.Potassium, Share: rest, Purity: purity()})
	}
	return b
}

func solved(t *rapid.T, b soap.Block, fats []soap.Fat) soap.Result {
	r, err := soap.Solve(b, fats)
	if err != nil {
		t.Fatalf("%+v: %v", b, err)
	}
	return r
}

func weighed(r soap.Result) []soap.Weighed {
	var all []soap.Weighed
	for _, d := range r.Alkalis {
		all = append(all, soap.Weighed{Alkali: d.Alkali, Weight: d.Weighed, Purity: d.Purity})
	}
	return all
}

func same(t *rapid.T, what string, want, got quantity.Number) {
	if want.Cmp(got) != 0 {
		t.Fatalf("%s: want %s, got %s", what, want, got)
	}
}

// rational works a soap out with big.Rat, alkali by alkali: the weights and the superfats at both ends of the ranges.
func rational(b soap.Block, fats []soap.Fat) (alkalis []*big.Rat, water, low, high *big.Rat) {
	rat := func(n, d int64) *big.Rat { return big.NewRat(n, d) }
	mul := func(ns ...*big.Rat) *big.Rat {
		p := rat(1, 1)
		for _, n := range ns {
			p.Mul(p, n)
		}
		return p
	}
	demand := func(acids bool, at func(quantity.Interval) *big.Rat) *big.Rat {
		sum := new(big.Rat)
		for _, f := range fats {
			if f.Acid == acids {
				sum.Add(sum, mul(f.Weight.Rat(), at(*f.Saponified), rat(1, 1000)))
			}
		}
		return sum
	}
	lowEnd := func(v quantity.Interval) *big.Rat { return v.Low.Rat() }
	highEnd := func(v quantity.Interval) *big.Rat { return v.High.Rat() }
	middle := func(v quantity.Interval) *big.Rat {
		return mul(new(big.Rat).Add(v.Low.Rat(), v.High.Rat()), rat(1, 2))
	}
	part := new(big.Rat).Sub(rat(1, 1), mul(b.Superfat.Rat(), rat(1, 100)))
	koh := new(big.Rat).Add(demand(true, middle), mul(demand(false, middle), part))
	left := func(at func(quantity.Interval) *big.Rat) *big.Rat {
		fat, rest := demand(false, at), new(big.Rat).Sub(koh, demand(true, at))
		if rest.Sign() < 0 {
			rest = new(big.Rat)
		}
		return mul(rat(100, 1), new(big.Rat).Sub(rat(1, 1), new(big.Rat).Quo(rest, fat)))
	}
	water = new(big.Rat)
	for _, u := range b.Alkalis {
		molar := rat(39_997, 56_106)
		if u.Alkali == soap.Potassium {
			molar = rat(1, 1)
		}
		w := new(big.Rat).Quo(mul(koh, u.Share.Rat(), molar), u.Purity.Rat())
		alkalis = append(alkalis, w)
		water.Add(water, mul(w, b.Water.Rat()))
	}
	return alkalis, water, left(lowEnd), left(highEnd)
}

// againstRationals compares a sum with the same in big.Rat.
func againstRationals(t *rapid.T) {
	fats, b := drawFats(t), drawBlock(t)
	r := solved(t, b, fats)
	alkalis, water, low, high := rational(b, fats)
	for i, w := range alkalis {
		same(t, string(r.Alkalis[i].Alkali), quantity.FromRat(w), r.Alkalis[i].Weighed)
	}
	same(t, "water", quantity.FromRat(water), r.Water)
	same(t, "lowest superfat", quantity.FromRat(low), r.Range.Low)
	same(t, "highest superfat", quantity.FromRat(high), r.Range.High)
	same(t, "superfat", b.Superfat, r.Superfat)
	if r.Range.Low.Cmp(r.Superfat) > 0 || r.Superfat.Cmp(r.Range.High) > 0 {
		t.Fatalf("the superfat %s is not in its range %s", r.Superfat, r.Range)
	}
}

// thereAndBack solves a soap and works its lye backwards.
func thereAndBack(t *rapid.T) {
	fats, b := drawFats(t), drawBlock(t)
	r := solved(t, b, fats)
	back, err := soap.Backwards(fats, weighed(r), r.Water)
	if err != nil {
		t.Fatal(err)
	}
	for _, pair := range []struct {
		what      string
		want, got quantity.Number
	}{
		{"superfat", r.Superfat, back.Superfat},
		{"lowest", r.Range.Low, back.Range.Low},
		{"highest", r.Range.High, back.Range.High},
		{"lye", r.Lye, back.Lye},
		{"strength", r.Strength, back.Strength},
		{"strength from the ratio", soap.StrengthOf(b.Water), back.Strength},
		{"total", r.Total, back.Total},
		{"free", r.Free, back.Free},
	} {
		same(t, pair.what, pair.want, pair.got)
	}
	for i, d := range r.Alkalis {
		same(t, "share", d.Share, back.Alkalis[i].Share)
		same(t, "pure", d.Pure, back.Alkalis[i].Pure)
	}
}

// inProportion scales the fats and sees that all weights go with them and nothing else moves.
func inProportion(t *rapid.T) {
	fats, b := drawFats(t), drawBlock(t)
	k := draw(t, 1, 1_000_000, "k")
	r := solved(t, b, fats)
	larger := append([]soap.Fat(nil), fats...)
	for i := range larger {
		larger[i].Weight = larger[i].Weight.Mul(k)
	}
	s := solved(t, b, larger)
	for i := range r.Alkalis {
		same(t, "alkali", r.Alkalis[i].Weighed.Mul(k), s.Alkalis[i].Weighed)
	}
	same(t, "water", r.Water.Mul(k), s.Water)
	same(t, "total", r.Total.Mul(k), s.Total)
	same(t, "lowest superfat", r.Range.Low, s.Range.Low)
	same(t, "strength", r.Strength, s.Strength)
}

// addsUp sees that the parts of a result make its wholes.
func addsUp(t *rapid.T) {
	fats, b := drawFats(t), drawBlock(t)
	r := solved(t, b, fats)
	demand, koh, lye, all, share := quantity.Number{}, quantity.Number{}, quantity.Number{}, r.Lye.Add(r.Water), quantity.Number{}
	for _, d := range r.Fats {
		demand, all = demand.Add(d.KOH), all.Add(d.Fat.Weight)
	}
	for _, d := range r.Alkalis {
		koh = koh.Add(d.Pure.Mul(soap.Potassium.MolarMass()).Quo(d.Alkali.MolarMass()))
		lye, share = lye.Add(d.Weighed), share.Add(d.Share)
		same(t, "pure", d.Weighed.Mul(d.Purity).Quo(quantity.Int(100)), d.Pure)
	}
	same(t, "demand", demand, r.Demand.Add(r.Acid))
	same(t, "lye", lye, r.Lye)
	same(t, "total", all, r.Total)
	same(t, "shares", quantity.Int(100), share)
	left := r.Demand.Mul(b.Superfat).Quo(quantity.Int(100))
	same(t, "what is left out", left, demand.Sub(koh))
}

// withoutSuperfat sees that nothing is left out at 0 %.
func withoutSuperfat(t *rapid.T) {
	fats, b := drawFats(t), drawBlock(t)
	b.Superfat = quantity.Number{}
	r := solved(t, b, fats)
	koh := quantity.Number{}
	for _, d := range r.Alkalis {
		koh = koh.Add(d.Pure.Mul(soap.Potassium.MolarMass()).Quo(d.Alkali.MolarMass()))
	}
	same(t, "alkali", r.Demand.Add(r.Acid), koh)
	same(t, "superfat", quantity.Number{}, r.Superfat)
	if r.Free.Sign() != 0 || r.Range.Low.Sign() > 0 {
		t.Fatalf("free fat %s, lowest superfat %s", r.Free, r.Range.Low)
	}
}

// anyLye works anything backwards: a result with its superfat in range, or faults that each say what and what to do.
func anyLye(t *rapid.T) {
	fats := drawFats(t)
	for i := range fats {
		switch rapid.IntRange(0, 9).Draw(t, "spoil") {
		case 0:
			fats[i].Saponified = nil
		case 1:
			fats[i].Weight = fats[i].Weight.Neg()
		case 2:
			fats[i].Saponified = &quantity.Interval{Low: quantity.Int(2), High: quantity.Int(1)}
		case 3:
			fats[i].Saponified = &quantity.Interval{}
		}
	}
	var alkalis []soap.Weighed
	for range rapid.IntRange(0, 3).Draw(t, "alkalis") {
		a := rapid.SampledFrom([]soap.Alkali{soap.Sodium, soap.Potassium, "lime"}).Draw(t, "alkali")
		alkalis = append(alkalis, soap.Weighed{Alkali: a, Weight: draw(t, -1, 3_000_000, "weight"), Purity: draw(t, -1, 101_000, "purity")})
	}
	r, err := soap.Backwards(fats, alkalis, draw(t, -1, 9_000_000, "water"))
	if err == nil {
		if r.Range.Low.Cmp(r.Superfat) > 0 || r.Superfat.Cmp(r.Range.High) > 0 || r.Excess() != (r.Range.Low.Sign() < 0) {
			t.Fatalf("superfat %s, range %s", r.Superfat, r.Range)
		}
		return
	}
	faults, ok := err.(soap.Faults) //nolint:errorlint // Backwards gives this type alone
	if !ok || len(faults) == 0 {
		t.Fatalf("%T: %v", err, err)
	}
	for _, f := range faults {
		if f.Subject == "" || f.Message == "" || f.Hint == "" {
			t.Fatalf("%+v does not say enough", f)
		}
	}
}

// fromStock sees that a lye made from a stock has the alkali and the strength that were asked for.
func fromStock(t *rapid.T) {
	alkali, stock, wanted := draw(t, 1, 999_999, "alkali"), draw(t, 1, 99_999, "stock"), draw(t, 1, 99_999, "wanted")
	lye, water, err := soap.FromStock(alkali, stock, wanted)
	if stock.Cmp(wanted) < 0 {
		if err == nil {
			t.Fatalf("a lye of %s %% was made from one of %s %%", wanted, stock)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	same(t, "alkali", alkali, lye.Mul(stock).Quo(quantity.Int(100)))
	same(t, "strength", wanted, quantity.Int(100).Mul(alkali).Quo(lye.Add(water)))
}

var properties = []struct {
	name  string
	holds func(*rapid.T)
}{
	{"against rationals", againstRationals},
	{"there and back", thereAndBack},
	{"in proportion", inProportion},
	{"adds up", addsUp},
	{"without superfat", withoutSuperfat},
	{"any lye", anyLye},
	{"from stock", fromStock},
}

func TestProperties(t *testing.T) {
	t.Parallel()
	for _, p := range properties {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, p.holds)
		})
	}
}

func FuzzSolve(f *testing.F)     { f.Fuzz(rapid.MakeFuzz(againstRationals)) }
func FuzzBackwards(f *testing.F) { f.Fuzz(rapid.MakeFuzz(anyLye)) }
