package synthetic

import (
	"fmt"
	"slices"
	"strconv"
)

// An ingredient is a page of the handbook's own about a material.
type ingredient struct {
	number    int
	name      string
	family    family
	overrides bool // whether it only adds to what the catalogue says
	certified bool // fragrances: whether the certificate's maxima are known
	vanillin  int  // fragrances: hundredths of a percent
}

func (i ingredient) file() string { return "ingredients/" + slug(i.name) + ".md" }

// ingredient gives what is decided of an ingredient before its page is written: every other one of a family is about a material of the
// catalogue, as long as there are any.
func (b *book) ingredient(number int) ingredient {
	i, d := ingredient{number: number, family: slots[number%len(slots)]}, b.dice(forIngredient, number)
	i.certified = d.chance(85)
	if d.chance(30) {
		i.vanillin = d.between(10, 400, 10)
	}
	before := 0 // of its family
	for k := range number % len(slots) {
		if slots[k] == i.family {
			before++
		}
	}
	each := 0
	for _, f := range slots {
		if f == i.family {
			each++
		}
	}
	before += number / len(slots) * each
	known := common(i.family)
	if before%2 == 0 && before/2 < len(known) {
		i.name, i.overrides = known[before/2], true
		return i
	}
	i.name = b.inventedName(i.family, before)
	return i
}

// inventedName gives the name of an ingredient that comes after so many of its family: a place and what it is, never the same twice.
func (b *book) inventedName(f family, before int) string {
	nouns := makingOf(f).nouns
	at := int(b.seed%uint64(len(places))) + 7*len(nouns[0]) + 5*before // 5 goes round all places before it comes to one again
	place, noun := places[at%len(places)], nouns[(before+before/len(places))%len(nouns)]
	name := place + " " + noun
	if round := before / (len(places) * len(nouns)); round > 0 {
		name += " " + strconv.Itoa(round+1)
	}
	return name
}

// ingredientPage writes an ingredient's page.
func (b *book) ingredientPage(number int) (string, []byte) {
	i := b.ingredients[number]
	d := b.dice(forIngredientPage, number)
	m := makingOf(i.family)
	p := &page{}
	p.say("---\n")
	p.field("name", quoted(i.name))
	if !i.overrides {
		p.field("also", list([]string{fmt.Sprintf("stock number %d", 1000+number), fmt.Sprintf("%s (bin %d)", i.name, number)}))
	}
	p.field("summary", quoted(one(d, ingredientSummaries)))
	if !i.overrides {
		i.facts(p, d, m)
	}
	private(p, d, m, number)
	if d.chance(30) {
		p.field("picture", group(pair{"file", pictureName(d.IntN(pictureCount))}, pair{"shows", one(d, shown)}))
	}
	switch {
	case number < len(slots):
	case d.chance(4):
		p.field("access", "maker")
	case d.chance(8):
		p.field("access", "members")
	}
	p.field("updated", date(d))
	p.say("---\n")
	b.ingredientBody(p, d, i)
	return i.file(), p.bytes()
}

// facts writes what the page of an invented ingredient says of it.
func (i ingredient) facts(p *page, d dice, m making) {
	p.field("role", m.role)
	p.field("inci", one(d, m.inci))
	p.say(m.facts)
	p.say("use:\n")
	for _, of := range []string{"leave-on", "rinse-off", "bar soap"} {
		if of == "bar soap" && i.family == preservative {
			continue
		}
		use := group(pair{"for", of}, pair{"from", percent(m.least(i.family))}, pair{"to", percent(m.most)}, pair{"source", "supplier's sheet of 2026-0" + strconv.Itoa(1+d.IntN(6))})
		p.say("  - ", use, "\n")
	}
	p.field("keeps", group(pair{"value", strconv.Itoa(d.between(12, 36, 6)) + " months"}, pair{"source", "supplier's sheet"}))
	if slices.Contains([]family{fragrance, essential}, i.family) {
		i.certificate(p, d)
	}
	p.say("cautions:\n")
	for _, c := range some(d, 1+d.IntN(2), ingredientCautions) {
		p.say("  - ", quoted(c), "\n")
	}
}

// least gives the usual least that there is of an ingredient, in hundredths of a percent.
func (m making) least(f family) int {
	if f == preservative {
		return 50
	}
	return max(5, m.most/100)
}

// certificate writes what a supplier's certificate says of a fragrance.
func (i ingredient) certificate(p *page, d dice) {
	p.say("fragrance:\n")
	if i.certified {
		p.say("  limits: {")
		for n, c := range certified {
			if n > 0 {
				p.say(", ")
			}
			p.say(c.category, ": ", percent(c.least+c.least*d.IntN(11)/10))
		}
		p.say("}\n")
	}
	if i.family == fragrance {
		p.say("  vanillin: ", percent(i.vanillin), "\n")
	}
	p.say("  allergens: {")
	for n, name := range some(d, 2+d.IntN(4), allergens) {
		if n > 0 {
			p.say(", ")
		}
		p.say(name, ": ", percent(d.between(20, 900, 10)))
	}
	p.say("}\n")
}

// certified has the least that certificates allow in each fragrance category, in hundredths of a percent.
var certified = []struct {
	category string
	least    int
}{
	{"1", 12}, {"2", 50}, {"3", 40}, {"4", 1300}, {"5A", 70}, {"5B", 30}, {"5C", 70}, {"5D", 5}, {"6", 12}, {"7B", 60}, {"9", 150}, {"10A", 2000}, {"10B", 200}, {"12", 1500},
}

var allergens = []string{"Limonene", "Linalool", "Citronellol", "Geraniol", "Benzyl Benzoate", "Benzyl Salicylate", "Linalyl Acetate"}

// private writes what is for the maker's eyes.
func private(p *page, d dice, m making, number int) {
	pence := m.price*3/4 + d.IntN(m.price/2+1)
	p.field("supplier", one(d, suppliers))
	p.field("price", fmt.Sprintf("%d.%02d per kg", pence/100, pence%100))
	p.say("lots:\n")
	for n := range 1 + d.IntN(3) {
		p.say("  - ", fmt.Sprintf("{lot: %c-%03d-%d, opened: %d-%02d-%02d, expires: %d-%02d-01}",
			'A'+rune(d.IntN(26)), number, n+1, 2024+d.IntN(2), 1+d.IntN(12), 1+d.IntN(28), 2027+d.IntN(3), 1+d.IntN(12)), "\n")
	}
}

// ingredientBody writes what an ingredient is like.
func (b *book) ingredientBody(p *page, d dice, i ingredient) {
	p.say(one(d, ingredientSays), " ", one(d, ingredientSays))
	if i.number > 0 {
		other := b.ingredients[d.IntN(i.number)]
		p.say(" We keep it on the same shelf as [", other.name, "](", slug(other.name), ".md).")
	}
	if d.chance(50) {
		note := d.IntN(firstNotes)
		p.say(" See also [what we wrote about it](../", b.noteFile(note), ").")
	}
	p.say("\n\n", saying(d), " ", saying(d), "\n")
	if d.chance(30) {
		p.say("\n::: tip\n", one(d, tips), "\n:::\n")
	}
}

// date gives a day on which a page was last worked on.
func date(d dice) string {
	return fmt.Sprintf("%d-%02d-%02d", 2023+d.IntN(3), 1+d.IntN(12), 1+d.IntN(28))
}
