package synthetic

import (
	"slices"
	"strings"
)

// A mixer makes up the formula of one recipe.
type mixer struct {
	dice
	book   *book
	number int
	product
	style  style
	ph     string
	soap   string // the soap: block, in YAML
	phases []phase
	used   map[string]bool
}

// A phase is a phase of a formula.
type phase struct {
	name, heat, below, note string
	lines                   []line
}

// A line is one ingredient of a phase.
type line struct {
	name    string
	family  family
	own     *ingredient // nil where the handbook has no page of it
	share   int         // in hundredths of a percent
	balance bool        // whether it takes up what is left
	written string      // its amount, where the style alone does not say how it is written
	note    string
}

// phase begins a phase; heat and below may be "".
func (m *mixer) phase(name, heat, below string) {
	p := phase{name: name, heat: heat, below: below}
	if m.chance(65) {
		p.note = one(m.dice, phaseNotes)
		if m.chance(60) {
			p.note += " " + saying(m.dice)
		}
	}
	m.phases = append(m.phases, p)
}

// pick finds an ingredient of a family that the recipe does not have yet; false if there is none.
func (m *mixer) pick(f family) (line, bool) {
	own := m.book.byFamily[f]
	reach := 0
	for reach < len(own) && own[reach].number < ingredientReach(m.number) {
		reach++
	}
	known := common(f)
	for range 20 {
		l := line{family: f}
		switch {
		case reach > 0 && (len(known) == 0 || m.chance(60)):
			l.name = own[m.IntN(reach)].name
		case len(known) > 0:
			l.name = known[min(m.IntN(len(known)), m.IntN(len(known)))] // the first ones more often
		}
		if l.name != "" && !m.used[l.name] {
			return m.line(l.name, f), true
		}
	}
	return line{}, false
}

// line gives a line of an ingredient by its name.
func (m *mixer) line(name string, f family) line {
	m.used[name] = true
	l := line{name: name, family: f}
	for i, own := range m.book.byFamily[f] {
		if own.name == name && own.number < ingredientReach(m.number) {
			l.own = &m.book.byFamily[f][i]
		}
	}
	return l
}

// put puts a line into the last phase.
func (m *mixer) put(l line) {
	last := &m.phases[len(m.phases)-1]
	if m.chance(60) {
		l.note = one(m.dice, lineNotes)
	}
	last.lines = append(last.lines, l)
}

// add puts so many ingredients of a family into the last phase, each with a share between two, in hundredths of a percent.
func (m *mixer) add(count int, f family, low, high, step int) {
	for range count {
		if l, ok := m.pick(f); ok {
			l.share = m.between(low, high, step)
			m.put(l)
		}
	}
}

// addNamed puts an ingredient of the catalogue into the last phase.
func (m *mixer) addNamed(name string, f family, low, high, step int) {
	l := m.line(name, f)
	l.share = m.between(low, high, step)
	m.put(l)
}

// rest puts the ingredient that takes up what is left into the last phase.
func (m *mixer) rest(name string, f family) {
	l := m.line(name, f)
	l.balance = true
	m.put(l)
}

// restOf does so with any ingredient of a family.
func (m *mixer) restOf(f family) {
	if l, ok := m.pick(f); ok {
		l.balance = true
		m.put(l)
	}
}

// scented puts fragrance or essential oils into the last phase, as much as the product may have.
func (m *mixer) scented() {
	switch {
	case m.scent == 0 || m.chance(12):
	case m.chance(75) || m.product.shelf == "Lips" || m.scent > 100:
		m.add(1, fragrance, max(m.scent/2, 5), m.scent, 5)
	default:
		m.add(1+m.IntN(2), essential, max(m.scent/4, 5), max(m.scent/3, 5), 5)
	}
}

// kept puts a preservative that suits the product's pH into the last phase.
func (m *mixer) kept() {
	m.ph = one(m.dice, []string{"4.8–5.4", "5.0–5.5", "5.0–6.0", "5.2–5.8"})
	m.add(1, preservative, 90, 100, 5)
}

