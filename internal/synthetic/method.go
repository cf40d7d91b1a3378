package synthetic

import (
	"fmt"
	"path"
	"strings"
)

// body writes how a recipe is made.
func (m *mixer) body(p *page) {
	p.say(one(m.dice, openings), " ", saying(m.dice), " ", saying(m.dice), " ", saying(m.dice), "\n")
	p.say(m.links(), "\n")
	p.say("\n## Method\n\n")
	m.steps(p)
	p.say("\n::: ", one(m.dice, []string{"tip", "note"}), "\n", one(m.dice, tips), " ", saying(m.dice), " ", saying(m.dice), "\n:::\n")
	if m.chance(35) {
		p.say("\n## When it goes wrong\n\n| You see | Most likely | Do |\n|---|---|---|\n")
		for _, row := range some(m.dice, m.between(3, 5, 1), troubles) {
			p.say(row, "\n")
		}
	}
	if m.chance(4) {
		p.say("\n```python\nbatch = ", fmt.Sprint(m.between(250, 3000, 50)), "\nloss = 0.03\nfilled = batch / (1 + loss)\nprint(round(filled / ", fmt.Sprint(m.takes), "), \"containers\")\n```\n")
	}
	p.say("\n## Afterwards\n\n")
	for range m.between(1, 3, 1) {
		p.say(one(m.dice, afterwards), " ", saying(m.dice), " ", saying(m.dice), "\n\n")
	}
	for _, l := range some(m.dice, m.between(2, 4, 1), checklist) {
		p.say("- ", l, "\n")
	}
	p.say("\n::: caution\n", m.warning(), "\n:::\n")
}

// warning gives the cautions that go with a formula.
func (m *mixer) warning() string {
	all := []string{one(m.dice, cautions)}
	hot := false
	for _, ph := range m.phases {
		hot = hot || ph.heat != ""
	}
	if hot {
		all = append(all, "Hot oil and wax burn and cling: handle with a dry cloth, and never leave a water bath to itself.")
	}
	if m.soap != "" {
		all = append(all, "**Lye burns skin and blinds.** Goggles, long gloves, and always the alkali into the water, never the water on to the alkali.")
	}
	if len(m.find(clay, starch)) > 0 {
		all = append(all, "Fine powders hang in the air: sift gently, and wear a mask.")
	}
	if len(m.find(alcohol)) > 0 {
		all = append(all, "Alcohol catches fire. No flame, no heater, and an open window.")
	}
	return strings.Join(all, " ")
}

// links gives sentences with links to an ingredient, a note, and recipes that came before.
func (m *mixer) links() string {
	from := path.Dir(m.book.recipeFile(m.number))
	var said []string
	for _, l := range some(m.dice, 2, m.owned()) {
		said = append(said, fmt.Sprintf(one(m.dice, linkIngredient), "["+l.name+"]("+upTo(from, l.own.file())+")"))
	}
	if m.chance(70) {
		note := m.book.noteFile(m.IntN(noteReach(m.number)))
		said = append(said, fmt.Sprintf(one(m.dice, linkNote), "[the note on it]("+upTo(from, note)+")"))
	}
	if m.number > 0 && m.chance(70) {
		other := m.IntN(m.number)
		title, _ := m.book.title(other)
		said = append(said, fmt.Sprintf(one(m.dice, linkRecipe), "["+title+"]("+upTo(from, m.book.recipeFile(other))+")"))
	}
	return strings.Join(said, "\n")
}

// owned gives the lines whose ingredients the handbook has pages of.
func (m *mixer) owned() []line {
	var all []line
	for _, ph := range m.phases {
		for _, l := range ph.lines {
			if l.own != nil {
				all = append(all, l)
			}
		}
	}
	return all
}

// upTo gives a path seen from a folder two deep.
func upTo(from, file string) string {
	if path.Dir(file) == from {
		return path.Base(file)
	}
	return strings.Repeat("../", strings.Count(from, "/")+1) + file
}

// steps writes the steps of a method, phase by phase.
func (m *mixer) steps(p *page) {
	n := 0
	step := func(text string) {
		n++
		p.say(fmt.Sprint(n), ". ", text, "\n")
	}
	step(one(m.dice, firstSteps))
	if m.soap != "" {
		step("Goggles and gloves on. Sprinkle the alkali of the Lye phase into :amount[Distilled water] of cold water, stirring, and let it cool to :temp[40 °C].")
	}
	for _, ph := range m.phases {
		switch {
		case ph.heat != "":
			step(fmt.Sprintf(one(m.dice, heatSteps), ":amount["+ph.name+"]", ":temp["+ph.heat+"]", ":time["+one(m.dice, []string{"20 min", "15–20 min", "20–25 min"})+"]"))
		case ph.below != "":
			step(fmt.Sprintf(one(m.dice, coolSteps), ":temp["+ph.below+"]", m.each(ph)))
		default:
			step(fmt.Sprintf(one(m.dice, plainSteps), ":amount["+ph.name+"]", ":time["+one(m.dice, []string{"2 min", "3–5 min", "5 min", "10 min"})+"]"))
		}
		if m.chance(65) {
			step(saying(m.dice))
		}
	}
	step(one(m.dice, lastSteps))
}

// each lists the ingredients of a phase with their amounts.
func (m *mixer) each(ph phase) string {
	var all []string
	for _, l := range ph.lines {
		short, _, _ := strings.Cut(l.name, " (")
		all = append(all, ":amount["+l.name+"] of "+strings.ToLower(short[:1])+short[1:])
	}
	return strings.Join(all, ", ")
}
