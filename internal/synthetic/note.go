package synthetic

import (
	"fmt"
	"strconv"
)

// firstNotes is how many notes there are in the smallest handbook; ingredients link to these.
const firstNotes = 4

func (b *book) noteTitle(number int) string {
	d := b.dice(forNote, number)
	return one(d, noteSubjects) + " at " + one(d, places)
}

func (b *book) noteFile(number int) string {
	return "notes/" + slug(b.noteTitle(number)) + "-" + strconv.Itoa(number) + ".md"
}

// notePage writes a note.
func (b *book) notePage(number int) (string, []byte) {
	d := b.dice(forNotePage, number)
	p := &page{}
	p.say("---\n")
	p.field("title", quoted(b.noteTitle(number)))
	p.field("summary", quoted(one(d, summaries)+" "+one(d, summaryEnds)))
	if d.chance(50) {
		p.field("picture", group(pair{"file", pictureName(d.IntN(pictureCount))}, pair{"shows", one(d, shown)}))
	}
	if number >= firstNotes && d.chance(15) {
		p.field("access", one(d, []string{"members", "maker"}))
	}
	p.field("updated", date(d))
	p.say("---\n")
	for n := range d.between(3, 6, 1) {
		if n > 0 {
			p.say("\n## ", one(d, noteSubjects), "\n\n")
		}
		for range d.between(3, 7, 1) {
			p.say(saying(d), "\n")
		}
		i := b.ingredients[d.IntN(len(slots))]
		p.say(fmt.Sprintf(one(d, linkIngredient), "["+i.name+"](../"+i.file()+")"), "\n")
	}
	if number > 0 {
		other := d.IntN(number)
		p.say("\nMore in [", b.noteTitle(other), "](../", b.noteFile(other), ").\n")
	}
	p.say("\n::: caution\n", one(d, cautions), "\n:::\n")
	return b.noteFile(number), p.bytes()
}

// settings writes the handbook's settings.
func settings(int) (string, []byte) {
	p := &page{}
	p.say(`title: The long stillroom
maker: Larkrow stillroom
about: An invented handbook of many pages, to see how much a handbook can hold.
address: https://larkrow.example/long/
access: open
currency: pounds
labour: 14 per hour
scales:
  - {reads: 0.01 g, up-to: 500 g}
  - {reads: 0.1 g, up-to: 2 kg}
  - {reads: 1 g}
batches: [250 g, 1 kg]
shelves:
`)
	named := make(map[string]bool)
	for _, product := range products() {
		if !named[product.shelf] {
			named[product.shelf] = true
			p.say("  - ", group(pair{"name", product.shelf}, pair{"about", "What we make of " + product.shelf + "."}), "\n")
		}
	}
	return "handbook.yaml", p.bytes()
}
