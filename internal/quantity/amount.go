package quantity

import (
	"errors"
	"strings"

	"larkrow.example/stillroom/internal/spell"
)

// A Kind says what an amount is measured in.
type Kind int

// The kinds of amount.
const (
	Percent Kind = iota + 1 // Number percent by weight of the formula, before what goes on top
	Balance                 // q.s.: what the others leave of 100 %
	Weight                  // Mass
	Measure                 // Volume; needs the material's density
	Parts                   // Number parts by weight
	Share                   // Number percent of the phase Phase
	Per                     // on the phase Phase's other ingredients: Number for 1, or Volume for Mass
	OnTop                   // on all the rest, added after it makes 100 %: Number for 1, or Volume for Mass
)

// An Amount is how much of an ingredient a recipe takes, as written. Which fields are set follows from Kind.
type Amount struct {
	Kind    Kind
	Number  Number
	Mass    Mass
	Volume  Volume
	Phase   string // of Share and Per, as written
	Written string // the whole amount, spaces tidied
}

// NeedsDensity says whether the amount is by volume and so cannot be weighed without the material's density.
func (a Amount) NeedsDensity() bool { return a.Volume.ml.Sign() > 0 }

// ParseAmount reads an amount: 3 %, q.s., 120 g, 2 lb 4 oz, 2 tbsp, 3 parts, 3 % of Oil, 1 per 4 of Oil,
// 1 per 10, 1 oz per 10 oz. Zero, ranges, drops, pinches and 1,000 are refused; the error is a [*SyntaxError].
func ParseAmount(text string) (Amount, error) {
	s := &scanner{text: text}
	a, err := s.amount()
	if err != nil {
		return Amount{}, err
	}
	a.Written = spell.Tidy(text)
	return a, nil
}

func (s *scanner) amount() (Amount, *SyntaxError) {
	s.spaces()
	if s.balance() {
		return Amount{Kind: Balance}, nil
	}
	if err := s.loose(); err != nil {
		return Amount{}, err
	}
	start := s.pos
	m, err := s.measure()
	if err != nil {
		return Amount{}, err
	}
	a, err := s.kind(m)
	if err != nil {
		return Amount{}, err
	}
	if !s.done() {
		return Amount{}, s.failRest(s.pos, "“"+strings.TrimSpace(s.rest())+"” does not belong to the amount", "put remarks in a note: {amount: …, note: …}")
	}
	if m.zero() {
		return Amount{}, s.fail(start, "an amount of nothing", "leave the line out; in a variant write “out”")
	}
	return a, nil
}

// kind reads what follows the first measure and so tells the kind of amount.
func (s *scanner) kind(m measure) (Amount, *SyntaxError) {
	s.spaces()
	start := s.pos
	switch {
	case m.bare && s.percentSign():
		if s.takeWord("of") {
			phase, err := s.phase()
			return Amount{Kind: Share, Number: m.number, Phase: phase}, err
		}
		return Amount{Kind: Percent, Number: m.number}, nil
	case s.takeWord("per"):
		return s.ratio(start, m)
	case m.bare && (s.takeWord("parts") || s.takeWord("part")):
		return Amount{Kind: Parts, Number: m.number}, nil
	case m.bare:
		return Amount{}, s.bareNumber()
	case m.isVol:
		return Amount{Kind: Measure, Volume: m.volume}, nil
	}
	return Amount{Kind: Weight, Mass: m.mass}, nil
}

func (s *scanner) percentSign() bool {
	if s.take("%％") || s.takeWord("percent") {
		return true
	}
	ahead := *s
	if !ahead.takeWord("per") || !ahead.takeWord("cent") {
		return false
	}
	*s = ahead
	return true
}

// name takes all that is left, spaces tidied.
func (s *scanner) name() string {
	name := spell.Tidy(s.rest())
	s.pos = len(s.text)
	return name
}

