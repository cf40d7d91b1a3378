package check

import (
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"unicode"

	"larkrow.example/stillroom/internal/emulsion"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// Facts are what the checks know of a material whatever the formula that it is in: its names are looked up in the tables, and its words read, once
// for all versions that take it. They are only read.
type facts struct {
	material   *material.Material
	soap       *soap.Kind
	alkali     bool            // is or has an alkali that makes soap, by what it is made of or called
	oil        bool            // of the oil phase
	emulsifier bool            // see [emulsion.IsEmulsifier]
	soapBase   bool            // is soap already
	wet        bool            // brings water
	water      quantity.Number // percent
	protects   bool            // is there to hold microbes back
	fresh      bool            // is a food that spoils
	fragrant   bool            // is a fragrance
	eats       bool            // eats skin undiluted
	dusty      bool
	scalds     bool
	flammable  bool
	rags       bool            // whether rags wet with it catch fire
	eaten      bool            // looks, smells or tastes of food
	colourful  bool            // is a colourant or has one in it
	colours    func() bool     // has a colourant of the law's tables in it
	steadies   bool            // keeps vanillin from browning
	vanillin   quantity.Number // percent
	vanillinIn bool            // whether its papers tell of vanillin
	warm       material.Sourced[quantity.Temperature]
	lasts      quantity.Number   // days, unopened; 0 where that is not known
	burns      *burning          // nil where it does not make skin burn in the sun
	mayBurn    bool              // for all that is known of it
	keeps      []quantity.Number // percent that it is of each of the keepers
	missing    string            // what is not known of its composition
	worn       []worn            // what its cautions say to each of the wearers

	constituents []constituent
	untold       []untoldLimit
	listed       []listed // on each of the law's lists of allergens

	rates atomic.Pointer[[]*rates] // those that were asked for: one for each kind of product
}

var factsOf = material.NewFact(newFacts)

func newFacts(m *material.Material) *facts {
	_, called := soap.FindAlkali(m.Name)
	f := &facts{
		material: m, soap: soap.KindOf(m), oil: emulsion.IsOil(m), emulsifier: emulsion.IsEmulsifier(m), soapBase: isSoapBase(m),
		wet: m.BringsWater(), water: water(m), protects: protects(m), fresh: m.IsFresh(), fragrant: isFragrance(m),
		eats: warns(m, "caustic", "corrosive"), scalds: warns(m, "hot"), flammable: isFlammable(m), rags: warns(m, "oily-rags"),
		dusty: warns(m, "dust") || isPowder(m) || says(m, "dust"), eaten: isEaten(m), colourful: isColourful(m), steadies: stabilisesVanillin(m), warm: m.LowestHeat(),
		mayBurn: mayBurn(m), missing: missing(m),
	}
	f.rates.Store(new([]*rates))
	f.alkali = called || f.soap.Alkali() != ""
	if m.Keeps.Known {
		f.lasts = days(m.Keeps.Value)
	}
	f.vanillin, f.vanillinIn = vanillinIn(m)
	if b, is := burns(m); is {
		f.burns = &b
	}
	for _, k := range keepers {
		f.keeps = append(f.keeps, k.of(m))
	}
	for _, w := range wearers {
		f.worn = append(f.worn, w.reads(m))
	}
	f.colours = sync.OnceValue(func() bool { return holdsColour(m) })
	f.read(m)
	return f
}

// A constituent is one substance of a material, with what the law has on it.
type constituent struct {
	material.Constituent
	folded  string          // its name, to tell it from others whatever the case
	part    quantity.Number // of the material, as a fraction of 1
	use     use
	assumed *law.Content       // where it is what such an oil usually holds
	rulings map[string]rulings // by market
	colour  func() colouring
}

// Rulings are the rules of a market on a substance that the checks of the law go by.
type rulings struct {
	rules      []ruling
	opensOther bool // whether a rule opens it for other purposes than preserving
}

// A listed is what of a material stands on one of the law's lists of allergens.
type listed struct {
	list     string // its text of law
	contents []content
}

// read looks a material's substances up in the tables of law.
func (f *facts) read(m *material.Material) {
	usual := held(m)
	for _, c := range constituents(m) {
		one := constituent{Constituent: c, folded: folded(c.INCI), part: c.Percent.Quo(quantity.Int(100)), use: useOf(m, c), rulings: make(map[string]rulings)}
		if at := slices.IndexFunc(usual, func(u law.Content) bool { return strings.EqualFold(u.Substance, c.INCI) }); at >= 0 {
			one.assumed = &usual[at]
		}
		for _, market := range markets() {
			if r := rulingsOn(market, c.INCI, c.USName()); len(r.rules) > 0 {
				one.rulings[market] = r
			}
		}
		one.colour = sync.OnceValue(func() colouring { return colouringOf(c.INCI, c.USName()) })
		f.constituents = append(f.constituents, one)
	}
	unsaid, _ := untold(m)
	for _, c := range unsaid {
		if limits := limitsOn(c.Substance); c.Percent == nil && len(limits) > 0 {
			f.untold = append(f.untold, untoldLimit{c, limits})
		}
	}
	var before law.AllergenList
	for _, list := range law.AllergenLists() {
		f.listed = append(f.listed, listed{list.Text, namedIn(m, list, before)})
		before = list
	}
}

// markets are those whose law is looked at, in the order in which it is told.
func markets() []string { return []string{"EU", "US"} }

// folded gives a form of a name that is equal for names that differ in case alone, as [strings.EqualFold] has it.
func folded(name string) string {
	return strings.Map(func(r rune) rune {
		least := r
		for next := unicode.SimpleFold(r); next != r; next = unicode.SimpleFold(next) {
			least = min(least, next)
		}
		return least
	}, name)
}

// rulingsOn finds the rules on a substance that the checks of the law go by.
func rulingsOn(market, inci, us string) rulings {
	all := rulesOn(market, inci, us)
	r := rulings{opensOther: slices.ContainsFunc(all, func(r law.Rule) bool { return r.Purpose == law.NotToPreserve })}
	for _, rule := range all {
		if rule.Kind != law.Colourant && rule.Duty != law.Declare && rule.Duty != law.Advice && !atTheBottle(&rule) {
			r.rules = append(r.rules, newRuling(&rule, inci))
		}
	}
	return r
}

// A ruling is a rule with what is read out of its words, and what it says of one substance.
type ruling struct {
	*law.Rule
	concerns [len(concerns)]bool // of which its conditions tell
	pH       []string            // how it bounds the product's pH, and where; nil where it does not
	freeMade bool                // whether what is made from the substance is free of it
	counts   quantity.Number     // of what it limits, for one percent of the substance
	sure     bool                // whether that is known
}

func newRuling(r *law.Rule, inci string) ruling {
	all := ruling{Rule: r, concerns: concernsOf(r.Conditions), freeMade: madeFrom.MatchString(r.Conditions)}
	if bound := phBound.FindStringSubmatch(r.Conditions); bound != nil {
		all.pH = bound[1:]
	}
	all.counts, all.sure = counting(r, inci)
	return all
}

// rulesOn finds the rules of a market on a substance by its EU name and, in the US, by its US name too.
func rulesOn(market, inci, us string) []law.Rule {
	rules := law.Find(market, inci, nil)
	if market == "US" && us != inci {
		rules = append(rules, law.Find(market, us, nil)...)
	}
	return rules
}
