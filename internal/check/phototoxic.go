package check

import (
	"cmp"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A burner is a material that makes skin burn in the sun above a limit.
type burner struct {
	*dose
	*burning
}

// A burning is the limit of what makes skin burn in the sun.
type burning struct {
	limit  quantity.Number // percent of a leave-on product
	source string
}

// phototoxic finds leave-on products past the limits of the oils that make skin burn in the sun: each oil is a share of its own limit
// (amount ÷ limit, both in percent of the product), and the shares make 1 at most. Limits are those of the ingredient's page or catalogue entry, else
// of law's table. Oils that are phototoxic in one grade and not in another, where nothing says which it is, are told of (caution).
//
// Lines of which no material is known are judged by what their names can mean.
func phototoxic(s *inspection) []Finding { return s.byName(sunny) }

func sunny(s *inspection) []Finding {
	if s.Product.Category != "leave-on" {
		return nil
	}
	var found []Finding
	var burners []burner
	for _, d := range s.doses {
		b := burner{d, d.facts.burns}
		switch {
		case d.percent.Sign() <= 0:
		case b.burning != nil && b.limit.Sign() == 0:
			found = append(found, s.sunburn([]burner{b}, d.percent, b.limit, nil))
		case b.burning != nil:
			burners = append(burners, b)
		case d.facts.mayBurn:
			found = append(found, gradeUnknown(d))
		}
	}
	return append(s.sunburns(burners), found...)
}

// burns gives the limit of a material that has one.
func burns(m *material.Material) (burning, bool) {
	switch {
	case m.NotPhototoxic.Known && m.NotPhototoxic.Value:
		return burning{}, false
	case m.Phototoxic.Known:
		return burning{m.Phototoxic.Value, cmp.Or(m.Phototoxic.Source, "common practice")}, true
	case !isFragrance(m):
		return burning{}, false
	}
	if row, ok := phototoxicByName(m); ok {
		return burning{*row.Max, row.Source}, true
	}
	return burning{}, false
}

// mayBurn says whether a fragrant material is from a plant that has phototoxic oils, and nothing says whether it is one.
func mayBurn(m *material.Material) bool {
	if !isFragrance(m) || m.NotPhototoxic.Known {
		return false
	}
	for _, name := range append([]string{m.Name}, m.Also...) {
		if _, told := law.FindPhototoxic(name); told {
			return false
		}
	}
	return slices.ContainsFunc(m.Composition, func(c material.Constituent) bool {
		return slices.ContainsFunc(law.Phototoxics(), func(p law.Phototoxic) bool { return p.Phototoxic == "yes" && fromPlant(c.INCI, p.Latin) })
	})
}

// fromPlant says whether a label name is of the part of a plant that the oils of a Latin name are made of: of a citrus only the peel.
func fromPlant(inci, latin string) bool {
	name := material.Key(inci)
	plant := strings.TrimSuffix(material.Key(latin), " spp.")
	if plant == "" || !strings.HasPrefix(name, plant+" ") {
		return false
	}
	return !strings.HasPrefix(plant, "citrus") || strings.Contains(plant, "leaf") || strings.Contains(name, "peel") || strings.Contains(name, "fruit")
}

// sunburns measures the oils of a product together.
func (s *inspection) sunburns(burners []burner) []Finding {
	if burners == nil {
		return nil
	}
	hundred := quantity.Int(100)
	figure := func(of share) quantity.Number {
		sum := quantity.Number{}
		for _, b := range burners {
			sum = sum.Add(of(b.items).Quo(b.limit))
		}
		return sum.Mul(hundred)
	}
	if len(burners) == 1 {
		figure = func(of share) quantity.Number { return of(burners[0].items) }
		hundred = burners[0].limit
	}
	value, batches, is := s.worst(figure, hundred, exactly)
	if !is {
		return nil
	}
	return []Finding{s.sunburn(burners, value, hundred, batches)}
}

// sunburn is the finding: of one oil its percent, of several what they make of their limits together.
func (s *inspection) sunburn(burners []burner, value, limit quantity.Number, batches []string) Finding {
	var names, each, sources []string
	var items []int
	for _, b := range burners {
		names, items = append(names, b.name), append(items, b.items...)
		each = append(each, b.name+" "+b.percent.Text(3)+" % of at most "+b.limit.String()+" %")
		if !slices.Contains(sources, b.source) {
			sources = append(sources, b.source)
		}
	}
	slices.Sort(items)
	shown := past(value, limit, 3)
	f := Finding{
		Code: "phototoxic", Level: Stop, Subject: and(names), Value: shown, Limit: limit.String(), Unit: "%", Items: items, Source: strings.Join(sources, "; "),
		Message: names[0] + " comes to " + shown + " %, and a product that stays on the skin may have " + limit.String() + " % of it: in the sun the skin can burn." + byRounding(batches),
		Mend:    "Lower it to " + limit.String() + " % or less, or take a grade that is not phototoxic.",
	}
	switch {
	case len(burners) > 1:
		f.Message = "Oils that make skin burn in the sun come to " + past(value, limit, 1) + " % of what may stay on the skin, each counted by its own limit: " + and(each) + "." + byRounding(batches)
		f.Mend = "Lower them until their parts of their limits make 100 % or less together, or take grades that are not phototoxic."
		if row, ok := law.FindPhototoxic("Combination of phototoxic oils"); ok && !slices.Contains(sources, row.Source) {
			f.Source += "; together: " + row.Source
		}
	case limit.Sign() == 0:
		f.Message = names[0] + " may not be used in a product that stays on the skin: it is " + shown + " % here, and in the sun the skin can burn."
		f.Mend = "Leave it out."
	}
	return f
}

func gradeUnknown(d *dose) Finding {
	return Finding{
		Code: "phototoxic", Level: Caution, Subject: d.name, Value: d.percent.Text(3), Unit: "%", Items: d.items,
		Message: "Nothing says whether " + d.name + " is of a grade that makes skin burn in the sun, as expressed citrus oils do, so its " + d.percent.Text(3) + " % was not checked.",
		Mend:    "Ask the supplier, and give phototoxic: with its leave-on limit on the ingredient's page, or name the page as the grade is sold (such as “steam distilled”).",
	}
}
