package check

import (
	"regexp"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/material"
)

// person finds materials that are not meant for whom or where the product is: babies, the eyes, the lips. It goes by the materials'
// cautions; one that tells a ban by law is a stop. What the law says of a substance and of colourants is told by other checks.
func person(s *inspection) []Finding {
	var found []Finding
	for n, w := range wearers {
		if w.holds(s) {
			for _, d := range s.doses {
				found = append(found, w.against(s, d, d.facts.worn[n])...)
			}
		}
	}
	return found
}

// A wearer is whom or where a product is for that some materials are not meant for.
type wearer struct {
	code, whom string
	holds      func(*inspection) bool
	codes      []string       // cautions of the catalogue that say so
	words      *regexp.Regexp // how a caution in its own words does
	but        *regexp.Regexp // and what makes it one for the bench; nil where nothing does
	others     []string       // roles of materials that other checks see to
}

var wearers = []wearer{
	{
		code: "infant", whom: "babies", holds: func(s *inspection) bool { return s.Product.Site == "baby" },
		codes: []string{"not-infants", "under-three", "do-not-swallow"},
		words: regexp.MustCompile(`(?i)\b(not|never|out of|away|keeps?)\b[^.;]*\b(infants?|bab(y|ies)|under three|young child(ren)?)\b`),
	},
	{
		code: "eye-area", whom: "where it can come into the eyes", holds: func(s *inspection) bool { return s.Product.Site == "face" },
		codes: []string{"not-face"},
		words: regexp.MustCompile(`(?i)\b(not|never|out of|away|keep|near)\b[^.;]*\b(eyes?|the face\b[^.;]*[.;]?$)`),
		but:   regexp.MustCompile(`(?i)\b(undiluted|neat|goggles|dust|splash\w*|child(ren)?|not on lips)\b`),
	},
	{
		code: "lips", whom: "lips", holds: func(s *inspection) bool { return s.Product.Site == "lips" || s.Product.Site == "mouth" },
		codes:  []string{"do-not-swallow"},
		words:  regexp.MustCompile(`(?i)\b(not|never|nor|out of|away|keep)\b[^.;]*\b(lips?|mouth)\b`),
		but:    regexp.MustCompile(`(?i)\bnose and mouth\b`),
		others: []string{"colourant"},
	},
}

// A worn is what a material's cautions say to a wearer.
type worn struct {
	said  []string // those in their own words
	coded bool     // whether one says so by its code
}

// reads reads a material's cautions.
func (w wearer) reads(m *material.Material) worn {
	if m.Has(w.others...) {
		return worn{}
	}
	said := slices.DeleteFunc(slices.Clone(m.Cautions), func(c string) bool {
		return !w.words.MatchString(c) || w.but != nil && w.but.MatchString(c)
	})
	return worn{said, warns(m, w.codes...)}
}

// against gives the finding on a material, with its cautions. A product that is rinsed off is not one that is left on.
func (w wearer) against(s *inspection, d *dose, worn worn) []Finding {
	said := slices.DeleteFunc(slices.Clone(worn.said), func(c string) bool {
		return s.Product.Category != "leave-on" && strings.Contains(c, "leave-on")
	})
	if len(said) == 0 && !worn.coded {
		return nil
	}
	f := Finding{
		Code: w.code, Level: Caution, Subject: d.name, Items: d.items, Value: shareText(d), Unit: "%", Source: "common practice",
		Message: d.name + ", " + shareText(d) + " % of this " + s.what() + ", is not meant for " + w.whom + ".",
		Mend:    "Leave it out, or take a material that is meant for it.",
	}
	for _, c := range said {
		if in := sourceOf.FindStringSubmatch(c); in != nil {
			f.Source = in[1]
		}
		if law := forbids.FindStringSubmatch(c); law != nil {
			f.Level, f.Market = Stop, law[1]
		}
	}
	if len(said) > 0 {
		f.Message += " Its caution: " + strings.Join(said, " ")
	}
	return []Finding{f}
}

var (
	sourceOf = regexp.MustCompile(`\(([^()]+)\)\.$`)                              // where a caution in its own words is from
	forbids  = regexp.MustCompile(`^(EU|US)\b[^:]*: (not for|not in products)\b`) // how it tells an unconditional ban
)
