package formula

import (
	"larkrow.example/stillroom/internal/quantity"
)

// A Column is one batch of a version as it will be weighed. The weights add up to Total exactly.
type Column struct {
	Nominal quantity.Mass // the batch asked for, exact
	Total   quantity.Mass // what the weights add up to
	Weights []Reading
	Balance int // index of the item that takes up the rounding, -1 if none may
}

// A Reading is a weight in whole steps of the scale.
type Reading struct {
	Mass quantity.Mass
	Step quantity.Mass // what the scale reads at this weight
}

// Text writes the reading in grams with as many decimals as the scale shows.
func (r Reading) Text() string {
	places, _ := r.Step.Grams().Places()
	return r.Mass.Grams().Fixed(places)
}

// Weigh works a batch out for a scale. Each item is rounded to what the scale reads, half away from zero, and the balance
// (the q.s. ingredient if it has a share, else the largest) takes up the rounding. What is [Ingredient.Fixed] never moves, nor does the
// material that a batch uses up, which is rounded down to what there is. Where nothing may move, the total is the sum of the rounded weights.
//
// With one step throughout, the total is the batch rounded to that step. With several, the balance is read in
// its own step, so that every weight can be read on the scale; the total may then differ from the batch by half of that step.
func (v *Version) Weigh(s Sized, scale quantity.Scale) Column {
	c := Column{Nominal: s.Weight, Weights: make([]Reading, len(v.Items)), Balance: -1}
	rules := rules{shares: v.shares, batch: s.Weight}
	sum := quantity.Number{}
	for i := range v.Items {
		c.Weights[i] = fit(scale, func(step quantity.Mass) quantity.Mass { return rules.read(i, step) })
		if i == s.pinned() {
			c.Weights[i] = fit(scale, func(step quantity.Mass) quantity.Mass { return quantity.RoundDown(s.Batch.Mass, step) })
		}
		sum = sum.Add(c.Weights[i].Mass.Grams())
	}
	for _, i := range v.Balances(s.pinned()) {
		rest := sum.Sub(c.Weights[i].Mass.Grams())
		exact := quantity.Grams(c.Nominal.Grams().Sub(rest))
		taken := round(exact, scale)
		if taken.Mass.Grams().Sign() >= 0 {
			c.Balance, c.Weights[i], sum = i, taken, rest.Add(taken.Mass.Grams())
			break
		}
	}
	c.Total = quantity.Grams(sum)
	return c
}

// TooLittle says why a batch cannot be made of which the scale would show nothing at all; nil where it shows something.
func (c Column) TooLittle() *SizeError {
	if c.Total.Grams().Sign() > 0 {
		return nil
	}
	return &SizeError{Message: "that is too little to weigh on these scales", Hint: "make a larger batch"}
}

// Rules are those of one batch for the last two steps that were asked for: a batch is hardly ever read in more.
type rules struct {
	shares quantity.Shares
	batch  quantity.Mass
	steps  [2]quantity.Mass
	known  [2]quantity.Rule
}

// read rounds one item's share of the batch.
func (r *rules) read(i int, step quantity.Mass) quantity.Mass {
	if r.steps[0] != step {
		r.steps[0], r.steps[1], r.known[0], r.known[1] = r.steps[1], r.steps[0], r.known[1], r.known[0]
	}
	if r.steps[0] != step {
		r.steps[0], r.known[0] = step, r.shares.Rule(r.batch, step)
	}
	return quantity.Grams(r.known[0].Steps(i).Mul(step.Grams()))
}

// round rounds an exact weight half away from zero.
func round(exact quantity.Mass, scale quantity.Scale) Reading {
	return fit(scale, func(step quantity.Mass) quantity.Mass { return quantity.RoundTo(exact, step) })
}

// fit gives a weight in the step of the first of the scale's ranges in which the reading fits.
func fit(scale quantity.Scale, inSteps func(quantity.Mass) quantity.Mass) Reading {
	step := scale.Step(quantity.Mass{})
	for {
		mass := inSteps(step)
		fitting := scale.Step(mass)
		if fitting.Grams().Cmp(step.Grams()) <= 0 { // steps rise with the load
			return Reading{Mass: mass, Step: step}
		}
		step = fitting
	}
}

// Balances gives the items that may take up the rounding, the first choice first: the q.s. ingredient, then the largest; none of them
// is [Ingredient.Fixed]. The item that a batch uses up, -1 if none, is passed over.
func (v *Version) Balances(pinned int) []int {
	qs, largest := -1, -1
	for i, item := range v.Items {
		if item.Fixed || i == pinned {
			continue
		}
		if item.Amount.Kind == quantity.Balance && v.Share(i).Sign() > 0 {
			qs = i
		}
		if largest < 0 || v.Share(i).Cmp(v.Share(largest)) > 0 {
			largest = i
		}
	}
	var choice []int
	if qs >= 0 {
		choice = append(choice, qs)
	}
	if largest >= 0 && largest != qs {
		choice = append(choice, largest)
	}
	return choice
}

// Exact gives the items' exact weights in a batch, written to 6 places of a gram so that they still add up to
// the batch written to 6 places: the same rule as for weighing.
func (v *Version) Exact(batch quantity.Mass) []quantity.Number {
	return v.decimals(batch, 6)
}

// Percents gives the items' percents rounded to so many places, at most 6, so that they add up to 100 exactly.
func (v *Version) Percents(places int) []quantity.Number {
	return v.decimals(quantity.Grams(quantity.Int(100)), places)
}

func (v *Version) decimals(whole quantity.Mass, places int) []quantity.Number {
	scale := fineScales[places]
	c := v.Weigh(Sized{Weight: whole}, scale)
	if c.Balance < 0 {
		step := scale.Step(whole)
		return partition(quantity.RoundTo(whole, step), step, len(v.Items), v.Share)
	}
	numbers := make([]quantity.Number, len(c.Weights))
	for i, w := range c.Weights {
		numbers[i] = w.Mass.Grams()
	}
	return numbers
}

// partition divides a whole among n shares in steps, where no single one may take up the rounding: the running sums are
// rounded, so that none is below 0 and all add up to the whole.
func partition(whole, step quantity.Mass, n int, share func(int) quantity.Number) []quantity.Number {
	parts := make([]quantity.Number, n)
	running, before := quantity.Number{}, quantity.Number{}
	for i := range parts {
		running = running.Add(share(i))
		upTo := quantity.RoundTo(quantity.Grams(whole.Grams().Mul(running)), step).Grams()
		if i == n-1 {
			upTo = whole.Grams()
		}
		parts[i], before = upTo.Sub(before), upTo
	}
	return parts
}

// fineScales read so many decimals of a gram.
var fineScales = func() (all [7]quantity.Scale) {
	step := quantity.Int(1)
	for places := range all {
		scale, err := quantity.NewScale([]quantity.ScaleRange{{Reads: quantity.Grams(step)}})
		if err != nil {
			panic("formula: " + err.Error())
		}
		all[places], step = scale, step.Quo(quantity.Int(10))
	}
	return all
}()
