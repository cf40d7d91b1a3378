package site

// sampleRecord is a filled view of a batch record's page.
func sampleRecord(assets map[string]string) *RecordView {
	return &RecordView{
		Frame: sampleFrame("batch", "HHC-1", "", assets), Name: "HHC-1", State: "made", Recipe: Link{Text: "Hedgerow hand cream", Href: "recipe.html"}, Version: "Night version", Size: "250 g",
		Facts: []Fact{{Name: "Made", Value: "9 June 2026"}, {Name: "Good until", Value: "9 December 2026", Source: "the recipe keeps 6 months"}},
		Rows: []RecordRow{
			{Name: "Glycerin", Href: "ingredient.html", Target: "7.50", Weighed: "7.52", Difference: "+0.02", Lots: []string{"G-204", "G-205"}},
			{Name: "Cedarwood fragrance", Target: "1.50", Weighed: "1.80", Difference: "+0.30", Off: true, Note: "the dropper ran"},
			{Name: "Vitamin E oil"},
		},
		Target: "9.00", Weighed: "9.32", Remarks: []RemarkView{{"stop", "Refused.", "Do not sell it."}, {"caution", "Off its target.", ""}, {"note", "Not released yet.", ""}},
		Findings: []RecordFinding{{FindingView{Code: "below-scale", Level: "caution", Message: "Too little to weigh."}, true}, {FindingView{Code: "hot", Level: "note", Message: "Hot oil burns."}, false}},
		Checked:  true, Costs: []Fact{{Name: "Materials", Value: "7.88 pounds"}}, Missing: []string{"Distilled water", "Vitamin E oil"}, Body: "<p>A warm day.</p>",
		Clauses: []ClauseView{{"lot", "6.4", "Raw materials"}}, Sources: "From memory.", Caution: english().Say("recipe.closing"),
	}
}

// sampleStock is a filled view of the page on stock.
func sampleStock(assets map[string]string) *StockView {
	link := []Link{{Text: "HHC-1", Href: "batch.html"}, {Text: "HHC-2", Href: "batch.html"}}
	return &StockView{
		Frame: sampleFrame("stock", "Stock", "", assets), Currency: "pounds", Total: "0.54", Unpriced: true, Untraced: "HHC-1: 3 g of Glycerin",
		Rows: []StockRow{
			{Name: "Glycerin", Href: "ingredient.html", There: "12.5", Needed: "30", For: link, Lots: []StockLot{{Code: "G-204", Holds: "20", Used: "7.5", Left: "12.5", Opened: "2026-01-02", Expires: "2027-01-02", In: link}, {Code: "G-205", Holds: "1", Used: "2", Left: "−1", Over: true}}},
			{Name: "Vitamin E oil", Lots: []StockLot{{Code: "VE-9", Used: "4.5"}}},
		},
		Shopping: []ShoppingRow{{Name: "Glycerin", Href: "ingredient.html", Grams: "17.5", Money: "0.54"}, {Name: "Vitamin E oil", Grams: "3", Unknown: true}},
	}
}
