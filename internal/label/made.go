package label

import (
	"strings"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// Molar masses in grams per mole, from the IUPAC conventional atomic weights that package soap reckons with: C 12.0107,
// H 1.00794, O 15.9994.
var (
	molarGlycerol = quantity.Fraction(9209382, 100000) // C3H8O3
	molarWater    = quantity.Fraction(1801528, 100000) // H2O
)

// A boil is a soap of which is known how far each thing in it reacts.
type boil struct {
	result soap.Result
	alkali []dose
	acids  quantity.Number // the part of the acids that reacts, of 1
	fats   quantity.Number // the part of the fats
	excess quantity.Number // alkali that nothing takes up, as KOH
	fat    int             // how many of result.Fats are taken
	out    opened
}

// A dose is one alkali: its part of all alkali by moles.
type dose struct {
	alkali soap.Alkali
	part   quantity.Number
}

// made opens a version into what a soap is made up of once it has reacted, or says why it cannot.
//
// A fat takes up the alkali that its saponification value asks for (the middle of its range, as the lye sum does). Three
// moles of alkali on a fat set free one mole of glycerin; one mole on a fatty acid or another acid sets free one of water;
// a wax sets neither free here, since its alcohols stay with its soap. What the soap weighs is what went into it less what
// was set free, so that nothing is lost. Acids are served first; then each fat keeps the same part of itself unsaponified,
// the superfat. With two alkalis each makes soap by its moles. Water stands as it was weighed: what a bar loses
// while it cures is not reckoned, and impurities of an alkali are left out (Art. 19(1)(g): no ingredients). What unsaponifiable
// matter a fat brings counts as soap.
func (s *look) made() (opened, string) {
	mix := soap.Read(s.Version, s.Materials, s.Purity)
	if len(mix.Alkalis) == 0 {
		return opened{}, "there is no lye in it"
	}
	result, err := soap.Backwards(mix.Fats, mix.Alkalis, mix.Water)
	if err != nil {
		return opened{}, strings.TrimSuffix(err.Error(), ".")
	}
	b := newBoil(result)
	for i := range s.Version.Items {
		b.item(s, i)
	}
	b.left()
	b.out.whole()
	return b.out, ""
}

func newBoil(r soap.Result) *boil {
	b := &boil{result: r}
	koh := quantity.Number{}
	for _, d := range r.Alkalis {
		koh = koh.Add(asKOH(d.Alkali, d.Pure))
	}
	for _, d := range r.Alkalis {
		b.alkali = append(b.alkali, dose{alkali: d.Alkali, part: asKOH(d.Alkali, d.Pure).Quo(koh)})
	}
	b.acids, koh = served(koh, r.Acid)
	b.fats, b.excess = served(koh, r.Demand)
	return b
}

// asKOH gives the potassium hydroxide that does the same as so much of an alkali.
func asKOH(a soap.Alkali, weight quantity.Number) quantity.Number {
	return weight.Mul(soap.Potassium.MolarMass()).Quo(a.MolarMass())
}

// served gives the part of a demand that is met, of 1, and what is then left.
func served(koh, demand quantity.Number) (part, left quantity.Number) {
	switch {
	case demand.Sign() <= 0:
		return quantity.Number{}, koh
	case koh.Cmp(demand) >= 0:
		return quantity.Int(1), koh.Sub(demand)
	}
	return koh.Quo(demand), quantity.Number{}
}

// item takes one item of the formula: an alkali, a fat or an acid, or what stays as it is.
func (b *boil) item(s *look, i int) {
	m, percent, parts := s.material(i), s.percents[i], s.openItem(nil, i)
	if m == nil {
		b.out.parts = append(b.out.parts, parts...)
		return
	}
	for _, c := range m.Composition {
		if a, ok := soap.FindAlkali(c.INCI); ok {
			b.lye(a, c, parts, percent, s.Purity)
			return
		}
	}
	fat, ok := soap.FatOf(s.Version.Items[i].Name, m, percent)
	if !ok {
		b.out.parts = append(b.out.parts, parts...)
		return
	}
	demand := b.result.Fats[b.fat].KOH // both go through the items in order
	b.fat++
	b.react(fat.Acid, demand, m, parts)
}

// lye leaves out the alkali of a lye, which the soap takes up, and keeps what it is dissolved in.
func (b *boil) lye(a soap.Alkali, c material.Constituent, parts []part, percent quantity.Number, purity map[soap.Alkali]quantity.Number) {
	pure := c.Percent
	if given, ok := purity[a]; ok {
		pure = given
	}
	others := quantity.Number{}
	for _, p := range parts {
		if p.key != plainKey(c.INCI) {
			others = others.Add(p.percent)
		}
	}
	rest := percentOf(percent, hundred.Sub(pure))
	for _, p := range parts {
		if p.key != plainKey(c.INCI) {
			p.percent = p.percent.Mul(rest).Quo(others)
			b.out.parts = append(b.out.parts, p)
		}
	}
}

// react lets a fat or an acid react. Of a blend that part takes up the alkali which a table knows as fat or as acid, or else all.
func (b *boil) react(acid bool, demand quantity.Number, m *material.Material, parts []part) {
	takes := reacting(acid, parts)
	sum := quantity.Number{}
	for i, p := range parts {
		if takes[i] {
			sum = sum.Add(p.percent)
		}
	}
	for i, p := range parts {
		if !takes[i] || demand.Sign() == 0 {
			b.out.parts = append(b.out.parts, p)
			continue
		}
		b.salt(acid, demand.Mul(p.percent).Quo(sum), m, p, len(parts) == 1)
	}
}

func reacting(acid bool, parts []part) []bool {
	takes, known := make([]bool, len(parts)), false
	for i, p := range parts {
		if acid {
			_, takes[i] = soap.FindAcid(p.inci)
		} else {
			_, takes[i] = soap.FindFat(p.inci)
		}
		known = known || takes[i]
	}
	for i := range takes {
		takes[i] = takes[i] || !known
	}
	return takes
}

// salt gives the salts of one fat or acid, what it sets free, and what is left of it.
func (b *boil) salt(acid bool, demand quantity.Number, m *material.Material, p part, alone bool) {
	share := b.fats
	if acid {
		share = b.acids
	}
	if kept := p.percent.Mul(quantity.Int(1).Sub(share)); kept.Sign() > 0 {
		rest := p
		rest.percent = kept
		b.out.parts = append(b.out.parts, rest)
	}
	moles := demand.Mul(share).Quo(soap.Potassium.MolarMass())
	free, freed := setFree(acid, m, p, moles)
	if freed.Sign() > 0 {
		b.out.parts = append(b.out.parts, part{newNamed(free, "", plain, nil), freed})
	}
	for _, d := range b.alkali {
		taken := moles.Mul(d.part).Mul(d.alkali.MolarMass())
		name, flags := saltName(acid, d.alkali, m, p, alone)
		if weight := p.percent.Mul(share).Sub(freed).Mul(d.part).Add(taken); weight.Sign() > 0 {
			b.out.parts = append(b.out.parts, part{newNamed(name, "", plain, flags), weight})
		}
	}
}

// setFree gives what so many moles of alkali set free.
func setFree(acid bool, m *material.Material, p part, moles quantity.Number) (string, quantity.Number) {
	facts, _ := soap.FindFat(p.inci)
	switch {
	case acid || facts.Kind == "acid":
		return waterEU, moles.Mul(molarWater)
	case facts.Kind == "wax" || facts.Kind == "" && m.Has("wax"):
		return "", quantity.Number{}
	}
	return "Glycerin", moles.Mul(molarGlycerol).Quo(quantity.Int(3))
}

// saltName gives the name of a soap or of another salt.
func saltName(acid bool, a soap.Alkali, m *material.Material, p part, alone bool) (string, []string) {
	metal := "Sodium"
	if a == soap.Potassium {
		metal = "Potassium"
	}
	if acid {
		return metal + " " + strings.TrimSuffix(withoutCommon(p.inci), "ic Acid") + "ate", nil
	}
	own, status := m.Soap.Value, string(m.Soap.Status)
	facts, _ := soap.FindFat(p.inci)
	if !m.Soap.Known || !alone {
		own, status = soapOf(facts), facts.SoapStatus
	}
	name := own.Sodium
	if a == soap.Potassium {
		name = own.Potassium
	}
	switch {
	case own == soapOf(facts) && facts.SoapStatus == "read": // a table that was read goes before a page from memory
		return name, nil
	case name == "":
		return metal + " soap of " + withoutCommon(p.inci), []string{SoapUnknown}
	case status == "memory" || status == "uncertain":
		return name, []string{SoapFromMemo}
	}
	return name, nil
}

func soapOf(f soap.Facts) material.Soap {
	return material.Soap{Sodium: f.SodiumSoap, Potassium: f.PotassiumSoap}
}

// left lists the alkali that nothing takes up.
func (b *boil) left() {
	for _, d := range b.alkali {
		if weight := b.excess.Mul(d.part).Mul(d.alkali.MolarMass()).Quo(soap.Potassium.MolarMass()); weight.Sign() > 0 {
			b.out.parts = append(b.out.parts, part{newNamed(capitals(string(d.alkali)), "", plain, nil), weight})
		}
	}
}

// whole brings the parts back to 100 %, for the impurities that were left out.
func (o *opened) whole() {
	sum := quantity.Number{}
	for _, p := range o.parts {
		sum = sum.Add(p.percent)
	}
	for i := range o.parts {
		o.parts[i].percent = o.parts[i].percent.Mul(hundred).Quo(sum)
	}
}
