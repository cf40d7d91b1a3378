package site

import (
	"strings"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
	"larkrow.example/stillroom/internal/words"
)

// lyePlaces is how many places the grams of the lye sum have.
const lyePlaces = 3

// newLyeView gives the lye sum of a version that is a soap, nil where it is none or the sum cannot be done. href gives the address of a
// material's page, or "".
func newLyeView(w handbook.Worked, href func(material string) string, l *words.Language) *LyeView {
	made, ok := w.Soap()
	if !ok || made.Err != nil {
		return nil
	}
	sum := lyeSum{Result: made.Result, words: l, scale: quantity.Int(100).Quo(made.Fat), shares: make(map[soap.Alkali]quantity.Number)}
	for _, d := range made.Alkalis {
		sum.shares[d.Alkali] = sum.shares[d.Alkali].Add(d.Share)
	}
	view := &LyeView{Words: l, Alkalis: sum.names()}
	for _, d := range made.Fats {
		row := sum.row(d.Fat.Name, d.Fat.Weight, d.KOH)
		if found := w.Version.Find(d.Fat.Name); len(found) > 0 {
			row.Href, row.Value, row.From = href(w.Version.Items[found[0]].Material), l.Figures(d.Fat.Saponified.String()), w.SaponificationSource(found[0])
		}
		view.Fats = append(view.Fats, row)
	}
	view.Total = sum.row(l.Say("lye.all"), made.Total.Sub(made.Lye).Sub(made.Water), made.Demand.Add(made.Acid))
	view.Steps, view.MakeUp = sum.steps(), sum.makeUp()
	return view
}

// A lyeSum is a soap with what turns its weights into those for 100 g of fats.
type lyeSum struct {
	soap.Result
	words  *words.Language
	scale  quantity.Number
	shares map[soap.Alkali]quantity.Number // percent of the alkali demand
}

// alkalis gives the alkalis that the soap has.
func (s lyeSum) alkalis() []soap.Alkali {
	var all []soap.Alkali
	for _, a := range soap.Alkalis() {
		if s.shares[a].Sign() > 0 {
			all = append(all, a)
		}
	}
	return all
}

func (s lyeSum) names() []string {
	var names []string
	for _, a := range s.alkalis() {
		names = append(names, s.alkaliName(a))
	}
	return names
}

// alkaliName gives an alkali's name as it begins a sentence.
func (s lyeSum) alkaliName(a soap.Alkali) string { return s.words.Say("lye." + string(a)) }

func (s lyeSum) grams(weight quantity.Number) string {
	return s.words.Number(weight.Mul(s.scale).Fixed(lyePlaces))
}

// row gives what a weight of fat takes up, as KOH and as the soap's alkalis in their shares.
func (s lyeSum) row(name string, weight, koh quantity.Number) LyeRow {
	row := LyeRow{Name: name, Grams: s.words.Number(weight.Mul(s.scale).Fixed(2)), KOH: s.grams(koh)}
	for _, a := range s.alkalis() {
		pure := koh.Mul(s.shares[a]).Quo(quantity.Int(100)).Mul(a.MolarMass()).Quo(soap.Potassium.MolarMass())
		row.Alkali = append(row.Alkali, s.grams(pure))
	}
	return row
}

// steps tells what is left out, what is weighed and how strong the lye is.
func (s lyeSum) steps() []Fact {
	l := s.words
	superfat := percent(l, s.Superfat.Text(2))
	if s.Range.Low.Cmp(s.Range.High) != 0 {
		superfat = l.Say("lye.over-ranges", "superfat", superfat, "low", l.Number(s.Range.Low.Text(2)), "high", l.Number(s.Range.High.Text(2)))
	}
	facts := []Fact{{Name: l.Say("lye.superfat"), Value: strings.ReplaceAll(superfat, "-", "−"), Source: l.Say("lye.superfat-is")}}
	for _, d := range s.Alkalis {
		weighed := l.Say("lye.pure", "weight", s.grams(d.Weighed)+" g")
		if d.Purity.Cmp(quantity.Int(100)) != 0 {
			weighed = l.Say("lye.impure", "weight", s.grams(d.Weighed)+" g", "purity", percent(l, d.Purity.Text(2)))
		}
		facts = fact(facts, l.Say("lye.weighed", "alkali", s.alkaliName(d.Alkali)), weighed, "")
	}
	if s.Water.Sign() > 0 {
		facts = fact(facts, l.Say("lye.water"), s.grams(s.Water)+" g", "")
	}
	return fact(facts, l.Say("lye.strength"), l.Say("lye.strength-is", "percent", l.Number(s.Strength.Text(2))), "")
}

// makeUp gives the iodine value and the fatty acids, each with how much of the fats it rests on.
func (s lyeSum) makeUp() []Fact {
	fats := make([]soap.Fat, len(s.Fats))
	for i, d := range s.Fats {
		fats[i] = d.Fat
	}
	var facts []Fact
	if iodine := soap.Iodine(fats); iodine.Stated.Sign() > 0 {
		value := quantity.Interval{Low: short(iodine.Value.Low), High: short(iodine.Value.High)}
		facts = fact(facts, s.words.Say("lye.iodine"), s.words.Figures(value.String()), s.restsOn(iodine.Stated))
	}
	for _, p := range soap.MakeUp(fats) {
		if p.Stated.Sign() > 0 {
			facts = fact(facts, s.words.Say("lye.acid."+p.Acid), percent(s.words, p.Percent.Text(1)), s.restsOn(p.Stated))
		}
	}
	return facts
}

// short rounds a figure to one place.
func short(n quantity.Number) quantity.Number {
	steps := quantity.RoundTo(quantity.Grams(n), quantity.Grams(quantity.Fraction(1, 10)))
	return steps.Grams()
}

func (s lyeSum) restsOn(percent quantity.Number) string {
	if percent.Cmp(quantity.Int(100)) == 0 {
		return s.words.Say("lye.known")
	}
	return s.words.Say("lye.known-part", "percent", s.words.Number(percent.Text(1)))
}