// emulsion is a cream or lotion.
func emulsion(m *mixer) {
	m.phase("Water", "75 °C", "")
	m.rest("Distilled water", water)
	m.addNamed("Vegetable glycerin", humectant, 200, 600, 50)
	m.add(m.IntN(2), humectant, 100, 300, 50)
	m.add(m.IntN(2), thickener, 20, 40, 5)
	m.add(1, chelator, 10, 20, 5)
	m.phase("Oil", "75 °C", "")
	m.add(2+m.IntN(2), oil, 200, 600, 50)
	m.add(1+m.IntN(2), butter, 200, 500, 50)
	m.add(1, fattyAlcohol, 100, 300, 50)
	m.add(1, emulsifier, 400, 600, 25)
	m.cooled()
}

// cooled is the phase that goes into emulsions at the end.
func (m *mixer) cooled() {
	m.phase("Cool-down", "", "40 °C")
	m.kept()
	m.addNamed("Vitamin E oil (mixed tocopherols)", antioxidant, 20, 50, 5)
	m.add(1+m.IntN(2), extract, 100, 300, 25)
	m.add(m.IntN(3), active, 50, 100, 25)
	m.add(m.IntN(2), protein, 100, 200, 50)
	m.scented()
}

// rinse is a conditioner or hair mask.
func rinse(m *mixer) {
	m.phase("Water", "75 °C", "")
	m.rest("Distilled water", water)
	m.addNamed("Vegetable glycerin", humectant, 200, 500, 50)
	m.add(m.IntN(2), humectant, 100, 300, 50)
	m.phase("Oil", "75 °C", "")
	m.add(1+m.IntN(2), oil, 100, 300, 25)
	m.add(1, butter, 100, 200, 25)
	m.add(1, fattyAlcohol, 200, 500, 50)
	m.addNamed("Quaternary conditioning emulsifier, 25 % active (behentrimonium methosulfate & cetearyl alcohol)", emulsifier, 300, 550, 50)
	m.cooled()
}

// balm is oils and wax, without water.
func balm(m *mixer) {
	m.phase("Wax", "75 °C", "")
	m.add(1+m.IntN(2), wax, 700, 1200, 50)
	m.add(2, butter, 1000, 1800, 100)
	m.phase("Oil", "", "")
	m.restOf(oil)
	m.add(1+m.IntN(3), oil, 500, 1200, 50)
	m.phase("Cool-down", "", "58 °C")
	m.add(1, antioxidant, 20, 50, 5)
	if m.product.shelf == "Lips" && m.chance(40) {
		m.add(1, colour, 20, 80, 10)
	}
	m.scented()
}

// stick is a deodorant in a tube.
func stick(m *mixer) {
	m.phase("Wax", "75 °C", "")
	m.add(1, wax, 1000, 1500, 50)
	m.add(2, butter, 800, 1400, 50)
	m.restOf(oil)
	m.phase("Powder", "", "60 °C")
	m.add(1, starch, 1000, 2000, 100)
	m.add(1, clay, 200, 500, 50)
	m.addNamed("Magnesium hydroxide", active, 300, 800, 50)
	m.phase("Cool-down", "", "58 °C")
	m.add(1, antioxidant, 20, 50, 5)
	m.scented()
}

// oilBlend is oils that need no heat.
func oilBlend(m *mixer) {
	m.phase("Oil", "", "")
	m.restOf(oil)
	m.add(2+m.IntN(4), oil, 600, 1800, 50)
	m.phase("Keeping", "", "")
	m.add(1, antioxidant, 20, 50, 5)
	m.scented()
	if m.product.shelf == "Baths" {
		m.addNamed("Polyglyceryl-4 oleate", emulsifier, 600, 1200, 50)
	}
}

// mist is water with something in it.
func mist(m *mixer) {
	m.phase("Water", "", "")
	m.rest("Distilled water", water)
	m.add(1, hydrosol, 1000, 3000, 100)
	m.addNamed("Vegetable glycerin", humectant, 200, 400, 50)
	m.add(m.IntN(2), humectant, 100, 300, 50)
	m.add(1+m.IntN(2), extract, 100, 300, 25)
	m.phase("Finish", "", "40 °C")
	m.kept()
	m.add(1, solubiliser, 100, 250, 25)
	m.scented()
}

