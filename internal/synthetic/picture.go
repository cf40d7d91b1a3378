package synthetic

import "fmt"

// pictureCount is how many pictures a handbook has, whatever its size.
const pictureCount = 24

func pictureName(number int) string { return fmt.Sprintf("still-life-%02d.svg", number+1) }

// picture draws a jar on a table.
func (b *book) picture(number int) (string, []byte) {
	d := b.dice(forPicture, number)
	p := &page{}
	p.say(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 480 320">`, "\n")
	p.say(fmt.Sprintf("<rect width=\"480\" height=\"320\" fill=\"#%s\"/>\n<rect y=\"%d\" width=\"480\" height=\"120\" fill=\"#%s\"/>\n", tone(d, 220), d.between(200, 240, 5), tone(d, 150)))
	for range d.between(2, 9, 1) {
		x, w, h := d.between(30, 400, 5), d.between(30, 80, 5), d.between(40, 120, 5)
		p.say(fmt.Sprintf("<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" rx=\"8\" fill=\"#%s\"/>\n", x, 230-h, w, h, tone(d, 180)))
		p.say(fmt.Sprintf("<circle cx=\"%d\" cy=\"%d\" r=\"%d\" fill=\"#%s\"/>\n", x+w/2, 230-h/2, w/4, tone(d, 120)))
	}
	p.say("</svg>\n")
	return "pictures/" + pictureName(number), p.bytes()
}

// tone gives a colour about as light as asked, from 0 to 255.
func tone(d dice, light int) string {
	c := func() int { return light - 30 + d.IntN(60) }
	return fmt.Sprintf("%02x%02x%02x", min(c(), 255), min(c(), 255), min(c(), 255))
}
