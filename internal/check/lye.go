package check

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// A Soap is a version that is a soap, worked out backwards from the alkali that it has.
type Soap struct {
	soap.Result
	Err        error // why it cannot be worked out, [soap.Faults]; then Result is empty
	Saponified bool  // whether the fats that are known take up at least half of what they can, as a trace that sets the pH does not
}

// soapProducts are the product types that are soap wherever there is an alkali in them.
func soapProducts() []string { return []string{"bar soap", "liquid soap", "shaving soap"} }

// mostSuperfat is the superfat, in percent, from which on an alkali in a product that is not called soap is taken to set its pH.
// Common practice, no source.
const mostSuperfat = 50

func (s *inspection) asSoap() (Soap, bool) {
	made := s.made.get(func() perhaps[Soap] {
		it, is := s.worksAsSoap()
		return perhaps[Soap]{it, is}
	})
	return made.it, made.is
}

// worksAsSoap is what [Subject.Soap] tells.
func (s *inspection) worksAsSoap() (Soap, bool) {
	if !s.hasAlkali() {
		return Soap{}, false
	}
	mix := s.soapMix(s.exactly(), s.purities())
	unsure := mix.Unsure(s.Index)
	made := Soap{Saponified: saponifies(mix)}
	called := s.Lye != nil || slices.Contains(soapProducts(), s.Product.Name) && !s.isSyndet()
	if !called && !made.Saponified && !(unsure != nil && s.isA(washes) && !s.isSyndet() && saponifies(s.withUnknown(mix))) {
		return Soap{}, false
	}
	made.Result, made.Err = soap.Backwards(mix.Fats, mix.Alkalis, mix.Water)
	if unsure != nil {
		made.Result, made.Err = soap.Result{}, unsure
	}
	return made, true
}

// withUnknown gives a mix with what may be a fat among its fats.
func (s *inspection) withUnknown(mix soap.Mix) soap.Mix {
	mix.Fats = slices.Clone(mix.Fats)
	for _, name := range mix.Unknown {
		f := soap.Fat{Name: name}
		f.Weight = s.exactly().of(s.Version.Find(name))
		mix.Fats = append(mix.Fats, f)
	}
	return mix
}

// isSyndet says whether surfactants wash in the place of soap: whether there are more of them than of soap base and, where there is alkali, of
// what may be a fat that it turns to soap.
func (s *inspection) isSyndet() bool { return s.syndet.get(s.washesWithoutSoap) }

func (s *inspection) washesWithoutSoap() bool {
	washing, soapy := quantity.Number{}, quantity.Number{}
	alkaline := s.hasAlkali()
	for i, m := range s.Materials {
		percent := s.percents[i]
		switch {
		case m == nil:
			if alkaline {
				soapy = soapy.Add(percent)
			}
		case s.facts[i].soapBase:
			soapy = soapy.Add(percent)
		case m.Has("surfactant"):
			washing = washing.Add(percent)
		case alkaline:
			if f, ok := s.facts[i].soap.Fat(m.Name, percent); ok && !f.Acid {
				soapy = soapy.Add(percent)
			}
		}
	}
	return washing.Cmp(soapy) > 0
}

// saponifies says whether the alkali of a mix is made for soap. Fats without a figure count as most fats do, 190 mg KOH per g.
func saponifies(mix soap.Mix) bool {
	usual := quantity.Interval{Low: quantity.Int(190), High: quantity.Int(190)}
	mix.Fats, mix.Alkalis = slices.Clone(mix.Fats), slices.Clone(mix.Alkalis)
	for i := range mix.Fats {
		if mix.Fats[i].Saponified == nil {
			mix.Fats[i].Saponified = &usual
		}
	}
	for i := range mix.Alkalis {
		if mix.Alkalis[i].Purity.Sign() == 0 {
			mix.Alkalis[i].Purity = quantity.Int(100)
		}
	}
	r, err := soap.Backwards(mix.Fats, mix.Alkalis, mix.Water)
	return err == nil && r.Superfat.Cmp(quantity.Int(mostSuperfat)) < 0
}

// purities gives the purities that the recipe's soap: block reckons with; nil where there is none.
func (s *inspection) purities() map[soap.Alkali]quantity.Number {
	if s.Lye == nil {
		return nil
	}
	all := make(map[soap.Alkali]quantity.Number)
	for _, u := range s.Lye.Alkalis {
		all[u.Alkali] = u.Purity
	}
	return all
}

