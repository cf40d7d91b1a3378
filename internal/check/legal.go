package check

import (
	"cmp"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

// legal finds substances past the law's maximum or banned, EU and US, in percent of the product by weight, by the limits
// of package law whose citation each finding carries. A substance is summed over all that brings it, a group of substances
// as what the law counts it; the exact percents and those of each batch as weighed are checked. Of several limits the
// strictest that is passed is told. Where the law cannot be judged from the formula see entryFinding.
//
// Lines of which no material is known are judged by what their names can mean.
func legal(s *inspection) []Finding { return s.byName(lawOf) }

func lawOf(s *inspection) []Finding {
	if !s.onSkin() {
		return nil
	}
	var found []Finding
	substances := s.substances(func(c *constituent) bool { return len(c.rulings) > 0 })
	for _, market := range markets() {
		var here []verdict
		all := s.families(market, substances)
		for _, f := range all {
			if next, ok := s.judge(f, all); ok {
				here = addStrictest(here, next)
			}
		}
		for _, v := range here {
			found = append(found, v.Finding)
		}
	}
	return append(append(found, s.bannedMaterials(found)...), s.contentUnknown()...)
}

// bannedMaterials finds materials that a market bans as such, where the ban of a substance in them does not tell already.
func (s *inspection) bannedMaterials(told []Finding) []Finding {
	var found []Finding
	for i, m := range s.Materials {
		if m == nil {
			continue
		}
		for _, market := range m.BannedIn.Value {
			same := func(f Finding) bool {
				return f.Code == "banned-substance" && f.Market == market && slices.Contains(f.Items, i)
			}
			if slices.ContainsFunc(told, same) {
				continue
			}
			name := s.Version.Items[i].Name
			if n := slices.IndexFunc(found, func(f Finding) bool { return f.Subject == name && f.Market == market }); n >= 0 {
				found[n].Items = append(found[n].Items, i)
				continue
			}
			found = append(found, Finding{
				Code: "banned-substance", Level: Stop, Subject: name, Market: market, Items: []int{i},
				Source:  citing(cmp.Or(m.BannedIn.Source, "common practice"), "", string(m.BannedIn.Status)),
				Message: name + " is banned from cosmetics in the " + market + ".", Mend: "Leave out " + name + ".",
			})
		}
	}
	return found
}

// A family is the rules of one group for one purpose, with what the version holds of their substances.
type family struct {
	market, group, purpose string
	hedged                 bool // the substance is there for another purpose, which no rule opens
	clauses                []*clause
	widest                 *quantity.Number // the greatest maximum of rules that do not reach the product
}

// A clause is rules of a family that ask for the same, with the sum of what they count.
type clause struct {
	*ruling // the first of them
	reach   law.Applicability
	names   []string // of the substances
	alike   []string // the same by EU name
	sum     levels
	whole   levels // the substances as they are; nil where that is the sum
	items   []int
	guessed bool          // one of them was counted in full, since its share is not known
	assumed []law.Content // what was taken to be in oils that do not tell
}

// families gathers the rules of a market on the substances of a version.
func (s *inspection) families(market string, substances []*substance) []*family {
	var all []*family
	for _, sub := range substances {
		ruled := sub.first.rulings[market]
		for n := range ruled.rules {
			r := &ruled.rules[n]
			if parts, hedged := s.parts(sub, r, ruled.opensOther); len(parts) > 0 {
				all = s.file(all, sub, r, parts, hedged)
			}
		}
	}
	return all
}

// parts gives what of a substance a rule is about by its purpose. It is hedged where nothing of it has the purpose.
func (s *inspection) parts(sub *substance, r *ruling, opensOther bool) (parts []brought, hedged bool) {
	has := func(p func(use) bool) bool {
		return slices.ContainsFunc(sub.brought, func(b brought) bool { return p(b.use) })
	}
	switch r.Purpose {
	case law.ToPreserve:
		if !opensOther {
			return sub.brought, !has(func(u use) bool { return u.preserves })
		}
		// What another rule opens for other purposes is that rule's matter, to which what preserves counts along.
		if sure := keep(sub.brought, func(u use) bool { return u.preserves && !u.other }); len(sure) > 0 {
			return sure, false
		}
		return keep(sub.brought, func(u use) bool { return u.preserves }), true
	case law.NotToPreserve:
		if !has(func(u use) bool { return u.other }) {
			return nil, false
		}
	case law.AsFragrance:
		if scents := keep(sub.brought, func(u use) bool { return u.scents }); len(scents) > 0 {
			return scents, false
		}
		return sub.brought, true
	case law.AsUVFilter:
		return sub.brought, !s.page.presentsSunCare()
	}
	return sub.brought, false
}

func keep(all []brought, p func(use) bool) []brought {
	var kept []brought
	for _, b := range all {
		if p(b.use) {
			kept = append(kept, b)
		}
	}
	return kept
}

// file adds a substance to the clause of its family.
func (s *inspection) file(all []*family, sub *substance, r *ruling, parts []brought, hedged bool) []*family {
	i := slices.IndexFunc(all, func(f *family) bool { return f.market == r.Market && f.group == r.Group && f.purpose == r.Purpose })
	if i < 0 {
		i = len(all)
		all = append(all, &family{market: r.Market, group: r.Group, purpose: r.Purpose, hedged: true})
	}
	f := all[i]
	f.hedged = f.hedged && hedged
	reach := s.applies(r.Rule)
	if reach == law.DoesNotApply {
		if r.Duty == law.AtMost && r.Max != nil && r.InForce(s.day()) && (f.widest == nil || r.Max.Cmp(*f.widest) > 0) {
			f.widest = r.Max
		}
		return all
	}
	s.count(f.clause(r, reach), r, sub, parts)
	return all
}

func (f *family) clause(r *ruling, reach law.Applicability) *clause {
	for _, c := range f.clauses {
		if c.Duty == r.Duty && c.reach == reach && equal(c.Max, r.Max) && c.Conditions == r.Conditions && c.Entry == r.Entry || c.sameLimit(r, reach) {
			return c
		}
	}
	c := &clause{ruling: r, reach: reach}
	f.clauses = append(f.clauses, c)
	return c
}

// sameLimit says whether a rule is one limit with the clause's: rules of one group and maximum are kept by their sum,
// in whatever scope they reach the product.
func (c *clause) sameLimit(r *ruling, reach law.Applicability) bool {
	return c.Duty == law.AtMost && r.Duty == law.AtMost && c.reach == reach && c.Max != nil && equal(c.Max, r.Max)
}

func equal(a, b *quantity.Number) bool {
	return a == nil && b == nil || a != nil && b != nil && a.Cmp(*b) == 0
}

// count counts a substance, on which a rule of the clause is, towards the clause: once.
func (s *inspection) count(c *clause, r *ruling, sub *substance, parts []brought) {
	if slices.Contains(c.alike, sub.inci) {
		return
	}
	c.alike, c.names = append(c.alike, sub.inci), append(c.names, nameIn(c.Market, sub))
	counted, known := r.counts, r.sure
	if c.ruling != r {
		counted, known = counting(c.Rule, sub.inci)
	}
	c.guessed = c.guessed || !known
	for _, b := range parts {
		of := s.levels(b.item)
		c.add(b.part, counted, of)
		if !slices.Contains(c.items, b.item) {
			c.items = append(c.items, b.item)
		}
		if b.assumed != nil {
			c.assumed = append(c.assumed, *b.assumed)
		}
	}
	slices.Sort(c.items)
}

// add adds a part of a line of which one percent counts so much.
func (c *clause) add(part, counted quantity.Number, of levels) {
	alike := counted.Cmp(quantity.Int(1)) == 0
	if c.whole == nil && !alike {
		c.whole = make(levels, len(of))
		copy(c.whole, c.sum)
	}
	if c.whole != nil {
		c.whole = c.whole.add(part, of)
	}
	c.sum = c.sum.add(part.Mul(counted), of)
}

// outright gives the substances as they are: the exact percent, then those as weighed.
func (c *clause) outright() levels {
	if c.whole == nil {
		return c.sum
	}
	return c.whole
}

// counting gives what one percent of a substance counts towards a rule's maximum: by the rule's factor or by molar masses;
// in full, and false, where neither is known.
func counting(r *law.Rule, inci string) (quantity.Number, bool) {
	if r.Duty != law.AtMost && r.Duty != law.Warn {
		return quantity.Int(1), true
	}
	counted, known := r.Counted(inci, quantity.Int(1))
	if !known {
		if factor, ok := law.Equivalent(inci, r.CountedAs); ok {
			return factor, true
		}
	}
	return counted, known
}

func nameIn(market string, sub *substance) string {
	if market == "US" {
		return cmp.Or(sub.us, sub.inci)
	}
	return sub.inci
}

// over says whether the sum passes a maximum, exactly or as weighed in the batches named.
func (c *clause) over(most quantity.Number, batches []Batch) (past bool, asWeighed []string) {
	if c.sum[0].Cmp(most) > 0 {
		return true, nil
	}
	for i, b := range batches {
		if c.sum[i+1].Cmp(most) > 0 {
			asWeighed = append(asWeighed, b.Written)
		}
	}
	return asWeighed != nil, asWeighed
}

// judge gives what is to be said of one family, if anything.
func (s *inspection) judge(f *family, all []*family) (verdict, bool) {
	if c := f.ban(); c != nil && !c.overruled(f, all) {
		return s.banned(f, c), true
	}
	if c := s.strictest(f.limits(law.Applies)); c != nil {
		return s.above(f, c, *c.Max, law.Applies), !f.hedged || !c.decided(f, all)
	}
	if unclear := f.limits(law.Unclear); len(unclear) > 0 {
		if c, most := s.beyondAll(f, unclear); c != nil {
			return s.above(f, c, most, law.Applies), true
		}
		if c := s.strictest(unclear); c != nil && !c.overruled(f, all) {
			return s.above(f, c, *c.Max, law.Unclear), true
		}
	}
	if f.hedged {
		return verdict{}, false
	}
	return s.inWords(f)
}

// ban gives the clause that bans a substance of the family in the product, or nil.
func (f *family) ban() *clause {
	for _, c := range f.clauses {
		if c.Duty == law.Ban && c.reach == law.Applies {
			return c
		}
	}
	return nil
}

// limits gives the clauses with a maximum, bans that may reach the product among them.
func (f *family) limits(reach law.Applicability) []*clause {
	var all []*clause
	for _, c := range f.clauses {
		if c.reach == reach && c.Max != nil && (c.Duty == law.AtMost || c.Duty == law.Ban && reach == law.Unclear) {
			all = append(all, c)
		}
	}
	return all
}

// strictest gives the clause with the smallest maximum that is passed, one that only rounding passes last, or nil.
func (s *inspection) strictest(limits []*clause) *clause {
	var worst *clause
	always := false
	for _, c := range limits {
		past, batches := c.over(*c.Max, s.weighed())
		if !past {
			continue
		}
		hard := batches == nil
		if worst == nil || hard && !always || hard == always && c.Max.Cmp(*worst.Max) < 0 {
			worst, always = c, hard
		}
	}
	return worst
}

// beyondAll gives the most generous of limits that may reach the product, and its maximum, where even that is passed and no
// use of the substance can be without a limit; else nil. Where it is open whether any of them holds, that is the greatest of
// all kinds of product.
func (s *inspection) beyondAll(f *family, unclear []*clause) (worst *clause, most quantity.Number) {
	covered := false
	for _, c := range f.clauses {
		if c.Max == nil {
			return nil, most // a use in words, or a free one
		}
		covered = covered || c.Scope == law.Elsewhere || strings.HasPrefix(c.Scope, "other") || c.reach == law.Applies
	}
	worst = slices.MaxFunc(unclear, func(a, b *clause) int { return a.Max.Cmp(*b.Max) })
	most = *worst.Max
	if !covered && f.widest != nil && f.widest.Cmp(most) > 0 {
		most = *f.widest
	}
	if past, _ := worst.over(most, s.weighed()); !past {
		return nil, most
	}
	return worst, most
}

// overruled says whether a ban on what an entry does not list gives way to another entry that permits the use.
func (c *clause) overruled(own *family, all []*family) bool {
	if c.Scope != law.Elsewhere {
		return false
	}
	return slices.ContainsFunc(all, func(f *family) bool {
		return f != own && f.purpose != own.purpose && !f.hedged && slices.ContainsFunc(f.limits(law.Applies), func(o *clause) bool {
			return subset(c.alike, o.alike) && subset(c.items, o.items)
		})
	})
}

// decided says whether rules for another purpose, which the substance may have, have a maximum or a ban for it here.
func (c *clause) decided(own *family, all []*family) bool {
	return slices.ContainsFunc(all, func(f *family) bool {
		return f != own && !f.hedged && slices.ContainsFunc(f.clauses, func(o *clause) bool {
			return o.Max != nil && subset(c.alike, o.alike) && subset(c.items, o.items)
		})
	})
}

func subset[T comparable](part, whole []T) bool {
	return !slices.ContainsFunc(part, func(t T) bool { return !slices.Contains(whole, t) })
}
