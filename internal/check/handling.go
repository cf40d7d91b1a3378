package check

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// handling notes what can hurt those who make or use the product, once for each danger with all that brings it.
func handling(s *inspection) []Finding {
	var found []Finding
	for _, notes := range []func(*inspection) []Finding{caustic, dusty, hot, flammable, slippery, lookalike} {
		found = append(found, notes(s)...)
	}
	return found
}

func danger(code string, of []*dose, message, mend string) Finding {
	return Finding{
		Code: code, Level: Note, Subject: and(namesOf(of)), Items: itemsOf(of), Source: "common practice", Message: message, Mend: mend,
	}
}

// warns says whether a material has one of the given cautions.
func warns(m *material.Material, codes ...string) bool {
	return slices.ContainsFunc(codes, func(c string) bool { return slices.Contains(m.CautionCodes, c) })
}

// caustic notes lye and what else eats skin undiluted.
func caustic(s *inspection) []Finding {
	lyes := s.dosesThat(func(d *dose) bool { return d.facts.alkali })
	others := s.dosesThat(func(d *dose) bool { return !d.facts.alkali && d.facts.eats })
	var found []Finding
	if len(lyes) > 0 {
		found = append(found, danger(
			"caustic", lyes, and(namesOf(lyes))+" burns skin and blinds: goggles that seal, long gloves and long sleeves, and a running tap within reach.",
			"Always tip lye into cold water, a little at a time, never water into lye: it grows very hot and its fumes bite. Open a window, use no aluminium; keep children and animals out. Rinse a splash at once and long with water, and get medical help for an eye.",
		))
	}
	if len(others) > 0 {
		found = append(found, danger(
			"caustic", others, and(namesOf(others))+" undiluted eats skin and eyes: goggles and gloves until it is in the product.",
			"Rinse a splash at once and long with water.",
		))
	}
	return found
}

// dusty notes powders that hang in the air.
func dusty(s *inspection) []Finding {
	powders := s.dosesThat(func(d *dose) bool { return d.facts.dusty })
	if len(powders) == 0 {
		return nil
	}
	return []Finding{danger(
		"dust", powders, "Do not breathe the dust of "+and(namesOf(powders))+": wear a dust mask, and weigh and sift slowly.",
		"Keep draughts and flames away, let the dust settle before the mask comes off, and wipe up damp.",
	)}
}

// isPowder says whether a material is a fine powder by its role or INCI name. What holds water, as a fresh yolk does, is none.
func isPowder(m *material.Material) bool {
	if m.BringsWater() {
		return false
	}
	return m.Has("clay", "starch", "colourant") || slices.ContainsFunc(m.Composition, func(c material.Constituent) bool {
		return slices.ContainsFunc([]string{" Powder", " Flour", " Starch"}, func(end string) bool { return strings.HasSuffix(c.INCI, end) })
	})
}

// says says whether one of a material's cautions has a word.
func says(m *material.Material, word string) bool {
	return slices.ContainsFunc(m.Cautions, func(c string) bool { return strings.Contains(strings.ToLower(c), word) })
}

// scalds is the temperature from which a phase is noted as hot: 60 °C. Water of that heat scalds within seconds. Common practice, no source.
var scalds = quantity.Int(60)

// hot notes phases that are heated until they burn, and materials that warn of it.
func hot(s *inspection) []Finding {
	var phases []string
	var items []int
	fat := false
	for p, phase := range s.Version.Phases {
		if phase.Heat == nil || phase.Heat.Celsius().Cmp(scalds) < 0 {
			continue
		}
		phases = append(phases, phase.Name+" ("+phase.Heat.String()+")")
		for i, item := range s.Version.Items {
			if item.Phase == p {
				items = append(items, i)
				fat = fat || s.facts[i] != nil && s.facts[i].oil
			}
		}
	}
	warned := s.dosesThat(func(d *dose) bool { return d.facts.scalds })
	if phases == nil && len(warned) == 0 {
		return nil
	}
	f := danger("hot", warned, "", "Melt in a water bath, never over a bare flame; handle with dry cloths and closed shoes; keep children out; cool a burn long under running water.")
	if f.Items = append(f.Items, items...); phases != nil {
		f.Subject = and(phases)
	}
	slices.Sort(f.Items)
	f.Items = slices.Compact(f.Items)
	f.Message = "What is heated for " + f.Subject + " scalds: do not leave it alone."
	if fat || len(warned) > 0 {
		f.Message = "Melted wax and oil burn and cling to the skin, and catch fire if they smoke: do not leave " + f.Subject + " alone on the heat."
	}
	return []Finding{f}
}

