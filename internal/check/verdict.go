package check

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

// A verdict is a finding with the limit that it tells of.
type verdict struct {
	Finding
	most  quantity.Number
	about int // how many names the rule is about
}

// addStrictest adds a verdict, unless a stop of its code and subject is there already: then the stricter limit stays, and of
// equal ones that of the rule which is about fewer substances.
func addStrictest(all []verdict, next verdict) []verdict {
	i := slices.IndexFunc(all, func(v verdict) bool {
		return v.Level == Stop && v.Level == next.Level && v.Code == next.Code && v.Subject == next.Subject
	})
	if i < 0 {
		return append(all, next)
	}
	if closer := next.most.Cmp(all[i].most); closer < 0 || closer == 0 && next.about < all[i].about {
		all[i] = next
	}
	return all
}

// above tells of a passed maximum: a stop, or a caution where it is not clear that the limit holds here.
func (s *inspection) above(f *family, c *clause, most quantity.Number, reach law.Applicability) verdict {
	value, batches := c.most(most, s.weighed())
	v := verdict{s.told(c, "above-legal-maximum", Stop), most, len(c.Names)}
	v.Value, v.Limit, v.Unit = past(value, most, 4), most.String(), "%"
	v.Message = upper(weighedFor(batches)) + s.comesTo(c, value, most) + ", and " + c.Market + " law (" + place(c.Rule) + ") allows " + v.Limit + " %."
	v.Mend = s.lower(c, most, batches)
	if batches != nil && slight(value, most) {
		v.Level, v.Mend = Caution, "Weigh it rounded down, so that it stays within the limit."
	}
	if f.hedged || reach == law.Unclear {
		v.Code, v.Level = "restricted-see-entry", Caution
		v.Message = strings.TrimSuffix(v.Message, ".") + " " + s.doubt(f, c) + "."
		v.Mend += " Or read the entry, and accept this finding with the reason why it does not hold here."
	}
	if v.Message += c.supposing(); c.assumed != nil {
		v.Mend += " Or give the certificate's figure under allergens: on the ingredient's page."
	}
	return v
}

// slight says whether a value is past its limit by no more than a hundredth of it.
func slight(value, most quantity.Number) bool {
	return value.Sub(most).Mul(quantity.Int(100)).Cmp(most) <= 0
}

// most gives the value to tell: the exact one where that is past the limit, else the greatest as weighed, with the batches.
func (c *clause) most(limit quantity.Number, weighed []Batch) (quantity.Number, []string) {
	_, batches := c.over(limit, weighed)
	if batches == nil {
		return c.sum[0], nil
	}
	return slices.MaxFunc(c.sum, quantity.Number.Cmp), batches
}

// doubt says why it is not clear that a limit holds.
func (s *inspection) doubt(f *family, c *clause) string {
	switch {
	case f.hedged && f.purpose == law.ToPreserve:
		return "as a preservative; here it seems to be there for another purpose"
	case f.hedged && f.purpose == law.AsUVFilter:
		return "as a UV filter; here it seems to be there for another purpose"
	case f.hedged:
		return "as a fragrance; here it seems to be there for another purpose"
	case c.Scope == law.Elsewhere:
		return "outside the products that the entry lists; it is not clear whether " + s.product() + " is one of them"
	}
	return "in some products; it is not clear whether " + s.product() + " is one of them"
}

// banned tells of a ban.
func (s *inspection) banned(f *family, c *clause) verdict {
	v := verdict{Finding: s.told(c, "banned-substance", Stop), about: len(c.Names)}
	v.Value, v.Limit, v.Unit = c.sum[0].Text(4), "0", "%"
	if c.sum[0].Sign() > 0 {
		v.Value = past(c.sum[0], quantity.Number{}, 4)
	}
	who := joined(c.names) + s.from(c)
	v.Message = who + is(c.names) + "banned from cosmetics by " + c.Market + " law (" + place(c.Rule) + ")."
	switch {
	case c.Scope == law.Elsewhere:
		v.Message = c.Market + " law (" + place(c.Rule) + ") allows " + who + purposes[c.Purpose] + " only in the products that it lists, and " + s.product() + " is not among them."
	case c.Purpose != "":
		v.Message = who + is(c.names) + "banned" + purposes[c.Purpose] + " by " + c.Market + " law (" + place(c.Rule) + ")."
	}
	v.Mend = "Leave out " + s.items(c.items) + ", or take a material without it."
	if f.hedged {
		v.Code, v.Level = "restricted-see-entry", Caution
		v.Message = strings.TrimSuffix(v.Message, ".") + "; here it seems to be there for another purpose."
		v.Mend += " Or read the entry, and accept this finding with the reason why it does not hold here."
	}
	return v
}

