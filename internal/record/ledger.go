package record

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A weight counts once: what is weighed is taken off the lots that it came from, and what is not weighed yet is needed. Of several lots on one
// line each gives what the record says; where it does not say, the weight is taken off them together and no share of it is made up.

// A Ledger is what all batch records together say of the materials: what was used, what is left, what is needed. Its order does not hang on chance.
type Ledger struct {
	Materials []*Material // by name
	Untraced  []Use       // of materials whose lots are listed, and the record names none
}

// A Material is one material in the ledger.
type Material struct {
	*material.Material
	Lots     []*Lot // as on its page, then those that only records name
	Together []Use  // what came from several lots in shares that no record tells; each of them has a use that is not told
	Needs    []Need
}

// A Lot is one lot of a material and what was used of it.
type Lot struct {
	material.Lot
	Material *material.Material
	Listed   bool // on the ingredient's page
	Uses     []Use
}

// A Use is what one batch took. Where the record names several lots and not what came from each, Among has them all, and the weight is what came
// from them together: a lot's own use of that kind has no weight.
type Use struct {
	Record *handbook.Record
	Line   string
	Lot    string // "" where the record names none, or several without their shares
	Weight quantity.Mass
	Among  []string // codes; nil where the share is told
}

// Told says whether the record tells how much came from the lot.
func (u Use) Told() bool { return u.Among == nil }

// A Need is what one batch still has to be given.
type Need struct {
	Record *handbook.Record
	Line   string
	Weight quantity.Mass
}

// NewLedger reads all batch records of a handbook, in the order in which the batches were made.
func NewLedger(h *handbook.Handbook) *Ledger {
	k := &keeper{h: h, byID: make(map[string]*Material)}
	for _, i := range h.Ingredients {
		if len(i.Material.Lots) > 0 {
			k.material(i.Material)
		}
	}
	for _, r := range InOrder(h.Records) {
		b := &Batch{Record: r, State: StateOf(r)}
		b.lines(h)
		for i := range b.Lines {
			k.take(b, &b.Lines[i])
		}
	}
	slices.SortStableFunc(k.Materials, func(a, b *Material) int { return cmp.Compare(material.Key(a.Name), material.Key(b.Name)) })
	return &k.Ledger
}

// InOrder gives records by the day on which the batch was made, then by file; those that are planned come last.
func InOrder(records []*handbook.Record) []*handbook.Record {
	day := func(r *handbook.Record) string {
		if r.Made == nil {
			return "planned" // after every day
		}
		return r.Made.Format(time.DateOnly)
	}
	return slices.SortedStableFunc(slices.Values(records), func(a, b *handbook.Record) int { return cmp.Compare(day(a), day(b)) })
}

// A keeper is a ledger while it is written.
type keeper struct {
	Ledger
	h    *handbook.Handbook
	byID map[string]*Material
}

func (k *keeper) material(m *material.Material) *Material {
	if known := k.byID[m.ID]; known != nil {
		return known
	}
	n := &Material{Material: m}
	for _, l := range m.Lots {
		n.Lots = append(n.Lots, &Lot{Lot: l, Material: m, Listed: true})
	}
	k.byID[m.ID] = n
	k.Materials = append(k.Materials, n)
	return n
}

// take notes what a line of a batch used, or needs.
func (k *keeper) take(b *Batch, l *Line) {
	m := l.Material
	if m == nil {
		m = &material.Material{ID: "?" + material.Key(l.Name), Name: l.Name} // one of its own for each unknown name
	}
	if l.Weighed == nil {
		if b.State != Made && l.Asked != nil && l.Asked.Mass.Grams().Sign() > 0 {
			n := k.material(m)
			n.Needs = append(n.Needs, Need{b.Record, l.Name, l.Asked.Mass})
		}
		return
	}
	if len(l.Lots) == 0 {
		if len(m.Lots) > 0 && l.Weighed.Grams().Sign() > 0 {
			k.Untraced = append(k.Untraced, Use{Record: b.Record, Line: l.Name, Weight: *l.Weighed})
		}
		return
	}
	n := k.material(m)
	codes, whole := l.unshared(), *l.Weighed
	if codes != nil {
		n.Together = append(n.Together, Use{Record: b.Record, Line: l.Name, Weight: whole, Among: codes})
		whole = quantity.Mass{}
	}
	for _, u := range l.Lots {
		lot, took := n.lot(u.Code), whole
		if u.Took != nil {
			took = *u.Took
		}
		lot.Uses = append(lot.Uses, Use{Record: b.Record, Line: l.Name, Lot: lot.Code, Weight: took, Among: codes})
	}
}

// unshared gives the codes of the lots that a line was weighed from where the record does not tell how much came from each; else nil.
func (l *Line) unshared() []string {
	if len(l.Lots) < 2 || l.Weighed == nil || l.Weighed.Grams().Sign() == 0 || l.Lots[0].Took != nil {
		return nil
	}
	codes := make([]string, len(l.Lots))
	for i, u := range l.Lots {
		codes[i] = u.Code
	}
	return codes
}

// lot gives a lot by its code, a new one where the page does not list it.
func (m *Material) lot(code string) *Lot {
	for _, l := range m.Lots {
		if strings.EqualFold(l.Code, code) {
			return l
		}
	}
	l := &Lot{Lot: material.Lot{Code: code}, Material: m.Material}
	m.Lots = append(m.Lots, l)
	return l
}

func most(a, b quantity.Number) quantity.Number {
	if a.Cmp(b) > 0 {
		return a
	}
	return b
}

// Used gives what all batches took of a lot, as far as their records tell.
func (l *Lot) Used() quantity.Mass {
	sum := quantity.Number{}
	for _, u := range l.Uses {
		sum = sum.Add(u.Weight.Grams())
	}
	return quantity.Grams(sum)
}

// Told says whether every record tells how much came from the lot. Where not, [Lot.Used] is the least, and [Lot.Left] the most.
func (l *Lot) Told() bool { return !slices.ContainsFunc(l.Uses, func(u Use) bool { return !u.Told() }) }

// Left gives what is left of a lot, below 0 where more was used than it held; nil where its page does not say what it held.
func (l *Lot) Left() *quantity.Mass {
	if l.Holds == nil {
		return nil
	}
	left := quantity.Grams(l.Holds.Grams().Sub(l.Used().Grams()))
	return &left
}

// PastOn says whether a lot is past its date on a day; on the zero day none is.
func (l *Lot) PastOn(day time.Time) bool {
	return !day.IsZero() && l.Expires != "" && l.Expires < day.Format(time.DateOnly)
}

// Lots gives the lots of a code, of all materials.
func (k *Ledger) Lots(code string) []*Lot {
	var all []*Lot
	for _, m := range k.Materials {
		for _, l := range m.Lots {
			if strings.EqualFold(l.Code, code) {
				all = append(all, l)
			}
		}
	}
	return all
}

// Codes lists the codes of all lots.
func (k *Ledger) Codes() []string {
	var all []string
	for _, m := range k.Materials {
		for _, l := range m.Lots {
			all = append(all, l.Code)
		}
	}
	return all
}
