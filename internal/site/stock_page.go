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

// stock is the page on what there is and what is needed. It knows no day, so it counts lots whatever their dates say, and shows these.
func (s *Build) stock() (any, error) {
	v := &StockView{Frame: s.frame("stock", stockPath, "Stock", "", Link{Text: s.Title, Href: homePath}), Currency: s.Currency}
	ledger, total := record.NewLedger(s.Handbook), quantity.Number{}
	for _, st := range ledger.Stock(time.Time{}) {
		row := StockRow{Name: st.Name, Href: s.ownPage(st.ID, v.Root), For: recordLinks(needing(st.Needs), v.Root)}
		if st.There != nil {
			row.There = st.There.Grams().Text(6)
		}
		if st.Needed.Grams().Sign() > 0 {
			row.Needed = st.Needed.Grams().Text(6)
		}
		for _, l := range st.Lots {
			row.Lots = append(row.Lots, stockLot(l, v.Root))
		}
		v.Rows = append(v.Rows, row)
		if st.Price == nil {
			continue
		}
		buy := ShoppingRow{Name: st.Name, Href: row.Href, Grams: st.Short.Grams().Text(6), Unknown: st.There == nil}
		if st.Price.Unknown == "" {
			money := hundredths(st.Price.Money)
			buy.Money, total = money.Fixed(2), total.Add(money)
		}
		v.Unpriced = v.Unpriced || buy.Money == ""
		v.Shopping = append(v.Shopping, buy)
	}
	if total.Sign() > 0 {
		v.Total = total.Fixed(2)
	}
	for _, u := range ledger.Untraced {
		v.Untraced = append(v.Untraced, u.Record.Title+": "+u.Weight.Grams().Text(6)+" g of "+u.Line)
	}
	return v, nil
}

// ownPage gives the address of a material's page where the maker has written one.
func (s *Build) ownPage(id, root string) string {
	if i := s.byID[id]; i != nil && i.File != "" {
		return root + ingredientPath(i)
	}
	return ""
}

func stockLot(l *record.Lot, root string) StockLot {
	lot := StockLot{Code: l.Code, Used: l.Used().Grams().Text(6), Opened: l.Opened, Expires: l.Expires}
	if left := l.Left(); left != nil {
		lot.Holds, lot.Left = l.Holds.Grams().Text(6), strings.Replace(left.Grams().Text(6), "-", "−", 1)
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