var purposes = map[string]string{
	law.ToPreserve: " as a preservative", law.NotToPreserve: " for other purposes than preserving",
	law.AsFragrance: " as a fragrance", law.AsColour: " as a colourant", law.AsUVFilter: " as a UV filter",
}

// told begins a finding on a clause: its source is the row's.
func (s *inspection) told(c *clause, code string, level Level) Finding {
	return Finding{Code: code, Level: level, Subject: joined(c.names), Market: c.Market, Source: cited(c.Rule) + c.assumedSources(), Items: c.items}
}

// assumedSources cites what was taken to be in oils that do not tell.
func (c *clause) assumedSources() string {
	text := ""
	for _, a := range c.assumed {
		if !strings.Contains(text, a.Source) {
			text += "; " + a.Source
		}
	}
	return text
}

// supposing tells what was taken to be in oils that do not tell: a sentence to add, or "".
func (c *clause) supposing() string {
	if c.assumed == nil {
		return ""
	}
	a := c.assumed[0]
	return " How much " + a.Substance + " is in it the ingredient does not tell, so " + a.Percent.Text(2) + " % was taken."
}

// cited gives a rule's citation and where it was read.
func cited(r *law.Rule) string { return citing(r.Citation, r.Source, r.Status) }

func citing(citation, source, status string) string {
	if source != "" {
		citation += "; " + source
	}
	if status == "memory" && !strings.Contains(citation, "from memory") {
		citation += " (from memory)"
	}
	return citation
}

// place says where a rule stands, shortly: Annex V, entry 29.
func place(r *law.Rule) string {
	annex, n, ok := strings.Cut(r.Entry, "/")
	if r.Market == "EU" && ok {
		return "Annex " + annex + ", entry " + n
	}
	return strings.TrimPrefix(r.Citation, "Regulation (EC) No 1223/2009, ")
}

// comesTo says how much of the substances there is, and as what it counts.
func (s *inspection) comesTo(c *clause, value, most quantity.Number) string {
	amount, counts := past(value, most, 4), ""
	at := slices.IndexFunc(c.sum, func(n quantity.Number) bool { return n.Cmp(value) == 0 })
	if whole := c.outright()[max(at, 0)].Text(4); c.CountedAs != "" && c.CountedAs != "as is" && whole != amount {
		counts = ", which is " + amount + " % counted as " + c.CountedAs
		amount = whole
	}
	if c.guessed {
		counts = ", counted in full since it is not known how much " + c.CountedAs + " that is"
	}
	verb := " comes to "
	if len(c.names) > 1 {
		verb = " come to "
	}
	return joined(c.names) + s.from(c) + verb + amount + " %" + counts
}

// from names the lines that bring a substance, where that does not go without saying.
func (s *inspection) from(c *clause) string {
	if len(c.items) == 1 && len(c.names) == 1 && strings.EqualFold(s.Version.Items[c.items[0]].Name, c.names[0]) {
		return ""
	}
	return " (from " + s.items(c.items) + ")"
}

// items names lines, each name once.
func (s *inspection) items(items []int) string {
	var names []string
	for _, i := range items {
		if name := s.Version.Items[i].Name; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return joined(names)
}

// lower says to what the lines have to be lowered to stay within a maximum.
func (s *inspection) lower(c *clause, most quantity.Number, batches []string) string {
	switch {
	case batches != nil:
		return "Lower it a little, or make a batch that the scale reads more finely."
	case most.Sign() == 0 || c.sum[0].Sign() == 0:
		return "Leave out " + s.items(c.items) + "."
	}
	var parts []string
	for _, i := range c.items {
		parts = append(parts, s.Version.Items[i].Name+" to "+down(s.Version.Percent(i).Mul(most).Quo(c.sum[0]))+" %")
	}
	return "Lower " + joined(parts) + " at most."
}

// down writes a percent rounded down to 3 places, or exactly where little would be left.
func down(n quantity.Number) string {
	thousand := quantity.Int(1000)
	if whole, ok := n.Mul(thousand).Floor(); ok && whole >= 10 {
		return quantity.Int(whole).Quo(thousand).String()
	}
	return n.Text(6)
}

func (s *inspection) product() string {
	if s.Product.Name == "" {
		return "this product"
	}
	return "a product of the type “" + s.Product.Name + "”"
}

func is(names []string) string {
	if len(names) > 1 {
		return " are "
	}
	return " is "
}

// joined writes a list: a, b and c.
func joined(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// weighedFor names the batches in which alone something is past its limit.
func weighedFor(batches []string) string {
	if batches == nil {
		return ""
	}
	return "as it will be weighed for the batch of " + joined(batches) + ", "
}

func upper(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