// phase reads the name after "of": all that is left.
func (s *scanner) phase() (string, *SyntaxError) {
	if s.done() {
		return "", s.fail(s.pos, "the phase's name is missing after “of”", "write it as 3 % of Oil")
	}
	return s.name(), nil
}

// bareNumber refuses a number without a unit, or with something that is none.
func (s *scanner) bareNumber() *SyntaxError {
	if s.done() {
		return s.failRest(0, "“"+strings.TrimSpace(s.text)+"” has no unit", "say what it is: %, g, oz, ml, tbsp, parts")
	}
	if s.take(":∶") {
		return s.failRest(0, "a ratio with a colon can be read two ways", "write 1 per 10 for one added to every ten, or 10 % for one in ten of the whole")
	}
	return s.failRest(s.pos, "“"+strings.TrimSpace(s.rest())+"” is not a unit", "units are g, kg, mg, oz, lb, ml, l, fl oz, tsp, tbsp, cup, pint, quart, gallon, %, parts")
}

// ratio reads what follows "per": so much for every so much.
func (s *scanner) ratio(start int, left measure) (Amount, *SyntaxError) {
	right, err := s.measure()
	if err != nil {
		return Amount{}, err
	}
	a := Amount{Kind: OnTop}
	switch {
	case right.zero():
		return Amount{}, s.fail(start, "nothing can be measured against 0", "write it as 1 per 10")
	case left.bare && right.bare:
		a.Number = left.number.Quo(right.number)
	case left.bare || right.bare:
		return Amount{}, s.fail(0, "one side of the ratio has a unit and the other has none", "write 1 per 10, or 1 oz per 10 oz")
	case right.isVol:
		return Amount{}, s.fail(start, "what is measured against must be a weight", "write it as 1 tsp per 100 g")
	case left.isVol:
		a.Volume, a.Mass = left.volume, right.mass
	default:
		a.Number = left.mass.g.Quo(right.mass.g)
	}
	if s.takeWord("of") {
		a.Kind = Per
		a.Phase, err = s.phase()
	}
	return a, err
}

// balance reads q.s. in its spellings; with "to 100 %" after it or alone.
func (s *scanner) balance() bool {
	if s.pos == len(s.text) || strings.IndexByte("qQtT", s.text[s.pos]) < 0 { // the first letters of all
		return false
	}
	words := strings.ToLower(strings.Join(strings.Fields(s.text), ""))
	switch abbreviations.Replace(words) {
	case "qs", "qsto100%", "to100%", "qsad100%", "quantumsatis":
		s.pos = len(s.text)
		return true
	}
	return false
}

// abbreviations takes the full stops out of q.s. but not out of the figure after it: "to 1.00 %" is no balance.
var abbreviations = strings.NewReplacer("q.s.", "qs", "q.s", "qs", "qs.", "qs", "％", "%")

// loose refuses amounts that no scale can read, each with what to write instead.
func (s *scanner) loose() *SyntaxError {
	if s.done() {
		return s.fail(0, "the amount is missing", "write it as 3 %, 120 g, 2 tbsp, 3 parts or q.s.")
	}
	if s.startsNumber() {
		return nil
	}
	start := s.pos
	if s.take("-−–+") {
		return s.failRest(start, "an amount cannot have a sign", "write the plain figure")
	}
	if s.take("~≈<>≤≥±") {
		return s.failRest(start, "an amount that is not exact cannot be weighed", "write the one figure you weigh")
	}
	words := strings.ToLower(strings.TrimSpace(s.rest()))
	for _, row := range looseWords {
		if strings.HasPrefix(words, row.word) {
			return s.failRest(start, "“"+strings.TrimSpace(s.rest())+"” cannot be weighed", row.hint)
		}
	}
	return s.failRest(start, "“"+strings.TrimSpace(s.rest())+"” is not an amount", "write it as 3 %, 120 g, 2 tbsp, 3 parts, 1 per 4 of Oil or q.s.")
}

