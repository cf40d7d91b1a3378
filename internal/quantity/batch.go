package quantity

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/spell"
)

// A Batch is how much is to be made, as written: by weight, by filled containers, or by using up one material.
type Batch struct {
	Mass      Mass   // the whole batch; or, with Material, how much there is of it
	Count     int64  // of containers, 0 if the batch is not by containers
	Container string // its name, such as "4 fl oz jar"
	Material  string // to be used up, "" if the batch is not by a material
	Written   string // the whole, spaces tidied
}

// maxContainers keeps a slip of the finger from becoming a batch of tonnes.
const maxContainers = 1_000_000

// ParseBatch reads a batch: 250 g, 2 lb, 24 × 60 ml tin, from 340 g Shea butter. The error is a [*SyntaxError].
func ParseBatch(text string) (Batch, error) {
	s := &scanner{text: text}
	b, err := s.batch()
	if err != nil {
		return Batch{}, err
	}
	b.Written = spell.Tidy(text)
	if b.Material == "" && b.Container == "" {
		b.Written = strings.TrimSuffix(b.Written, ".") // as in 250 g.
	}
	return b, nil
}

func (s *scanner) batch() (Batch, *SyntaxError) {
	if s.done() {
		return Batch{}, s.fail(0, "the batch is missing", batchHint)
	}
	if s.takeWord("from") {
		return s.usingUp()
	}
	if b, ok, err := s.containers(); ok || err != nil {
		return b, err
	}
	if err := s.loose(); err != nil {
		return Batch{}, err
	}
	m, err := s.measure()
	if err != nil {
		return Batch{}, err
	}
	switch {
	case m.bare:
		return Batch{}, s.failRest(0, "“"+strings.TrimSpace(s.text)+"” is not a batch", batchHint)
	case m.isVol:
		return Batch{}, s.failRest(0, "a batch is made by weight, and this is a volume", "write a weight (250 g), or containers (4 × 60 ml jar) with what each takes under fill")
	case !s.done():
		return Batch{}, s.failRest(s.pos, "“"+strings.TrimSpace(s.rest())+"” does not belong to the batch", batchHint)
	case m.zero():
		return Batch{}, s.failRest(0, "a batch of nothing", batchHint)
	}
	return Batch{Mass: m.mass}, nil
}

const batchHint = "write it as 250 g, 2 lb, 24 × 60 ml tin, or from 340 g Shea butter"

// usingUp reads the weight and the material's name after "from".
func (s *scanner) usingUp() (Batch, *SyntaxError) {
	m, err := s.measure()
	switch {
	case err != nil:
		return Batch{}, err
	case m.bare || m.isVol || m.zero():
		return Batch{}, s.failRest(0, "how much there is of the material must be a weight", "write it as from 340 g Shea butter")
	}
	s.takeWord("of")
	if s.done() {
		return Batch{}, s.fail(s.pos, "the material's name is missing", "write it as from 340 g Shea butter")
	}
	return Batch{Mass: m.mass, Material: s.name()}, nil
}

// containers reads 24 × 60 ml tin; x and * stand for × where a number is before them.
func (s *scanner) containers() (Batch, bool, *SyntaxError) {
	ahead := *s
	if !ahead.startsNumber() {
		return Batch{}, false, nil
	}
	start := ahead.pos
	n, err := ahead.number()
	if err != nil {
		return Batch{}, false, nil //nolint:nilerr // the plain reading says what is wrong with the number
	}
	ahead.spaces()
	if !ahead.take("×*") && !ahead.timesLetter() {
		return Batch{}, false, nil
	}
	count, _ := n.Floor()
	if n.Cmp(Int(count)) != 0 || count < 1 || count > maxContainers {
		return Batch{}, true, ahead.fail(start, "the number of containers must be a whole number from 1 to 1000000", batchHint)
	}
	if ahead.done() {
		return Batch{}, true, ahead.fail(start, "the container's name is missing", batchHint)
	}
	*s = ahead
	return Batch{Count: count, Container: s.name()}, true, nil
}

// timesLetter takes an x that stands alone or before a figure.
func (s *scanner) timesLetter() bool {
	tail := s.rest()
	if tail == "" || (tail[0] != 'x' && tail[0] != 'X') {
		return false
	}
	if r, _ := utf8.DecodeRuneInString(tail[1:]); len(tail) > 1 && !unicode.IsSpace(r) && !isDigit(r) {
		return false
	}
	s.pos++
	return true
}
