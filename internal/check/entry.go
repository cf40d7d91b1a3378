package check

import (
	"regexp"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// inWords tells of a family whose condition the formula cannot answer: it is in words, it asks for a pure material, or for
// words on the label. Each once, and only where the condition can matter.
func (s *inspection) inWords(f *family) (verdict, bool) {
	for _, c := range f.clauses {
		if say := s.condition(c); say != nil && !s.settled(c) {
			return verdict{Finding: say(s, c)}, true
		}
	}
	return verdict{}, false
}

// condition gives how to tell of a clause's condition, or nil where it has none that can matter.
func (s *inspection) condition(c *clause) func(*inspection, *clause) Finding {
	switch {
	case c.Duty == law.Words:
		return (*inspection).conditionInWords
	case c.Duty == law.Warn && c.warns(s.weighed()):
		return (*inspection).wordsDue
	case c.Duty == law.Purity:
		return (*inspection).purity
	case c.Duty == law.AtMost && (c.MoreWords || s.concerned(c.concerns)):
		return (*inspection).conditionInWords
	}
	return nil
}

// atTheBottle says whether a rule is about the peroxides of a material. They hang on the age of the bottle, not on the formula,
// and nearly every fragrance falls under such a rule: the oils' own pages say how to keep them.
func atTheBottle(r *law.Rule) bool {
	return r.Duty == law.Purity && strings.Contains(strings.ToLower(r.Conditions), "peroxide value")
}

// warns says whether label words are due, or may be: above the maximum, or always where there is none.
func (c *clause) warns(batches []Batch) bool {
	if c.Max == nil || c.guessed {
		return true
	}
	past, _ := c.over(*c.Max, batches)
	return past
}

func (s *inspection) conditionInWords(c *clause) Finding {
	v := s.told(c, "restricted-see-entry", Caution)
	v.Value, v.Unit = c.outright()[0].Text(4), "%"
	v.Message = joined(c.names) + s.from(c) + is(c.names) + "listed in " + c.Market + " law (" + place(c.Rule) + ") with a condition that this formula cannot answer: " + spoken(c.Conditions)
	if c.MoreWords {
		v.Message += " The entry says more than is told here."
	}
	v.Mend = "Read the entry, see that the product keeps to it, and accept this finding with the reason."
	if c.pH != nil {
		v.Mend = "Measure the product's pH and give it as ph:, or accept this finding with the reason."
	}
	return v
}

func (s *inspection) purity(c *clause) Finding {
	v := s.told(c, "restricted-see-entry", Caution)
	v.Value, v.Unit = c.outright()[0].Text(4), "%"
	v.Message = joined(c.names) + s.from(c) + is(c.names) + "open in " + c.Market + " law (" + place(c.Rule) + ") only in a certain purity: " + spoken(c.Conditions)
	if c.Max != nil {
		v.Message += " At most " + c.Max.String() + " % of " + c.CountedAs + "."
	}
	v.Mend = "Ask the supplier for a certificate that says so, and accept this finding with its date."
	return v
}

func (s *inspection) wordsDue(c *clause) Finding {
	v := s.told(c, "restricted-see-entry", Caution)
	v.Value, v.Unit = c.outright()[0].Text(4), "%"
	due, when := "are", ""
	if c.reach == law.Unclear || c.guessed {
		due = "may be"
	}
	if c.Max != nil {
		when, v.Limit = " above "+c.Max.String()+" % of "+c.CountedAs, c.Max.String()
	}
	v.Message = "With " + joined(c.names) + s.from(c) + " the words “" + c.LabelWords + "” " + due + " due on the label" + when + " by " + c.Market + " law (" + place(c.Rule) + ")."
	if c.guessed {
		v.Value, v.Limit = "", ""
		v.Message = strings.TrimSuffix(v.Message, ".") + "; how much that is the formula does not tell."
	}
	v.Mend = "Put the words on the label, or ask the supplier how much it is and accept this finding with the figure."
	return v
}

// spoken gives a condition as it is told to a maker: without the remarks on misprints in what was read.
func spoken(conditions string) string {
	var kept []string
	for sentence := range strings.SplitSeq(strings.TrimSuffix(conditions, "."), ". ") {
		if !strings.Contains(sentence, "CAS ") && !strings.Contains(sentence, "export") && sentence != "No percentage" {
			kept = append(kept, strings.TrimPrefix(sentence, "No percentage: "))
		}
	}
	if kept == nil {
		return "see the entry."
	}
	return strings.Join(kept, ". ") + "."
}

// A concern is a condition, by the words that the tables of law tell it in, that matters for some products.
var concerns = [...]struct {
	words   *regexp.Regexp
	matters func(law.Product) bool
}{
	{regexp.MustCompile(`(?i)breathed in`), func(p law.Product) bool { return p.Name == "body powder" }},
	{regexp.MustCompile(`(?i)breathed in|\b(?:not|no|or) (?:in )?sprays?\b`), func(p law.Product) bool {
		return p.Name == "body mist" || p.Name == "perfume"
	}},
	{regexp.MustCompile(`(?i)nitros|alpha-terthienyl|hydroquinone only|ethylene glycol in it`), func(law.Product) bool { return true }},
	{regexp.MustCompile(`(?i)not for children|nappy area`), func(p law.Product) bool { return p.Site == "baby" }},
	{regexp.MustCompile(`(?i)not\b.*\b(?:lips|mucous membranes)`), func(p law.Product) bool { return p.Site == "lips" || p.Site == "mouth" }},
	{regexp.MustCompile(`(?i)large areas`), func(p law.Product) bool { return p.Category == "leave-on" && p.Site == "body" }},
	{phBound, func(law.Product) bool { return true }},
}

// concernsOf says of which concerns a condition tells.
func concernsOf(conditions string) (told [len(concerns)]bool) {
	for i, c := range concerns {
		told[i] = c.words.MatchString(conditions)
	}
	return told
}

// concerned says whether one of the concerns that are told of matters for the product.
func (s *inspection) concerned(told [len(concerns)]bool) bool {
	for i, c := range concerns {
		if told[i] && c.matters(s.Product) {
			return true
		}
	}
	return false
}

// settled says whether the formula answers a condition after all: by its pH, or since what is listed has become soap.
func (s *inspection) settled(c *clause) bool {
	if c.pH != nil {
		return s.keepsTo(c.pH[0], c.pH[1]) || alkalis(c.alike) && (s.saponified() || s.leftOver(c))
	}
	return c.freeMade && s.saponified()
}

// madeFrom is how the tables of law tell that a rule on a material does not reach what is made from it.
var madeFrom = regexp.MustCompile(`what is made from \w+ is free`)

// phBound is how the tables of law tell a bound of the product's pH.
var phBound = regexp.MustCompile(`pH (at most|below|above|at least) (\d+(?:\.\d+)?)`)

// keepsTo says whether the product's pH keeps to a bound.
func (s *inspection) keepsTo(how, bound string) bool {
	n, err := quantity.ParseNumber(bound)
	if s.PH == nil || err != nil {
		return false
	}
	switch how {
	case "at most":
		return s.PH.High.Cmp(n) <= 0
	case "below":
		return s.PH.High.Cmp(n) < 0
	case "above":
		return s.PH.Low.Cmp(n) > 0
	}
	return s.PH.Low.Cmp(n) >= 0
}

// alkalis says whether all of these are alkalis that make soap.
func alkalis(names []string) bool {
	return !slices.ContainsFunc(names, func(name string) bool { _, ok := soap.FindAlkali(name); return !ok })
}

// saponified says whether the fats take up the alkali and become soap: in a recipe with a soap: block, or where the lye that
// is listed leaves between none and half of the fats as they are (common practice, no source). Free alkali is another check.
func (s *inspection) saponified() bool {
	if s.Lye != nil {
		return true
	}
	mix := s.readSoap(s.exactly(), nil)
	r, err := soap.Backwards(mix.Fats, mix.Alkalis, mix.Water)
	return err == nil && r.Superfat.Sign() >= 0 && r.Superfat.Cmp(quantity.Int(50)) <= 0
}

// leftOver says whether an alkali is only what is left of it in materials of another kind, too little to tell in a product's
// pH (common practice, no source).
func (s *inspection) leftOver(c *clause) bool {
	return !slices.ContainsFunc(c.items, func(i int) bool { return len(s.Materials[i].Roles) == 0 || s.Materials[i].Has("alkali", "ph-adjuster") })
}
