package synthetic

import (
	"fmt"
	"strconv"
	"strings"
)

// folderSize is how many recipes are in a folder.
const folderSize = 500

// title gives a recipe's title, with what it makes.
func (b *book) title(number int) (string, product) {
	d := b.dice(forTitle, number)
	p := b.product(number, d)
	return one(d, places) + " " + one(d, qualities) + " " + p.name, p
}

// recipeFile gives the path of a recipe. Titles come again; the number keeps the paths apart.
func (b *book) recipeFile(number int) string {
	title, _ := b.title(number)
	return fmt.Sprintf("recipes/part-%02d/%s-%d.md", number/folderSize+1, slug(title), number)
}

// mixed gives a recipe's formula.
func (b *book) mixed(number int) *mixer {
	_, p := b.title(number)
	m := &mixer{dice: b.dice(forRecipe, number), book: b, number: number, product: p, used: make(map[string]bool)}
	p.mix(m)
	m.settle()
	return m
}

// recipePage writes a recipe's page.
func (b *book) recipePage(number int) (string, []byte) {
	title, _ := b.title(number)
	m := b.mixed(number)
	p := &page{}
	p.say("---\n")
	p.field("title", quoted(title))
	p.field("product", m.product.name)
	p.field("shelf", quoted(m.shelf))
	m.about(p)
	m.formula(p)
	p.field("soap", m.soap)
	if m.soap != "" && m.chance(40) {
		p.field("label", one(m.dice, []string{"as made", "as weighed"}))
	}
	m.batches(p)
	variants := m.variants(p)
	splits := m.splits(p)
	m.accepts(p, append(variants, splits...))
	p.say("---\n")
	m.body(p)
	return b.recipeFile(number), p.bytes()
}

// about writes what the front matter says beside the formula.
func (m *mixer) about(p *page) {
	switch {
	case m.chance(3):
		p.field("access", "maker")
	case m.chance(10):
		p.field("access", "members")
	case m.chance(30):
		p.field("access", "open")
	}
	p.field("summary", quoted(one(m.dice, summaries)+" "+saying(m.dice)+" "+one(m.dice, summaryEnds)))
	if m.chance(40) {
		p.field("picture", group(pair{"file", pictureName(m.IntN(pictureCount))}, pair{"shows", one(m.dice, shown)}))
	}
	p.field("keeps", one(m.dice, []string{"6 months", "6 months", "6 months", "3 months", "9 months", "12 months"}))
	p.field("ph", m.ph)
	p.field("time", one(m.dice, []string{"25 min", "40 min", "50 min", "1 hour", "1 h 20 min", "90 min", "2 hours"}))
	switch {
	case m.soap != "":
		p.field("rest", one(m.dice, []string{"4 weeks", "5 weeks", "6 weeks"}))
	case m.chance(30):
		p.field("rest", one(m.dice, []string{"1 day", "2 days", "12 hours"}))
	}
	p.field("tools", list(some(m.dice, m.between(8, 14, 1), tools)))
	p.field("updated", date(m.dice))
}

// formula writes the phases, and the total where a weight among percents needs one.
func (m *mixer) formula(p *page) {
	if m.style == balanced && m.soap == "" && m.chance(10) {
		p.field("makes", "1 kg")
		m.weighOne()
	}
	p.say("formula:\n")
	for _, ph := range m.phases {
		p.say("  - phase: ", ph.name, "\n")
		for _, f := range []pair{{"heat", ph.heat}, {"below", ph.below}, {"note", ph.note}} {
			if f.value != "" {
				p.say("    ", f.name, ": ", quoted(f.value), "\n")
			}
		}
		p.say("    weigh:\n")
		for _, l := range ph.lines {
			amount := quoted(l.written)
			if l.note != "" {
				amount = group(pair{"amount", l.written}, pair{"note", l.note})
			}
			p.say("      ", quoted(l.name), ": ", amount, "\n")
		}
	}
}

// weighOne writes one amount as a weight of 1 kg.
func (m *mixer) weighOne() {
	for _, ph := range m.phases {
		for i, l := range ph.lines {
			if l.family == humectant && strings.HasSuffix(l.written, " %") {
				ph.lines[i].written = grams.write(l.share)
				return
			}
		}
	}
}

