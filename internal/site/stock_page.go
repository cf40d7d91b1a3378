package site

import (
	"strings"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/record"
)

const stockPath = "stock/index.html"

// hasStock says whether the edition has a page on stock.
func (s *Build) hasStock() bool {
	if s.edition != MakerEdition {
		return false
	}
	for _, i := range s.Ingredients {
		if len(i.Material.Lots) > 0 {
			return true
		}
	}
	return len(s.records) > 0
}

// stock is the page on what there is and what is needed. It must not hang on the day on which it is built, so it counts lots by the latest day
// that the records tell of, and says so.
func (s *Build) stock() (any, error) {
	v := &StockView{Frame: s.frame("stock", stockPath, s.words.Say("menu.stock"), "", Link{Text: s.Title, Href: homePath}), Currency: s.Currency}
	ledger, total := record.NewLedger(s.Handbook), quantity.Number{}
	day := ledger.Day(s.Handbook)
	if !day.IsZero() {
		v.On = day.Format(time.DateOnly)
	}
	for _, st := range ledger.Stock(day) {
		row := StockRow{Name: st.Name, Href: s.ownPage(st.ID, v.Root), For: recordLinks(needing(st.Needs), v.Root)}
		if st.There != nil {
			row.There = s.words.Number(st.There.Grams().Text(3))
		}
		if st.Needed.Grams().Sign() > 0 {
			row.Needed = s.words.Number(st.Needed.Grams().Text(3))
		}
		for _, l := range st.Lots {
			row.Lots = append(row.Lots, s.stockLot(l, day, v.Root))
		}
		for _, u := range st.Together {
			row.Together = append(row.Together, s.words.Say("stock.together", "weight", s.weight(u.Weight.Grams()), "lots", strings.Join(u.Among, s.words.Say("list.or")), "batch", u.Record.Title))
		}
		v.Rows = append(v.Rows, row)
		if st.Price == nil {
			continue
		}
		buy := ShoppingRow{Name: st.Name, Href: row.Href, Grams: s.words.Number(st.Short.Grams().Text(3)), Unknown: st.There == nil}
		if st.Price.Unknown == "" {
			money := hundredths(st.Price.Money)
			buy.Money, total = s.words.Number(money.Fixed(2)), total.Add(money)
		}
		v.Unpriced = v.Unpriced || buy.Money == ""
		v.Shopping = append(v.Shopping, buy)
	}
	if total.Sign() > 0 {
		v.Total = s.words.Number(total.Fixed(2))
	}
	var untraced []string
	for _, u := range ledger.Untraced {
		untraced = append(untraced, s.words.Say("stock.untraced-of", "batch", u.Record.Title, "weight", s.weight(u.Weight.Grams()), "name", u.Line))
	}
	v.Untraced = strings.Join(untraced, "; ")
	return v, nil
}

// ownPage gives the address of a material's page where the maker has written one.
func (s *Build) ownPage(id, root string) string {
	if i := s.byID[id]; i != nil && i.File != "" {
		return root + ingredientPath(i)
	}
	return ""
}

func (s *Build) stockLot(l *record.Lot, day time.Time, root string) StockLot {
	number := func(m quantity.Mass) string { return s.words.Number(strings.Replace(m.Grams().Text(3), "-", "−", 1)) }
	lot := StockLot{Code: l.Code, Used: number(l.Used()), Opened: l.Opened, Expires: l.Expires, Untold: !l.Told(), Past: l.PastOn(day)}
	if left := l.Left(); left != nil {
		lot.Holds, lot.Left = number(*l.Holds), number(*left)
		lot.Over = left.Grams().Sign() < 0
	}
	var in []*handbook.Record
	for _, u := range l.Uses {
		in = append(in, u.Record)
	}
	lot.In = recordLinks(in, root)
	return lot
}

func needing(needs []record.Need) []*handbook.Record {
	var all []*handbook.Record
	for _, n := range needs {
		all = append(all, n.Record)
	}
	return all
}

// recordLinks gives links to batches, each once.
func recordLinks(records []*handbook.Record, root string) []Link {
	var all []Link
	seen := make(map[*handbook.Record]bool)
	for _, r := range records {
		if !seen[r] {
			seen[r] = true
			all = append(all, Link{Text: r.Title, Href: root + recordPath(r)})
		}
	}
	return all
}
