package site

import (
	"bytes"
	"encoding/json"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/emulsion"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// exactPlaces is how many places percents and exact grams have in formula.json.
const exactPlaces = 6

// A formulaPen writes formula.json, its functions the fields of each object in their order. Numbers are decimal strings; percents and exact grams
// have up to 6 places.
type formulaPen struct {
	*jsonInk
	shows      func(material string) bool   // whether a material's page is in the edition; the file names of others are not given away
	tellsLabel func(w handbook.Worked) bool // whether a version's label copy may stand in it
	keepsSums  func(w handbook.Worked) bool // whether what was worked out of its emulsion and soap may not
}

// formulaJSON gives a recipe's formula.json, by what the pen's functions say of an edition. Each version has the label copy of its place.
func formulaJSON(r *handbook.Recipe, worked []handbook.Worked, copies [][]label.Copy, p formulaPen) []byte {
	return inked(jsonInk{lines: true}, func(o *jsonInk) {
		p.jsonInk = o
		o.object("", func() {
			o.whole("schema", 1)
			o.text("recipe", r.Slug)
			o.text("title", r.Title)
			o.text("product", r.Product.Name)
			o.text("category", r.Product.Category)
			o.array("versions", func() {
				for i, w := range worked {
					p.version(w, copies[i])
				}
			})
		})
		o.end()
	})
}

// formulaFile gives a recipe's formula.json in this edition.
func (s *Build) formulaFile(r *handbook.Recipe) []byte {
	return formulaJSON(r, s.told(r), s.copies(r), formulaPen{shows: s.showsMaterial, tellsLabel: s.tellsLabel, keepsSums: s.keepsSums})
}

// VersionJSON gives a worked version as formula.json has it, for the maker. A batch that the version does not have is left out.
func VersionJSON(w handbook.Worked) []byte {
	return inked(jsonInk{lines: true}, func(o *jsonInk) {
		p := formulaPen{
			jsonInk: o, shows: func(string) bool { return true },
			tellsLabel: func(handbook.Worked) bool { return true }, keepsSums: func(handbook.Worked) bool { return false },
		}
		p.version(w, label.For(labelSubject(w.Subject)))
		o.end()
	})
}

func (p formulaPen) version(w handbook.Worked, copies []label.Copy) {
	v := w.Version
	ids := make([]string, len(v.Items))
	for i, item := range v.Items {
		ids[i] = ingredientID(item, p.shows)
	}
	p.object("", func() {
		p.text("name", v.Name)
		p.text("kind", string(v.Kind))
		p.items(v, ids)
		p.array("batches", func() {
			for _, b := range w.Batches {
				if b.Missing == nil {
					p.batch(v, b, ids, w.Scale)
				}
			}
		})
		if !p.tellsLabel(w) {
			copies = nil
		}
		p.label(copies)
		if !p.keepsSums(w) {
			p.emulsion(w.Subject)
			p.soap(w.Subject)
		}
		p.array("findings", func() {
			for _, f := range w.Findings {
				p.finding(NewFindingFile(f))
			}
		})
	})
}

func (p formulaPen) items(v *formula.Version, ids []string) {
	percents := v.Percents(exactPlaces)
	p.array("items", func() {
		for i, item := range v.Items {
			p.object("", func() {
				p.text("phase", formula.Letter(item.Phase))
				p.text("phase_name", v.Phases[item.Phase].Name)
				p.text("ingredient", ids[i])
				p.text("name", item.Name)
				p.text("written", item.Amount.Written)
				p.decimal("percent", percents[i], exactPlaces)
			})
		}
	})
}

func (p formulaPen) batch(v *formula.Version, b check.Batch, ids []string, scale quantity.Scale) {
	c, exact := b.Column, v.Exact(b.Column.Nominal)
	p.object("", func() {
		p.text("size", b.Written)
		p.decimal("nominal_g", c.Nominal.Grams(), exactPlaces)
		p.decimal("total_g", c.Total.Grams(), exactPlaces)
		p.array("items", func() {
			for i, item := range v.Items {
				mass := c.Weights[i].Mass
				p.object("", func() {
					p.text("ingredient", ids[i])
					p.text("phase", formula.Letter(item.Phase))
					p.decimal("exact_g", exact[i], exactPlaces)
					p.decimal("weigh_g", mass.Grams(), exactPlaces)
					p.decimal("weigh_oz", mass.ReadOunces(), 3)
				})
			}
		})
		if f := b.Sized.Filled; f != nil {
			p.object("fill", func() {
				p.whole("containers", f.Count)
				p.decimal("each_g", f.Each.Grams(), 3)
				p.decimal("left_g", scale.Round(f.Left).Grams(), exactPlaces)
			})
		}
	})
}

// label writes a version's ingredient lists, and the fragrance allergens that it holds; nothing in them where there are no copies.
func (p formulaPen) label(copies []label.Copy) {
	lists := map[string]string{}
	var allergens []label.Allergen
	for _, c := range copies {
		lists[c.Market], allergens = c.Ingredients.String(), c.Allergens
	}
	p.object("ingredient_list", func() {
		p.text("EU", lists[label.EU])
		p.text("US", lists[label.US])
	})
	p.array("allergens", func() {
		for _, a := range allergens {
			p.object("", func() {
				p.text("name", a.Name)
				p.decimal("percent", a.Percent, exactPlaces)
				p.truth("declare", a.Declare)
			})
		}
	})
}

// emulsion writes what a version's oil phase asks for and its emulsifiers have, if it is an emulsion. An HLB is left out where it is not known of all
// parts.
func (p formulaPen) emulsion(s *check.Subject) {
	e, ok := s.Emulsion()
	if !ok {
		return
	}
	p.object("emulsion", func() {
		p.hlb("required_hlb", e.Oil)
		p.hlb("hlb", e.Emulsifier)
		p.decimal("oil_phase_percent", e.Oil.Weight, exactPlaces)
	})
}

func (p formulaPen) hlb(key string, b emulsion.Blend) {
	if middle, _ := b.Middle(); b.Whole() {
		p.decimal(key, middle, exactPlaces)
	}
}

// soap writes the alkalis of a soap, as weighed, and the superfat that they leave, if it is one and that can be worked out.
func (p formulaPen) soap(s *check.Subject) {
	made, ok := s.Soap()
	if !ok || made.Err != nil {
		return
	}
	p.object("soap", func() {
		p.array("alkali", func() {
			for _, a := range soap.Alkalis() {
				sum := quantity.Number{}
				for _, d := range made.Alkalis {
					if d.Alkali == a {
						sum = sum.Add(d.Weighed)
					}
				}
				if sum.Sign() > 0 {
					p.object("", func() {
						p.text("name", handbook.Slug(string(a)))
						p.decimal("percent", sum, exactPlaces)
					})
				}
			}
		})
		p.decimal("superfat_percent", made.Superfat, exactPlaces)
		p.array("superfat_range", func() {
			p.decimal("", made.Range.Low, exactPlaces)
			p.decimal("", made.Range.High, exactPlaces)
		})
	})
}

func (p formulaPen) finding(f FindingFile) {
	p.object("", func() {
		p.text("code", f.Code)
		p.text("level", f.Level)
		p.text("subject", f.Subject)
		p.text("value", f.Value)
		p.text("limit", f.Limit)
		p.text("unit", f.Unit)
		p.text("market", f.Market)
		p.text("source", f.Source)
		p.text("message", f.Message)
		p.text("mend", f.Mend)
		p.text("accepted", f.Accepted)
	})
}

// ingredientID gives an item's material, or for one that nothing is known of or that is not shown, its name in the form of an id.
func ingredientID(item formula.Item, shows func(material string) bool) string {
	if item.Material != "" && shows(item.Material) {
		return item.Material
	}
	return handbook.Slug(item.Name)
}

// A FindingFile is one finding in what check prints as JSON. In formula.json it has the same fields.
type FindingFile struct {
	Code     string `json:"code"`
	Level    string `json:"level"`
	Subject  string `json:"subject"`
	Value    string `json:"value"`
	Limit    string `json:"limit"`
	Unit     string `json:"unit"`
	Market   string `json:"market"`
	Source   string `json:"source"`
	Message  string `json:"message"`
	Mend     string `json:"mend"`
	Accepted string `json:"accepted"`
}

// NewFindingFile gives a finding in the shape of formula.json.
func NewFindingFile(f check.Finding) FindingFile {
	return FindingFile{
		Code: f.Code, Level: string(f.Level), Subject: f.Subject, Value: f.Value, Limit: f.Limit, Unit: f.Unit, Market: f.Market,
		Source: f.Source, Message: f.Message, Mend: f.Mend, Accepted: f.Accepted,
	}
}

// EncodeJSON writes a value as indented JSON that keeps < and & as they are, ended by a line break.
func EncodeJSON(v any) ([]byte, error) {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}
