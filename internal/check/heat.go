package check

import (
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// addedTooHot finds materials in a phase that is hotter than they bear, in °C; limits are the materials' own. A phase that goes in
// below a temperature may be as hot as that, and so may one that says neither and follows it. Else nothing can be known of a phase
// that says neither where another is heated past the limit, and that is told.
func addedTooHot(s *inspection) []Finding {
	var found []Finding
	for _, d := range s.doses {
		if limit := d.facts.warm; limit.Known {
			found = append(found, s.heated(d, limit)...)
		}
	}
	return found
}

// heated gives the finding on one material: the worst of its phases, with all its lines that are too hot.
func (s *inspection) heated(d *dose, limit material.Sourced[quantity.Temperature]) []Finding {
	worst, mute := -1, -1
	var items, silent []int
	for _, i := range d.items {
		p := s.Version.Items[i].Phase
		heat := s.hottest(p)
		switch {
		case heat == nil && s.othersHotter(p, limit.Value):
			mute, silent = p, append(silent, i)
		case heat != nil && heat.Celsius().Cmp(limit.Value.Celsius()) > 0:
			if items = append(items, i); worst < 0 || heat.Celsius().Cmp(s.hottest(worst).Celsius()) > 0 {
				worst = p
			}
		}
	}
	f := Finding{
		Code: "added-too-hot", Level: Caution, Subject: d.name, Limit: degrees(limit.Value), Unit: "°C", Source: shownSource(limit.Source),
	}
	bears := d.name + " should not be hotter than " + limit.Value.String()
	switch {
	case worst >= 0:
		phase := s.Version.Phases[worst]
		heat := s.hottest(worst)
		f.Items, f.Value = items, degrees(*heat)
		f.Message = bears + ", and " + phase.Name + " is heated to " + heat.String() + "."
		if phase.Heat == nil {
			f.Message = bears + ", and " + phase.Name + " may go in at anything below " + heat.String() + "."
		}
		f.Mend = "Move it to a phase that goes in below " + limit.Value.String() + "."
	case mute >= 0:
		f.Items = silent
		f.Message = bears + "; how hot the mixture is when " + s.Version.Phases[mute].Name + " goes in is not said, so it could not be checked."
		f.Mend = "Give the phase below: " + limit.Value.String() + ", and let the rest cool to that first."
	default:
		return nil
	}
	return []Finding{f}
}

// degrees writes a temperature in degrees Celsius, to a tenth.
func degrees(t quantity.Temperature) string { return t.Celsius().Text(1) }

// hottest gives how hot the mixture may be when a phase's materials are in it; nil where that is not said.
func (s *inspection) hottest(phase int) *quantity.Temperature {
	if heat := s.Version.Phases[phase].Heat; heat != nil {
		return heat
	}
	for p := phase; p >= 0; p-- {
		switch before := s.Version.Phases[p]; {
		case before.Below != nil && before.Heat == nil:
			return before.Below
		case before.Heat != nil:
			return nil
		}
	}
	return nil
}

// othersHotter says whether another phase is heated past a limit.
func (s *inspection) othersHotter(phase int, limit quantity.Temperature) bool {
	for p, other := range s.Version.Phases {
		if p != phase && other.Heat != nil && other.Heat.Celsius().Cmp(limit.Celsius()) > 0 {
			return true
		}
	}
	return false
}
