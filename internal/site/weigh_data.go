package site

import (
	"encoding/json"
	"html/template"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
)

// The data that a recipe's page carries so that its script can weigh batches of other sizes. Numbers are exact: whole ones or fractions,
// 12 or 7/20; weights are in grams. It stands in the page's content, and so is sealed with it.
type (
	weighData struct {
		Scale    [][2]string         `json:"scale"` // what is read, and up to which load; the last range has no end
		Fills    []weighFill         `json:"fills"`
		Versions []weighVersion      `json:"versions"`
		Names    map[string][]string `json:"names,omitempty"` // other names of what the formula calls so
	}

	weighFill struct {
		Container string `json:"container"`
		Takes     string `json:"takes"` // 0 where it is not known
		Loss      string `json:"loss"`  // percent
		Unknown   string `json:"unknown,omitempty"`
	}

	// Balance are the items that may take up the rounding, the first choice first; Instead are those of a batch that uses one of them up.
	weighVersion struct {
		ID      string        `json:"id"`
		Kind    string        `json:"kind"`
		Phases  []string      `json:"phases"`
		Items   []weighItem   `json:"items"`
		Balance []int         `json:"balance"`
		Instead map[int][]int `json:"instead"`
		Portion *weighPortion `json:"portion,omitempty"`
	}

	weighItem struct {
		Name  string `json:"name"`
		Phase int    `json:"phase"`
		Share string `json:"share"` // of 1
		Grave bool   `json:"grave,omitempty"`
	}

	weighPortion struct {
		Share string `json:"share"` // of 1
		Items int    `json:"items"` // that are the base's
	}
)

// weighID is the id of the element that has a page's data for weighing.
const weighID = "weigh--data"

// newWeighData gives what the batches of worked versions are weighed from. secret says of which materials nothing may be told but name and amount.
func newWeighData(worked []handbook.Worked, secret map[string]bool) weighData {
	d := weighData{Fills: []weighFill{}}
	for i, w := range worked {
		if i == 0 {
			d.Scale, d.Fills = scaleData(w.Scale), fillData(w.Fills)
		}
		d.Versions = append(d.Versions, newWeighVersion(w, versionID(i), secret))
		d.nameMaterials(w, secret)
	}
	return d
}

// nameMaterials notes the other names of a version's materials, as far as each means that material alone.
func (d *weighData) nameMaterials(w handbook.Worked, secret map[string]bool) {
	for i, item := range w.Version.Items {
		m := w.Materials[i]
		if m == nil || secret[m.ID] || secret[item.Material] || d.Names[item.Name] != nil {
			continue
		}
		var others []string
		for _, name := range append([]string{m.Name}, m.Also...) {
			if found := w.Index.Find(name); found != nil && found.ID == m.ID && !strings.EqualFold(name, item.Name) && !slices.Contains(others, name) {
				others = append(others, name)
			}
		}
		if others == nil {
			continue
		}
		if d.Names == nil {
			d.Names = make(map[string][]string)
		}
		d.Names[item.Name] = others
	}
}

func scaleData(scale quantity.Scale) [][2]string {
	var ranges [][2]string
	for _, r := range scale.Ranges() {
		upTo := ""
		if r.UpTo.Grams().Sign() > 0 {
			upTo = exactly(r.UpTo.Grams())
		}
		ranges = append(ranges, [2]string{exactly(r.Reads.Grams()), upTo})
	}
	return ranges
}

func fillData(fills []formula.Fill) []weighFill {
	data := []weighFill{}
	for _, f := range fills {
		data = append(data, weighFill{Container: f.Container, Takes: exactly(f.Takes.Grams()), Loss: exactly(f.Loss), Unknown: f.Unknown})
	}
	return data
}

func newWeighVersion(w handbook.Worked, id string, secret map[string]bool) weighVersion {
	v := w.Version
	data := weighVersion{ID: id, Kind: string(v.Kind), Balance: append([]int{}, v.Balances(-1)...), Instead: map[int][]int{}}
	for _, p := range v.Phases {
		data.Phases = append(data.Phases, p.Name)
	}
	for i, item := range v.Items {
		m := w.Materials[i]
		grave := m != nil && !secret[item.Material] && m.Has("preservative", "alkali") // as the finding below-scale has it
		data.Items = append(data.Items, weighItem{Name: item.Name, Phase: item.Phase, Share: exactly(v.Share(i)), Grave: grave})
	}
	for _, i := range data.Balance {
		data.Instead[i] = append([]int{}, v.Balances(i)...)
	}
	if p := v.Portion; p != nil {
		data.Portion = &weighPortion{Share: exactly(p.Share), Items: p.Items}
	}
	return data
}

// exactly writes a number as a whole one or a fraction, such as 12 or 7/20.
func exactly(n quantity.Number) string { return n.Rat().RatString() }

// drawWeighData puts the data into the page, as a block that no browser runs.
func drawWeighData(d weighData) template.HTML {
	if !slices.ContainsFunc(d.Versions, func(v weighVersion) bool { return len(v.Items) > 0 }) {
		return ""
	}
	text, err := json.Marshal(d) // in which < and & are escaped
	if err != nil {
		panic("site: " + err.Error()) // strings and whole numbers can be written
	}
	return template.HTML(`<script type="application/json" id="` + weighID + `">` + string(text) + `</script>`) //nolint:gosec // see above
}
