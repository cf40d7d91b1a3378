package site

import "html/template"

// A RecordView is a batch record's page, in the maker's edition alone. Weights are in grams.
type RecordView struct {
	Frame
	Name     string // the batch's code
	State    string // planned, on the bench, made, in the words of the language, as all that is said here
	Recipe   Link   // Href is "" where the recipe is not known
	Version  string // "" for the base
	Size     string
	Facts    []Fact // made, by, yield, filled, pH, released, keeps until
	Rows     []RecordRow
	Target   string // the column's sum
	Weighed  string // the column's sum; "" where nothing is weighed
	Remarks  []RemarkView
	Findings []RecordFinding // on the formula as it was weighed
	Checked  bool            // the formula as weighed was checked
	Costs    []Fact
	Missing  []string // what the costs leave out
	Body     template.HTML
	Clauses  []ClauseView
	Sources  string // of the clauses
	Caution  string
}

// A RecordRow is one ingredient: Difference is signed, Off says that it is more than is allowed. What is not known is "".
type RecordRow struct {
	Name, Href, Target, Weighed, Difference, Note string
	Off                                           bool
	Lots                                          []string
}

// A RemarkView is something to know of a batch, at level stop, caution or note.
type RemarkView struct {
	Level, Message, Mend string
}

// A RecordFinding is a finding on a batch as weighed. New says that the recipe as written has none such.
type RecordFinding struct {
	FindingView
	New bool
}

// A ClauseView says what a part of the record answers in ISO 22716 and in the FDA's draft guidance.
type ClauseView struct {
	Field, ISO, FDA string
}

// A RecordsView lists the batches in groups: planned, on the bench, made.
type RecordsView struct {
	Frame
	Groups []RecordGroup
}

// A RecordGroup is the batches of one state, the latest first.
type RecordGroup struct {
	Name    string
	Records []RecordEntry
}

// A RecordEntry is one batch in the list. Yield, Until and Released may be "". Past says that it was past its date when it was made; Stops counts
// the stop findings on it as it was weighed that are not accepted.
type RecordEntry struct {
	Code, Href, Recipe, Size, Made, Yield, Until string
	Past                                         bool
	Stops                                        int
	Released                                     string // released, not released, refused, in words; "" before it is made
	State                                        string // planned, on the bench, made, in words; "" in the list of all, which is grouped by it
}

// A TakenView is a batch that an ingredient was weighed for: Weight is what was weighed in all, "" before; the lots are those that it came from.
type TakenView struct {
	RecordEntry
	Weight string
	Lots   []string
}

// A StockView is what there is of each material, what planned batches need, and what to buy.
type StockView struct {
	Frame
	Currency string
	Rows     []StockRow
	Shopping []ShoppingRow
	Total    string // of the prices that are known
	Unpriced bool   // some price is not known
	Untraced string // what was used without naming a lot, in words
	On       string // the day by which lots are past their dates; "" where no record tells one
}

// A StockRow is one material with its lots; There is "" where it is not known.
type StockRow struct {
	Name, Href, There, Needed string
	Lots                      []StockLot
	Together                  []string // what came from several lots in shares that no record tells, in words
	For                       []Link   // the batches that need it
}

// A StockLot is one lot: what it held, what is left, and the batches that took of it. Over says that more was used than it held;
// Untold that some record does not tell how much came from it, so that Used is the least and Left the most; Past that it is past its date and
// not counted.
type StockLot struct {
	Code, Holds, Used, Left, Opened, Expires string
	Over, Untold, Past                       bool
	In                                       []Link
}

// A ShoppingRow is what has to be bought of a material. Unknown says that nothing tells how much there is of it.
type ShoppingRow struct {
	Name, Href, Grams, Money string
	Unknown                  bool
}