var looseWords = []struct{ word, hint string }{
	{"to taste", "a formula needs a weight or a percent; say in a note that it may be varied"},
	{"as needed", "a formula needs a weight or a percent; write q.s. for the one ingredient that fills up to 100 %"},
	{"as required", "a formula needs a weight or a percent; write q.s. for the one ingredient that fills up to 100 %"},
	{"a few", "weigh them once and write the weight"},
	{"few", "weigh them once and write the weight"},
	{"some", "weigh it once and write the weight"},
	{"a ", "write a figure with a unit; weigh a pinch or a handful once and write the weight"},
	{"pinch", "weigh a pinch once and write the weight, such as 0.3 g"},
	{"dash", "weigh it once and write the weight, such as 0.5 g"},
	{"handful", "weigh a handful once and write the weight, such as 20 g"},
	{"drop", "weigh the drops once and write the weight, such as 0.5 g"},
	{"about", "write the one figure you weigh"},
	{"approx", "write the one figure you weigh"},
	{"ca", "write the one figure you weigh"},
	{"around", "write the one figure you weigh"},
	{"up to", "write the one figure you weigh"},
	{"balance", "write q.s. for the ingredient that fills up to 100 %"},
	{"remainder", "write q.s. for the ingredient that fills up to 100 %"},
	{"rest", "write q.s. for the ingredient that fills up to 100 %"},
	{"half", "write 1/2 with a unit"},
	{"one", "write the number in figures"},
	{"two", "write the number in figures"},
	{"three", "write the number in figures"},
}

// ParseMass reads a weight that stands alone, above 0: 250 g, 2 lb 4 oz. The error is a [*SyntaxError].
func ParseMass(text string) (Mass, error) {
	const form = "write it as 250 g or 2 lb 4 oz"
	a, err := ParseAmount(text)
	if wrong, ok := errors.AsType[*SyntaxError](err); ok && strings.Contains(wrong.Hint, "%") { // it offers more than a weight
		weight := *wrong
		weight.Hint = form
		if n, err := ParseNumber(text); err == nil && n.Sign() > 0 {
			weight.Hint = "say what it is, as in " + strings.TrimSpace(text) + " g: g, kg, oz, lb"
		}
		return Mass{}, &weight
	}
	if err != nil {
		return Mass{}, err
	}
	if a.Kind != Weight {
		return Mass{}, wholly(text, "a weight should stand here", form)
	}
	return a.Mass, nil
}

// ParsePercent reads a percentage, at least 0: 3 %, 0 %. The error is a [*SyntaxError].
func ParsePercent(text string) (Number, error) {
	s := &scanner{text: text}
	n, err := s.numberNoRange()
	if err != nil {
		return Number{}, err
	}
	s.spaces()
	if !s.percentSign() || !s.done() {
		return Number{}, wholly(text, "a percentage should stand here", "write it as 3 %")
	}
	return n, nil
}

// ParseDensity reads a density above 0: 0.95 g/ml. The error is a [*SyntaxError].
func ParseDensity(text string) (Density, error) {
	s := &scanner{text: text}
	n, err := s.numberNoRange()
	if err != nil {
		return Density{}, err
	}
	unit := strings.ToLower(strings.Join(strings.Fields(s.rest()), ""))
	switch unit {
	case "g/ml", "g/cm3", "g/cm³", "g/cc", "kg/l":
	default:
		return Density{}, wholly(text, "a density should stand here", "write it as 0.95 g/ml")
	}
	if n.Sign() <= 0 || n.Cmp(Int(25)) > 0 {
		return Density{}, wholly(text, "no material weighs that for its volume", "write it in grams per millilitre, such as 0.95 g/ml")
	}
	return Density{gPerML: n}, nil
}

// wholly makes an error that covers a whole text.
func wholly(text, message, hint string) *SyntaxError {
	return &SyntaxError{Length: len(text), Message: message, Hint: hint}
}
