package record

// A Clause says which parts of good manufacturing practice one part of a batch record answers. All of it is from memory.
type Clause struct {
	Field string
	ISO   string // clauses of ISO 22716:2007
	FDA   string // headings of the FDA's draft guidance of June 2013
}

// ClauseSources says what the clauses are of and how far they are to be trusted.
const ClauseSources = "ISO 22716:2007, and the FDA's Draft Guidance for Industry: Cosmetic Good Manufacturing Practices of June 2013, which binds nobody " +
	"(21 CFR Parts 210 and 211 are for drugs and do not apply). All from memory: look them up in the texts before you lean on them."

// Clauses lists the parts of a batch record in its order, as the package comment has them.
func Clauses() []Clause {
	return []Clause{
		{"batch (the code)", "7.2.3", "Records: a batch or lot number"},
		{"recipe, version, size, targets", "7.2.1, 17", "Documentation: a master formula"},
		{"made, by", "7.2.4, 17", "Records: production"},
		{"weighed, tolerance, note", "7.2.2, 7.2.5, 13", "Production: weights checked and recorded"},
		{"lot", "6.4, 6.5, 7.2.2", "Raw materials: lots identified and traceable"},
		{"expiry of lots", "6.6, 6.7", "Raw materials: re-tested or replaced when past their date"},
		{"yield, filled", "7.2.5, 7.3", "Records: quantities made and filled"},
		{"ph", "9.3, 9.4", "Laboratory controls: in-process results"},
		{"checked (by, on, passed)", "8.2, 9.4", "Records: release or refusal, signed and dated"},
		{"lot → batches (facts --lot)", "14.3", "Complaints, adverse events and recalls"},
		{"remarks (the page's text)", "10, 13", "Records: deviations and what was done"},
		{"stock and needs", "6.6, 7.2.7", "Raw materials: storage and stock"},
	}
}
