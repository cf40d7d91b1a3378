package formula

import (
	"fmt"
	"strings"

	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/spell"
)

// A Sized is a batch that has been given its weight in one version.
type Sized struct {
	Batch  quantity.Batch
	Weight quantity.Mass // exact
	Filled *Filled       // nil where no fill is known
	usesUp int           // 1 + the index of the item that must not be exceeded, 0 if none
}

// pinned gives the index of the item that the batch uses up, -1 if none.
func (s Sized) pinned() int { return s.usesUp - 1 }

// A SizeError says why a version has no such batch.
type SizeError struct {
	FillUnknown   bool // for want of a fill, which is the finding fill-unknown
	Message, Hint string
}

// Error gives the message and, in brackets, what to do.
func (e *SizeError) Error() string { return e.Message + " (" + e.Hint + ")" }

// Size gives a batch its weight: as written; or containers × what each takes × (1 + loss); or what uses up one material.
// The error is a [*SizeError].
func (v *Version) Size(b quantity.Batch, fills []Fill) (Sized, error) {
	s := Sized{Batch: b, Weight: b.Mass}
	var fill Fill
	if len(fills) > 0 {
		fill = fills[0]
	}
	switch {
	case b.Count > 0:
		var err error
		if fill, err = containerFill(b, fills); err != nil {
			return Sized{}, err
		}
		s.Weight = quantity.Grams(fill.perContainer().Mul(quantity.Int(b.Count)))
	case b.Material != "":
		i, err := v.usedUp(b)
		if err != nil {
			return Sized{}, err
		}
		s.usesUp = i + 1
		s.Weight = quantity.Grams(b.Mass.Grams().Quo(v.Share(i)))
	}
	s.Filled = fill.Fills(s.Weight)
	return s, nil
}

func containerFill(b quantity.Batch, fills []Fill) (Fill, error) {
	fill, ok := findFill(fills, b.Container)
	switch {
	case len(fills) == 0:
		return Fill{}, &SizeError{
			FillUnknown: true, Message: "nothing says what a " + b.Container + " takes",
			Hint: "add fill: {container: " + b.Container + ", takes: …, loss: …}",
		}
	case !ok:
		names := make([]string, len(fills))
		for i, f := range fills {
			names[i] = f.Container
		}
		return Fill{}, &SizeError{
			FillUnknown: true, Message: "nothing says what a " + b.Container + " takes",
			Hint: spell.DidYouMean(b.Container, names, "the containers under fill are "+strings.Join(names, ", ")),
		}
	case fill.Unknown != "":
		return Fill{}, &SizeError{FillUnknown: true, Message: fill.Unknown, Hint: "give takes: as a weight, or add the product's density: to the fill"}
	}
	return fill, nil
}

// usedUp finds the item that a batch is to use up.
func (v *Version) usedUp(b quantity.Batch) (int, error) {
	found := v.itself(b.Material)
	switch {
	case len(found) == 0:
		return 0, &SizeError{
			Message: fmt.Sprintf("there is no %s in this version to use up", b.Material),
			Hint:    v.meant(b.Material),
		}
	case len(found) > 1:
		return 0, &SizeError{
			Message: b.Material + " stands in more than one phase",
			Hint:    "say which, as in “" + b.Material + " in " + v.Phases[v.Items[found[0]].Phase].Name + "”",
		}
	case v.Share(found[0]).Sign() == 0:
		return 0, &SizeError{Message: "there is nothing of " + b.Material + " in this version", Hint: "name another ingredient"}
	}
	return found[0], nil
}