// soapMix reads a soap out of a mixture. Where no water stands in it, that of its other liquids, such as milk, dissolves the alkali.
func (s *inspection) soapMix(m mixture, purity map[soap.Alkali]quantity.Number) soap.Mix {
	mix := s.readSoap(m, purity)
	if mix.Water.Sign() > 0 {
		return mix
	}
	for i, of := range s.Materials {
		if of == nil || s.alkaliIn(i) != "" {
			continue
		}
		if percent, ok := of.WaterPercent(); ok {
			mix.Water = mix.Water.Add(part(m.percents[i], percent))
		}
	}
	return mix
}

// readSoap reads a mixture as [soap.Read] does.
func (s *inspection) readSoap(m mixture, purity map[soap.Alkali]quantity.Number) soap.Mix {
	var mix soap.Mix
	for i, item := range s.Version.Items {
		mix.Add(item.Name, s.kindOf(i), m.percents[i], purity)
	}
	return mix
}

// kindOf gives what of an item concerns a soap, nil where no material is known.
func (s *inspection) kindOf(i int) *soap.Kind {
	if s.facts[i] == nil {
		return nil
	}
	return s.facts[i].soap
}

// alkaliIn gives the alkali that an item is or has in it, or "".
func (s *inspection) alkaliIn(i int) soap.Alkali {
	if s.facts[i] == nil {
		return ""
	}
	return s.facts[i].soap.Alkali()
}

// lye finds soaps whose alkali may be left over (stop), and superfats and lye strengths, in percent, that are not usual (caution; common
// practice, no source). The superfat is worked out backwards from the saponification values of the fats, at the low end of each for
// the lowest that is plausible.
func lye(s *inspection) []Finding {
	made, ok := s.asSoap()
	switch {
	case !ok:
		return nil
	case made.Err != nil:
		return s.lyeUnknown(made.Err)
	}
	found := s.lyeExcess()
	if found == nil {
		found = s.superfatUnusual()
	}
	return append(append(found, s.assumedPure(made.Result)...), s.lyeStrength()...)
}

// soapOf works a mixture out; the zero result where that cannot be done.
func (s *inspection) soapOf(m mixture) soap.Result {
	all := s.soaps.get(func() []kept[soap.Result] { return make([]kept[soap.Result], 1+len(s.Batches)) })
	at := 0
	if !m.exact {
		at = 1 + m.batch
	}
	return all[at].get(func() soap.Result {
		mix := s.soapMix(m, s.purities())
		r, _ := soap.Backwards(mix.Fats, mix.Alkalis, mix.Water)
		return r
	})
}

// alkaliItems gives the items that are alkali.
func (s *inspection) alkaliItems() []int {
	var items []int
	for i := range s.Materials {
		if s.alkaliIn(i) != "" {
			items = append(items, i)
		}
	}
	return items
}

func (s *inspection) hasAlkali() bool {
	for i := range s.Materials {
		if s.alkaliIn(i) != "" {
			return true
		}
	}
	return false
}

// lyeUnknown tells why a soap cannot be checked.
func (s *inspection) lyeUnknown(err error) []Finding {
	var faults soap.Faults
	if !errors.As(err, &faults) {
		return nil
	}
	var found []Finding
	for _, f := range faults {
		items := s.Version.Find(f.Subject)
		if items == nil {
			items = s.alkaliItems()
		}
		found = append(found, Finding{
			Code: "superfat-unusual", Level: Caution, Subject: f.Subject, Items: items,
			Message: "The lye was not worked out, so whether alkali is left over in this soap was not checked: " + f.Message + ".",
			Mend:    "To have it checked: " + f.Hint + ".",
		})
	}
	return found
}

// lyeExcess finds alkali that may be left over: where the lowest plausible superfat is below zero. A liquid soap of potassium hydroxide is made
// that lean, tested and neutralised; there it is a caution as long as the superfat that is meant is not below zero nor the lowest below
// -[soap.LiquidMargin] % (common practice, no source).
func (s *inspection) lyeExcess() []Finding {
	lowest := func(m mixture) quantity.Number { return s.soapOf(m).Range.Low.Neg() }
	if !s.isLiquidSoap() {
		return s.leftover(s.pastLimit(lowest))
	}
	m, batches, is := s.pastLimit(func(m mixture) quantity.Number {
		r := s.soapOf(m)
		past := r.Range.Low.Neg().Sub(quantity.Int(soap.LiquidMargin))
		if meant := r.Superfat.Neg(); meant.Cmp(past) > 0 {
			return meant
		}
		return past
	})
	if is {
		return s.leftover(m, batches, is)
	}
	return s.lean(s.pastLimit(lowest))
}

// isLiquidSoap says whether the product is a wash whose only alkali is potassium hydroxide.
func (s *inspection) isLiquidSoap() bool {
	return s.isA(washes) && !slices.ContainsFunc(s.alkaliItems(), func(i int) bool { return s.alkaliIn(i) != soap.Potassium })
}

