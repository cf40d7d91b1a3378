package formula

import (
	"slices"
	"strings"
)

// Find gives the items that a name means: the ingredient's name as the recipe writes it, or "name in phase", whatever the case.
// In a variant the name of an ingredient that was replaced finds what replaced it.
func (v *Version) Find(name string) []int { return v.find(name, (*Line).means) }

// itself gives the items that a name means, but not those that took the place of what it means.
func (v *Version) itself(name string) []int { return v.find(name, (*Line).isNamed) }

func (v *Version) find(name string, is func(l *Line, name string, p *Phase) bool) []int {
	name = strings.TrimSpace(name)
	var found []int
	for i, item := range v.Items {
		if is(item.Line, name, &v.Phases[item.Phase]) {
			found = append(found, i)
		}
	}
	return found
}

// FindInMethod gives the items that a name in a method means: as [Version.Find], but where a split adds more of what its
// base has, the name alone means the base's, which the method weighs first.
func (v *Version) FindInMethod(name string) []int {
	return v.InMethod(v.Find(name))
}

// InMethod gives those of some items that a name alone means in a method.
func (v *Version) InMethod(found []int) []int {
	if v.Portion == nil || len(found) < 2 {
		return found
	}
	inBase := slices.DeleteFunc(slices.Clone(found), func(i int) bool { return i >= v.Portion.Items })
	if len(inBase) == 0 {
		return found
	}
	return inBase
}

// FindMaterial gives the items whose material a name means, which may be another name than the formula's, with or without " in PHASE". The
// function gives the id of a name's material, "" where it means none.
func (v *Version) FindMaterial(name string, id func(name string) string) []int {
	return v.findMaterial(name, id, true)
}

// findMaterial finds the items of a material; instead says whether what took its place is meant, too.
func (v *Version) findMaterial(name string, id func(name string) string, instead bool) []int {
	wanted, phase := id(name), -1
	if at := strings.LastIndex(name, " in "); wanted == "" && at >= 0 {
		if phase = phaseIndex(v.Phases, name[at+len(" in "):]); phase >= 0 {
			wanted = id(strings.TrimSpace(name[:at]))
		}
	}
	if wanted == "" {
		return nil
	}
	var found []int
	for i, item := range v.Items {
		if (phase < 0 || item.Phase == phase) && (item.Material == wanted || instead && item.Was != "" && id(item.Was) == wanted) {
			found = append(found, i)
		}
	}
	return found
}

// FindWeighed gives the items that a name in a record of what was weighed means: as [Version.Find], or else as [Version.FindMaterial], but never
// what took the place of what is named: whoever writes a name down has weighed that.
func (v *Version) FindWeighed(name string, id func(name string) string) []int {
	if found := v.itself(name); found != nil {
		return found
	}
	return v.findMaterial(name, id, false)
}

// FindPhase gives the items of the phase that a name means, with or without the word "phase"; nil if there is none.
func (v *Version) FindPhase(name string) []int {
	phase := phaseIndex(v.Phases, name)
	if phase < 0 {
		return nil
	}
	var found []int
	for i, item := range v.Items {
		if item.Phase == phase {
			found = append(found, i)
		}
	}
	return found
}

// names gives the names of all items.
func (v *Version) names() []string {
	names := make([]string, len(v.Items))
	for i, item := range v.Items {
		names[i] = item.Name
	}
	return names
}

// Names gives what an amount in the text can name: every ingredient and every phase.
func (v *Version) Names() []string {
	names := v.names()
	for _, p := range v.Phases {
		names = append(names, p.Name)
	}
	return names
}
