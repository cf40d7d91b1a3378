package check

import (
	"strings"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/spell"
)

// unknownMaterial finds ingredients of which nothing is known, so that no check of them was possible, each once.
func unknownMaterial(s *inspection) []Finding {
	var found []Finding
	told := make(map[string]int) // where in found
	for i, item := range s.Version.Items {
		if s.Materials[i] != nil {
			continue
		}
		if at, ok := told[material.Key(item.Name)]; ok {
			found[at].Items = append(found[at].Items, i)
			continue
		}
		told[material.Key(item.Name)] = len(found)
		so := "so no check of it was possible."
		if len(s.candidates(i)) > 1 || standIn(item.Name) != nil {
			so = "so no check of it was possible but by its name."
		}
		found = append(found, Finding{
			Code: "unknown-material", Level: Caution, Subject: item.Name, Items: []int{i},
			Message: "Nothing is known of " + item.Name + ", " + so,
			Mend:    "Add a page for it under ingredients/, or use a name that is known" + s.near(item.Name) + ".",
		})
	}
	return found
}

// near offers the names that one which is not known may have meant: those it could stand for, or the nearest.
func (s *inspection) near(name string) string {
	if s.Index == nil {
		return ""
	}
	if several := s.Index.Candidates(name); len(several) > 1 {
		names := make([]string, len(several))
		for i, m := range several {
			names[i] = m.Name
		}
		return " (it can be " + strings.Join(names, " or ") + ": write which)"
	}
	if n := spell.Nearest(name, s.Index.Names()); n != "" {
		return " (did you mean “" + n + "”?)"
	}
	return ""
}
