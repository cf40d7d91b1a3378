package quantity

import (
	"slices"

	"larkrow.example/stillroom/internal/spell"
)

// A measure is what was written before a ratio's "per" or after it, or a whole amount: a number with a weight, a volume, or neither.
type measure struct {
	number Number // as written, if bare
	mass   Mass
	volume Volume
	bare   bool
	isVol  bool
}

// zero says whether it is nothing at all.
func (m measure) zero() bool {
	return m.number.isZero() && m.mass.g.isZero() && m.volume.ml.isZero()
}

// measure reads a number and what follows: nothing, one unit, or a sum such as 2 lb 4 oz.
func (s *scanner) measure() (measure, *SyntaxError) {
	s.spaces()
	start := s.pos
	n, err := s.numberNoRange()
	if err != nil {
		return measure{}, err
	}
	u, found, err := s.unit()
	if err != nil {
		return measure{}, err
	}
	if !found {
		return measure{number: n, bare: true}, nil
	}
	m := measure{isVol: u.volume}
	m.add(n, u)
	for last := u; s.startsNumber(); last = u {
		n, err := s.numberNoRange()
		if err != nil {
			return measure{}, err
		}
		if u, found, err = s.unit(); err != nil {
			return measure{}, err
		}
		if !found || u.volume != m.isVol {
			return measure{}, s.fail(start, "“"+s.text[start:s.pos]+"” mixes what cannot be added", sumHint)
		}
		if u.factor.Cmp(last.factor) >= 0 { // "100 g 100 g" is a slip; it also bounds how long a sum can be
			return measure{}, s.fail(start, "“"+s.text[start:s.pos]+"” does not go from the larger unit to the smaller", sumHint)
		}
		m.add(n, u)
	}
	return m, s.refuseRange(start)
}

const sumHint = "write one weight (2 lb 4 oz) or one volume (1 cup 2 tbsp)"

func (m *measure) add(n Number, u unit) {
	if u.volume {
		m.volume.ml = m.volume.ml.Add(n.Mul(u.factor))
	} else {
		m.mass.g = m.mass.g.Add(n.Mul(u.factor))
	}
}

// numberNoRange reads a number and refuses a range, which is not one weight.
func (s *scanner) numberNoRange() (Number, *SyntaxError) {
	s.spaces()
	start := s.pos
	n, err := s.number()
	if err != nil {
		return Number{}, err
	}
	return n, s.refuseRange(start)
}

// refuseRange refuses a range that began at a place, if a dash, "to" or "or" and another number come next.
func (s *scanner) refuseRange(start int) *SyntaxError {
	ahead := *s
	ahead.spaces()
	if (ahead.take(dashes) || ahead.takeWord("to") || ahead.takeWord("or")) && ahead.startsNumber() {
		return s.failRest(start, "a range is not an amount that can be weighed", "write the one figure you weigh; keep the range for a note")
	}
	return nil
}

const dashes = "-‐‑‒–—−"

// unit reads the longest known unit, of up to three words; an unknown word is refused unless it belongs to the amount's grammar.
func (s *scanner) unit() (unit, bool, *SyntaxError) {
	ahead := *s
	var name string
	var best unit
	bestEnd := -1
	for range 3 {
		w, end := ahead.peekWord()
		if w == "" {
			break
		}
		if name != "" {
			w = name + " " + w
		}
		name, ahead.pos = w, end
		if u, ok := units[name]; ok {
			best, bestEnd = u, end
		}
	}
	if bestEnd >= 0 {
		s.pos = bestEnd
		return best, true, nil
	}
	return unit{}, false, s.unknownUnit()
}

// unknownUnit refuses a word where a unit belongs; the words of the grammar itself pass.
func (s *scanner) unknownUnit() *SyntaxError {
	word, end := s.peekWord()
	if word == "" || slices.Contains([]string{"per", "of", "part", "parts", "percent"}, word) {
		return nil
	}
	s.spaces()
	start := s.pos
	s.pos = end
	if hint, ok := refusal(word); ok {
		return s.fail(start, "“"+word+"” cannot be weighed", hint)
	}
	known := []string{"grams", "kg", "ounces", "pounds", "ml", "litres", "tablespoons", "teaspoons", "tbsp", "tsp", "cups", "pints", "quarts", "gallons", "parts", "percent"}
	return s.fail(start, "“"+word+"” is not a unit", spell.DidYouMean(word, known, "units are g, kg, mg, oz, lb, ml, l, fl oz, tsp, tbsp, cup, pint, quart, gallon, %, parts"))
}