// spirit is alcohol with scent, or without.
func spirit(m *mixer) {
	m.phase("Spirit", "", "")
	m.rest("Denatured ethanol", alcohol)
	m.addNamed("Distilled water", water, 300, 700, 50)
	m.addNamed("Vegetable glycerin", humectant, 100, 300, 25)
	if m.scent > 0 {
		m.phase("Scent", "", "")
		m.scented()
		m.add(m.IntN(3), essential, 10, 60, 10)
	}
}

// powder is salts, clays or starches, and a little scent.
func powder(m *mixer) {
	m.phase("Dry", "", "")
	switch m.product.name {
	case "bath fizz":
		m.rest("Sodium bicarbonate", salt)
		m.addNamed("Citric acid (anhydrous)", salt, 2500, 2700, 25)
		m.add(1, starch, 500, 1200, 50)
	case "body powder":
		m.restOf(starch)
		m.add(1, starch, 1000, 2500, 50)
		m.add(1, clay, 300, 900, 50)
	case "face mask":
		m.restOf(clay)
		m.add(2, clay, 1000, 2500, 50)
	case "bath tea":
		m.restOf(petals)
		m.add(2, petals, 500, 1000, 50)
		m.addNamed("Colloidal oatmeal", starch, 2000, 4000, 100)
		m.add(1, salt, 2000, 2500, 100)
	case "milk bath":
		m.rest("Colloidal oatmeal", starch)
		m.addNamed("Goat milk powder", starch, 1000, 2000, 100)
		m.addNamed("Coconut milk powder", starch, 500, 1500, 100)
		m.add(1, starch, 500, 1500, 100)
	default:
		m.restOf(salt)
		m.add(2, salt, 2000, 2500, 50)
		m.add(1, petals, 100, 300, 25)
	}
	m.phase("Scent", "", "")
	m.add(1, oil, 100, 200, 25)
	m.scented()
}

// lyeSoap is soap of fats and lye.
func lyeSoap(m *mixer) {
	m.phase("Fats", "40 °C", "")
	m.rest("Olive oil", oil)
	m.addNamed("Coconut oil, refined (76 degree)", oil, 1800, 2800, 100)
	m.addNamed("Castor oil", oil, 400, 900, 50)
	m.add(m.IntN(2), butter, 400, 800, 50)
	m.add(1+m.IntN(2), oil, 500, 1200, 50)
	m.phase("At trace", "", "40 °C")
	m.add(m.IntN(2), clay, 100, 250, 25)
	m.add(1, chelator, 10, 20, 5)
	m.scented()
	m.soap = soapBlock(m.dice, m.product.name)
}

// soapBlock says how strong a soap's lye is.
func soapBlock(d dice, product string) string {
	superfat := percent(d.between(500, 800, 50))
	water := one(d, []string{"water: 2 per 1", "solution: 33 %", "solution: 30 %", "water: 2.2 per 1"})
	switch product {
	case "liquid soap":
		return "{alkali: potassium hydroxide, purity: {potassium hydroxide: 90 %}, superfat: " + superfat + ", water: 3 per 1}"
	case "shaving soap":
		return "{alkali: {sodium hydroxide: 40 %, potassium hydroxide: 60 %}, purity: {sodium hydroxide: 98 %, potassium hydroxide: 90 %}, superfat: " +
			superfat + ", " + water + "}"
	}
	if d.chance(60) {
		return "{alkali: sodium hydroxide, purity: {sodium hydroxide: 98 %}, superfat: " + superfat + ", " + water + "}"
	}
	return "{alkali: sodium hydroxide, superfat: " + superfat + ", " + water + "}"
}

// wash is surfactants in water.
func wash(m *mixer) {
	m.phase("Water", "", "")
	m.rest("Distilled water", water)
	m.addNamed("Vegetable glycerin", humectant, 200, 500, 50)
	m.add(1, thickener, 30, 80, 10)
	m.add(1, chelator, 10, 20, 5)
	m.phase("Foam", "", "")
	m.add(2, surfactant, 600, 1400, 50)
	m.addNamed("Cocamidopropyl betaine 30 %", amphoteric, 600, 1200, 50)
	m.phase("Finish", "", "40 °C")
	m.kept()
	m.add(m.IntN(2), protein, 100, 200, 50)
	m.add(m.IntN(3), extract, 100, 300, 25)
	m.scented()
	m.addNamed("Citric acid (anhydrous)", salt, 20, 60, 5)
}

