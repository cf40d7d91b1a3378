package law

import (
	_ "embed"
	"sync"
	"time"

	"larkrow.example/stillroom/internal/quantity"
)

//go:embed label-rules.csv
var labelCSV string

// A Label is a rule on labels.
type Label struct {
	ID         string // eu-one-percent-rule, us-one-percent-rule
	Market     string
	Citation   string
	Words      string           // in our words
	Prescribed []string         // words that the law prescribes; several are a choice
	Value      *quantity.Number // nil where the rule has no figure
	To         *quantity.Number // the upper end, where the figure is a range
	Unit       string           // of Value, as in "percent (less than)"
	Date       time.Time        // zero where the rule has none
	Source     string
	Status     string // read or memory
	TextDate   string
}

var labels = sync.OnceValue(func() []Label {
	var all []Label
	for _, row := range records(labelCSV) {
		l := Label{
			ID: row["id"], Market: row["market"], Citation: row["citation"], Words: row["words"],
			Prescribed: list(row["prescribed"]), Value: number(row["value"]), To: number(row["to"]), Unit: row["unit"],
			Date: date(row["date"]), Status: row["status"],
		}
		l.Source, l.TextDate = cite(row["source"])
		all = append(all, l)
	}
	return all
})

// LabelRules gives all rules on labels. The list is shared: leave it unchanged.
func LabelRules() []Label { return labels() }

// LabelRule gives a rule on labels by its id.
func LabelRule(id string) (Label, bool) {
	l, ok := labelsByID()[id]
	return l, ok
}

var labelsByID = sync.OnceValue(func() map[string]Label {
	byID := make(map[string]Label)
	for _, l := range labels() {
		if _, taken := byID[l.ID]; !taken {
			byID[l.ID] = l
		}
	}
	return byID
})
