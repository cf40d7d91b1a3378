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

// The shape of formula.json. Numbers are decimal strings; percents and exact grams have up to 6 places.
type (
	formulaFile struct {
		Schema   int           `json:"schema"`
		Recipe   string        `json:"recipe"`
		Title    string        `json:"title"`
		Product  string        `json:"product"`
		Category string        `json:"category"`
		Versions []VersionFile `json:"versions"`
	}

	// A VersionFile is one version in formula.json and in what weigh prints as JSON.
	VersionFile struct {
		Name     string        `json:"name"`
		Kind     string        `json:"kind"`
		Items    []itemFile    `json:"items"`
		Batches  []batchFile   `json:"batches"`
		Listed   listFile      `json:"ingredient_list"`
		Contains []allergen    `json:"allergens"`
		Emulsion *emulsionFile `json:"emulsion,omitempty"`
		Soap     *soapFile     `json:"soap,omitempty"`
		Findings []FindingFile `json:"findings"`
	}

	itemFile struct {
		Phase      string `json:"phase"`
		PhaseName  string `json:"phase_name"`
		Ingredient string `json:"ingredient"`
		Name       string `json:"name"`
		Written    string `json:"written"`
		Percent    string `json:"percent"`
	}

	batchFile struct {
		Size     string      `json:"size"`
		NominalG string      `json:"nominal_g"`
		TotalG   string      `json:"total_g"`
		Items    []weighFile `json:"items"`
		Fill     *fillFile   `json:"fill,omitempty"`
	}

	weighFile struct {
		Ingredient string `json:"ingredient"`
		Phase      string `json:"phase"`
		ExactG     string `json:"exact_g"`
		WeighG     string `json:"weigh_g"`
		WeighOz    string `json:"weigh_oz"`
	}

	fillFile struct {
		Containers int64  `json:"containers"`
		EachG      string `json:"each_g"`
		LeftG      string `json:"left_g"`
	}

	listFile struct {
		EU string `json:"EU"`
		US string `json:"US"`
	}

	allergen struct {
		Name    string `json:"name"`
		Percent string `json:"percent"`
		Declare bool   `json:"declare"`
	}

	// An HLB is left out where it is not known of all parts.
	emulsionFile struct {
		RequiredHLB string `json:"required_hlb,omitempty"`
		HLB         string `json:"hlb,omitempty"`
		OilPhase    string `json:"oil_phase_percent"`
	}

	soapFile struct {
		Alkali   []alkaliFile `json:"alkali"`
		Superfat string       `json:"superfat_percent"`
		Range    [2]string    `json:"superfat_range"`
	}

	alkaliFile struct {
		Name    string `json:"name"`
		Percent string `json:"percent"`
	}

	// A FindingFile is one finding in formula.json and in what check prints as JSON.
	FindingFile struct {
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
)

// exactPlaces is how many places percents and exact grams have in formula.json.
const exactPlaces = 6

// formulaJSON gives a recipe's formula.json. shows says whether a material's page is in the edition; the file names of others
// are not given away. tellsLabel says whether a version's label copy may stand in it, keepsSums whether what was worked out of its emulsion and
// soap may not.
func formulaJSON(r *handbook.Recipe, worked []handbook.Worked, shows func(material string) bool, tellsLabel, keepsSums func(handbook.Worked) bool) ([]byte, error) {
	f := formulaFile{Schema: 1, Recipe: r.Slug, Title: r.Title, Product: r.Product.Name, Category: r.Product.Category}
	for _, w := range worked {
		file := newVersionFile(w, shows)
		if keepsSums(w) {
			file.Emulsion, file.Soap = nil, nil
		}
		if tellsLabel(w) {
			file.Listed, file.Contains = labelFile(w.Subject)
		}
		f.Versions = append(f.Versions, file)
	}
	return EncodeJSON(f)
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

// NewVersionFile gives a worked version in the shape of formula.json, for the maker. A batch that the version does not have is left out.
func NewVersionFile(w handbook.Worked) VersionFile {
	file := newVersionFile(w, func(string) bool { return true })
	file.Listed, file.Contains = labelFile(w.Subject)
	return file
}

func newVersionFile(w handbook.Worked, shows func(material string) bool) VersionFile {
	v := w.Version
	file := VersionFile{Name: v.Name, Kind: string(v.Kind), Batches: []batchFile{}, Contains: []allergen{}, Findings: []FindingFile{}}
	percents := v.Percents(exactPlaces)
	ids := make([]string, len(v.Items))
	for i, item := range v.Items {
		ids[i] = ingredientID(item, shows)
		file.Items = append(file.Items, itemFile{
			Phase: formula.Letter(item.Phase), PhaseName: v.Phases[item.Phase].Name, Ingredient: ids[i],
			Name: item.Name, Written: item.Amount.Written, Percent: percents[i].Text(exactPlaces),
		})
	}
	for _, b := range w.Batches {
		if b.Missing == nil {
			file.Batches = append(file.Batches, newBatchFile(v, b, ids, w.Scale))
		}
	}
	file.Emulsion, file.Soap = newEmulsionFile(w.Subject), newSoapFile(w.Subject)
	for _, f := range w.Findings {
		file.Findings = append(file.Findings, NewFindingFile(f))
	}
	return file
}

// newEmulsionFile gives what a version's oil phase asks for and its emulsifiers have; nil where it is no emulsion.
func newEmulsionFile(s *check.Subject) *emulsionFile {
	e, ok := s.Emulsion()
	if !ok {
		return nil
	}
	return &emulsionFile{RequiredHLB: middleHLB(e.Oil), HLB: middleHLB(e.Emulsifier), OilPhase: e.Oil.Weight.Text(exactPlaces)}
}

func middleHLB(b emulsion.Blend) string {
	middle, _ := b.Middle()
	if !b.Whole() {
		return ""
	}
	return middle.Text(exactPlaces)
}

// newSoapFile gives the alkalis of a soap, as weighed, and the superfat that they leave; nil where it is none, or cannot be worked out.
func newSoapFile(s *check.Subject) *soapFile {
	made, ok := s.Soap()
	if !ok || made.Err != nil {
		return nil
	}
	file := &soapFile{
		Superfat: made.Superfat.Text(exactPlaces),
		Range:    [2]string{made.Range.Low.Text(exactPlaces), made.Range.High.Text(exactPlaces)},
	}
	for _, a := range soap.Alkalis() {
		sum := quantity.Number{}
		for _, d := range made.Alkalis {
			if d.Alkali == a {
				sum = sum.Add(d.Weighed)
			}
		}
		if sum.Sign() > 0 {
			file.Alkali = append(file.Alkali, alkaliFile{Name: handbook.Slug(string(a)), Percent: sum.Text(exactPlaces)})
		}
	}
	return file
}

// ingredientID gives an item's material, or for one that nothing is known of or that is not shown, its name in the form of an id.
func ingredientID(item formula.Item, shows func(material string) bool) string {
	if item.Material != "" && shows(item.Material) {
		return item.Material
	}
	return handbook.Slug(item.Name)
}

func newBatchFile(v *formula.Version, b check.Batch, ids []string, scale quantity.Scale) batchFile {
	c := b.Column
	file := batchFile{Size: b.Written, NominalG: c.Nominal.Grams().Text(exactPlaces), TotalG: c.Total.Grams().Text(exactPlaces)}
	exact := v.Exact(c.Nominal)
	for i, item := range v.Items {
		file.Items = append(file.Items, weighFile{
			Ingredient: ids[i], Phase: formula.Letter(item.Phase), ExactG: exact[i].Text(exactPlaces),
			WeighG: c.Weights[i].Mass.Grams().Text(exactPlaces), WeighOz: c.Weights[i].Mass.ReadOunces().Text(3),
		})
	}
	if f := b.Sized.Filled; f != nil {
		file.Fill = &fillFile{Containers: f.Count, EachG: f.Each.Grams().Text(3), LeftG: scale.Round(f.Left).Grams().Text(exactPlaces)}
	}
	return file
}

// labelFile gives a version's ingredient lists, and the fragrance allergens that it holds.
func labelFile(s *check.Subject) (listFile, []allergen) {
	lists, allergens := label.Lists(labelSubject(s))
	found := []allergen{}
	for _, a := range allergens {
		found = append(found, allergen{Name: a.Name, Percent: a.Percent.Text(exactPlaces), Declare: a.Declare})
	}
	return listFile{EU: lists[0].String(), US: lists[1].String()}, found
}

// NewFindingFile gives a finding in the shape of formula.json.
func NewFindingFile(f check.Finding) FindingFile {
	return FindingFile{
		Code: f.Code, Level: string(f.Level), Subject: f.Subject, Value: f.Value, Limit: f.Limit, Unit: f.Unit, Market: f.Market,
		Source: f.Source, Message: f.Message, Mend: f.Mend, Accepted: f.Accepted,
	}
}
