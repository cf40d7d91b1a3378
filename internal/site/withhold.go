package site

import (
	"reflect"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/emulsion"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/soap"
)

// A recipe can take ingredients whose pages its readers do not have. It names them and says how much it takes; what the checks and sums
// find out from those pages would tell what is in them, and is kept back.

// secrets gives the materials, by id, whose pages are not in the edition and say something that the catalogue does not say anyway.
func (s *Build) secrets() map[string]bool {
	all := make(map[string]bool)
	for _, i := range s.Ingredients {
		if !s.has(&i.Page) && !isCommon(i.Material) {
			all[i.Slug] = true
		}
	}
	return all
}

// OnlyForMembers lists the edition's pages of ingredients that members' recipes take and no open one does: that they are there tells what members'
// recipes are made of.
func (s *Build) OnlyForMembers() []*handbook.Ingredient {
	taken := make(map[string]handbook.Access) // by material
	for _, r := range s.Book.Recipes {
		for _, m := range s.materialsOf(r) {
			if r.Access == handbook.Open || r.Access == handbook.Members && taken[m.ID] == "" {
				taken[m.ID] = r.Access
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(s.ingredients), func(i *handbook.Ingredient) bool { return taken[i.Material.ID] != handbook.Members })
}

// isCommon says whether a material is as the catalogue has it, but for its names and what is for the maker's eyes only.
func isCommon(m *material.Material) bool {
	common := material.Common().ByID(m.Base)
	if common == nil {
		return false
	}
	plain := func(m material.Material) material.Material {
		m.ID, m.Name, m.Also, m.Summary, m.Cautions = "", "", nil, "", nil
		m.Supplier, m.Price, m.Lots = "", nil, nil
		return m
	}
	return reflect.DeepEqual(plain(*m), plain(*common))
}

// told gives a recipe's versions with their findings as this edition may tell them.
func (s *Build) told(r *handbook.Recipe) []handbook.Worked {
	worked := s.Worked(r)
	if len(s.secret) == 0 {
		return worked
	}
	worked = slices.Clone(worked)
	for i := range worked {
		worked[i].Findings = s.toldFindings(worked[i])
	}
	return worked
}

// ofWeights are the codes of findings that tell nothing but what the formula and the method say.
var ofWeights = []string{"total-not-100", "below-scale", "fill-unknown", "volume-without-density", "unknown-material", "hot", "dust", "drug-claim", "accept-unused"}

// ofSums are the codes of findings that rest on all fats, oils and emulsifiers together, whichever they name.
var ofSums = []string{"no-emulsifier", "too-little-emulsifier", "emulsion-unbalanced", "lye-excess", "superfat-unusual"}

// toldFindings gives a version's findings, those that would tell of secret materials with no more than their code and whom they are about.
func (s *Build) toldFindings(w handbook.Worked) []check.Finding {
	type key struct{ code, level, subject, accepted string }
	told := make(map[key]bool)
	var all []check.Finding
	for _, f := range w.Findings {
		about := s.secretsIn(w, f)
		if about == nil {
			all = append(all, f)
			continue
		}
		f = withheld(f, about)
		if k := (key{f.Code, string(f.Level), f.Subject, f.Accepted}); !told[k] { // how many there are would tell, too
			told[k] = true
			all = append(all, f)
		}
	}
	return all
}

// secretsIn gives the names of the secret materials that a finding speaks of.
func (s *Build) secretsIn(w handbook.Worked, f check.Finding) []string {
	if slices.Contains(ofWeights, f.Code) {
		return nil
	}
	var names []string
	for i, item := range w.Version.Items {
		if !s.secret[item.Material] || slices.Contains(names, item.Name) {
			continue
		}
		if slices.Contains(f.Items, i) || strings.Contains(f.Message+f.Mend, item.Name) || slices.Contains(ofSums, f.Code) && isSummed(w.Materials[i]) {
			names = append(names, item.Name)
		}
	}
	return names
}

// withheld gives a finding without what was found.
func withheld(f check.Finding, about []string) check.Finding {
	names := strings.Join(about, ", ")
	return check.Finding{
		Code: f.Code, Level: f.Level, Version: f.Version, Subject: names, Accepted: f.Accepted, Items: f.Items, At: f.At,
		Message: names + ": the checks say “" + strings.ReplaceAll(f.Code, "-", " ") + "”. The figures rest on a page that this edition does not have.",
		Mend:    "Go by the supplier's sheet of what you use for it.",
	}
}

// keepsSums says whether the sums of a version's emulsion and soap would tell of a secret material.
func (s *Build) keepsSums(w handbook.Worked) bool {
	for i, item := range w.Version.Items {
		if s.secret[item.Material] && isSummed(w.Materials[i]) {
			return true
		}
	}
	return false
}

// isSummed says whether a material takes part in the sums of emulsions or soaps.
func isSummed(m *material.Material) bool {
	if m == nil {
		return false
	}
	_, isFat := soap.FatOf(m.Name, m, quantity.Int(1))
	return isFat || emulsion.IsOil(m) || emulsion.IsEmulsifier(m)
}
