package handbook

import (
	"errors"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A Worked version is a version with its batches weighed and its findings.
type Worked struct {
	*check.Subject
	Findings []check.Finding
}

// Work weighs a recipe's batches in every version and gives the findings on each, accepted ones marked.
func (h *Handbook) Work(r *Recipe) []Worked {
	batches := make([]quantity.Batch, len(r.Batches))
	for i, b := range r.Batches {
		batches[i] = b.Batch
	}
	worked := make([]Worked, len(r.Versions))
	subjects, findings := make([]*check.Subject, len(r.Versions)), make([][]check.Finding, len(r.Versions))
	for i, v := range r.Versions {
		subjects[i] = h.Weigh(r, v, batches)
		worked[i].Subject = subjects[i]
		for j, b := range r.Batches {
			worked[i].Batches[j].At = b.At
		}
	}
	if h.settingsRead { // else the scales are not known
		findings = check.RunAll(subjects)
		check.Accept(findings, r.Accepts)
	}
	for i := range worked {
		worked[i].Findings = findings[i]
	}
	return worked
}

// Weigh weighs batches of one version of a recipe, with all that the checks look at.
func (h *Handbook) Weigh(r *Recipe, v *formula.Version, batches []quantity.Batch) *check.Subject {
	s := &check.Subject{
		Version: v, Product: r.Product, Fills: r.Fills, Scale: h.Scale, Index: h.Materials,
		PH: r.PH, Keeps: r.Keeps, Lye: r.Lye, Made: r.AsMade, Words: r.Title + "\n" + r.Summary + "\n" + r.Body,
	}
	if r.Updated != nil {
		s.On = *r.Updated
	}
	s.Materials = h.materialsOf(v)
	for _, b := range batches {
		s.Batches = append(s.Batches, weigh(v, b, r.Fills, h.Scale))
	}
	return s
}

// materialsOf gives the material of each of a version's items, nil where none is known.
func (h *Handbook) materialsOf(v *formula.Version) []*material.Material {
	all := make([]*material.Material, len(v.Items))
	for i, item := range v.Items {
		if item.Material != "" {
			all[i] = h.Materials.Find(item.Name)
		}
	}
	return all
}

func weigh(v *formula.Version, b quantity.Batch, fills []formula.Fill, scale quantity.Scale) check.Batch {
	out := check.Batch{Written: b.Written}
	sized, err := v.Size(b, fills)
	if err != nil {
		errors.As(err, &out.Missing)
		return out
	}
	out.Sized, out.Column = sized, v.Weigh(sized, scale)
	return out
}
