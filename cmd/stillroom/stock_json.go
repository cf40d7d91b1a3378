package main

import (
	"strings"
	"time"

	"larkrow.example/stillroom/internal/record"
)

// stockFile is the shape of the JSON: weights are grams, as decimal strings; what is not known is "".
type stockFile struct {
	Schema    int                 `json:"schema"`
	On        string              `json:"on"`
	Currency  string              `json:"currency"`
	Materials []stockFileMaterial `json:"materials"`
}

type stockFileMaterial struct {
	Ingredient string         `json:"ingredient"`
	Name       string         `json:"name"`
	There      string         `json:"there_g"`
	Needed     string         `json:"needed_g"`
	Short      string         `json:"to_buy_g"`
	Cost       string         `json:"to_buy_cost"`
	Lots       []stockFileLot `json:"lots"`
	Together   []stockFileMix `json:"together"`
	Needs      []stockFileUse `json:"needs"`
}

type stockFileLot struct {
	Lot     string         `json:"lot"`
	Opened  string         `json:"opened"`
	Expires string         `json:"expires"`
	Past    bool           `json:"past_its_date"`
	Holds   string         `json:"holds_g"`
	Used    string         `json:"used_g"`
	Left    string         `json:"left_g"`
	Uses    []stockFileUse `json:"batches"`
}

// stockFileMix is what a batch took of several lots together, where its record does not tell the shares: then the batch has no grams at the lots, and
// what is left of each is the most.
type stockFileMix struct {
	Batch string   `json:"batch"`
	Grams string   `json:"g"`
	Lots  []string `json:"lots"`
}

type stockFileUse struct {
	Batch string `json:"batch"`
	Grams string `json:"g"`
}

func newStockFile(stock []record.Stock, day time.Time, currency string) stockFile {
	f := stockFile{Schema: 1, On: day.Format(time.DateOnly), Currency: currency, Materials: []stockFileMaterial{}}
	for _, s := range stock {
		m := stockFileMaterial{
			Ingredient: s.ID, Name: s.Name, Needed: s.Needed.Grams().Text(6), Short: s.Short.Grams().Text(6),
			Lots: []stockFileLot{}, Together: []stockFileMix{}, Needs: []stockFileUse{},
		}
		if strings.HasPrefix(m.Ingredient, "?") {
			m.Ingredient = "" // nothing is known under this name
		}
		if s.There != nil {
			m.There = s.There.Grams().Text(6)
		}
		if s.Price != nil && s.Price.Unknown == "" {
			m.Cost = s.Price.Money.Fixed(2)
		}
		for _, l := range s.Lots {
			m.Lots = append(m.Lots, newStockFileLot(l, day))
		}
		for _, u := range s.Together {
			m.Together = append(m.Together, stockFileMix{u.Record.Code, u.Weight.Grams().Text(6), u.Among})
		}
		for _, n := range s.Needs {
			m.Needs = append(m.Needs, stockFileUse{n.Record.Code, n.Weight.Grams().Text(6)})
		}
		f.Materials = append(f.Materials, m)
	}
	return f
}

func newStockFileLot(l *record.Lot, day time.Time) stockFileLot {
	f := stockFileLot{Lot: l.Code, Opened: l.Opened, Expires: l.Expires, Past: l.PastOn(day), Used: l.Used().Grams().Text(6), Uses: []stockFileUse{}}
	if left := l.Left(); left != nil {
		f.Holds, f.Left = l.Holds.Grams().Text(6), left.Grams().Text(6)
	}
	for _, u := range l.Uses {
		use := stockFileUse{Batch: u.Record.Code}
		if u.Told() {
			use.Grams = u.Weight.Grams().Text(6)
		}
		f.Uses = append(f.Uses, use)
	}
	return f
}
