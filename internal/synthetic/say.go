package synthetic

import "strings"

// saying gives a sentence of the bench: a known one, or one put together.
func saying(d dice) string {
	if d.chance(35) {
		return one(d, talk)
	}
	subject := one(d, subjects)
	switch d.IntN(4) {
	case 0:
		subject = "In " + one(d, months) + " " + subject
	case 1:
		subject = "At " + one(d, places) + " " + subject
	default:
		subject = strings.ToUpper(subject[:1]) + subject[1:]
	}
	return subject + " " + one(d, doings) + ", " + one(d, reasons) + "."
}

var months = []string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

var subjects = []string{
	"the copper pan", "the narrow spatula", "a warm beaker", "the second jar", "the old ladle", "a folded towel", "the marble slab", "the oak shelf", "a clean sieve", "the tall bottle", "the paper record",
	"a slow stirrer", "the window seat", "the ice bath", "the labelled tin", "the smallest funnel", "a glass rod", "the drying rack", "the spare lid", "the kitchen clock", "the wooden mould", "the enamel basin",
}

var doings = []string{
	"does the work of two", "stays within reach", "comes out last", "has to be dry", "is warmed beforehand", "stands to the left", "gets rinsed twice", "waits under a cloth", "is checked against the list", "goes back to its hook",
	"keeps the heat longest", "shows the colour best", "is lent to nobody", "is weighed empty", "sets the pace", "holds just enough", "is never filled to the rim", "takes the first pour",
}

var reasons = []string{
	"whatever the forecast says", "for the room is seldom above eighteen degrees", "and nobody has found a better way", "because glass forgives nothing", "as the apprentices learn in their first week",
	"or the surface skins over", "which saves a second washing", "so that the figures can be trusted", "though the written rule says otherwise", "unless the batch is under three hundred grams", "and the difference shows by evening",
	"since paraffin and soot do not belong here", "until the bubbles have risen", "even on a market morning", "which the neighbours can smell", "and the floor stays clean", "before the kettle sings", "if the lid fits at all",
}