// flashes is the flash point up to which a liquid counts as flammable: 60 °C (EU Reg. 1272/2008 Annex I 2.6, from memory).
var flashes = quantity.Int(60)

// isFlammable says whether a material catches fire easily.
func isFlammable(m *material.Material) bool {
	return warns(m, "flammable") || m.Has("alcohol") || m.Flash.Known && m.Flash.Value.Celsius().Cmp(flashes) <= 0
}

// flammable notes what catches fire easily.
func flammable(s *inspection) []Finding {
	liquids := s.dosesThat(func(d *dose) bool { return d.facts.flammable })
	var found []Finding
	if len(liquids) > 0 {
		found = append(found, danger(
			"flammable", liquids, and(namesOf(liquids))+" catches fire easily: no flames, sparks or hot plates near it.",
			"Weigh it in a cool room with the window open, add it to a cooled product, and keep the bottle shut.",
		))
	}
	if rags := s.dosesThat(func(d *dose) bool { return d.facts.rags }); len(rags) > 0 {
		found = append(found, danger(
			"flammable", rags, "Rags wet with "+and(namesOf(rags))+" can grow hot and catch fire by themselves.",
			"Spread them out to dry in the open, or keep them under water.",
		))
	}
	return found
}

// slick are washed-off products that leave oil underfoot where they hold some.
var slick = []string{"conditioner", "hair mask", "shampoo bar"}

// slippery notes oil and scrub that come underfoot.
func slippery(s *inspection) []Finding {
	feet := s.Product.Site == "feet" && s.Product.Category == "leave-on"
	washed := s.isA(baths, scrubs, slick) && !s.isTrueSoap()
	if !feet && !washed || s.Product.Site == "lips" {
		return nil
	}
	oils := s.dosesThat(func(d *dose) bool {
		return d.facts.oil || d.facts.emulsifier || d.Has("essential-oil", "fragrance")
	})
	if len(oils) == 0 && !s.isA(scrubs) {
		return nil
	}
	if feet {
		return []Finding{danger("slippery", oils, "It makes soles slippery.", "Tell users to let it sink in and to put socks on before they walk on smooth floors.")}
	}
	return []Finding{danger("slippery", oils, "It makes tub, shower and floor slippery.", "Say so on the label, and that the tub is to be rinsed after it.")}
}

// treats are product types that look like something to eat.
var treats = []string{"bath fizz", "bath melt", "bath salts", "milk bath", "bath tea", "foot soak", "lip scrub", "lip balm", "body butter"}

// lookalike notes products that may be taken for food: by their type, or by what makes them look, smell or taste of it.
func lookalike(s *inspection) []Finding {
	foods := s.dosesThat(func(d *dose) bool { return d.facts.eaten })
	enough := percentOf(foods).Cmp(muchFood) >= 0
	if s.Product.Category == "not on skin" || s.isTrueSoap() && !enough || !s.isA(treats) && !enough {
		return nil
	}
	if !enough {
		foods = nil
	}
	f := danger("ingestible-lookalike", foods, "It can be taken for something to eat.", "Keep it from small children, do not pack or name it like food, and say on the label that it is not to be eaten.")
	if len(foods) > 0 {
		f.Message = "With " + and(namesOf(foods)) + " in it, it can be taken for something to eat."
	}
	f.Source = "EU Directive 87/357/EEC, products that look like what they are not, from memory"
	return []Finding{f}
}

// isEaten says whether a material looks, smells or tastes of food.
func isEaten(m *material.Material) bool {
	return m.Has("food", "milk") && m.Has("exfoliant", "milk", "humectant", "colourant") || portion(m, "Theobroma Cacao Seed Butter", "Mel").Sign() > 0
}

// muchFood is the percentage from which food in a product makes it look or smell of it: common practice, no source.
var muchFood = quantity.Int(10)
