package law

import (
	"slices"
	"strings"
	"time"
)

// Applicability says whether a [Rule] reaches a product.
type Applicability int

// The answers of [Rule.Applies].
const (
	DoesNotApply Applicability = iota
	Applies
	Unclear // a condition in words, or the product type does not tell
)

// String gives "does not apply", "applies" or "unclear".
func (a Applicability) String() string {
	return [...]string{"does not apply", "applies", "unclear"}[a]
}

// Applies says whether the rule reaches a product that is first sold on a day. A product that goes on no skin is
// reached by no rule; of a product of no known type it is told only where the rule reaches all.
func (r *Rule) Applies(p Product, on time.Time) Applicability {
	if !r.InForce(on) || p.Category == "not on skin" {
		return DoesNotApply
	}
	a := reach(r.Scope, r.beside, p)
	if a == Applies && r.Duty == Words {
		return Unclear
	}
	return a
}

// reach answers for one scope; beside are the other scopes of the entry, for those that hold what the others leave.
func reach(token string, beside []string, p Product) Applicability {
	if p.Category == "" && !strings.HasPrefix(token, "all") && token != "prohibited" {
		return Unclear
	}
	own := scopes[token](p)
	if own == DoesNotApply || !strings.HasPrefix(token, "other") && token != Elsewhere {
		return own
	}
	for _, other := range beside {
		switch scopes[other](p) {
		case Applies:
			return DoesNotApply
		case Unclear:
			own = Unclear
		}
	}
	return own
}

// scopes holds the product types of all tables. Tokens that begin with "other", and "elsewhere", hold what the other
// rules of their entry leave.
var scopes = map[string]func(Product) Applicability{
	"all":                      always,
	"all-mixture":              always,
	"all-except-oral":          where(notMouth),
	"all-except-mouthwash":     always, // no product type of ours is a mouthwash
	"prohibited":               always,
	"see-entry":                open,
	Elsewhere:                  always,
	"other":                    always,
	"other-except-oral":        where(notMouth),
	"other-leave-on":           where(leaveOn),
	"other-leave-on-and-oral":  where(func(p Product) bool { return leaveOn(p) || !notMouth(p) }),
	"other-rinse-off":          where(rinseOff),
	"other-ph-adjuster":        always,
	"leave-on":                 where(leaveOn),
	"leave-on-except-oral":     where(func(p Product) bool { return leaveOn(p) && notMouth(p) }),
	"rinse-off":                where(rinseOff),
	"rinse-off-except-oral":    where(func(p Product) bool { return rinseOff(p) && notMouth(p) }),
	"rinse-off-hair":           where(func(p Product) bool { return rinseOff(p) && p.Site == "hair" }),
	"leave-on-hair":            where(func(p Product) bool { return leaveOn(p) && p.Site == "hair" }),
	"leave-on-face":            where(func(p Product) bool { return leaveOn(p) && p.Site == "face" }),
	"hair":                     sites("hair"),
	"skin":                     sites("body", "face", "lips", "hands", "feet", "underarm", "baby"),
	"oral":                     sites("mouth"),
	"lip":                      sites("lips"),
	"foot-care":                sites("feet"),
	"face-and-hand":            sites("face", "hands"),
	"face-hand-lip":            sites("face", "hands", "lips"),
	"under-3-listed-products":  sites("baby"),
	"non-mucous":               where(func(p Product) bool { return p.Site != "lips" && p.Site != "mouth" }),
	"external":                 where(func(p Product) bool { return p.Site != "lips" && p.Site != "mouth" }),
	"lips-and-mouth":           sites("lips", "mouth"),
	"non-eye":                  always, // no product type of ours is for the eyes
	"eye":                      never,
	"body":                     bodyProducts,
	"leave-on-body":            leaveOnBody,
	"face-non-spray":           sites("face"),
	"shampoo-and-face":         either(named("shampoo", "shampoo bar"), sites("face")),
	"hair-lotion-and-shampoo":  either(named("shampoo", "shampoo bar"), perhaps("hair oil", "leave-in conditioner")),
	"body-lotion":              either(named("body lotion"), perhaps("body butter", "body oil", "balm", "lotion bar", "massage oil", "baby lotion")),
	"body-lotion-and-listed":   either(named("body lotion"), perhaps("body butter", "body oil", "balm", "lotion bar", "massage oil", "baby lotion", "lip balm", "deodorant")),
	"body-lotion-spray":        perhaps("body mist"),
	"face-cream":               either(named("face cream"), perhaps("face oil", "beard oil", "toner")),
	"hand-wash":                either(named("hand wash"), perhaps("liquid soap", "bar soap")),
	"soap":                     either(named("bar soap", "liquid soap", "shaving soap"), perhaps("hand wash", "body wash", "face wash", "baby wash")),
	"listed-products-only":     either(named("toothpaste", "bar soap", "liquid soap", "hand wash", "body wash"), perhaps("deodorant")),
	"hair-lotion":              perhaps("hair oil", "leave-in conditioner"),
	"rinse-off-shampoo":        named("shampoo", "shampoo bar"),
	"toothpaste":               named("toothpaste"),
	"deodorant":                named("deodorant"),
	"deodorant-astringent":     either(named("deodorant"), perhaps("toner")),
	"antiperspirant":           perhaps("deodorant"),
	"deodorant-non-spray":      perhaps("deodorant"),
	"deodorant-spray":          perhaps("deodorant"),
	"anti-dandruff-shampoo":    perhaps("shampoo", "shampoo bar"),
	"powder-under-3":           perhaps("body powder"),
	"powder-or-spray":          perhaps("body powder", "body mist", "perfume", "deodorant"),
	"fine-fragrance":           perhaps("perfume", "solid perfume"),
	"eau-de-toilette":          perhaps("perfume", "body mist"),
	"fragrance-cream":          perhaps("solid perfume"),
	"hydroalcoholic":           perhaps("perfume", "body mist"),
	"hydroalcoholic-fragrance": perhaps("perfume", "body mist"),
	"leave-on-non-spray":       leaveOnBut("body mist", "perfume", "deodorant", "toner", "hand sanitiser"),
	"leave-on-skin-and-hair":   leaveOnSkinAndHair,
	"leave-on-hair-spray":      perhaps("leave-in conditioner"),
	"listed-sprays":            perhaps("perfume", "deodorant"),
	"aerosol":                  perhaps("body mist", "perfume", "deodorant"),
	"propellant-spray":         perhaps("body mist", "perfume", "deodorant"),

	"rinse-off-anti-dandruff-shampoo": perhaps("shampoo", "shampoo bar"),
	"other-ph-adjuster-rinse-off":     where(rinseOff),
	"callus-softener":                 perhaps("foot cream"),

	// What no product type of ours is.
	"mouthwash":                      never,
	"mouthwash-6-10-years":           never,
	"mouthwash-over-10":              never,
	"mouth-spray":                    never,
	"face-make-up":                   never,
	"loose-face-powder":              never,
	"eye-make-up-and-remover":        never,
	"eyelash":                        never,
	"nail":                           never,
	"nail-cuticle-solvent":           never,
	"hair-dye":                       never,
	"oxidative-hair-dye":             never,
	"non-oxidative-hair-dye":         never,
	"hair-waving":                    never,
	"hair-straightener":              never,
	"hair-straightener-general":      never,
	"hair-straightener-professional": never,
	"hair-aerosol-general":           never,
	"hair-aerosol-professional":      never,
	"depilatory":                     never,
	"depilatory-ph-adjuster":         never,
	"self-tan":                       never,
	"self-tan-face":                  never,
	"self-tan-other":                 never,
	"sun-and-bronzing":               never,
	"tooth-whitening-dentist":        never,
	"rust-inhibitor":                 open,
}

