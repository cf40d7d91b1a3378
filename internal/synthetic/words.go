package synthetic

var places = []string{
	"Alderpath", "Ashlow", "Barleyfold", "Bellhedge", "Birchgarth", "Bramblefold", "Brackenlea", "Briarside", "Cinderlea", "Cloverstile", "Copsehill",
	"Cornflit", "Dewberrow", "Dovelea", "Elderstile", "Fallowgate", "Fernhope", "Foxlow", "Gorsefield", "Harebellow", "Hartsedge", "Hazelbank",
	"Heronsford", "Hopgarth", "Ivystile", "Juniperley", "Larkrow", "Lindenrow", "Mallowby", "Marshgate", "Meadowsend", "Millrace", "Mossgarth",
	"Nettlecombe", "Oakshaw", "Orchardlea", "Otterford", "Pearmain", "Plumtrough", "Quincelow", "Rowanby", "Rushmere", "Sedgewater", "Sloefield",
	"Sorrelgate", "Tansybank", "Thistledown", "Thornlow", "Wagtail", "Willowby", "Woodruff", "Yarrowgate",
}

var qualities = []string{
	"plain", "quiet", "winter", "summer", "evening", "early", "market-day", "kitchen", "garden", "wayside", "harvest", "first frost", "long road", "rainy",
	"Sunday", "everyday", "fine", "silky", "firm", "light", "soft", "cool", "bright", "amber", "silver", "midsummer", "hearth", "harbour", "hillside",
	"lantern", "twilight", "dawn", "wool", "linen", "apron", "pocket", "workshop", "old-fashioned", "feather", "pebble",
}

var seasons = []string{"Spring", "Summer", "Autumn", "Winter", "Market", "Gift"}

var suppliers = []string{"Quillon Fine Goods", "Hollin Laboratory Supply", "Tarrow & Daughter", "The Mill at Oakshaw", "Wren Chandlery", "Otterford Growers", "Lowgate Importers"}

var summaries = []string{
	"Quick to make and quicker to use up.", "The one that people ask for by name.", "Made from what the cupboard has in March.", "A small batch for a small shelf.",
	"Kept plain on purpose.", "Better on the second day.", "Our answer to a dry east wind.", "Three things to melt and two to stir in.", "Written out for those who have not made one before.",
	"Grown out of an older recipe, with less in it.",
}

var summaryEnds = []string{
	"Good for a first try.", "Sells out by noon.", "It travels well.", "Keep it out of the sun.", "Worth the washing-up.", "Smells of very little.", "It asks for patience and a good scale.", "A fair present.",
	"The test jar is two years old now.",
}

var shown = []string{
	"Three jars on a scrubbed table, one of them open.", "A row of bottles in front of a window.", "Tins and a folded cloth, with light from the left.", "A beaker, a spoon and two lids.", "Coloured jars of several heights on a shelf.",
}

var openings = []string{
	"This began as a way to use up the end of a drum and has stayed on the list ever since.", "We make it on the first dry day of the month.", "Nobody here remembers who wrote the first version.",
	"If you have made only one thing from this handbook, make this second.", "It is a forgiving recipe, within limits.", "Of all we make, this is the one with the fewest surprises.",
	"There are quicker ways to do this. They give a worse result.", "The order matters more than the amounts here, and the amounts matter.",
}

var talk = []string{
	"The scale should stand level, away from the draught of the door.", "Write down what you really weighed, not what you meant to.", "A cloudy look at this stage is nothing to worry about.",
	"When the weather is damp, everything takes a third longer.", "We tried it with half as much and could not tell the jars apart.", "Two people make it faster than one, if they agree on who holds the spoon.",
	"The colour varies with the year, and customers forgive that when told.", "Leave the last drops in the beaker; scraping them out brings in more than it saves.", "It thickens overnight, so do not judge it warm.",
	"A second thermometer has settled many arguments at this bench.", "Label the beakers before they are full.", "On a cold morning warm the jars a little, or the surface sets with a dimple.", "The smell is strongest on the first day and settles within the week.",
	"We keep a spoonful of every batch for as long as the batch is on the shelf.", "Old stock behaves differently: test before you trust it.", "The funnel with the wide neck is the right one.", "If it looks wrong, stop and read the page again before you add anything.",
	"Stir towards yourself and scrape the side at every turn.", "There is no hurry in this step, and no way to make one up for it later.", "It has been made in a kettle, but a beaker is easier to see into.", "What sticks to the blender is part of the batch.",
	"A gentle hand leaves fewer bubbles.", "Anything below a gram is weighed on the small scale, in its own cup.", "Taste has no part in this work; the nose does.", "The notebook stays on the other table, where it is dry.", "Half of the time goes into washing up, so start with that.",
	"The market stall sells the small size three to one.", "Last year's batches were firmer, for the butter was.", "Hold the jug low and pour along the wall.", "Cover it while it cools, but leave a gap for the steam.",
}

var tips = []string{
	"Make a tenth of it first.", "Mark the level on the beaker with tape: it shows what has steamed off.", "Warm spoons pick up less.", "A drop on cold glass shows the set within a minute.", "Keep one jar back for a year.", "Rinse with hot water before any soap goes in.", "Sieve it if in doubt.",
}

var firstSteps = []string{
	"Wipe down the bench and all tools with alcohol and let them dry. Weigh the empty beakers.", "Wash, dry and lay out everything on a clean cloth, lids beside their jars.", "Read through to the end, and weigh out each ingredient into a cup of its own.", "Gloves on, hair tied back. See that the scale returns to nought.",
}

