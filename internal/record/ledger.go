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
// line each gives what the record says; where it does not say, the first gives what it has left, and so on, and the last one the rest.

// A Ledger is what all batch records together say of the materials: what was used, what is left, what is needed. Its order does not hang on chance.
type Ledger struct {
	Materials []*Material // by name
	Untraced  []Use       // of materials whose lots are listed, and the record names none
}

// A Material is one material in the ledger.
type Material struct {
	*material.Material
	Lots  []*Lot // as on its page, then those that only records name
	Needs []Need
}

// A Lot is one lot of a material and what was used of it.
type Lot struct {
	material.Lot
	Material *material.Material
	Listed   bool // on the ingredient's page
	Uses     []Use
}

// A Use is what one batch took.
type Use struct {
	Record *handbook.Record
	Line   string
	Lot    string // "" where the record names none
	Weight quantity.Mass
}

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
	n, rest := k.material(m), l.Weighed.Grams()
	for i, u := range l.Lots {
		lot := n.lot(u.Code)
		took := rest
		switch left := lot.Left(); {
		case u.Took != nil:
			took = u.Took.Grams()
		case i < len(l.Lots)-1 && left != nil:
			took = least(rest, most(left.Grams(), quantity.Number{}))
		case i < len(l.Lots)-1:
			took = quantity.Number{} // what it had is not known: the last one is taken to have given it all
		}
		rest = rest.Sub(took)
		lot.Uses = append(lot.Uses, Use{b.Record, l.Name, lot.Code, quantity.Grams(took)})
	}
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

func least(a, b quantity.Number) quantity.Number {
	if a.Cmp(b) < 0 {
		return a
	}
	return b
}

func most(a, b quantity.Number) quantity.Number {
	if a.Cmp(b) > 0 {
		return a
	}
	return b
}

// Used gives what all batches took of a lot.
func (l *Lot) Used() quantity.Mass {
	sum := quantity.Number{}
	for _, u := range l.Uses {
		sum = sum.Add(u.Weight.Grams())
	}
	return quantity.Grams(sum)
}

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