func always(Product) Applicability { return Applies }
func never(Product) Applicability  { return DoesNotApply }
func open(Product) Applicability   { return Unclear }

func leaveOn(p Product) bool  { return p.Category == "leave-on" }
func rinseOff(p Product) bool { return p.Category == "rinse-off" }
func notMouth(p Product) bool { return p.Site != "mouth" }

func where(holds func(Product) bool) func(Product) Applicability {
	return func(p Product) Applicability {
		if holds(p) {
			return Applies
		}
		return DoesNotApply
	}
}

// sites reaches the products for these parts of the body.
func sites(names ...string) func(Product) Applicability {
	return where(func(p Product) bool { return slices.Contains(names, p.Site) })
}

// named reaches the product types of these names.
func named(names ...string) func(Product) Applicability {
	return where(func(p Product) bool { return slices.Contains(names, p.Name) })
}

// perhaps is unclear for the product types of these names and reaches no others.
func perhaps(names ...string) func(Product) Applicability {
	return func(p Product) Applicability {
		if slices.Contains(names, p.Name) {
			return Unclear
		}
		return DoesNotApply
	}
}

// either gives the first answer that is not "does not apply".
func either(first, second func(Product) Applicability) func(Product) Applicability {
	return func(p Product) Applicability {
		if a := first(p); a != DoesNotApply {
			return a
		}
		return second(p)
	}
}

// leaveOnBut reaches leave-on products; those named may be sprays, which the type does not tell.
func leaveOnBut(names ...string) func(Product) Applicability {
	return func(p Product) Applicability {
		switch {
		case !leaveOn(p):
			return DoesNotApply
		case slices.Contains(names, p.Name):
			return Unclear
		}
		return Applies
	}
}

func leaveOnSkinAndHair(p Product) Applicability {
	if p.Site == "lips" || p.Site == "mouth" {
		return DoesNotApply
	}
	return leaveOnBut("perfume", "solid perfume", "body mist", "deodorant", "leave-in conditioner")(p)
}

func leaveOnBody(p Product) Applicability {
	switch {
	case !leaveOn(p):
		return DoesNotApply
	case p.Site == "body":
		return Applies
	case p.Site == "hands" || p.Site == "feet" || p.Site == "underarm" || p.Site == "baby":
		return Unclear
	}
	return DoesNotApply
}

func bodyProducts(p Product) Applicability {
	switch p.Site {
	case "body":
		return Applies
	case "feet", "underarm", "baby":
		return Unclear
	}
	return DoesNotApply
}
