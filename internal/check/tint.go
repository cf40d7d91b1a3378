package check

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// tint finds vanillin, in percent of the product, that nothing keeps from browning it: it turns a soap or lotion tan to brown within 24
// to 48 hours (common practice, no source). Fragrances whose certificate does not say how much vanillin they have are told of too;
// of those without a certificate that check speaks.
func tint(s *inspection) []Finding {
	if slices.ContainsFunc(s.doses, func(d *dose) bool { return d.facts.steadies && d.percent.Sign() > 0 }) {
		return nil
	}
	var found []Finding
	var browns []*dose
	sum := quantity.Number{}
	for _, d := range s.doses {
		vanillin, known := d.facts.vanillin, d.facts.vanillinIn
		switch {
		case d.percent.Sign() <= 0:
		case vanillin.Sign() > 0:
			browns, sum = append(browns, d), sum.Add(part(d.percent, vanillin))
		case !known && len(d.Fragrance.Limits) > 0 && d.Has("fragrance") && !d.Has("essential-oil"):
			found = append(found, vanillinUnknown(d))
		}
	}
	if browns == nil {
		return found
	}
	shown := past(sum, quantity.Number{}, 3)
	return append([]Finding{{
		Code: "will-discolour", Level: Caution, Subject: and(namesOf(browns)), Value: shown, Unit: "%", Items: itemsOf(browns), Source: usualSource,
		Message: "It holds " + shown + " % of vanillin, brought by " + and(namesOf(browns)) + ", and nothing that stabilises it: it will turn tan to brown, for the most part within 24 to 48 hours.",
		Mend:    "Let it be brown, take a fragrance without vanillin, or add a vanilla stabiliser, which slows it.",
	}}, found...)
}

// vanillinIn gives the percent of vanillin in a material, and whether its papers tell of it.
func vanillinIn(m *material.Material) (quantity.Number, bool) {
	if m.Fragrance.Vanillin != nil {
		return *m.Fragrance.Vanillin, true
	}
	for _, c := range slices.Concat(m.Fragrance.Allergens, m.Composition) {
		if material.Key(c.INCI) == "vanillin" {
			return c.Percent, true
		}
	}
	return quantity.Number{}, false
}

// stabilisesVanillin says whether a material is a stabiliser against browning, and not one of emulsions.
func stabilisesVanillin(m *material.Material) bool {
	return m.Has("stabiliser") && slices.ContainsFunc(append([]string{m.ID, m.Base, m.Name}, m.Also...), func(name string) bool {
		return strings.Contains(material.Key(name), "vanill")
	})
}

func vanillinUnknown(d *dose) Finding {
	return Finding{
		Code: "will-discolour", Level: Caution, Subject: d.name, Items: d.items,
		Message: "Nothing says how much vanillin " + d.name + " has, so whether it browns the product was not checked.",
		Mend:    "Ask the supplier and give it on the ingredient's page: fragrance: {vanillin: …}, 0 % where there is none.",
	}
}