// batches writes how much is made, and of the containers.
func (m *mixer) batches(p *page) {
	container := fmt.Sprintf("%d × %s", m.between(6, 48, 6), m.container)
	sizes := some(m.dice, m.between(2, 4, 1), []string{"250 g", "500 g", "1 kg", "32 oz", "2 lb", "3 kg", "1.5 kg"})
	if m.chance(70) {
		sizes = append(sizes, container)
	}
	if big := m.biggest(); m.chance(25) {
		sizes = append(sizes, fmt.Sprintf("from %d g %s", m.between(200, 900, 20), big.name))
	}
	if m.chance(90) {
		p.field("batches", list(sizes))
	}
	p.say("fill:\n  - ", m.fill(), "\n")
	if m.chance(45) {
		second := "small " + m.container
		p.say("  - ", group(pair{"container", second}, pair{"takes", strconv.Itoa(m.takes/2+1) + " g"}, pair{"loss", "4 %"}), "\n")
	}
}

// fill writes what a container takes, by weight or by volume.
func (m *mixer) fill() string {
	takes, density := strconv.Itoa(m.takes)+" g", ""
	volume, _, found := strings.Cut(m.container, " ml ")
	switch {
	case found && m.chance(30):
		takes, density = volume+" ml", fmt.Sprintf("%d.%02d g/ml", m.takes*100/number(volume)/100, m.takes*100/number(volume)%100)
	case m.chance(15):
		takes = decimal(m.takes*100*10/283) + " oz"
	}
	costs := ""
	if m.chance(60) {
		costs = fmt.Sprintf("0.%02d", m.between(18, 96, 1))
	}
	loss := strconv.Itoa(m.between(2, 6, 1)) + " %"
	return group(pair{"container", m.container}, pair{"takes", takes}, pair{"loss", loss}, pair{"density", density}, pair{"costs", costs})
}

func number(digits string) int {
	n, err := strconv.Atoi(digits)
	if err != nil {
		panic("synthetic: " + err.Error())
	}
	return n
}

// biggest gives the ingredient that there is most of.
func (m *mixer) biggest() line {
	var most line
	for _, ph := range m.phases {
		for _, l := range ph.lines {
			if l.share > most.share {
				most = l
			}
		}
	}
	return most
}

// find gives the lines of a family.
func (m *mixer) find(of ...family) []line {
	var found []line
	for _, ph := range m.phases {
		for _, l := range ph.lines {
			for _, f := range of {
				if l.family == f {
					found = append(found, l)
				}
			}
		}
	}
	return found
}

// accepts writes which findings the maker lets through.
func (m *mixer) accepts(p *page, versions []string) {
	var all []string
	for _, l := range m.find(fragrance, essential) {
		switch {
		case l.family == fragrance && l.own != nil && l.own.vanillin > 0 && m.chance(60):
			all = append(all, group(pair{"finding", "will-discolour"}, pair{"because", one(m.dice, tintReasons) + " " + saying(m.dice)}))
		case (l.own == nil || !l.own.certified) && m.chance(50):
			all = append(all, group(pair{"finding", "fragrance-no-certificate"}, pair{"about", l.name}, pair{"because", one(m.dice, certificateReasons) + " " + saying(m.dice)}))
		}
	}
	for _, l := range m.find(preservative) {
		if m.name == "toothpaste" && l.name == "Benzyl alcohol & dehydroacetic acid blend" && m.chance(60) {
			all = append(all, group(pair{"finding", "preservative-ph"}, pair{"about", l.name}, pair{"because", "A trial for our own bench; it is not sold."}))
		}
	}
	if len(versions) > 0 && m.chance(6) {
		all = append(all, group(pair{"finding", "added-too-hot"}, pair{"version", one(m.dice, versions)}, pair{"because", "It goes in at the very end and is poured at once."}))
	}
	if len(all) > 0 {
		p.say("accept:\n")
	}
	for _, a := range all {
		p.say("  - ", a, "\n")
	}
}