// syndet is a bar of surfactants.
func syndet(m *mixer) {
	m.phase("Foam", "80 °C", "")
	m.rest("Sodium cocoyl isethionate (powder or noodles)", detergent)
	m.addNamed("Cocamidopropyl betaine 30 %", amphoteric, 1000, 1500, 50)
	m.phase("Oil", "80 °C", "")
	m.add(1, butter, 300, 800, 50)
	m.add(1, fattyAlcohol, 400, 800, 50)
	m.add(1, clay, 500, 900, 50)
	m.phase("Cool-down", "", "45 °C")
	m.kept()
	m.add(1, protein, 100, 200, 50)
	m.scented()
}

// scrub is sugar or salt in oil.
func scrub(m *mixer) {
	m.phase("Oil", "75 °C", "")
	m.add(2, oil, 600, 1200, 50)
	m.add(1, emulsifier, 400, 600, 25)
	m.add(1, butter, 300, 600, 50)
	m.phase("Cool-down", "", "40 °C")
	m.add(1, antioxidant, 20, 40, 5)
	if m.product.shelf != "Lips" {
		m.kept()
	}
	m.scented()
	m.phase("Sugar", "", "")
	m.restOf(sugar)
	m.addNamed("Vegetable glycerin", humectant, 200, 400, 50)
}

// paste is a toothpaste.
func paste(m *mixer) {
	m.phase("Gel", "", "")
	m.rest("Distilled water", water)
	m.addNamed("Vegetable glycerin", humectant, 1500, 2000, 50)
	m.addNamed("Xanthan gum", thickener, 50, 90, 10)
	m.phase("Paste", "", "")
	m.addNamed("Kaolin, white", clay, 2000, 3000, 100)
	m.addNamed("Coconut oil, refined (76 degree)", oil, 200, 400, 50)
	m.kept()
	m.ph = "6.5–7.5"
}

// candle is wax and scent, for a room.
func candle(m *mixer) {
	m.phase("Wax", "80 °C", "")
	m.rest("Soy wax (cosmetic or candle grade)", wax)
	m.add(1, wax, 300, 1000, 50)
	m.phase("Scent", "", "60 °C")
	m.scented()
}

// settle reckons what is left for the balance, and decides how the amounts are written.
func (m *mixer) settle() {
	m.style = one(m.dice, []style{balanced, balanced, balanced, balanced, percents, percents, grams, parts, ounces})
	sum := 0
	for _, p := range m.phases {
		for _, l := range p.lines {
			sum += l.share
		}
	}
	for p := range m.phases {
		for i := range m.phases[p].lines {
			l := &m.phases[p].lines[i]
			if l.balance {
				l.share = 10000 - sum
			}
			l.written = m.writes(*l, m.phases[p].name)
		}
	}
	m.phases = slices.DeleteFunc(m.phases, func(p phase) bool { return len(p.lines) == 0 })
}

// writes writes the amount of a line.
func (m *mixer) writes(l line, in string) string {
	free := m.style == balanced && m.soap == ""
	switch {
	case m.style == balanced && l.balance:
		return one(m.dice, []string{"q.s.", "q.s.", "q.s.", "to 100 %", "qs"})
	case free && l.family == emulsifier && in == "Oil" && strings.Contains(l.name, "mulsifying wax") && m.product.shelf != "Baths":
		return one(m.dice, []string{"1 per 4 of Oil", "1 per 4 of Oil", "1 per 3 of Oil", percent(l.share)})
	case free && l.family == antioxidant && len(m.phases) > 1 && m.phases[1].name == "Oil":
		return one(m.dice, []string{"1 % of Oil", "2 % of Oil", "1 per 200", percent(l.share), percent(l.share)})
	case free && l.family == extract && m.chance(15):
		return one(m.dice, []string{"1 per 50", "1 oz per 40 oz"})
	case m.style == grams && l.name == "Vegetable glycerin" && l.share >= 300 && l.share <= 450:
		return one(m.dice, []string{"2 tbsp", "1 fl oz", "30 ml"})
	case m.style == balanced || m.style == percents && !l.balance:
		return freely(m.dice, l.share)
	}
	return m.style.write(l.share)
}
