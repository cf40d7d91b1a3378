package soap

import "larkrow.example/stillroom/internal/quantity"

// A span is a sum at the middle, the low and the high end of every range in it.
type span struct{ middle, low, high quantity.Number }

func (s span) plus(t span) span {
	return span{s.middle.Add(t.middle), s.low.Add(t.low), s.high.Add(t.high)}
}

// A tally is what the fats and the acids of a soap weigh and take up.
type tally struct {
	demands         []Demand
	fat, all        quantity.Number // weight
	byFats, byAcids span            // alkali demand as KOH
}

// count adds the fats up. Every fat must have a saponification value, and some of the fats must take up alkali.
func count(fats []Fat, faults *Faults) tally {
	var t tally
	before := len(*faults)
	for _, f := range fats {
		if checkFat(f, faults) {
			t.add(f)
		}
	}
	switch {
	case len(*faults) > before:
	case t.fat.Sign() == 0:
		faults.addf("fats", "list at least one oil, butter or other fat", "there is no fat to make soap of")
	case t.byFats.low.Sign() == 0:
		faults.addf("fats", "list a fat with a saponification value above 0", "nothing says that any of the fats takes up alkali")
	}
	return t
}

func checkFat(f Fat, faults *Faults) bool {
	before := len(*faults)
	if f.Weight.Sign() < 0 {
		faults.addf(f.Name, "give it a weight above 0", "%s weighs less than nothing", f.Name)
	}
	switch {
	case f.Saponified == nil:
		faults.addf(f.Name, "add it to the ingredient's page from the supplier's certificate; for a mineral oil or a silicone, which do not become soap, it is 0",
			"the saponification value of %s is not known", f.Name)
	case f.Saponified.Low.Sign() < 0 || f.Saponified.Low.Cmp(f.Saponified.High) > 0:
		faults.addf(f.Name, "write it as 184–196, the lower number first", "the saponification value of %s, %s, is no range from 0 up", f.Name, f.Saponified)
	}
	return len(*faults) == before
}

func (t *tally) add(f Fat) {
	low, high := takes(f, f.Saponified.Low), takes(f, f.Saponified.High)
	s := span{low.Add(high).Quo(quantity.Int(2)), low, high}
	t.demands = append(t.demands, Demand{Fat: f, KOH: s.middle, Between: quantity.Interval{Low: low, High: high}})
	t.all = t.all.Add(f.Weight)
	if f.Acid {
		t.byAcids = t.byAcids.plus(s)
		return
	}
	t.fat = t.fat.Add(f.Weight)
	t.byFats = t.byFats.plus(s)
}

// takes gives the KOH that a fat takes up at a value in mg per g.
func takes(f Fat, value quantity.Number) quantity.Number {
	return f.Weight.Mul(value).Quo(quantity.Int(1000))
}

// result begins a result with what is known from the fats and so much alkali, as KOH.
func (t *tally) result(koh quantity.Number) Result {
	r := Result{
		Fats: t.demands, Fat: t.fat, Demand: t.byFats.middle, Acid: t.byAcids.middle,
		Superfat: superfat(t.byFats.middle, t.byAcids.middle, koh),
		Range:    quantity.Interval{Low: superfat(t.byFats.low, t.byAcids.low, koh), High: superfat(t.byFats.high, t.byAcids.high, koh)},
	}
	if r.Superfat.Sign() > 0 {
		r.Free = percentOf(r.Fat, r.Superfat)
	}
	return r
}

// superfat gives the percent of the fats' demand that is left out. Acids are served first.
func superfat(fats, acids, koh quantity.Number) quantity.Number {
	rest := koh.Sub(acids)
	if rest.Sign() < 0 {
		rest = quantity.Number{}
	}
	return hundred().Mul(fats.Sub(rest)).Quo(fats)
}

// finish adds the lye up. All but the strength and the total is set, and there is some alkali.
func (r *Result) finish(all quantity.Number) {
	wet := quantity.Number{}
	for _, d := range r.Alkalis {
		r.Lye, wet = r.Lye.Add(d.Weighed), wet.Add(d.Water)
	}
	r.Strength = hundred().Mul(r.Lye.Sub(wet)).Quo(r.Lye.Add(r.Water))
	r.Total = all.Add(r.Lye).Add(r.Water)
}
