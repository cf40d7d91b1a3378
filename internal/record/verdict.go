package record

import (
	"strconv"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/spell"
)

// setAside is what to do with a batch that has a stop finding as it was weighed: what is in the pot cannot be weighed anew.
const setAside = "Do not use it, sell it or give it away: mark it, set it aside, and ask a qualified assessor what is to become of it."

// madeAlready puts what to do with the batch in the place of what to do with the recipe.
func (b *Batch) madeAlready() {
	for i := range b.Findings {
		switch f := &b.Findings[i]; {
		case f.Level == check.Stop:
			f.Mend = setAside
		case f.Level == check.Caution && f.Mend != "":
			f.Mend = "For the next batch: " + f.Mend
		}
	}
}

// Stops gives the findings on the batch as it was weighed that keep it from being used and are not accepted.
func (b *Batch) Stops() []check.Finding {
	var all []check.Finding
	for _, f := range b.Findings {
		if f.Stops() {
			all = append(all, f)
		}
	}
	return all
}

// Refused says whether somebody judged the batch and did not let it pass.
func (b *Batch) Refused() bool { return b.Checked != nil && !b.Checked.Passed }

// origin tells what the batch lacks to be looked at by its recipe, and what is the worst of what was found.
func (b *Batch) origin(h *handbook.Handbook) {
	if n := len(b.Stops()); n > 0 {
		findings, released := "a stop finding", ""
		if n > 1 {
			findings = strconv.Itoa(n) + " stop findings"
		}
		if b.Checked != nil && b.Checked.Passed {
			released = ", though it was released"
		}
		b.remark(check.Stop, b.codeSpan(), setAside, "As it was weighed the batch has %s and may not be used%s.", findings, released)
	}
	b.gone(h)
}

// gone tells that the recipe, or its version, is not there now. The record stands by what it has written.
func (b *Batch) gone(h *handbook.Handbook) {
	const alone = "the record stands by its own targets, and the batch is not checked"
	switch {
	case b.Made == nil: // told as a problem
	case b.Recipe == nil && b.RecipeName != "":
		var slugs []string
		for _, r := range h.Recipes {
			slugs = append(slugs, r.Slug)
		}
		b.open(b.codeSpan(), spell.DidYouMean(b.RecipeName, slugs, "keep the record; to have it checked put the recipe back, with access: maker for one that is no longer made"),
			"There is no recipe “%s” now: %s.", b.RecipeName, alone)
	case b.Recipe != nil && b.Version == nil && b.VersionName != "" && len(b.Recipe.Versions) > 0:
		var known []string
		for _, v := range b.Recipe.Versions {
			known = append(known, v.Name)
		}
		b.open(b.codeSpan(), spell.DidYouMean(b.VersionName, known, "keep the record; to have it checked put the version back"),
			"%s has no version “%s” now: %s.", b.Recipe.Title, b.VersionName, alone)
	}
}
