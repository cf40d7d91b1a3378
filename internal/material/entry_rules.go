package material

import (
	"cmp"
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// allergens reads what a typical lot of a natural material holds.
func (e *entry) allergens(l line) {
	s := e.sources[l.source]
	e.m.Fragrance.Allergens = e.constituents(l)
	e.m.Fragrance.Source, e.m.Fragrance.Status = s.shown(), s.Status
}

func (e *entry) vanillin(l line) {
	s := e.sources[l.source]
	p := parsed(e, l, l.value, parsePart)
	e.m.Fragrance.Vanillin, e.m.Fragrance.VanillinSource, e.m.Fragrance.Status = &p, cmp.Or(s.shown(), "common practice"), s.Status
}

// phototoxic reads a limit or "never".
func (e *entry) phototoxic(l line) {
	if l.value == "never" {
		e.m.NotPhototoxic = known(e, l, func(string) (bool, error) { return true, nil })
		return
	}
	e.m.Phototoxic = known(e, l, parsePart)
}

// protects reads "bacteria good; yeast weak; mould weak".
func (e *entry) protects(l line) {
	s := e.sources[l.source]
	for _, part := range l.parts() {
		against, how, _ := strings.Cut(part, " ")
		e.m.Protects = append(e.m.Protects, Protection{
			Against: parsed(e, l, against, word("bacteria", "yeast", "mould")),
			How:     parsed(e, l, how, word("good", "moderate", "weak")),
			Source:  s.shown(), Status: s.Status,
		})
	}
}

// use reads "soap; from 3 %; to 10 %; of the oils; basis law; note as preservative".
// rated are the product types that a usage rate of the catalogue can be for.
func rated() []string {
	return []string{"bath fizz", "body mist", "body wash", "conditioner", "deodorant", "face cream", "face wash", "foot cream", "perfume", "shampoo", "shaving soap"}
}

func (e *entry) use(l line) {
	s := e.sources[l.source]
	parts := l.parts()
	u := Use{For: parsed(e, l, parts[0], word(append([]string{"all", "leave-on", "rinse-off", "lips", "bath", "soap"}, rated()...)...)), Basis: CommonPractice, Source: s.shown(), Status: s.Status}
	for _, part := range parts[1:] {
		what, value, _ := strings.Cut(part, " ")
		switch what {
		case "from":
			u.From = e.percent(l, value)
		case "to":
			u.To = e.percent(l, value)
		case "of":
			u.OfOils = parsed(e, l, value, word("the oils")) != ""
		case "basis":
			u.Basis = parsed(e, l, value, word(Law, SafetyPanel, SupplierTypical))
		case "note":
			u.Note = value
		default:
			e.fail(l, "no part "+what+" of a usage rate")
		}
	}
	if u.From == nil && u.To == nil || u.From != nil && u.To != nil && u.From.Cmp(*u.To) > 0 {
		e.fail(l, "the usage rate has no figure or runs backwards")
	}
	e.m.Uses = append(e.m.Uses, u)
}

func (e *entry) percent(l line, text string) *quantity.Number {
	p := parsed(e, l, text, parsePart)
	return &p
}

func (e *entry) cautions(l line) {
	for _, code := range l.parts() {
		sentence, found := e.Caution(code)
		if !found {
			e.fail(l, "no caution "+code)
		}
		e.m.CautionCodes = append(e.m.CautionCodes, code)
		e.m.Cautions = append(e.m.Cautions, sentence)
	}
}

// beware reads a caution in its own words, and puts its source into them.
func (e *entry) beware(l line) {
	sentence := l.value
	if s := e.sources[l.source]; s.shown() != "" {
		sentence = strings.TrimSuffix(sentence, ".") + " (" + s.shown() + ")."
	}
	e.m.Cautions = append(e.m.Cautions, sentence)
}
