package check

import (
	"slices"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// fragrance finds fragrances and essential oils past the maximum that the supplier's certificate gives, in percent of the product, for
// its fragrance category (stop), and those of which no such maximum is known (caution). A certificate speaks of its own fragrance
// alone; each is measured by itself.
func fragrance(s *inspection) []Finding {
	var found []Finding
	for _, d := range s.dosesThat(func(d *dose) bool { return d.facts.fragrant && d.percent.Sign() > 0 }) {
		limit, ok := certified(d.Material, s.Product.Fragrance)
		if !ok {
			found = append(found, s.uncertified(d))
			continue
		}
		if value, batches, is := s.worst(func(of share) quantity.Number { return of(d.items) }, limit, exactly); is {
			found = append(found, s.tooFragrant(d, value, limit, batches))
		}
	}
	return found
}

// isFragrance says whether a material is a fragrance by its use or its label name.
func isFragrance(m *material.Material) bool {
	return m.Has("fragrance", "essential-oil") || slices.ContainsFunc(m.Composition, func(c material.Constituent) bool {
		return material.Key(c.INCI) == "parfum" || material.Key(c.INCI) == "fragrance"
	})
}

// certified gives the certificate's maximum for a product category.
func certified(m *material.Material, category string) (quantity.Number, bool) {
	for _, l := range m.Fragrance.Limits {
		if category != "" && material.Key(l.Category) == material.Key(category) {
			return l.Percent, true
		}
	}
	return quantity.Number{}, false
}

func (s *inspection) tooFragrant(d *dose, value, limit quantity.Number, batches []string) Finding {
	shown := past(value, limit, 3)
	return Finding{
		Code: "fragrance-above-maximum", Level: Stop, Subject: d.name, Value: shown, Limit: limit.String(), Unit: "%", Items: d.items,
		Source: s.certificate(d),
		Message: d.name + " comes to " + shown + " %, and its supplier's certificate allows " + limit.String() + " % in products of category " +
			s.Product.Fragrance + ", to which " + s.what() + " belongs." + byRounding(batches),
		Mend: "Lower it to " + limit.String() + " % or less.",
	}
}

// certificate names what a maximum rests on: the supplier's certificate, and what puts the product into its category.
func (s *inspection) certificate(d *dose) string {
	source := "the supplier's certificate of " + d.name
	if s.Product.Source != "" {
		source += "; category " + s.Product.Fragrance + ": " + remembered(s.Product.Source, s.Product.Status)
	}
	return source
}

// remembered writes a source so that nothing remembered looks as if it had been read.
func remembered(source, status string) string {
	if status == string(material.Memory) {
		return source + ", from memory"
	}
	return source
}

func (s *inspection) uncertified(d *dose) Finding {
	f := Finding{
		Code: "fragrance-no-certificate", Level: Caution, Subject: d.name, Value: d.percent.Text(3), Unit: "%", Items: d.items,
		Message: "No certificate is known of " + d.name + " that says how much of it may go into " + s.what() + ", so its " + d.percent.Text(3) + " % was not checked.",
		Mend:    "Ask the supplier for the certificate of its maxima by product category, and give them on the ingredient's page: fragrance: {limits: {" + s.Product.Fragrance + ": …}}.",
	}
	switch {
	case s.Product.Fragrance == "":
		f.Message = "Nothing says which fragrance category " + s.what() + " belongs to, so " + d.name + ", " + d.percent.Text(3) + " %, was not checked."
		f.Mend = "Check it against the supplier's certificate by hand."
	case len(d.Fragrance.Limits) > 0:
		f.Message = "The certificate of " + d.name + " has no maximum for products of category " + s.Product.Fragrance + ", to which " + s.what() + " belongs, so its " + d.percent.Text(3) + " % was not checked."
		f.Mend = "See whether the certificate gives one, or says that the use is not allowed, and give it on the ingredient's page."
	}
	return f
}
