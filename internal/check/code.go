package check

import "slices"

// A Level says how much a finding matters.
type Level string

// The levels.
const (
	Stop    Level = "stop"    // do not make or sell as written
	Caution Level = "caution" // can go wrong
	Note    Level = "note"    // worth knowing
)

func (l Level) rank() int {
	return slices.Index([]Level{Note, Caution, Stop}, l)
}

// codes has every code that a finding can have. A recipe may accept any but accept-unused.
var codes = []string{
	"total-not-100", "above-legal-maximum", "banned-substance", "restricted-see-entry", "above-usual-maximum",
	"below-usual-minimum", "no-preservative", "preservation-gap", "preservative-ph", "fragrance-above-maximum",
	"fragrance-no-certificate", "phototoxic", "allergen-to-declare", "will-discolour", "added-too-hot", "no-emulsifier",
	"too-little-emulsifier", "emulsion-unbalanced", "lye-excess", "superfat-unusual", "lye-strength-unusual", "below-scale",
	"fill-unknown", "volume-without-density", "keeps-too-long", "spoils", "caustic", "dust", "hot", "flammable", "slippery",
	"ingestible-lookalike", "drug-claim", "infant", "eye-area", "lips", "unknown-material", "colourant-use", "accept-unused",
}

// Codes gives every code that a finding can have.
func Codes() []string { return slices.Clone(codes) }
