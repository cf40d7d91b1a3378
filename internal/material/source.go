package material

// A Status says how far a figure can be trusted.
type Status string

// The statuses of a figure. The zero value stands for a handbook's page, whose maker answers for it.
const (
	Read     Status = "read"            // read in a public copy of its source
	Memory   Status = "memory"          // remembered, and not looked up
	Computed Status = "computed"        // worked out from constants
	Practice Status = "common practice" // a habit of the trade, with no published source
)

// A Sourced value is a fact with where it is from. Known tells a fact from its absence; Source may be "" (common practice).
type Sourced[T any] struct {
	Value  T
	Source string
	Status Status
	Known  bool
}

// A Source is a publication, or a kind of one, that figures are from. A remembered one says so in its text.
type Source struct {
	ID        string
	Text      string // as shown beside a figure, "" for common practice
	Addresses []string
	Status    Status
}

// shown gives how a source is written beside a figure, so that nothing remembered looks as if it had been read.
func (s Source) shown() string {
	switch {
	case s.Status != Memory:
		return s.Text
	case s.Text == "":
		return "from memory"
	}
	return s.Text + ", from memory"
}
