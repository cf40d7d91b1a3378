package soap

import (
	"slices"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A Mix is what of a formula concerns a soap. Weights are in percent of the formula.
type Mix struct {
	Fats    []Fat // and acids
	Alkalis []Weighed
	Water   quantity.Number // what is water outright; not what other ingredients hold
	Unknown []string        // names of the ingredients of which not enough is known: they may be fats or alkalis
}

// Read picks a soap out of a version, given the material of each of its items (nil where none is known). The purity of an
// alkali is the one given, else what its ingredient's page says it is made of, else 100 %. What weighs nothing is left out of Unknown.
func Read(v *formula.Version, materials []*material.Material, purity map[Alkali]quantity.Number) Mix {
	var mix Mix
	for i, item := range v.Items {
		var k *Kind
		if i < len(materials) && materials[i] != nil {
			k = KindOf(materials[i])
		}
		mix.Add(item.Name, k, v.Percent(i), purity)
	}
	return mix
}

// Add takes an ingredient in, as [Read] does: its kind is nil where no material is known.
func (mix *Mix) Add(name string, k *Kind, weight quantity.Number, purity map[Alkali]quantity.Number) {
	known := k != nil && mix.read(name, k, weight, purity)
	if !known && weight.Sign() != 0 && !slices.Contains(mix.Unknown, name) {
		mix.Unknown = append(mix.Unknown, name)
	}
}

// read takes an ingredient in, and says whether enough is known of it: what it is for, or that it is a fat or an alkali.
func (mix *Mix) read(name string, k *Kind, weight quantity.Number, purity map[Alkali]quantity.Number) bool {
	if w, ok := k.weighed(weight, purity); ok {
		mix.Alkalis = append(mix.Alkalis, w)
	} else if f, ok := k.Fat(name, weight); ok {
		mix.Fats = append(mix.Fats, f)
	} else if k.water {
		mix.Water = mix.Water.Add(weight)
	} else {
		return k.tells
	}
	return true
}

// A Kind is what of a material concerns a soap, in whatever formula. It is only read.
type Kind struct {
	alkali Alkali          // "" for none
	purity quantity.Number // percent of the alkali; 0 where nothing tells
	wet    quantity.Number // percent of water in a lye; 0 in a dry alkali
	fat    Fat             // without name and weight
	isFat  bool            // or an acid
	water  bool
	tells  bool // whether anything says what it is for
}

// KindOf gives what of a material concerns a soap.
func KindOf(m *material.Material) *Kind {
	k := &Kind{water: m.Has("water"), tells: tells(m)}
	k.readAlkali(m)
	k.fat, k.isFat = FatOf("", m, quantity.Number{})
	return k
}

// Alkali gives the alkali that the material is or has in it, or "".
func (k *Kind) Alkali() Alkali { return k.alkali }

// Fat gives so much of the material as a fat or as an acid that takes up alkali, as [FatOf] does.
func (k *Kind) Fat(name string, weight quantity.Number) (Fat, bool) {
	f := k.fat
	f.Name, f.Weight = name, weight
	return f, k.isFat
}

// tells says whether a material that is no fat by what is known of it is none: whether anything says what it is for.
func tells(m *material.Material) bool {
	return len(m.Roles) > 0 || m.BringsWater() || m.Fragrance.Known
}

// driest is the percent of water from which on a material that holds an alkali is a lye and no damp alkali: flakes hold up to some 15 %,
// and no lye is much stronger than 55 %. Common practice, no source.
const driest = 30

// readAlkali reads a material as an alkali: a solution of one too. A purity that nothing tells is 0, which no sum accepts.
func (k *Kind) readAlkali(m *material.Material) {
	for _, c := range m.Composition {
		a, ok := FindAlkali(c.INCI)
		if !ok {
			continue
		}
		k.alkali, k.purity = a, c.Percent
		if len(m.Composition) == 1 && c.Percent.Sign() == 0 {
			k.purity = hundred()
		}
		if percent, wet := m.WaterPercent(); wet && percent.Cmp(quantity.Int(driest)) >= 0 {
			k.wet = percent
		}
		return
	}
}

// weighed gives so much of the material as an alkali, and says whether it is one. A purity that is given goes before the material's.
func (k *Kind) weighed(weight quantity.Number, purity map[Alkali]quantity.Number) (Weighed, bool) {
	w := Weighed{Alkali: k.alkali, Weight: weight, Purity: k.purity, Water: percentOf(weight, k.wet)}
	if given, ok := purity[k.alkali]; ok {
		w.Purity = given
	}
	return w, k.alkali != ""
}

// FatOf gives a material as a fat or as an acid that takes up alkali, and says whether it is one: an oil, butter or wax, whatever
// has a saponification value, an acid of the table. The ingredient's page goes before the table, which knows pure materials only.
func FatOf(name string, m *material.Material, weight quantity.Number) (Fat, bool) {
	f := Fat{Name: name, Weight: weight}
	if len(m.Composition) == 1 {
		f.INCI = m.Composition[0].INCI
	}
	if facts, ok := FindFat(f.INCI); ok {
		f.Saponified, f.Iodine, f.Acids = &facts.Saponified, facts.Iodine, facts.Acids
	}
	if m.Iodine.Known {
		f.Iodine = &m.Iodine.Value
	}
	if m.Saponified.Known {
		f.Saponified = &m.Saponified.Value
	}
	if f.Saponified != nil || m.Has("oil", "butter", "wax") {
		return f, true
	}
	f.Saponified, f.Acid = acidDemand(m)
	return f, f.Acid
}

// acidDemand gives what the acids of a material take up, in mg KOH per g of it. An acid in an unknown percent counts from
// nothing to the whole.
func acidDemand(m *material.Material) (*quantity.Interval, bool) {
	var sum quantity.Interval
	found := false
	for _, c := range m.Composition {
		v, ok := FindAcid(c.INCI)
		switch {
		case !ok:
			continue
		case c.Percent.Sign() > 0:
			v = quantity.Interval{Low: percentOf(v.Low, c.Percent), High: percentOf(v.High, c.Percent)}
		case len(m.Composition) > 1:
			v.Low = quantity.Number{}
		}
		sum = quantity.Interval{Low: sum.Low.Add(v.Low), High: sum.High.Add(v.High)}
		found = true
	}
	return &sum, found
}

// Inside gives the weight, in percent of the version, of what does not go on top: what a line on top is measured against.
func Inside(v *formula.Version) quantity.Number {
	sum := quantity.Number{}
	for i, item := range v.Items {
		if item.Amount.Kind != quantity.OnTop {
			sum = sum.Add(v.Percent(i))
		}
	}
	return sum
}

// Lines gives the alkalis, in their order, and the water as lines to go on top of the formula that the fats were read from, with
// the ingredients that stand for them; inside is that formula's [Inside]. An alkali is never moved by rounding.
func (r Result) Lines(inside quantity.Number, alkalis []formula.Ingredient, water formula.Ingredient) []formula.Line {
	var lines []formula.Line
	for i, d := range r.Alkalis {
		of := alkalis[i]
		of.Fixed = true
		lines = append(lines, onTop(of, d.Weighed.Quo(inside)))
	}
	return append(lines, onTop(water, r.Water.Quo(inside)))
}

func onTop(of formula.Ingredient, ratio quantity.Number) formula.Line {
	return formula.Line{Ingredient: of, Amount: quantity.Amount{Kind: quantity.OnTop, Number: ratio, Written: "worked out from the fats"}}
}
