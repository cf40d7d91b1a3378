package label

import (
	"slices"
	"strings"
	"sync"
	"time"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

// lines gives what a label says beside ingredients, contents and warnings.
func lines(s *Subject, market string) []Line {
	what := sentence(s.Product.Name)
	if market == US {
		all := []Line{
			{Text: what, Basis: rule("us-identity-statement")},
			{Text: "Batch: [number of the batch]", Basis: practice("A batch that can be told by its mark can be called back.")},
			{Text: "[Name of the maker, street, city, state and ZIP code]", Basis: rule("us-name-place-business")},
		}
		contact, _ := law.LabelRule("us-mocra-label-contact")
		if s.Product.Category != "not on skin" && !s.day().Before(contact.Date) {
			all = append(all, Line{Text: "[US address, telephone number or website to report an adverse event to]", Basis: rule("us-mocra-label-contact")})
		}
		return all
	}
	return []Line{
		{Text: what, When: "unless plain to see", Basis: rule("eu-function")},
		dateMark(s.Keeps),
		{Text: "Batch: [number of the batch]", Basis: rule("eu-batch")},
		{Text: "[Name and address of the responsible person in the Union]", Basis: rule("eu-responsible-person")},
		{Text: "Made in [country]", When: "on imported products", Basis: rule("eu-country-of-origin")},
	}
}

// dateMark gives the EU date mark: a best-before date for what keeps up to 30 months, else the period after opening.
func dateMark(keeps *quantity.Duration) Line {
	threshold, _ := law.LabelRule("eu-durability-threshold")
	best := sentence(prescribed("eu-minimum-durability").Text) + ": [month and year]"
	switch limit := (quantity.Duration{Count: *threshold.Value, Unit: "month"}); {
	case keeps == nil:
		return Line{Text: best, When: "if it keeps 30 months or less; the recipe does not say how long", Basis: rule("eu-minimum-durability")}
	case keeps.Minutes().Cmp(limit.Minutes()) > 0:
		return Line{Text: "Open-jar symbol: [months] M", When: "unless opening changes nothing", Basis: rule("eu-period-after-opening")}
	}
	return Line{Text: best, When: keeps.String() + " from the making", Basis: rule("eu-minimum-durability")}
}

// practice gives the basis of a habit of the trade.
func practice(words string) Basis {
	return Basis{ID: "common-practice", Citation: "common practice, no source", Words: words, Status: "common practice"}
}

// sentence gives words a capital letter.
func sentence(words string) string {
	if words == "" {
		return ""
	}
	return strings.ToUpper(words[:1]) + words[1:]
}

// standing are the rules that stay due whatever a formula holds.
var standing = sync.OnceValue(func() map[string][]*Basis {
	return map[string][]*Basis{
		EU: bases(
			"eu-ingredient-list", "eu-not-ingredients", "eu-legibility", "eu-language", "eu-small-items-leaflet", "eu-precautions", "eu-responsible-person-duty", "eu-safety-report",
			"eu-pif", "eu-notification", "eu-gmp",
		),
		US: bases(
			"us-ingredient-type-size", "us-incidental-ingredients", "us-off-package-list", "us-net-quantity-position", "us-warning-general", "us-warning-type-size", "us-unsubstantiated-safety",
			"us-mocra-still-due", "us-mocra-fragrance-allergens",
		),
	}
})

func bases(ids ...string) []*Basis {
	all := make([]*Basis, len(ids))
	for i, id := range ids {
		all[i] = basis(id)
	}
	return all
}

// soaps are the product types of which a true soap can be.
var soaps = []string{"bar soap", "liquid soap", "shaving soap", "hand wash"}

// smallPrint gathers the rules of a copy: those that placed or named something, then those that stay due.
func smallPrint(s *Subject, c *Copy) []Basis {
	p := print{all: make([]Basis, 0, 32)} // most copies have no more
	for _, e := range c.Ingredients.Entries {
		p.add(e.Place)
		p.add(e.Naming...)
	}
	for _, n := range c.Contents {
		for i := range n.Basis {
			p.add(&n.Basis[i])
		}
	}
	for _, lines := range [][]Line{c.Warnings, c.Lines} {
		for i := range lines {
			p.add(&lines[i].Basis)
		}
	}
	p.add(standing()[c.Market]...)
	switch small := slices.Contains(soaps, s.Product.Name); {
	case c.Market == US && small:
		p.add(bases("us-soap-definition-1", "us-soap-definition-2", "us-soap-definition-3", "us-soap-jurisdiction", "us-cleansing-bar-weight")...)
	case c.Market == EU && (small || s.Product.Name == "bath fizz" || s.Product.Name == "bath melt"):
		p.add(basis("eu-soap-and-bath-balls"))
	}
	return p.all
}

// A print has rules in order, each once.
type print struct {
	all  []Basis
	last *Basis
}

func (p *print) add(bases ...*Basis) {
	for _, b := range bases {
		if b != p.last && !slices.ContainsFunc(p.all, func(have Basis) bool { return have.ID == b.ID && have == *b }) {
			p.all = append(p.all, *b)
		}
		p.last = b
	}
}

// doubts tells what the copy does not settle.
func (s *look) doubts(market string, allergens []Allergen) []string {
	var all []string
	switch {
	case s.Product.Category == "not on skin":
		all = append(all, "What goes on no skin is no cosmetic: its label follows other rules (chemicals, fire safety) that are not told here.")
	case market == EU:
		if more := s.later(allergens); len(more) > 0 {
			next := law.Allergens(s.day()).Next
			all = append(all, "Products first sold from "+next.Format(time.DateOnly)+" on also name: "+strings.Join(more, ", ")+".")
		}
	case slices.Contains(soaps, s.Product.Name):
		all = append(all, "A true soap that is sold as soap and nothing else is no cosmetic in the US and needs no ingredient list (the latter from memory).")
	}
	return all
}
