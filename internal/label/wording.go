package label

import (
	"slices"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

// Particulars are what a label says that no formula knows.
type Particulars struct {
	Title       string             // what the product is called
	Container   string             // the fill that the label is for; "" for the first
	Batch       string             // the batch's code; "" leaves room to write it by hand
	Best        time.Time          // the last day on which it is good; the zero time leaves room to write the date by hand
	Opened      *quantity.Duration // how long it is good once opened, nil where that is not given
	Responsible *Responsible       // who answers for the product in the market, nil where nobody is named
}

// A Responsible is who answers for a product in a market: in the EU the responsible person, in the US the maker, packer or distributor.
type Responsible struct {
	Market        string // "" for all of them
	Name, Address string
	Contact       string // a US address, telephone number or website for reports of adverse events; "" if not given
}

// Named gives the text of a line of the copy with who is responsible in the place of the brackets; as it is where that is nil or the line names
// nobody.
func Named(l Line, r *Responsible) string {
	switch {
	case r == nil:
	case l.Basis.ID == "eu-responsible-person" || l.Basis.ID == "us-name-place-business":
		return r.Name + ", " + r.Address
	case l.Basis.ID == "us-mocra-label-contact" && r.Contact != "":
		return r.Contact
	}
	return l.Text
}

// A Wording is what is printed on a label, from top to bottom, with what the maker has to see to.
type Wording struct {
	Market  string
	Parts   []Part
	Content quantity.Number // the nominal content in grams
	SeeTo   []string        // what is to be seen to before printing; whole sentences
	Missing []string        // what the label cannot be printed without; whole sentences
}

// The kinds of part.
const (
	TitlePart       = "title"
	IdentityPart    = "identity"
	IngredientsPart = "ingredients"
	WarningPart     = "warning"
	OpenedPart      = "opened"
	LinePart        = "line"
	ContentsPart    = "contents"
)

// A Part is a piece of a label's text.
type Part struct {
	Kind  string
	Text  string
	Basis Basis
}

// blank is the room that is left for a hand to write in.
const blank = "________________"

// Word gives the words of a label for a market.
func Word(s *Subject, market string, p Particulars) Wording {
	c := For(s)[slices.Index(Markets(), market)]
	w := Wording{Market: market, SeeTo: c.Doubts}
	w.add(TitlePart, p.Title, rule("us-identity-statement"))
	heading := c.Ingredients.Heading + ": "
	if s.Product.Category != "not on skin" {
		w.add(IngredientsPart, heading+c.Ingredients.String(), rule(map[string]string{EU: "eu-ingredient-list", US: "us-ingredient-type-size"}[market]))
	}
	for _, l := range c.Warnings {
		w.add(WarningPart, ended(l.Text), l.Basis)
		if l.When != "" {
			w.SeeTo = append(w.SeeTo, "“"+l.Text+"” is printed; it is due "+l.When+" ("+l.Basis.Citation+").")
		}
	}
	for _, l := range c.Lines {
		w.line(s, l, p)
	}
	w.contents(c.Contents, s, p.Container)
	return w
}

func (w *Wording) add(kind, text string, b Basis) {
	w.Parts = append(w.Parts, Part{Kind: kind, Text: text, Basis: b})
}

// ended gives words a full stop where they have no mark at their end.
func ended(text string) string {
	if text == "" || strings.ContainsAny(text[len(text)-1:], ".!?") {
		return text
	}
	return text + "."
}

// line fills in one of the lines of the copy, or leaves it out where it says nothing.
func (w *Wording) line(s *Subject, l Line, p Particulars) {
	switch l.Basis.ID {
	case "eu-function", "us-identity-statement":
		if !strings.Contains(strings.ToLower(p.Title), strings.ToLower(l.Text)) {
			w.Parts = slices.Insert(w.Parts, 1, Part{Kind: IdentityPart, Text: l.Text, Basis: l.Basis})
		}
	case "eu-batch", "common-practice":
		if p.Batch == "" {
			w.SeeTo = append(w.SeeTo, "No batch code was given: write it into the room that is left for it.")
		}
		w.add(LinePart, "Batch: "+orBlank(p.Batch), l.Basis)
	case "eu-minimum-durability":
		w.best(s, p, l)
	case "eu-period-after-opening":
		w.opened(p, l)
	case "eu-responsible-person", "us-name-place-business":
		if p.Responsible == nil {
			w.Missing = append(w.Missing, "A label names who answers for the product ("+l.Basis.Citation+"), and handbook.yaml names nobody for "+w.Market+".")
			return
		}
		w.add(LinePart, Named(l, p.Responsible), l.Basis)
	case "us-mocra-label-contact":
		w.contact(p, l)
	default:
		w.SeeTo = append(w.SeeTo, "“"+l.Text+"” is not printed; it is due "+l.When+" ("+l.Basis.Citation+").")
	}
}

// orBlank gives words, or room to write them by hand.
func orBlank(text string) string {
	if text == "" {
		return blank
	}
	return text
}

// best words the date until which a product keeps, by day, month and year (one of the two forms of Regulation (EC) No 1223/2009,
// Art. 19(1)(c)): a month alone would have to be the one before.
func (w *Wording) best(s *Subject, p Particulars, l Line) {
	words, date := sentence(prescribed("eu-minimum-durability").Text)+": ", ""
	switch {
	case s.Keeps == nil && p.Best.IsZero():
		w.SeeTo = append(w.SeeTo, "The recipe does not say how long the product keeps: give it keeps:, or write the date into the room that is left for it.")
	case p.Best.IsZero():
		w.SeeTo = append(w.SeeTo, "No day of making was given: write the date into the room that is left for it ("+s.Keeps.String()+" from the making).")
	default:
		date = p.Best.Format("2\u00a0January\u00a02006")
	}
	w.add(LinePart, words+orBlank(date), l.Basis)
	if p.Opened != nil {
		w.SeeTo = append(w.SeeTo, "A period after opening is for products that keep longer than 30 months; this one has a best-before date, and the period is not printed.")
	}
}

// opened words the period after opening, which stands in the open jar.
func (w *Wording) opened(p Particulars, l Line) {
	if p.Opened == nil {
		w.Missing = append(w.Missing, "What keeps longer than 30 months says how long it is good once opened ("+l.Basis.Citation+"), unless opening changes nothing; that is not given.")
		return
	}
	months := p.Opened.Minutes().Quo(quantity.Duration{Count: quantity.Int(1), Unit: "month"}.Minutes())
	whole, _ := months.Floor()
	if whole < 1 {
		w.Missing = append(w.Missing, "A period after opening is told in whole months ("+l.Basis.Citation+"), and "+p.Opened.String()+" is less than one.")
		return
	}
	w.add(OpenedPart, quantity.Int(whole).String()+" M", l.Basis)
}

// contact words where adverse events are reported to. A name and an address in the US are such a place already.
func (w *Wording) contact(p Particulars, l Line) {
	if p.Responsible == nil {
		return // which is told
	}
	if p.Responsible.Contact == "" {
		w.SeeTo = append(w.SeeTo, "No contact: is given with who is responsible: that is right only if the address is in the US ("+l.Basis.Citation+").")
		return
	}
	w.add(LinePart, p.Responsible.Contact, l.Basis)
}

// contents words what a container takes.
func (w *Wording) contents(all []Net, s *Subject, container string) {
	at := 0
	if container != "" {
		at = slices.IndexFunc(all, func(n Net) bool { return n.Container == container })
	}
	if at < 0 || at >= len(all) {
		id := "us-net-quantity-unit-solid"
		if w.Market == EU {
			id = "eu-nominal-content"
		}
		w.Missing = append(w.Missing, "A label says how much is in the container ("+rule(id).Citation+"), and the recipe does not know what one takes.")
		return
	}
	n := all[at]
	for _, f := range s.Fills {
		if f.Container == n.Container {
			w.Content = f.Takes.Grams()
		}
	}
	w.add(ContentsPart, n.Text, n.Basis[0])
	w.SeeTo = append(w.SeeTo, n.Notes...)
}

// leaflet gives the rule by which what has no room on a label may stand elsewhere.
func leaflet(market string) law.Label {
	id := "eu-small-items-leaflet"
	if market == US {
		id = "us-off-package-list"
	}
	l, _ := law.LabelRule(id)
	return l
}