// lean is the finding on a liquid soap that may hold a little alkali.
func (s *inspection) lean(m mixture, batches []string, is bool) []Finding {
	if !is {
		return nil
	}
	lowest := past(s.soapOf(m).Range.Low, quantity.Number{}, 1)
	return []Finding{{
		Code: "lye-excess", Level: Caution, Value: lowest, Limit: "0", Unit: "%", Source: soap.UsualSource, Items: s.alkaliItems(),
		Message: "With the fats at the low end of their saponification values the superfat is " + minus(lowest) +
			" %, so a little alkali can be left over. Liquid soap is often made so lean, and is then tested and neutralised." + byRounding(batches),
		Mend: "Test each batch before it is thinned and used: with phenolphthalein a dab stays colourless, and pink means free alkali. Neutralise what is left over, with citric acid for example, and test again; or raise the superfat.",
	}}
}

// leftover is the finding on a soap that may hold alkali which burns.
func (s *inspection) leftover(m mixture, batches []string, is bool) []Finding {
	if !is {
		return nil
	}
	r := s.soapOf(m)
	lowest := past(r.Range.Low, quantity.Number{}, 1)
	message := "With the fats at the low end of their saponification values the superfat is " + minus(lowest) + " %, so alkali can be left over, which burns skin."
	if r.Superfat.Sign() < 0 {
		message = "There is more alkali than the fats take up: the superfat is " + minus(past(r.Superfat, quantity.Number{}, 1)) + " %"
		if r.Range.Low.Cmp(r.Superfat) < 0 {
			message += ", and with the fats at the low end of their saponification values " + minus(lowest) + " %"
		}
		message += ". What is left over burns skin."
	}
	mend := "Weigh at least " + tooMuch(r) + " % less alkali, and leave more room for errors than that."
	if s.Lye != nil {
		mend = "Raise superfat: in soap: until the lowest superfat is above 0 %."
	}
	source, fats := s.saponificationSources()
	return []Finding{{
		Code: "lye-excess", Level: Stop, Value: lowest, Limit: "0", Unit: "%", Source: source, Items: append(s.alkaliItems(), fats...),
		Message: message + byRounding(batches), Mend: mend,
	}}
}

// tooMuch gives, in percent rounded up to a tenth, how much of the alkali is more than the fats at their low ends and the acids take up.
func tooMuch(r soap.Result) string {
	least := quantity.Number{}
	for _, d := range r.Fats {
		least = least.Add(d.Between.Low)
	}
	hundred := quantity.Int(100)
	has := r.Acid.Add(r.Demand.Mul(hundred.Sub(r.Superfat)).Quo(hundred))
	over := hundred.Mul(has.Sub(least)).Quo(has)
	shown := to(over, 1)
	if shown.Cmp(over) < 0 {
		shown = shown.Add(quantity.Fraction(1, 10))
	}
	return shown.Text(1)
}

// SaponificationSource names what the saponification value of the i-th item is from, "" where it has none.
func (s *Subject) SaponificationSource(i int) string {
	if m := s.Materials[i]; m != nil {
		return saponificationSource(m)
	}
	return ""
}

// saponificationSources names what the fats' saponification values are from, each source once, and gives the fats' items.
func (s *inspection) saponificationSources() (source string, items []int) {
	var sources []string
	for i, m := range s.Materials {
		if m == nil || s.percents[i].Sign() == 0 || s.alkaliIn(i) != "" {
			continue
		}
		source := saponificationSource(m)
		if source == "" {
			continue
		}
		items = append(items, i)
		if !slices.Contains(sources, source) {
			sources = append(sources, source)
		}
	}
	return strings.Join(sources, "; "), items
}

func saponificationSource(m *material.Material) string {
	if m.Saponified.Known {
		return cmp.Or(m.Saponified.Source, "common practice")
	}
	if len(m.Composition) != 1 {
		return ""
	}
	facts, ok := soap.FindFat(m.Composition[0].INCI)
	if ok && facts.Status == string(material.Memory) {
		return facts.Source + ", from memory"
	}
	return facts.Source
}

