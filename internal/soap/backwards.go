package soap

import "larkrow.example/stillroom/internal/quantity"

// Backwards works out the superfat that a lye really leaves, from its alkalis as weighed and its water, which may be 0 where
// other liquids are in its place. A negative superfat is free alkali. The error is [Faults]: as for [Solve], or no alkali.
func Backwards(fats []Fat, alkalis []Weighed, water quantity.Number) (Result, error) {
	var faults Faults
	t := count(fats, &faults)
	koh := asKOH(alkalis, &faults)
	if water.Sign() < 0 {
		faults.addf("water", "give it a weight above 0", "the water weighs less than nothing")
	}
	if err := faults.err(); err != nil {
		return Result{}, err
	}
	r := t.result(koh)
	r.Water = water
	for _, w := range alkalis {
		pure := percentOf(w.Weight, w.Purity)
		share := hundred().Mul(pure).Quo(w.Alkali.perKOH()).Quo(koh)
		r.Alkalis = append(r.Alkalis, Dose{Alkali: w.Alkali, Share: share, Purity: w.Purity, Pure: pure, Weighed: w.Weight, Water: w.Water})
	}
	r.finish(t.all)
	return r, nil
}

// asKOH gives the alkalis together, as KOH.
func asKOH(alkalis []Weighed, faults *Faults) quantity.Number {
	koh := quantity.Number{}
	before := len(*faults)
	for _, w := range alkalis {
		checkAlkali(w.Alkali, w.Purity, faults)
		if w.Weight.Sign() < 0 {
			faults.addf(string(w.Alkali), "give it a weight above 0", "%s weighs less than nothing", w.Alkali)
		}
		if len(*faults) == before {
			koh = koh.Add(percentOf(w.Weight, w.Purity).Quo(w.Alkali.perKOH()))
		}
	}
	if len(*faults) == before && koh.Sign() == 0 {
		faults.addf("alkali", "list sodium hydroxide or potassium hydroxide", "there is no alkali")
	}
	return koh
}