var heatSteps = []string{
	"Weigh %s into a heatproof beaker and stand it in the water bath until it reads %s. Hold it there for %s.", "Warm %s slowly. At %s note the time, and keep it there for %s.", "Put %s into the second beaker, heat it to %s and hold for %s, covered.",
}

var coolSteps = []string{
	"Let it fall below %s, stirring now and then. Then add, one after the other: %s.", "At %s and no hotter stir in %s, each for a full minute.", "When it has come down to %s, add %s. Scrape down the sides between them.",
}

var plainSteps = []string{
	"Mix %s in a wide dry bowl for %s.", "Add %s and stir for %s, until no streak is left.", "Weigh in %s. Let it stand for %s and stir again.",
}

var lastSteps = []string{
	"Fill, tap out the air, and leave the lids off under a cloth until it is at room temperature.", "Pour into the containers and wipe the rims at once.", "Fill to the shoulder, close, and write the batch code on each.", "Fill slowly, and weigh the first and the last container against each other.",
}

var afterwards = []string{
	"Look at it again after a day, a week and a month, and write down what you see.", "The first container of each batch is ours, and lives on the window sill.", "If it is for sale, have it assessed by a qualified person where the law asks for it.", "It can be made ahead by a week, hardly more.",
	"The label has to go on dry and cool, or it slides.", "What is left over goes into the pot for the workshop hands.",
}

var checklist = []string{
	"the weights agree with the batch record", "the pH was measured, where there is water in it", "the rims are clean and the lids dry", "the batch code is on every container", "a sample is kept back", "the tools are washed **before** they set",
}

var cautions = []string{
	"Not on broken skin. If it reddens, stop.", "Keep it away from small children; it can look like something to eat.", "The floor gets slippery from what is spilt: wipe it up at once.", "Test it on the inside of the elbow for some days before you give it away.", "Wear gloves for everything that is strong undiluted.",
}

var troubles = []string{
	"| Grains after a week | A butter cooled too slowly | Stir until it is cold |", "| A layer of liquid | The phases met at different heats | Warm and blend again, and do not sell it |", "| It smells sour | Spoiled | Throw the whole batch away |",
	"| Too firm | More wax than was meant | Melt it and add oil |", "| Too soft | A warm room | Chill it and judge again |", "| Streaks | Not stirred for long enough | Longer next time |", "| A brown tint | Vanillin in the scent | Leave it, or take another scent |",
}

var phaseNotes = []string{
	"Covered while it heats.", "Weigh the largest first.", "Stir until clear.", "Each stirred in before the next.", "Sieved if there are lumps.", "Weighed into one beaker, in this order.", "No hurry here.",
}

var lineNotes = []string{
	"may be left out; the rest makes it up", "sifted twice, and broken up with the back of a spoon", "warmed first so that it pours", "stirred in slowly, from the middle outwards", "weighed on the small scale, in a cup of its own",
	"the fresh lot, once the old one is used up", "rubbed smooth beforehand in a little of the largest", "a little less does no harm", "from the blue tub, not from the white", "dissolved in some of the other liquid", "last of all, and only when the others are in",
}

var variantNotes = []string{
	"For those who like less of everything.", "Slower to sink in.", "The one for the market.", "Lighter, for warm days.", "Made to order only.", "For people who react to most things.",
}

var linkIngredient = []string{
	"Much of the feel comes from %s.", "Read what we say of %s before you swap it for anything.", "We buy %s for this one above all.", "Without %s it is another thing altogether.",
}

var linkNote = []string{"Why we do it so is told in %s.", "For the reasons, see %s.", "If it fails, %s may say why."}

var linkRecipe = []string{"It goes with %s.", "The method is the same as for %s.", "When there is none left, try %s.", "Some of it comes from %s, which is older."}

var noteSubjects = []string{
	"Weighing small amounts", "Washing jars", "Keeping records", "Cooling slowly", "Buying ahead", "Storing butters", "Pouring wax", "Testing on skin", "Measuring pH", "Reading certificates", "Working in summer", "Teaching a class", "Selling at the market", "Choosing containers", "Clearing up",
}

var ingredientSummaries = []string{
	"A steady thing with few moods.", "Bought in small lots, because it does not wait.", "Pale, mild, and easy to weigh.", "A little of it goes a long way.", "The cheap end of the shelf, and none the worse for that.", "What we reach for first.",
}

var ingredientSays = []string{
	"It pours at room temperature and sets a little below.", "The colour is that of weak tea and does not show in the jar.", "It comes in a tin of five kilograms, lined.", "Our supplier changed the source two years ago, and the smell changed with it.", "Close the lid at once: it draws damp.",
	"It mixes in without heat, though heat makes it quicker.", "There is a cheaper grade, which we tried once.", "Every lot is smelt, looked at, and tried in a small batch.",
}

var ingredientCautions = []string{"Strong undiluted: gloves.", "Wash off splashes of the neat material.", "Store it cool and closed.", "Slippery when spilt.", "Read the supplier's sheet of each lot."}

var tools = []string{
	"Scale reading 0.01 g", "Scale reading 1 g", "Two heatproof beakers of 1 litre", "Water bath", "Probe thermometer", "Stick blender with a steel foot", "Silicone spatula", "pH strips or meter", "Wide funnel", "Gloves",
	"Goggles that seal", "Dust mask", "Fine sieve", "Wide bowl", "Small whisk", "Waterproof labels", "Clean cloth", "Spray bottle of alcohol", "Timer",
}

var tintReasons = []string{"It is sold as ivory, and the label says so.", "The jar is brown.", "We like the tint."}

var certificateReasons = []string{"The certificate was asked for in May and is on its way.", "An old lot for our own use; the new one has papers.", "The dose is well under what the textbook gives."}
