package synthetic

// A product is a type of product with what recipes for it look like.
type product struct {
	name, shelf string
	scent       int // the most fragrance that recipes take, in hundredths of a percent, below what every certificate allows; 0 for none
	often       int // how often there is one
	mix         func(*mixer)
	container   string // in which it is sold
	takes       int    // grams that go in
}

// products has every product type.
func products() []product {
	return []product{
		{"body lotion", "Lotions", 60, 4, emulsion, "250 ml bottle", 240},
		{"hand cream", "Creams", 60, 4, emulsion, "100 ml jar", 92},
		{"face cream", "Face", 25, 4, emulsion, "60 ml jar", 54},
		{"foot cream", "Creams", 60, 3, emulsion, "100 ml jar", 93},
		{"lip balm", "Lips", 10, 2, balm, "15 ml tin", 12},
		{"deodorant", "Sticks & powders", 40, 2, stick, "75 ml tube", 68},
		{"body butter", "Balms & butters", 60, 2, balm, "120 ml jar", 75},
		{"balm", "Balms & butters", 60, 2, balm, "60 ml tin", 52},
		{"lotion bar", "Balms & butters", 60, 1, balm, "70 g tin", 70},
		{"cuticle balm", "Balms & butters", 50, 1, balm, "15 ml tin", 12},
		{"massage oil", "Oils", 60, 1, oilBlend, "100 ml bottle", 91},
		{"body oil", "Oils", 60, 1, oilBlend, "100 ml bottle", 91},
		{"face oil", "Face", 20, 1, oilBlend, "30 ml bottle", 27},
		{"beard oil", "Hair", 20, 1, oilBlend, "30 ml bottle", 27},
		{"hair oil", "Hair", 40, 1, oilBlend, "50 ml bottle", 45},
		{"leave-in conditioner", "Hair", 30, 3, rinse, "150 ml bottle", 145},
		{"toner", "Face", 10, 3, mist, "100 ml bottle", 99},
		{"perfume", "Scents", 1200, 1, spirit, "30 ml bottle", 25},
		{"solid perfume", "Scents", 600, 1, balm, "15 ml tin", 12},
		{"body mist", "Scents", 40, 2, mist, "100 ml bottle", 99},
		{"baby lotion", "Lotions", 0, 2, emulsion, "150 ml bottle", 144},
		{"hand sanitiser", "Lotions", 0, 1, spirit, "60 ml bottle", 52},
		{"body powder", "Sticks & powders", 40, 1, powder, "80 g shaker", 80},
		{"bar soap", "Soap", 120, 4, lyeSoap, "bar", 110},
		{"liquid soap", "Soap", 100, 2, lyeSoap, "250 ml bottle", 255},
		{"hand wash", "Washes", 60, 3, wash, "250 ml bottle", 253},
		{"body wash", "Washes", 60, 3, wash, "250 ml bottle", 253},
		{"face wash", "Face", 40, 3, wash, "150 ml bottle", 152},
		{"baby wash", "Washes", 0, 2, wash, "200 ml bottle", 203},
		{"shaving soap", "Soap", 80, 1, lyeSoap, "90 g bowl", 90},
		{"shampoo", "Hair", 60, 3, wash, "250 ml bottle", 253},
		{"shampoo bar", "Hair", 60, 1, syndet, "bar", 80},
		{"conditioner", "Hair", 60, 3, rinse, "250 ml bottle", 245},
		{"hair mask", "Hair", 60, 2, rinse, "200 ml jar", 190},
		{"face mask", "Face", 0, 1, powder, "60 ml jar", 45},
		{"body scrub", "Scrubs", 80, 2, scrub, "250 ml tub", 290},
		{"foot scrub", "Scrubs", 80, 2, scrub, "250 ml tub", 290},
		{"lip scrub", "Lips", 10, 1, scrub, "15 ml pot", 17},
		{"bath salts", "Baths", 60, 2, powder, "340 g pouch", 340},
		{"bath fizz", "Baths", 60, 2, powder, "65 mm mould", 170},
		{"bubble bath", "Baths", 60, 2, wash, "250 ml bottle", 255},
		{"bath oil", "Baths", 100, 1, oilBlend, "100 ml bottle", 91},
		{"bath melt", "Baths", 80, 1, balm, "30 g mould", 30},
		{"bath tea", "Baths", 0, 1, powder, "40 g bag", 40},
		{"milk bath", "Baths", 60, 1, powder, "200 g pouch", 200},
		{"foot soak", "Baths", 60, 1, powder, "340 g pouch", 340},
		{"toothpaste", "Sticks & powders", 0, 1, paste, "60 ml jar", 75},
		{"candle", "Scents", 600, 1, candle, "150 ml glass", 130},
		{"wax melt", "Scents", 600, 1, candle, "25 g shell", 25},
		{"reed diffuser", "Scents", 1500, 1, spirit, "100 ml bottle", 86},
		{"room spray", "Scents", 100, 1, mist, "100 ml bottle", 98},
	}
}

// product gives what the recipe of a number makes: first one of each, then as often as each is made.
func (b *book) product(number int, d dice) product {
	if number < len(b.products) {
		return b.products[number]
	}
	total := 0
	for _, p := range b.products {
		total += p.often
	}
	at := d.IntN(total)
	i := 0
	for at >= b.products[i].often {
		at -= b.products[i].often
		i++
	}
	return b.products[i]
}
