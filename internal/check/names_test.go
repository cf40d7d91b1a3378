package check

import (
	"regexp"
	"slices"
	"strings"
)

// ProductTypes gives the product types that checks name.
func ProductTypes() []string {
	return slices.Concat(soaps, washes, baths, scrubs, masks, slick, treats)
}

// CautionCodes gives the cautions that checks go by.
func CautionCodes() []string {
	codes := []string{"caustic", "corrosive", "dust", "hot", "flammable", "oily-rags"}
	for _, w := range wearers {
		codes = append(codes, w.codes...)
	}
	return codes
}

// Promises gives the words of a sentence that promise what a medicine does, as the patterns alone find them and as they are looked for.
func Promises(sentence string) (byPatterns bool, found []string) {
	return slices.ContainsFunc(promised, func(p *regexp.Regexp) bool { return p.MatchString(sentence) }), promises(sentence)
}

// Ailments gives the patterns of the ailments that a promise is against.
func Ailments() []string { return strings.Split(ailments, "|") }

// DrugClaims is the check of claims alone.
func DrugClaims(s *Subject) []Finding { return drugClaims(inspect(s)) }

// Folded gives the form of a name that is equal for names that differ in case alone.
func Folded(name string) string { return folded(name) }