func (s *inspection) superfatUnusual() []Finding {
	measured := func(m mixture) (by, end, superfat quantity.Number) {
		r := s.soapOf(m)
		if len(r.Alkalis) == 0 {
			return by, end, superfat
		}
		superfat = r.Superfat
		if !m.exact {
			superfat = to(superfat, 1)
		}
		by, end = outside(superfat, r.UsualSuperfat())
		return by, end, superfat
	}
	m, batches, is := s.pastLimit(func(m mixture) quantity.Number { by, _, _ := measured(m); return by })
	if !is {
		return nil
	}
	_, end, superfat := measured(m)
	usual := s.soapOf(m).UsualSuperfat()
	says, mend := "a soap with so much fat left over is soft, lathers less and can go rancid", "Lower the superfat, or see that the fats and the alkali are weighed as meant."
	if superfat.Cmp(usual.Low) < 0 {
		says, mend = "it leaves little room for errors of weighing and for fats that differ", "Raise the superfat."
	}
	value := past(superfat, end, 1)
	return []Finding{{
		Code: "superfat-unusual", Level: Caution, Value: value, Limit: end.Text(1), Unit: "%", Source: soap.UsualSource, Items: s.alkaliItems(),
		Message: "The superfat is " + minus(value) + " %, and " + usual.Low.Text(1) + " to " + usual.High.Text(1) + " % is usual for such a soap: " + says + "." + byRounding(batches),
		Mend:    mend,
	}}
}

// lyeStrength finds lyes that are weaker or stronger than usual, and soaps without any water.
func (s *inspection) lyeStrength() []Finding {
	measured := func(m mixture) (by, end, strength quantity.Number) {
		r := s.soapOf(m)
		if len(r.Alkalis) == 0 {
			return by, end, strength
		}
		strength = r.Strength
		if !m.exact {
			strength = to(strength, 1)
		}
		by, end = outside(strength, r.UsualStrength())
		return by, end, strength
	}
	m, batches, is := s.pastLimit(func(m mixture) quantity.Number { by, _, _ := measured(m); return by })
	if !is {
		return nil
	}
	_, end, strength := measured(m)
	r := s.soapOf(m)
	usual, value := r.UsualStrength(), past(strength, end, 1)
	says, mend := "it stays soft for long and warps as it dries", "Take less water."
	switch {
	case strength.Cmp(quantity.Int(100)) == 0:
		says, mend = "nothing in it is known to have water, and dry alkali does not dissolve in fat", "Add the water that the alkali is dissolved in."
	case strength.Cmp(usual.High) > 0:
		says, mend = "it heats fast, sets fast and may hold alkali that is not dissolved", "Take more water."
	}
	return []Finding{{
		Code: "lye-strength-unusual", Level: Caution, Value: value, Limit: end.Text(1), Unit: "%", Source: soap.UsualSource, Items: s.alkaliItems(),
		Message: "The lye is " + value + " % alkali, and " + usual.Low.Text(1) + " to " + usual.High.Text(1) + " % is usual: " + says + "." + byRounding(batches),
		Mend:    mend,
	}}
}

// assumedPure finds alkalis that are reckoned as pure while their sheet says less: then the superfat is higher than meant.
func (s *inspection) assumedPure(made soap.Result) []Finding {
	var found []Finding
	hundred := quantity.Int(100)
	for _, d := range made.Alkalis {
		purity, source, item := s.sheetPurity(d.Alkali)
		if item < 0 || d.Purity.Cmp(hundred) != 0 || purity.Cmp(hundred) >= 0 {
			continue
		}
		given := s.purities()
		if given == nil {
			given = make(map[soap.Alkali]quantity.Number)
		}
		given[d.Alkali] = purity
		mix := s.soapMix(s.exactly(), given)
		r, err := soap.Backwards(mix.Fats, mix.Alkalis, mix.Water)
		if err != nil {
			continue
		}
		name := s.Version.Items[item].Name
		found = append(found, Finding{
			Code: "superfat-unusual", Level: Caution, Subject: name, Value: r.Superfat.Text(1), Unit: "%", Source: source, Items: []int{item},
			Message: name + " is reckoned as pure, and as it is sold it is about " + purity.Text(1) + " % alkali: then the superfat is " + minus(r.Superfat.Text(1)) + " %, not " + minus(made.Superfat.Text(1)) + " %.",
			Mend:    "Give the figure of the certificate: under purity: in soap:, or as inci: on the ingredient's page.",
		})
	}
	return found
}

// sheetPurity gives how much of an alkali is alkali by what is known of the material, and the item that it is; -1 where none tells.
func (s *inspection) sheetPurity(a soap.Alkali) (percent quantity.Number, source string, item int) {
	for i, m := range s.Materials {
		if m == nil || s.alkaliIn(i) != a {
			continue
		}
		if m.Active.Known {
			return m.Active.Value, cmp.Or(m.Active.Source, "common practice"), i
		}
		for _, c := range m.Composition {
			if found, ok := soap.FindAlkali(c.INCI); ok && found == a && c.Percent.Sign() > 0 {
				return c.Percent, "the ingredient's composition", i
			}
		}
	}
	return percent, "", -1
}
