package soap

import "larkrow.example/stillroom/internal/quantity"

// Solve works out the lye that a block asks for. The error is [Faults]: no fat, a fat without saponification value, shares
// that are not 100 % of the fat, a purity that is not above 0 and at most 100 %, a superfat below 0 or from 100 % up, no water.
func Solve(b Block, fats []Fat) (Result, error) {
	var faults Faults
	t := count(fats, &faults)
	b.check(&faults)
	if err := faults.err(); err != nil {
		return Result{}, err
	}
	koh := t.byAcids.middle.Add(percentOf(t.byFats.middle, hundred().Sub(b.Superfat)))
	r := t.result(koh)
	for _, u := range b.Alkalis {
		pure := percentOf(koh, u.Share).Mul(u.Alkali.perKOH())
		weighed := hundred().Mul(pure).Quo(u.Purity)
		r.Alkalis = append(r.Alkalis, Dose{Alkali: u.Alkali, Share: u.Share, Purity: u.Purity, Pure: pure, Weighed: weighed})
		r.Water = r.Water.Add(weighed.Mul(b.Water))
	}
	r.finish(t.all)
	return r, nil
}

func (b Block) check(faults *Faults) {
	b.checkAlkalis(faults)
	if b.Superfat.Sign() < 0 || b.Superfat.Cmp(hundred()) >= 0 {
		faults.addf("superfat", "write it as 5 %", "a superfat of %s %% is not from 0 %% to under 100 %%: it is the part of the alkali that is left out", b.Superfat)
	}
	if b.Water.Sign() <= 0 {
		faults.addf("water", "write it as 2 per 1, water for each part of alkali", "%s of water for 1 of alkali cannot dissolve it", b.Water)
	}
}

func (b Block) checkAlkalis(faults *Faults) {
	sum := quantity.Number{}
	seen := make(map[Alkali]bool)
	for _, u := range b.Alkalis {
		name := string(u.Alkali)
		checkAlkali(u.Alkali, u.Purity, faults)
		if u.Share.Sign() <= 0 {
			faults.addf(name, "give it a share above 0 %, or leave it out", "a share of %s %% of the fat is left to %s", u.Share, name)
		}
		if seen[u.Alkali] {
			faults.addf(name, "name each alkali once", "%s stands twice", name)
		}
		seen[u.Alkali] = true
		sum = sum.Add(u.Share)
	}
	switch {
	case len(b.Alkalis) == 0:
		faults.addf("alkali", "name sodium hydroxide or potassium hydroxide", "there is no alkali")
	case sum.Cmp(hundred()) != 0:
		faults.addf("alkali", "let the shares of the fat make 100 %", "the alkalis share out %s %% of the fat", sum)
	}
}

// checkAlkali sees that an alkali is known and how much of it is alkali.
func checkAlkali(a Alkali, purity quantity.Number, faults *Faults) {
	if a.MolarMass().Sign() == 0 {
		faults.addf(string(a), "it can be sodium hydroxide or potassium hydroxide", "“%s” is no alkali that makes soap", a)
	}
	if purity.Sign() <= 0 || purity.Cmp(hundred()) > 0 {
		faults.addf(string(a), "write the certificate's figure, such as 98 %", "%s %% is not how pure %s can be: it must be above 0 and at most 100 %%", purity, a)
	}
}
